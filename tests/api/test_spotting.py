"""The log over the API: usages read, written, filtered, refused; totals; who sees fees."""

import pytest

from supervision.models import Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10
USAGES = "/api/v1/episodes/TIDE-101/usages/"


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101")


@pytest.fixture
def usage(episode):
    return UsageFactory(
        episode=episode,
        cue_number="1M1",
        title="Something slow",
        placed=(START, START + 825),
        sync_estimate_minor=120_000,
        estimate_currency="EUR",
    )


def as_role(episode, role):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


@pytest.fixture
def api(episode):
    return as_role(episode, Role.SUPERVISOR)


def one(usage):
    return f"/api/v1/usages/{usage.pk}/"


# --- reading ---------------------------------------------------------------------------------------------------------


def test_usage_tells_all_there_is(api, usage):
    assert api.get(one(usage)).json() == {
        "id": usage.pk,
        "version": 1,
        "cue_number": "1M1",
        "title": "Something slow",
        "song": "Something slow",
        "artist": "",
        "recording": None,
        "work": None,
        "function": "background",
        "theme_position": "",
        "seen": False,
        "vocal": "instrumental",
        "origin": "pre_existing",
        "part": "",
        "code": "BI",
        "scene": "",
        "notes": "",
        "in_frame": START,
        "out_frame": START + 825,
        "in_timecode": "10:00:00:00",
        "out_timecode": "10:00:33:00",
        "seconds": 33,
        "sync_estimate": {"minor": 120_000, "currency": "EUR"},
        "master_estimate": None,
        "elsewhere": [],
        "findings": [
            {
                "level": "warning",
                "code": "song-missing",
                "place": "1M1 Something slow",
                "text": "No song is chosen, so nobody can be asked.",
                "mend": "Choose a recording or a work.",
            }
        ],
    }


def test_usages_in_the_order_of_the_picture_and_paged(api, episode):
    later = UsageFactory(episode=episode, placed=(START + 50, START + 75))
    unplaced = UsageFactory(episode=episode)
    sooner = UsageFactory(episode=episode, placed=(START, START + 25))
    answer = api.get(USAGES).json()
    assert [found["id"] for found in answer["results"]] == [sooner.pk, later.pk, unplaced.pk]
    assert (answer["count"], answer["next"]) == (3, None)
    assert answer["results"][2]["in_frame"] is None


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        ({"function": "on_screen"}, ["1M2"]),
        ({"origin": "commissioned"}, ["1M3"]),
        ({"seen": "true"}, ["1M2"]),
        ({"vocal": "vocal"}, ["1M1"]),
        ({"placed": "false"}, ["1M3"]),
        ({"placed": "true"}, ["1M1", "1M2"]),
        ({"q": "tide"}, ["1M1"]),
        ({"q": "boathouse 1m2"}, ["1M2"]),
        ({"q": "nothing"}, []),
    ],
)
def test_usages_are_filtered(api, episode, query, numbers):
    recording = RecordingFactory(title="Evening Tide", search_key="evening tide | the lockkeepers")
    UsageFactory(episode=episode, cue_number="1M1", recording=recording, vocal="vocal", placed=(START, START + 25))
    UsageFactory(
        episode=episode,
        cue_number="1M2",
        function="on_screen",
        seen=True,
        scene="INT. BOATHOUSE",
        placed=(START + 25, START + 50),
    )
    UsageFactory(episode=episode, cue_number="1M3", origin="commissioned")
    answer = api.get(USAGES, query).json()
    assert [found["cue_number"] for found in answer["results"]] == numbers


def test_usages_by_song(api, episode):
    recording, work = RecordingFactory(), WorkFactory()
    UsageFactory(episode=episode, cue_number="1M1", recording=recording)
    UsageFactory(episode=episode, cue_number="1M2", work=work)
    assert [found["cue_number"] for found in api.get(USAGES, {"work": work.pk}).json()["results"]] == ["1M2"]
    assert [found["cue_number"] for found in api.get(USAGES, {"recording": recording.pk}).json()["results"]] == ["1M1"]


@pytest.mark.parametrize("query", [{"function": "loud"}, {"cut": "last"}])
def test_usages_refuse_a_filter_that_means_nothing(api, episode, query):
    answer = api.get(USAGES, query)
    assert (answer.status_code, list(answer.json()["fields"])) == (400, list(query))


def test_usages_of_an_older_cut(api, episode, usage):
    old = episode.current_cut
    episode.current_cut = CutFactory(episode=episode)
    episode.save()
    assert api.get(USAGES).json()["results"][0]["in_frame"] is None
    assert api.get(USAGES, {"cut": old.number}).json()["results"][0]["in_frame"] == START
    assert api.get(USAGES, {"cut": 77}).status_code == 404


