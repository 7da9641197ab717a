"""The season board: songs grouped, weakest stages first, filters, totals, and queries that do not grow."""

from datetime import date

import pytest

from supervision.models import Clearance, Usage
from supervision.queries.board import BoardFilter, board
from supervision.rules.clearance import Side, Stage
from supervision.rules.money import Money
from supervision.rules.usage import Origin
from tests.factories.catalogue import RecordingFactory, RecordingShareFactory, WorkFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.season import season_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def shown(season, *, money=True, sort="stage", **chosen):
    return board(season, BoardFilter(chosen, season=season).qs, today=TODAY, sort=sort, money=money)


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    season = season_of(usages)
    with django_assert_num_queries(13):
        shown(season)


def test_song_used_in_three_episodes_is_one_row():
    season = SeasonFactory()
    recording = RecordingFactory(title="Harbour")
    for number in (101, 102, 103):
        UsageFactory(episode=EpisodeFactory(season=season, number=str(number)), recording=recording)
    rows = shown(season).rows
    assert [(row.title, [use.episode_number for use in row.uses]) for row in rows] == [
        ("Harbour", ["101", "102", "103"])
    ]


def test_row_shows_weakest_stage_of_each_side():
    season = season_of(1)
    [row] = shown(season).rows
    assert (row.sync.stage, row.master.stage) == (Stage.DRAFT, Stage.LICENSED)
    assert [line.stage for line in row.sync.holders] == [Stage.DRAFT, Stage.QUOTED, Stage.APPROVED]


def works_named(usage):
    return sorted(holder.work for holder in shown(usage.episode.season).rows[0].sync.holders)


def test_works_are_named_where_a_side_speaks_of_several():
    usage = UsageFactory(recording=RecordingFactory())
    low, high = WorkFactory(title="Low Water"), WorkFactory(title="High Water")
    ClearanceFactory(usage=usage, side=Side.SYNC, work=low)
    assert works_named(usage) == [""]
    ClearanceFactory(usage=usage, side=Side.SYNC, work=high)
    assert works_named(usage) == ["High Water", "Low Water"]


def test_retired_clearances_do_not_count():
    season = season_of(1)
    Clearance.objects.filter(stage=Stage.DRAFT).update(retired_at="2026-11-25T12:00Z")
    [row] = shown(season).rows
    assert row.sync.stage is Stage.QUOTED


def test_totals_add_what_each_stage_includes():
    # per usage: estimated 1,000 + 2,000; quoted 100 + 200 + 300; approved 200 + 300; licensed 300
    total = shown(season_of(7)).table.total.total
    assert [cell.converted for cell in (total.estimated, total.quoted, total.approved, total.licensed)] == [
        Money(7 * 300_000, "USD"),
        Money(7 * 60_000, "USD"),
        Money(7 * 50_000, "USD"),
        Money(7 * 30_000, "USD"),
    ]


def test_totals_cover_every_page_of_the_filter():
    found = shown(season_of(60))
    assert (len(found.rows), found.page.paginator.count) == (50, 60)
    assert found.table.total.total.licensed.converted == Money(60 * 30_000, "USD")


def test_totals_follow_the_filter():
    season = season_of(4)
    episode = season.episodes.first()
    found = shown(season, episode=episode.pk)
    assert (found.usage_count, found.table.total.total.licensed.converted) == (2, Money(60_000, "USD"))


def test_who_may_not_see_money_gets_none():
    found = shown(season_of(1), money=False)
    assert (found.table, [row.fees for row in found.rows]) == (None, [None])


def test_score_is_left_out_unless_asked_for():
    season = season_of(1)
    Usage.objects.update(origin=Origin.COMMISSIONED)
    assert (len(shown(season).rows), len(shown(season, score="true").rows)) == (0, 1)


def test_filter_by_stage_side_and_holder_speaks_of_one_permission():
    season = season_of(2)
    licensed = Clearance.objects.filter(stage=Stage.LICENSED).first()
    fits = {"stage": "licensed", "side": Side.MASTER, "holder": licensed.holder_id}
    assert shown(season, **fits).usage_count == 2
    assert shown(season, **fits | {"side": Side.SYNC}).usage_count == 0


@pytest.mark.parametrize("filter_", ["stage", "side", "holder", "episode", "blocks"])
def test_filter_by_what_is_no_value_leaves_all(filter_):
    """An old link, or a hand that changed the address: the page answers, and the form says what is wrong."""
    season = season_of(4)
    assert len(shown(season, **{filter_: "zzz"}).rows) == len(shown(season).rows)


def test_filter_of_what_blocks_air():
    season = season_of(2)
    free = Usage.objects.first()
    free.clearances.exclude(stage=Stage.LICENSED).update(retired_at="2026-11-25T12:00Z")
    assert {row.title for row in shown(season, blocks="true").rows} == {Usage.objects.last().recording.title}
    assert {row.title for row in shown(season, blocks="false").rows} == {free.recording.title}


def test_usage_without_song_blocks_air_and_stands_alone():
    season = SeasonFactory()
    usages = [UsageFactory(episode=EpisodeFactory(season=season), title="Slow waltz") for _ in range(2)]
    rows = shown(season, blocks="true").rows
    assert [(row.title, row.sync.stage) for row in rows] == [("Slow waltz", None)] * len(usages)


def test_filter_by_song_ignores_case_and_accents():
    season = SeasonFactory()
    recording = RecordingFactory(title="Řezeda", search_key="rezeda")
    UsageFactory(episode=EpisodeFactory(season=season), recording=recording)
    assert [row.title for row in shown(season, q="REZ").rows] == ["Řezeda"]


def test_days_left_count_to_the_first_broadcast():
    season = SeasonFactory()
    recording = RecordingFactory()
    for day in (date(2026, 12, 5), date(2026, 12, 1)):
        UsageFactory(episode=EpisodeFactory(season=season, air_date=day), recording=recording)
    [row] = shown(season).rows
    assert (row.first_air, row.days_left, row.days_left_text) == (date(2026, 12, 1), 6, "in 6 days")


def test_sort_by_weakest_stage_puts_denied_first():
    season = SeasonFactory()
    episode = EpisodeFactory(season=season)
    for title, stage in (("A", Stage.REQUESTED), ("B", Stage.DENIED)):
        recording = RecordingFactory(title=title)
        RecordingShareFactory(recording=recording)
        usage = UsageFactory(episode=episode, recording=recording)
        ClearanceFactory(usage=usage, side=Side.MASTER, work=None, recording=recording, stage=stage)
    assert [row.title for row in shown(season).rows] == ["B", "A"]
    assert [row.title for row in shown(season, sort="title").rows] == ["A", "B"]
