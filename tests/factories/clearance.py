"""Clearances and quotes."""

from datetime import date

import factory
from django.core.files.uploadedfile import SimpleUploadedFile
from factory.django import DjangoModelFactory

from supervision.models import Clearance, Licence, Option, Quote
from supervision.rules.clearance import Side, Stage
from supervision.rules.fees import Basis
from tests.factories.accounts import UserFactory
from tests.factories.catalogue import PartyFactory, WorkFactory
from tests.factories.spotting import UsageFactory


class ClearanceFactory(DjangoModelFactory):
    """A draft sync clearance of a whole work; for a master give ``side``, ``work=None`` and ``recording``."""

    class Meta:
        model = Clearance

    usage = factory.SubFactory(UsageFactory)
    side = Side.SYNC
    work = factory.SubFactory(WorkFactory)
    holder = factory.SubFactory(PartyFactory)
    share = 100
    stage = Stage.DRAFT


class QuoteFactory(DjangoModelFactory):
    class Meta:
        model = Quote

    clearance = factory.SubFactory(ClearanceFactory)
    amount_minor = 500_000
    currency = "USD"
    basis = Basis.FULL
    payable_minor = 500_000
    received_on = date(2026, 11, 2)
    recorded_by = factory.SubFactory(UserFactory)


class LicenceFactory(DjangoModelFactory):
    """A licence in force without a file, as imports of old records leave it."""

    class Meta:
        model = Licence

    clearance = factory.SubFactory(ClearanceFactory)
    number = factory.Sequence("L-{}".format)
    executed_on = date(2026, 11, 20)
    fee_minor = 500_000
    currency = "USD"
    recorded_by = factory.SubFactory(UserFactory)


class OptionFactory(DjangoModelFactory):
    """A theatrical option for the world in perpetuity, open until the end of 2027."""

    class Meta:
        model = Option

    quote = factory.SubFactory(QuoteFactory)
    kind = Option.Kind.THEATRICAL
    media = "theatrical"
    starts_on = date(2027, 1, 1)
    amount_minor = 200_000
    currency = "USD"
    payable_minor = 200_000
    exercisable_until = date(2027, 12, 31)


def signed_file(name="licence.pdf", content=b"%PDF-1.4\nspecimen\n%%EOF\n"):
    """An uploaded file: a PDF as far as its beginning tells."""
    return SimpleUploadedFile(name, content)


def at_stage(clearance, stage, **quote):
    """The clearance at a stage from quoted on, with a standing quote."""
    clearance.standing_quote = QuoteFactory(clearance=clearance, **quote)
    clearance.stage = stage
    clearance.save()
    return clearance