def test_log_tells_totals(api, episode, usage):
    UsageFactory(episode=episode, origin="commissioned", placed=(START + 400, START + 900))
    answer = api.get("/api/v1/episodes/TIDE-101/log/").json()
    assert (answer["cut"], answer["rate"], answer["running_frames"]) == (episode.current_cut.number, "25", 67500)
    assert answer["totals"] == {
        "cues": 2,
        "unplaced": 0,
        "music_seconds": 53,
        "licensed_seconds": 33,
        "scored_seconds": 20,
        "covered_seconds": 36,
        "running_seconds": 2700,
        "share": "53/2700",
        "sync_estimates": [{"minor": 120_000, "currency": "EUR"}],
        "master_estimates": [],
    }


def test_log_without_a_cut(api, episode):
    episode.current_cut = None
    episode.save()
    answer = api.get("/api/v1/episodes/TIDE-101/log/").json()
    assert (answer["cut"], answer["totals"]["share"]) == (None, None)


# --- writing ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "place",
    [
        {"in_frame": 903_350, "out_frame": 904_175},
        {"in_timecode": "10:02:14:00", "out_timecode": "10:02:47:00"},
        {"in_timecode": "10021400", "out_timecode": "+33s"},
        {"in_frame": 903_350, "out_timecode": "+0:33"},
    ],
)
def test_usage_is_logged_by_frames_or_timecode(api, episode, place):
    work = WorkFactory()
    answer = api.post(
        USAGES,
        {
            "cue_number": "2m14",
            "work": work.pk,
            "function": "theme",
            "theme_position": "closing",
            "vocal": "vocal",
            "master_estimate": {"minor": 5_000, "currency": "GBP"},
            **place,
        },
    )
    made = answer.json()
    assert answer.status_code == 201
    assert (made["cue_number"], made["code"], made["work"], made["seconds"]) == ("2M14", "ET", work.pk, 33)
    assert (made["in_frame"], made["out_frame"]) == (903_350, 904_175)
    assert made["master_estimate"] == {"minor": 5_000, "currency": "GBP"}
    assert Usage.objects.get().clearances.count() == 2


def test_usage_is_changed_where_it_is_told(api, usage):
    answer = api.patch(one(usage), {"version": 1, "scene": "Quay", "out_timecode": "+1:00"})
    assert answer.status_code == 200
    changed = answer.json()
    assert (changed["version"], changed["scene"], changed["title"]) == (2, "Quay", "Something slow")
    assert (changed["in_frame"], changed["out_frame"]) == (START, START + 1500)


def test_usage_leaves_the_cut_when_both_points_are_blank(api, usage):
    assert api.patch(one(usage), {"in_frame": None, "out_frame": None}).json()["in_frame"] is None
    assert usage.placements.count() == 0


def test_usage_takes_a_recording_in_place_of_its_work(api, episode):
    usage, recording = UsageFactory(episode=episode, work=WorkFactory()), RecordingFactory()
    changed = api.patch(one(usage), {"recording": recording.pk}).json()
    assert (changed["recording"], changed["work"]) == (recording.pk, None)


def test_usage_estimate_keeps_the_other_side(api, usage):
    changed = api.patch(one(usage), {"master_estimate": {"minor": 70_000, "currency": "EUR"}}).json()
    assert changed["sync_estimate"] == {"minor": 120_000, "currency": "EUR"}
    assert changed["master_estimate"] == {"minor": 70_000, "currency": "EUR"}
    assert api.patch(one(usage), {"sync_estimate": None}).json()["sync_estimate"] is None


def test_usage_stale_is_a_conflict(api, usage):
    api.patch(one(usage), {"version": 1, "scene": "Quay"})
    answer = api.patch(one(usage), {"version": 1, "scene": "Weir"})
    assert (answer.status_code, answer.json()["code"]) == (409, "stale-edit")
    assert Usage.objects.get().scene == "Quay"


