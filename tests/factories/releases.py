"""An episode with clearances at every stage, what is licensed, and a plan to prove."""

from datetime import date

import factory
from factory.django import DjangoModelFactory

from supervision.models import Clearance, Grant, Licence, Option, ReleaseWindow
from supervision.rules.clearance import Side, Stage
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory
from tests.factories.productions import SeasonFactory
from tests.factories.spotting import UsageFactory

AIR = date(2026, 12, 2)


class WindowFactory(DjangoModelFactory):
    """SVOD in the world from the first of December 2026 on."""

    class Meta:
        model = ReleaseWindow

    season = factory.SubFactory(SeasonFactory)
    media = "SVOD"
    territory = "World"
    starts_on = date(2026, 12, 1)


def song_in(episode, *, placed=None, **fields):
    """A usage of a recording of one work."""
    recording = RecordingFactory(works=[WorkFactory(**({"title": fields["title"]} if "title" in fields else {}))])
    if "title" in fields:
        recording.title = fields.pop("title")
        recording.save()
    return UsageFactory(episode=episode, recording=recording, placed=placed, **fields)


def asked(usage, side, *, holder=None, share=100, stage=Stage.DRAFT, **fields):
    """A clearance of a usage's side."""
    sync = side is Side.SYNC
    return ClearanceFactory(
        usage=usage,
        side=side,
        work=usage.recording.works.get() if sync else None,
        recording=None if sync else usage.recording,
        holder=holder or PartyFactory(),
        share=share,
        stage=stage,
        **fields,
    )


def licensed(usage, side, *, grants=({},), number="L-1", **fields):
    """A licensed clearance of a usage's side; each grant is all media, World, from the first broadcast in perpetuity."""
    clearance = asked(usage, side, **fields)
    quote = QuoteFactory(clearance=clearance)
    Clearance.objects.filter(pk=clearance.pk).update(stage=Stage.LICENSED, standing_quote=quote)
    clearance.refresh_from_db()
    licence = Licence.objects.create(
        clearance=clearance,
        number=number,
        executed_on=date(2026, 11, 17),
        fee_minor=500_000,
        currency="USD",
        recorded_by=quote.recorded_by,
    )
    for grant in grants:
        Grant.objects.create(licence=licence, **{"starts_on": AIR} | grant)
    return clearance


def option_of(clearance, **fields):
    """An option of the clearance's standing quote: theatrical, World, from 2027 in perpetuity, for USD 2,000."""
    told = {
        "kind": "theatrical",
        "media": "theatrical",
        "starts_on": date(2027, 1, 1),
        "amount_minor": 200_000,
        "currency": "USD",
        "payable_minor": 200_000,
        "exercisable_until": date(2027, 12, 31),
    }
    return Option.objects.create(quote=clearance.standing_quote, **told | fields)
