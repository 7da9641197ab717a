"""Clearances come about from shares: one a holder and side, and nothing asked is ever lost."""

from decimal import Decimal

import pytest
from django.utils import timezone

from supervision.actions.holders import renew_clearances, renew_clearances_of
from supervision.models import Clearance
from supervision.rules.clearance import Reason, Side, Stage
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


def song(*publishers, owners=(100,), **fields):
    """A recording of one work with publishers and owners of the given percentages."""
    work = WorkFactory()
    for share in publishers:
        WorkShareFactory(work=work, performance=share, control=share)
    recording = RecordingFactory(works=[work], **fields)
    for share in owners:
        RecordingShareFactory(recording=recording, share=share)
    return recording


def renewed(usage):
    by = MembershipFactory(production=usage.episode.season.production).user
    renew_clearances(usage=usage, by=by, now=NOW)
    return Clearance.objects.filter(usage=usage, retired_at=None).order_by("side", "-share", "pk")


def told(clearances):
    return [(found.side, found.holder_id is not None, found.share, Stage(found.stage)) for found in clearances]


def test_each_holder_of_each_side_gets_a_draft():
    usage = UsageFactory(recording=song(Decimal("33.34"), Decimal("33.33"), Decimal("33.33")))
    assert told(renewed(usage)) == [
        (Side.MASTER, True, Decimal(100), Stage.DRAFT),
        (Side.SYNC, True, Decimal("33.34"), Stage.DRAFT),
        (Side.SYNC, True, Decimal("33.33"), Stage.DRAFT),
        (Side.SYNC, True, Decimal("33.33"), Stage.DRAFT),
    ]


def test_unknown_remainder_shows_as_clearance_without_holder():
    usage = UsageFactory(recording=song(75))
    assert told(renewed(usage)) == [
        (Side.MASTER, True, Decimal(100), Stage.DRAFT),
        (Side.SYNC, True, Decimal(75), Stage.DRAFT),
        (Side.SYNC, False, Decimal(25), Stage.DRAFT),
    ]


def test_remainder_is_found_per_territory():
    work = WorkFactory()
    WorkShareFactory(work=work, performance=100, control=100, territory="World excl. JP")
    usage = UsageFactory(work=work)
    unknown = renewed(usage).get(side=Side.SYNC, holder=None)
    assert (unknown.share, unknown.territory) == (Decimal(100), "JP")


def test_public_domain_work_needs_nobody_but_its_recording_does():
    work = WorkFactory(public_domain=True)
    recording = RecordingFactory(works=[work])
    RecordingShareFactory(recording=recording)
    found = renewed(UsageFactory(recording=recording))
    assert told(found) == [
        (Side.MASTER, True, Decimal(100), Stage.DRAFT),
        (Side.SYNC, False, Decimal(100), Stage.NOT_NEEDED),
    ]
    assert found[1].reason == Reason.PUBLIC_DOMAIN


def test_rerecording_needs_no_master():
    work = WorkFactory()
    WorkShareFactory(work=work)
    found = renewed(UsageFactory(work=work))
    assert told(found) == [
        (Side.MASTER, False, Decimal(100), Stage.NOT_NEEDED),
        (Side.SYNC, True, Decimal(100), Stage.DRAFT),
    ]
    assert found[0].reason == Reason.RERECORDED


def test_commissioned_score_of_our_own_needs_nobody():
    ours = PartyFactory(is_ours=True)
    work = WorkFactory()
    WorkShareFactory(work=work, party=ours)
    recording = RecordingFactory(works=[work])
    RecordingShareFactory(recording=recording, party=ours)
    found = renewed(UsageFactory(recording=recording, origin=Origin.COMMISSIONED))
    assert [(clearance.stage, clearance.reason) for clearance in found] == [
        (Stage.NOT_NEEDED, Reason.COMMISSIONED),
        (Stage.NOT_NEEDED, Reason.COMMISSIONED),
    ]


def test_administrator_is_asked_for_the_publisher():
    administrator = PartyFactory()
    work = WorkFactory()
    share = WorkShareFactory(work=work, administrator=administrator)
    clearance = renewed(UsageFactory(work=work)).get(side=Side.SYNC)
    assert (clearance.holder, clearance.on_behalf_of) == (administrator, share.party)


def test_medley_asks_for_each_work():
    first, second = WorkFactory(), WorkFactory()
    WorkShareFactory(work=first)
    WorkShareFactory(work=second)
    found = renewed(UsageFactory(recording=RecordingFactory(works=[first, second])))
    assert [clearance.work for clearance in found.filter(side=Side.SYNC).order_by("work")] == [first, second]


def test_renewing_twice_changes_nothing():
    usage = UsageFactory(recording=song(60, 40))
    first = list(renewed(usage).values_list("pk", "version"))
    assert list(renewed(usage).values_list("pk", "version")) == first


def test_changed_song_retires_what_was_asked_as_withdrawn():
    usage = UsageFactory(recording=song(100))
    asked = renewed(usage).get(side=Side.SYNC)
    Clearance.objects.filter(pk=asked.pk).update(stage=Stage.REQUESTED)
    usage.recording = song(100)
    usage.save()
    live = renewed(usage)
    asked.refresh_from_db()
    assert (asked.stage, asked.retired_at, asked.pk in {clearance.pk for clearance in live}) == (
        Stage.WITHDRAWN,
        NOW,
        False,
    )


def test_changed_share_is_brought_up_to_date():
    work = WorkFactory()
    share = WorkShareFactory(work=work, control=50)
    usage = UsageFactory(work=work)
    first = renewed(usage).get(side=Side.SYNC, holder=share.party)
    share.control = 80
    share.save()
    renew_clearances_of(work=work, by=MembershipFactory().user, now=NOW)
    first.refresh_from_db()
    assert (first.share, usage.clearances.filter(holder=None, side=Side.SYNC, retired_at=None).get().share) == (
        Decimal(80),
        Decimal(20),
    )


def test_removed_usage_is_left_as_it_is():
    work = WorkFactory()
    WorkShareFactory(work=work)
    UsageFactory(work=work, deleted_at=NOW)
    assert renew_clearances_of(work=work, by=MembershipFactory().user, now=NOW) == 0