@pytest.mark.parametrize(
    ("told", "status", "code", "place"),
    [
        ({"in_timecode": "10:02:14:25", "out_timecode": "+33s"}, 400, "timecode-field", "in_timecode"),
        ({"in_frame": 10, "out_frame": 10}, 400, "span-empty", "out_frame"),
        ({"in_frame": 10, "out_frame": 9}, 400, "span-negative", "out_frame"),
        ({"in_frame": 10}, 400, "point-missing", "out_frame"),
        ({"out_timecode": "+33s"}, 400, "point-missing", "in_frame"),
        ({"cue_number": "1M1"}, 400, "cue-number-taken", "cue_number"),
        ({"function": "on_screen"}, 400, "row-refused", "seen"),
        (
            {
                "sync_estimate": {"minor": 1, "currency": "USD"},
                "master_estimate": {"minor": 1, "currency": "EUR"},
            },
            400,
            "currencies-differ",
            "master_estimate",
        ),
    ],
)
def test_usage_refused_names_place_and_code(api, usage, told, status, code, place):
    answer = api.post(USAGES, told)
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem["place"]) == (status, code, place)
    assert answer["Content-Type"] == "application/problem+json"
    assert Usage.objects.count() == 1


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"function": "loud"}, "function"),
        ({"recording": 999}, "recording"),
        ({"in_frame": -1}, "in_frame"),
        ({"sync_estimate": {"minor": -1, "currency": "USD"}}, "sync_estimate"),
        ({"sync_estimate": {"minor": 1, "currency": "XXX"}}, "sync_estimate"),
    ],
)
def test_usage_refused_names_the_field(api, episode, told, field):
    answer = api.post(USAGES, told)
    assert (answer.status_code, list(answer.json()["fields"])) == (400, [field])


def test_usage_of_both_a_recording_and_a_work_is_refused(api, episode):
    answer = api.post(USAGES, {"recording": RecordingFactory().pk, "work": WorkFactory().pk})
    assert answer.json()["fields"] == {"work": ["A usage uses a recording or a work, not both."]}


def test_usage_without_a_cut_has_no_place(api, episode):
    episode.current_cut = None
    episode.save()
    answer = api.post(USAGES, {"in_frame": 0, "out_frame": 25})
    assert (answer.status_code, answer.json()["code"]) == (400, "cut-missing")


def test_usage_in_a_locked_cut_keeps_its_times(api, episode, usage):
    episode.current_cut.locked = True
    episode.current_cut.save()
    answer = api.patch(one(usage), {"in_frame": START + 1})
    assert (answer.status_code, answer.json()["mend"]) == (409, "Unlock the cut, or add a new one.")
    assert api.delete(one(usage)).status_code == 409


def test_usage_is_removed_restored_and_duplicated(api, usage):
    assert api.delete(one(usage)).status_code == 204
    assert api.get(one(usage)).status_code == 404
    assert api.post(f"{one(usage)}restore/").json()["id"] == usage.pk
    answer = api.post(f"{one(usage)}duplicate/")
    assert (answer.status_code, answer.json()["cue_number"], answer.json()["in_frame"]) == (201, "1M2", START + 825)


# --- who may ---------------------------------------------------------------------------------------------------------


def test_usage_of_a_composer_has_no_fees(episode, usage):
    api = as_role(episode, Role.COMPOSER)
    assert "sync_estimate" not in api.get(one(usage)).json()
    assert "sync_estimate" not in api.get(USAGES).json()["results"][0]
    assert api.get("/api/v1/episodes/TIDE-101/log/").json()["totals"]["sync_estimates"] == []
    assert api.patch(one(usage), {"scene": "Quay"}).status_code == 200
    assert api.patch(one(usage), {"sync_estimate": None}).status_code == 403
    usage.refresh_from_db()
    assert usage.sync_estimate_minor == 120_000


@pytest.mark.parametrize("role", [Role.FINANCE, Role.VIEWER])
def test_log_is_read_only_for(episode, usage, role):
    api = as_role(episode, role)
    assert api.get(one(usage)).status_code == 200
    assert api.post(USAGES, {}).status_code == 403
    assert api.patch(one(usage), {}).status_code == 403
    assert api.delete(one(usage)).status_code == 403


def test_log_is_not_there_for_others(usage):
    api = client_of(UserFactory())
    paths = (one(usage), USAGES, "/api/v1/episodes/TIDE-101/log/")
    assert [api.get(path).status_code for path in paths] == [404, 404, 404]
    assert api.patch(one(usage), {}).status_code == 404


@pytest.mark.parametrize("count", [10, 40])
def test_usages_cost_the_same_queries(api, episode, count, django_assert_num_queries):
    recording = RecordingFactory(works=[WorkFactory()])
    UsageFactory(episode=EpisodeFactory(season=episode.season), recording=recording)
    for number in range(count):
        UsageFactory(episode=episode, recording=recording, cue_number=f"1M{number}", placed=(START, START + 25))
    # Episode, role; six of the log; the filter.
    with django_assert_num_queries(9):
        assert len(api.get(USAGES).json()["results"]) == count
