"""The filing of a season: who is late, what is due when, in queries that do not grow.

Outside check: ASCAP, "Everything You Need To Know About Cue Sheets" (a film before its first theatrical showing abroad).
"""

from datetime import UTC, date, datetime

import pytest

from supervision.models import CueSheetFiling, CueSheetRevision, ReleaseWindow
from supervision.queries.cue_sheet_filings import filing_of, season_filings
from supervision.queries.cue_sheets import revision_before, revision_of
from supervision.rules.errors import NotVisible
from supervision.rules.filing import FilingState
from tests.factories.accounts import UserFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
TODAY = date(2026, 11, 25)
LONG_AGO, SOON = date(2026, 9, 1), date(2026, 12, 1)


@pytest.fixture
def season():
    return SeasonFactory(production__country="GB", production__filing_days=30)


def episode(season, code, air_date, filed=(), revisions=0):
    made = EpisodeFactory(season=season, code=code, air_date=air_date)
    for number in range(1, revisions + 1):
        revision = CueSheetRevision.objects.create(
            episode=made,
            cut=made.current_cut,
            number=number,
            issued_at=NOW,
            issued_by=UserFactory(),
            payload={},
            digest="0" * 64,
        )
        if number in filed:
            CueSheetFiling.objects.create(
                revision=revision, recipient="Nine", filed_on=TODAY, filed_by=revision.issued_by
            )
    return made


def test_late_ones_come_first_then_by_their_day(season):
    episode(season, "W-1", LONG_AGO, revisions=1, filed=[1])
    episode(season, "W-2", SOON)
    episode(season, "W-3", LONG_AGO)
    episode(season, "W-4", None)
    episode(season, "W-5", LONG_AGO, revisions=2, filed=[1])
    rows = season_filings(season, TODAY)
    assert [(row.episode.code, row.late, row.state) for row in rows] == [
        ("W-3", True, FilingState.NOT_ISSUED),
        ("W-5", False, FilingState.AMENDED),
        ("W-2", False, FilingState.NOT_ISSUED),
        ("W-4", False, FilingState.NOT_ISSUED),
        ("W-1", False, FilingState.FILED),
    ]
    assert [row.due.day if row.due else None for row in rows] == [
        date(2026, 10, 1),
        date(2026, 10, 1),
        date(2026, 12, 31),
        None,
        date(2026, 10, 1),
    ]


def test_newest_filing_with_each_is_told(season):
    made = episode(season, "W-1", LONG_AGO, revisions=2, filed=[1, 2])
    row = filing_of(made, TODAY)
    assert {name: filed.revision.number for name, filed in row.with_whom.items()} == {"Nine": 2}


def window(season, media, territory, day, episode=None):
    ReleaseWindow.objects.create(season=season, episode=episode, media=media, territory=territory, starts_on=day)


def test_film_is_due_before_its_first_showing_abroad(season):
    season.production.sheet_profile = "us-practice"
    season.production.filing_days = 365
    season.production.save()
    made = episode(season, "W-1", date(2026, 12, 1))
    window(season, "theatrical", "GB", date(2026, 12, 3))
    window(season, "SVOD", "World", date(2026, 12, 4))
    assert filing_of(made, TODAY).due.day == date(2027, 3, 1)
    window(season, "theatrical", "World", date(2026, 12, 20))
    assert filing_of(made, TODAY).due.day == date(2026, 12, 19)
    window(season, "theatrical", "GB", date(2026, 12, 3), episode=made)  # its own windows replace the season's
    assert filing_of(made, TODAY).due.day == date(2027, 3, 1)


def test_without_a_country_every_cinema_is_abroad(season):
    season.production.country = ""
    season.production.sheet_profile = "us-practice"
    season.production.save()
    made = episode(season, "W-1", date(2026, 12, 1))
    window(season, "theatrical", "GB", date(2026, 12, 3))
    assert filing_of(made, TODAY).due.day == date(2026, 12, 2)


@pytest.mark.parametrize("episodes", [2, 20])
def test_season_costs_five_queries(season, episodes, django_assert_num_queries):
    for number in range(episodes):
        episode(season, f"W-{number}", LONG_AGO, revisions=2, filed=[1])
    with django_assert_num_queries(5):
        rows = season_filings(season, TODAY)
        assert [row.with_whom["Nine"].revision.number for row in rows] == [1] * episodes


def test_revision_amends_the_last_one_by_the_same_profile(season):
    made = episode(season, "W-1", LONG_AGO, revisions=3)
    made.cue_sheets.filter(number=2).update(profile="us-practice")
    first, second, third = (revision_of(made, number) for number in (1, 2, 3))
    assert (revision_before(third), revision_before(second)) == (first, first)
    with pytest.raises(NotVisible, match="no revision before"):
        revision_before(first)
