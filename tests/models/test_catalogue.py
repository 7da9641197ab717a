"""What the catalogue's tables keep, and the societies that they come with."""

from datetime import UTC, datetime

import pytest

from supervision.models import Party, Recording, Society, Work, WorkShare
from tests.factories.catalogue import (
    ContactFactory,
    PartyFactory,
    RecordingFactory,
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
