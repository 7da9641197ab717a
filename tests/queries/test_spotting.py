"""The log of an episode: order, totals, the same song elsewhere, who sees what, and what it costs the database."""

from fractions import Fraction

import pytest

from supervision.queries.spotting import cut_of, log_of, usage_for
from supervision.rules.errors import NotAllowed, NotVisible
from supervision.rules.money import Money
from supervision.rules.roles import Deed, Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.productions import CutFactory, EpisodeFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def episode(season):
    return EpisodeFactory(season=season)


@pytest.fixture
def user(season):
    return MembershipFactory(production=season.production).user


def at(seconds, length):
    """Frames of so many seconds into the programme, at 25."""
    return START + 25 * seconds, START + 25 * (seconds + length)


def usage(episode, seconds=None, length=30, **told):
    return UsageFactory(episode=episode, placed=None if seconds is None else at(seconds, length), **told)


def test_log_in_the_order_of_the_picture(episode, user):
    later, sooner = usage(episode, 90), usage(episode, 10)
    longer = usage(episode, 10, 60)
    assert [row.usage for row in log_of(episode, user).rows] == [sooner.pk, longer.pk, later.pk]


def test_log_row_tells_times_code_and_song(episode, user):
    recording = RecordingFactory(title="Evening Tide", version_title="(Live)", artist="The Lockkeepers")
    usage(episode, 134, 33, cue_number="2M14", recording=recording, vocal="vocal", scene="Boathouse")
    (row,) = log_of(episode, user).rows
    assert (row.in_timecode, row.out_timecode, row.seconds) == ("10:02:14:00", "10:02:47:00", 33)
    assert (row.code, row.name, row.artist, row.scene) == (
        "BV",
        "2M14 Evening Tide (Live)",
        "The Lockkeepers",
        "Boathouse",
    )
    assert row.song_code == f"R{recording.pk}"


def test_log_row_of_a_work_alone_and_of_a_working_title(episode, user):
    work = WorkFactory(title="Lowlands")
    usage(episode, 10, work=work)
    usage(episode, 60, title="Something slow")
    rows = log_of(episode, user).rows
    assert [(row.song, row.song_code) for row in rows] == [("Lowlands", f"W{work.pk}"), ("Something slow", "")]


def test_log_unplaced_by_cue_number_and_not_in_the_totals(episode, user):
    usage(episode, 10, 30)
    late, early = usage(episode, cue_number="2M14"), usage(episode, cue_number="2M9")
    log = log_of(episode, user)
    assert [row.usage for row in log.unplaced] == [early.pk, late.pk]
    assert (log.totals.cues, log.totals.unplaced, log.totals.music_seconds) == (1, 2, 30)


def test_log_leaves_removed_usages_out(episode, user):
    removed = usage(episode, 10)
    removed.deleted_at = "2026-11-25T10:00:00Z"
    removed.save()
    log = log_of(episode, user)
    assert (log.rows, log.totals.cues) == ((), 0)


def test_log_totals_of_the_programme(episode, user):
    usage(episode, 0, 90, origin="pre_existing")
    usage(episode, 60, 60, origin="commissioned")
    totals = log_of(episode, user).totals
    assert (totals.music_seconds, totals.licensed_seconds, totals.scored_seconds) == (150, 90, 60)
    assert (totals.covered_seconds, totals.running_seconds) == (120, 2700)
    assert totals.share == Fraction(150, 2700)


def test_log_findings_stand_in_their_rows(episode, user):
    usage(episode, 0, 30, title="Opening", origin="commissioned")
    usage(episode, 20, 30)
    found = [[finding.code for finding in row.findings] for row in log_of(episode, user).rows]
    assert found == [["overlap"], ["song-missing", "overlap"]]


def test_log_of_an_older_cut_is_read_only(episode, user):
    old = episode.current_cut
    usage(episode, 10)
    episode.current_cut = CutFactory(episode=episode)
    episode.save()
    now, then = log_of(episode, user), log_of(episode, user, old)
    assert (len(now.rows), len(now.unplaced), now.may_log) == (0, 1, True)
    assert (len(then.rows), len(then.unplaced), then.may_log) == (1, 0, False)


def test_log_of_a_locked_cut_keeps_its_times(season, user):
    log = log_of(EpisodeFactory(season=season, cut__locked=True), user)
    assert (log.may_log, log.may_time) == (True, False)


