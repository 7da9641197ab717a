"""Clearances and quotes."""

from datetime import date

import factory
from factory.django import DjangoModelFactory

from supervision.models import Clearance, Quote
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
