"""Imports over the API: a file in, decisions, acceptance; each refusal as a problem with its status."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from supervision.interchange.cut_file import LARGEST
from supervision.models import AuditEntry, CutImport, Placement, Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import RecordingFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10
IMPORTS = "/api/v1/episodes/TIDE-101/imports/"
LIGHTS = ("HARBOUR LIGHTS v3 MSTR.wav", "AA", "10:00:10:00", "10:00:40:00")
TIDE = ("Slow Tide.wav", "AA", "10:02:00:00", "10:02:30:12")


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101", cut__start_frame=START, cut__running_frames=25 * 60 * 45, cut__number=1)


def as_role(episode, role):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


@pytest.fixture
def api(episode):
    return as_role(episode, Role.SUPERVISOR)


def send(api, data=None, name="reel.edl", **fields):
    file = SimpleUploadedFile(name, edit_list(LIGHTS, TIDE) if data is None else data)
    return api.post(IMPORTS, {"file": file, "rate": "25"} | fields, format="multipart")


def url(answer, deed=""):
    return f"/api/v1/imports/{answer.data['id']}/{deed}"


def test_a_file_becomes_a_draft_with_proposals_and_changes(api, episode):
    song = RecordingFactory(title="Harbour Lights", artist="The Lockkeepers")
    answer = send(api)
    assert answer.status_code == 201
    data = answer.data
    assert (data["state"], data["kind"], data["file_name"], data["version"]) == ("draft", "cut", "reel.edl", 1)
    assert (data["rate"], data["drop"], data["rate_from"], data["target"]) == ("25", False, "given", "current")
    first, second = data["proposals"]
    assert (first["clip"], first["title"], first["lines"], first["tracks"]) == (
        "HARBOUR LIGHTS v3 MSTR.wav",
        "Harbour Lights",
        [2],
        ["A1", "A2"],
    )
    assert (first["in_frame"], first["out_frame"], first["in_timecode"]) == (START + 250, START + 1000, "10:00:10:00")
    assert (first["standing"], first["decision"], first["song"]) == ("matched", "song", f"R{song.pk}")
    assert first["best"] == {
        "code": f"R{song.pk}",
        "title": "Harbour Lights",
        "artist": "The Lockkeepers",
        "score": 100,
        "reason": "same title",
    }
    assert (second["standing"], second["best"], second["decision"]) == ("unknown", None, "title")
    assert [(change["kind"], change["id"], change["wanted"]) for change in data["changes"]] == [
        ("new", "-1", True),
        ("new", "-2", True),
    ]
    assert api.get(url(answer)).data == data
    assert [each["id"] for each in api.get(IMPORTS).data] == [data["id"]]
    assert Usage.objects.count() == 0


def test_text_is_read_as_json_too(api):
    answer = api.post(IMPORTS, {"text": edit_list(TIDE).decode(), "name": "pasted.edl", "rate": "25"})
    assert (answer.status_code, answer.data["file_name"]) == (201, "pasted.edl")


def test_the_same_file_is_answered_as_it_stands(api):
    first = send(api)
    again = send(api)
    assert (again.status_code, again.data["id"]) == (200, first.data["id"])


def test_decisions_and_acceptance(api, episode):
    answer = send(api)
    edited = api.patch(
        url(answer),
        {
            "version": 1,
            "proposals": [
                {"key": 1, "decision": "skip"},
                {"key": 2, "decision": "new", "artist": "Ada", "in_frame": START, "out_frame": START + 10},
            ],
            "setup": {"target": "new", "label": "Fine cut", "running": 1000},
        },
    )
    assert edited.status_code == 200
    assert [each["decision"] for each in edited.data["proposals"]] == ["skip", "new"]
    assert (edited.data["version"], edited.data["target"], edited.data["running"]) == (2, "new", 1000)
    done = api.post(url(answer, "accept/"), {"version": 2, "token": edited.data["token"]})
    assert done.data == {"cut": 2, "added": 1, "placed": 0, "taken_out": 0, "songs": 1}
    placed = Placement.objects.get()
    assert (placed.usage.recording.artist, placed.in_frame, str(placed.cut)) == ("Ada", START, "Fine cut")
    now = api.get(url(answer)).data
    assert (now["state"], now["cut"], now["proposals"][1]["usage"]) == ("accepted", 2, placed.usage_id)
    assert api.post(url(answer, "accept/")).status_code == 409
    assert Usage.objects.count() == 1
    assert api.post(url(answer, "take-back/")).data["state"] == "draft"
    assert Usage.objects.filter(deleted_at=None).count() == 0


def test_a_song_alone_is_a_decision(api):
    song = RecordingFactory(title="Mill")
    answer = send(api)
    edited = api.patch(url(answer), {"proposals": [{"key": 2, "song": f"R{song.pk}"}]})
    assert (edited.data["proposals"][1]["decision"], edited.data["proposals"][1]["song"]) == ("song", f"R{song.pk}")


def test_another_reading_lays_the_rows_out_anew(api):
    answer = send(
        api,
        edit_list(("S1_BOOM.wav", "A1", "10:00:01:00", "10:00:05:00"), ("MX Tide", "A7", "10:00:10:00", "10:00:20:00")),
    )
    assert answer.json()["setup"]["tracks"] == ["A7"]
    edited = api.patch(url(answer), {"setup": {"tracks": ["A1", "A7"], "file_start": START - 25, "gap": 3}})
    assert [each["in_frame"] for each in edited.data["proposals"]] == [START + 50, START + 275]
    assert (edited.data["file_start"], edited.data["setup"]["gap"]) == (START - 25, 3)
    mixed = api.patch(url(answer), {"setup": {"gap": 0}, "proposals": [{"key": 1, "decision": "skip"}]})
    assert (mixed.status_code, mixed.data["code"], mixed.data["place"]) == (400, "reading-first", "proposals")


def test_columns_of_a_song_log(api):
    log = b"Cue,Song,In,Out,Extra\n1M1,Tide,10:00:10:00,10:00:20:00,Pier\n"
    answer = send(api, log, "log.csv")
    assert (answer.data["kind"], answer.data["rate_from"]) == ("song_log", "cut")
    columns = ["cue_number", "title", "in", "out", ""]
    edited = api.patch(url(answer), {"setup": {"columns": columns, "times": {"in": "timecode"}, "heading": 1}})
    assert edited.json()["setup"]["columns"] == columns
    assert edited.data["setup"]["times"] == {"in": "timecode"}
    bad = api.patch(url(answer), {"setup": {"columns": ["title", "title"]}})
    assert (bad.status_code, bad.data["code"], bad.data["place"]) == (400, "field-twice", "column B")


def test_a_recut_with_ticks(api, episode):
    song = RecordingFactory(title="Harbour Lights")
    usage = UsageFactory(episode=episode, cue_number="1M1", recording=song, placed=(START + 250, START + 900))
    answer = send(api)
    assert [
        (change["kind"], change["usages"], change["proposals"], change["longer"]) for change in answer.data["changes"]
    ] == [
        ("longer", [usage.pk], [1], 100),
        ("new", [], [2], 762),
    ]
    edited = api.patch(url(answer), {"changes": [{"id": f"{usage.pk}-1", "wanted": False}]})
    assert [change["wanted"] for change in edited.data["changes"]] == [False, True]
    done = api.post(url(answer, "accept/"))
    assert (done.data["cut"], done.data["placed"], done.data["added"]) == (2, 0, 1)
    assert (
        list(usage.placements.order_by("pk").values_list("in_frame", "out_frame")) == [(START + 250, START + 900)] * 2
    )


def test_a_changed_log_is_a_conflict_and_nothing_is_lost(api, episode):
    usage = UsageFactory(episode=episode, title="Slow Tide", placed=(START, START + 100))
    answer = send(api)
    usage.placements.update(out_frame=START + 110)
    refused = api.post(url(answer, "accept/"), {"token": answer.data["token"]})
    assert (refused.status_code, refused.data["code"], refused["Content-Type"]) == (
        409,
        "log-changed",
        "application/problem+json",
    )
    assert CutImport.objects.get().state == "draft"
    assert Usage.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"", "empty.edl"),
        (b"\x00\xff\x13\x37" * 9000, "noise.bin"),
        (b"PK\x03\x04" + b"\0" * 99, "bomb.xlsx"),
        (b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY a 'a'>]><xmeml>&a;</xmeml>", "bomb.xml"),
        (b"Title,In\n" + b"x" * 10_000_000 + b",0:10\n", "cell.csv"),
    ],
)
def test_bad_files_are_problems_and_touch_nothing(api, data, name):
    refused = send(api, data, name)
    assert (refused.status_code, refused["Content-Type"]) == (400, "application/problem+json")
    assert refused.data["detail"]
    assert (CutImport.objects.count(), AuditEntry.objects.count()) == (0, 0)


def test_a_file_beyond_the_limit_is_413(api):
    refused = send(api, b"x" * (LARGEST + 1))
    assert (refused.status_code, refused.data["code"]) == (413, "file-too-large")


def test_a_line_is_named_as_the_place(api):
    refused = send(api, b"Title,In\nTide," + b"x" * 40_000 + b"\n", "cell.csv")
    assert (refused.status_code, refused.data["place"]) == (400, "line 2, column 2")


@pytest.mark.parametrize("body", [{}, {"text": "", "name": "x"}, {"text": "x", "rate": "7", "name": "x.edl"}])
def test_a_request_that_cannot_be_is_a_problem(api, body):
    refused = api.post(IMPORTS, body)
    assert refused.status_code == 400
    assert refused["Content-Type"] == "application/problem+json"


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        ({"proposals": [{"key": 9, "decision": "skip"}]}, "proposal-unknown"),
        ({"proposals": [{"key": 1, "decision": "song"}]}, "song-missing"),
        ({"proposals": [{"key": 1, "in_frame": 3}]}, "point-missing"),
        ({"proposals": [{"key": 1, "in_frame": 3, "out_frame": 3}]}, "span-empty"),
        ({"proposals": [{"key": 1, "decision": "burn"}]}, "invalid"),
        ({"setup": {"rate": "7"}}, "rate-unsupported"),
        ({"setup": {"gap": -1}}, "invalid"),
    ],
)
def test_an_edit_that_cannot_be_is_a_problem(api, edit, code):
    refused = api.patch(url(send(api)), edit)
    assert (refused.status_code, refused.data["code"]) == (400, code)
    assert CutImport.objects.get().version == 1


def test_a_stale_edit_is_a_conflict(api):
    answer = send(api)
    api.patch(url(answer), {"version": 1, "proposals": [{"key": 1, "title": "Mill"}]})
    refused = api.patch(url(answer), {"version": 1, "proposals": [{"key": 1, "title": "Weir"}]})
    assert (refused.status_code, refused.data["code"]) == (409, "stale-edit")


def test_drop_and_restore(api):
    answer = send(api)
    assert api.post(url(answer, "drop/")).data["state"] == "dropped"
    assert api.patch(url(answer), {"proposals": [{"key": 1, "title": "Mill"}]}).status_code == 409
    assert api.post(url(answer, "restore/")).data["state"] == "draft"


@pytest.mark.parametrize("role", [Role.VIEWER, Role.FINANCE])
def test_others_read_and_do_not_write(api, episode, role):
    answer = send(api)
    other = as_role(episode, role)
    assert other.get(IMPORTS).status_code == 200
    assert other.get(url(answer)).status_code == 200
    assert send(other).status_code == 403
    assert other.patch(url(answer), {}).status_code == 403
    for deed in ("accept/", "drop/", "restore/", "take-back/"):
        assert other.post(url(answer, deed)).status_code == 403


def test_outsiders_see_nothing(api):
    answer = send(api)
    other = client_of(UserFactory())
    assert other.get(IMPORTS).status_code == 404
    for call in (other.get(url(answer)), other.patch(url(answer), {}), other.post(url(answer, "accept/"))):
        assert call.status_code == 404
