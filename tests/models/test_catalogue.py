"""What the tables themselves refuse, and the societies that they come with."""

from datetime import UTC, datetime

import pytest
from django.db import IntegrityError, transaction

from supervision.models import Party, Recording, RecordingWork, Society, Work, WorkShare
from tests.factories.catalogue import (
    ContactFactory,
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("010", "ASCAP"),
        ("021", "BMI"),
        ("052", "PRS"),
        ("035", "GEMA"),
        ("058", "SACEM"),
        ("101", "SOCAN"),
        ("038", "JASRAC"),
        ("001", "ACUM"),
        ("099", "No society"),
    ],
)
def test_societies_have_the_codes_of_cisac(code, name):
    """CISAC CWR08-3615R1 lookup table, Societies Codes."""
    assert Society.objects.get(code=code).name == name


@pytest.mark.parametrize(
    "build",
    [
        pytest.param(lambda: Society.objects.create(code="52", name="Two digits"), id="society_code_three_digits"),
        pytest.param(lambda: Society.objects.create(code="052", name="Again"), id="society code once"),
        pytest.param(lambda: PartyFactory(name=""), id="party_named"),
        pytest.param(lambda: PartyFactory(ipi="123"), id="party_ipi_digits"),
        pytest.param(lambda: PartyFactory.create_batch(2, ipi="00014107338"), id="party_ipi_once"),
        pytest.param(lambda: WorkFactory(title=""), id="work_titled"),
        pytest.param(lambda: WorkFactory(iswc="T034524680"), id="work_iswc_shape"),
        pytest.param(lambda: WorkFactory.create_batch(2, iswc="T0345246801"), id="work_iswc_once"),
        pytest.param(lambda: WorkFactory(pk=7, arrangement_of_id=7), id="work_not_arranged_from_itself"),
        pytest.param(lambda: WorkShareFactory(performance=101), id="work_share_performance_percent"),
        pytest.param(lambda: WorkShareFactory(control=-1), id="work_share_control_percent"),
        pytest.param(lambda: WorkShareFactory(role="C"), id="work_share_role_of_interest, publisher"),
        pytest.param(lambda: WorkShareFactory(interest="writer", role="E"), id="work_share_role_of_interest, writer"),
        pytest.param(lambda: RecordingFactory(title=""), id="recording_titled"),
        pytest.param(lambda: RecordingFactory(isrc="USS1Z9-90001"), id="recording_isrc_shape"),
        pytest.param(lambda: RecordingFactory.create_batch(2, isrc="USS1Z9900001"), id="recording_isrc_once"),
        pytest.param(lambda: RecordingShareFactory(share=101), id="recording_share_percent"),
    ],
)
def test_row_is_refused_by_its_table(build):
    with pytest.raises(IntegrityError), transaction.atomic():
        build()


def test_share_of_a_work_stands_once_a_party_role_and_territory():
    share = WorkShareFactory()
    WorkShareFactory(work=share.work, party=share.party, territory="US")
    with pytest.raises(IntegrityError), transaction.atomic():
        WorkShareFactory(work=share.work, party=share.party)


def test_owner_of_a_recording_stands_once_a_territory():
    share = RecordingShareFactory()
    RecordingShareFactory(recording=share.recording, party=share.party, territory="US")
    with pytest.raises(IntegrityError), transaction.atomic():
        RecordingShareFactory(recording=share.recording, party=share.party)


def test_work_stands_once_in_a_recording():
    work = WorkFactory()
    recording = RecordingFactory(works=[work])
    with pytest.raises(IntegrityError), transaction.atomic():
        RecordingWork.objects.create(recording=recording, work=work)


def test_identifier_of_a_deleted_row_is_free_again():
    PartyFactory(ipi="00014107338", deleted_at=NOW)
    WorkFactory(iswc="T0345246801", deleted_at=NOW)
    RecordingFactory(isrc="USS1Z9900001", deleted_at=NOW)
    PartyFactory(ipi="00014107338")
    WorkFactory(iswc="T0345246801")
    RecordingFactory(isrc="USS1Z9900001")
    assert (Party.objects.count(), Work.objects.count(), Recording.objects.count()) == (2, 2, 2)


def test_six_decimals_come_back_exactly():
    share = WorkShareFactory(performance="33.333333", control="0.000001")
    kept = WorkShare.objects.get(pk=share.pk)
    assert (str(kept.performance), str(kept.control)) == ("33.333333", "0.000001")


def test_rows_are_called_by_their_names():
    share = WorkShareFactory(work__title="River", performance=50)
    alternative = share.work.alternative_titles.create(title="Fluss")
    assert [
        str(row) for row in (Society.objects.get(code="052"), ContactFactory(), share.work, alternative, share)
    ] == [
        "PRS",
        "Licensing desk",
        "River",
        "Fluss",
        "E 50",
    ]