def test_log_without_a_cut(season, user):
    episode = EpisodeFactory(season=season)
    episode.current_cut = None
    episode.save()
    usage(episode)
    log = log_of(episode, user)
    assert (log.cut, log.rows, len(log.unplaced), log.may_time) == (None, (), 1, False)


def test_log_rate_unlike_the_season(season, episode, user):
    EpisodeFactory(season=season, cut__rate="24")
    assert [finding.code for finding in log_of(episode, user).findings] == ["rate-unlike"]


# --- the same song elsewhere -----------------------------------------------------------------------------------------


def test_log_tells_other_episodes_with_the_same_recording(season, episode, user):
    recording = RecordingFactory()
    usage(episode, 10, recording=recording)
    for number, position in (("105", 5), ("103", 3), ("103B", 4)):
        usage(EpisodeFactory(season=season, number=number, position=position), 10, recording=recording)
    usage(EpisodeFactory(season=season), 10, recording=RecordingFactory())
    assert log_of(episode, user).rows[0].elsewhere == ("103", "103B", "105")


def test_log_tells_other_episodes_with_the_same_work(season, episode, user):
    work = WorkFactory()
    usage(episode, 10, recording=RecordingFactory(works=[WorkFactory(), work]))
    usage(EpisodeFactory(season=season, number="103", position=3), 10, recording=RecordingFactory(works=[work]))
    usage(EpisodeFactory(season=season, number="104", position=4), 10, work=work)
    assert log_of(episode, user).rows[0].elsewhere == ("103", "104")


def test_log_keeps_other_productions_and_removed_usages_out_of_elsewhere(season, episode, user):
    work = WorkFactory()
    usage(episode, 10, work=work)
    usage(EpisodeFactory(number="999"), 10, work=work)
    removed = usage(EpisodeFactory(season=season, number="103"), 10, work=work)
    removed.deleted_at = "2026-11-25T10:00:00Z"
    removed.save()
    assert log_of(episode, user).rows[0].elsewhere == ()


# --- who sees what ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("role", "estimates", "may_log"),
    [
        (Role.SUPERVISOR, (Money(120_000, "GBP"),), True),
        (Role.COORDINATOR, (Money(120_000, "GBP"),), True),
        (Role.FINANCE, (Money(120_000, "GBP"),), False),
        (Role.COMPOSER, (), True),
        (Role.VIEWER, (), False),
    ],
)
def test_log_by_role(season, episode, role, estimates, may_log):
    person = MembershipFactory(production=season.production, role=role).user
    usage(episode, 10, sync_estimate_minor=120_000, estimate_currency="GBP")
    log = log_of(episode, person)
    assert (log.totals.sync_estimates, log.may_log) == (estimates, may_log)
    assert (log.rows[0].sync_estimate,) == (estimates or (None,))


def test_log_is_not_there_for_others(episode):
    with pytest.raises(NotVisible):
        log_of(episode, UserFactory())


def test_usage_for_members_by_deed(season, episode, user):
    found = usage(episode)
    viewer = MembershipFactory(production=season.production, role=Role.VIEWER).user
    assert usage_for(user, found.pk, Deed.LOG) == found
    with pytest.raises(NotAllowed):
        usage_for(viewer, found.pk, Deed.LOG)
    with pytest.raises(NotVisible):
        usage_for(UserFactory(), found.pk)
    with pytest.raises(NotVisible):
        usage_for(user, found.pk, removed=True)


def test_log_row_of_a_usage_by_id(episode, user):
    found = usage(episode, 10)
    log = log_of(episode, user)
    assert log.row(found.pk).usage == found.pk
    with pytest.raises(NotVisible):
        log.row(0)


def test_cut_of_number(episode):
    assert cut_of(episode, episode.current_cut.number) == episode.current_cut
    with pytest.raises(NotVisible):
        cut_of(episode, 77)


@pytest.mark.parametrize("count", [10, 200])
def test_log_costs_the_same_queries(season, episode, user, count, django_assert_num_queries):
    other = EpisodeFactory(season=season, number="103")
    recordings = [RecordingFactory(works=[WorkFactory()]) for _ in range(5)]
    for number in range(count):
        usage(episode, 10 * number, recording=recordings[number % 5], cue_number=f"1M{number}")
        usage(other, 10 * number, recording=recordings[number % 5], cue_number=f"1M{number}")
    with django_assert_num_queries(6):
        log = log_of(episode, user)
    assert {row.elsewhere for row in log.rows} == {("103",)}
    assert len(log.rows) == count
