"""Library agreements cover library music, and say so on each clearance."""

from datetime import date

import pytest
from django.utils import timezone

from supervision.actions.agreements import add_agreement, change_agreement, remove_agreement
from supervision.actions.holders import renew_clearances
from supervision.models import LibraryAgreement
from supervision.rules.clearance import Reason, Stage
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed
from supervision.rules.roles import Role
from supervision.rules.usage import Origin
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))


@pytest.fixture
def library():
    return PartyFactory(name="Shelf")


@pytest.fixture
def usage(library):
    """A library cue whose both sides the library holds."""
    work = WorkFactory()
    WorkShareFactory(work=work, party=library)
    recording = RecordingFactory(works=[work], library=True)
    RecordingShareFactory(recording=recording, party=library)
    return UsageFactory(recording=recording, origin=Origin.LIBRARY, episode__air_date=date(2027, 1, 1))


@pytest.fixture
def production(usage):
    return usage.episode.season.production


@pytest.fixture
def supervisor(usage, production):
    user = MembershipFactory(production=production).user
    renew_clearances(usage=usage, by=user, now=NOW)
    return user


def fields(library, **changes):
    return {
        "party": library,
        "number": "A-1",
        "media": "all media",
        "territory": "World",
        "starts_on": date(2026, 1, 1),
        "ends_on": None,
        "fee_minor": 12_000,
        "currency": "GBP",
        "per": "use",
    } | changes


def stages(usage):
    live = usage.clearances.filter(retired_at=None).order_by("side")
    return [(Stage(found.stage), found.reason, found.agreement_id) for found in live]


def test_agreement_covers_both_sides_of_library_music(usage, production, supervisor, library):
    made = add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)
    assert stages(usage) == [(Stage.NOT_NEEDED, Reason.BLANKET, made.pk)] * 2


def test_agreement_that_ends_before_broadcast_covers_nothing(usage, production, supervisor, library):
    ended = fields(library, ends_on=date(2026, 12, 31))
    add_agreement(production=production, fields=ended, by=supervisor, now=NOW)
    assert stages(usage) == [(Stage.DRAFT, "", None)] * 2


def test_shortened_agreement_asks_again(usage, production, supervisor, library):
    made = add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)
    shorter = fields(library, ends_on=date(2026, 12, 31))
    change_agreement(agreement=made, fields=shorter, version=1, by=supervisor, now=NOW)
    assert stages(usage) == [(Stage.DRAFT, "", None)] * 2


def test_music_that_is_no_library_music_is_not_covered(usage, production, supervisor, library):
    usage.origin = Origin.PRE_EXISTING
    usage.save()
    add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)
    assert [stage for stage, *_ in stages(usage)] == [Stage.DRAFT] * 2


def test_agreement_in_use_is_not_removed(usage, production, supervisor, library):
    made = add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)
    with pytest.raises(Conflict, match=usage.episode.code):
        remove_agreement(agreement=made, by=supervisor, now=NOW)


def test_unused_agreement_is_removed(production, supervisor):
    made = add_agreement(production=production, fields=fields(PartyFactory()), by=supervisor, now=NOW)
    remove_agreement(agreement=made, by=supervisor, now=NOW)
    assert LibraryAgreement.objects.count() == 0


def test_agreement_in_unknown_territory_is_refused(production, supervisor, library):
    with pytest.raises(BadValue):
        add_agreement(production=production, fields=fields(library, territory="Ruritania"), by=supervisor, now=NOW)


def test_agreement_twice_is_refused(production, supervisor, library):
    add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)
    with pytest.raises(BadRow, match="recorded already"):
        add_agreement(production=production, fields=fields(library), by=supervisor, now=NOW)


def test_agreement_by_coordinator_is_refused(production, library):
    coordinator = MembershipFactory(production=production, role=Role.COORDINATOR).user
    with pytest.raises(NotAllowed):
        add_agreement(production=production, fields=fields(library), by=coordinator, now=NOW)
