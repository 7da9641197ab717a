"""Reading the cut as pages: upload, columns and tracks, songs, changes, acceptance; each status they answer."""

import io
import re
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from supervision.interchange.cut_file import LARGEST
from supervision.models import AuditEntry, CutImport, Usage
from supervision.queries.imports import open_import
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory
from tests.web.spoken import bracketed

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10
LIGHTS = ("HARBOUR LIGHTS v3 MSTR.wav", "AA", "10:00:10:00", "10:00:40:00")
TIDE = ("Slow Tide.wav", "AA", "10:02:00:00", "10:02:30:12")
LOG = b"Cue,Song,Artist,In,Out,Extra\n1M1,Tide,Ada,10:00:10:00,10:00:40:00,x\n"


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101", cut__start_frame=START, cut__running_frames=25 * 60 * 45, cut__number=1)


@pytest.fixture
def desk(client, episode):
    """A client of the production's supervisor."""
    client.force_login(MembershipFactory(production=episode.season.production).user)
    return client


def as_role(client, episode, role):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def upload(client, data=None, name="reel.edl", **fields):
    data = edit_list(LIGHTS, TIDE) if data is None else data
    file = SimpleUploadedFile(name, data) if data else ""
    return client.post("/episodes/WEIR-101/imports/", {"file": file, "rate": "25", **fields})


def draft_of(client, *args, **fields):
    upload(client, *args, **fields)
    return CutImport.objects.latest("pk")


def sent_rows(answer, **changes):
    """What the form of the songs would send, as a browser does."""
    rows = answer.context["rows"]
    data = {"version": answer.context["draft"].version, "row": [row.proposal.key for row in rows], "do": "keep"}
    for row in rows:
        data |= {f"r{row.proposal.key}-{name}": value for name, value in row.values.items()}
    return data | changes


def errors(answer):
    """The sentences of the page's summary of errors."""
    shown = re.search(r'class="form-errors" role="alert">(.*?)</div>', answer.content.decode(), re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", shown[1]).split()) if shown else ""


# --- the list and the upload -----------------------------------------------------------------------------------------


def test_an_uploaded_file_leads_to_its_songs(desk):
    answer = upload(desk)
    draft = CutImport.objects.get()
    assert (answer.status_code, answer.url) == (302, f"/imports/{draft.pk}/")
    listed = desk.get("/episodes/WEIR-101/imports/")
    assert [each.file_name for each in listed.context["imports"]] == ["reel.edl"]
    assert "draft" in listed.content.decode()


def test_pasted_text_is_read_as_a_file(desk):
    answer = upload(desk, b"", text=edit_list(LIGHTS).decode())
    assert answer.status_code == 302
    assert CutImport.objects.get().file_name == "pasted text"


def test_pasted_cells_are_a_song_log_and_lead_to_its_columns(desk):
    answer = upload(desk, b"", text="Cue\tSong\tIn\tOut\n1M1\tTide\t10:00:10:00\t10:00:40:00\n")
    draft = CutImport.objects.get()
    assert (draft.kind, answer.url) == ("song_log", f"/imports/{draft.pk}/reading/")


def test_the_same_file_leads_to_its_open_draft(desk):
    first = draft_of(desk)
    answer = upload(desk)
    assert answer.url == f"/imports/{first.pk}/"
    assert "is open as a draft already" in desk.get(answer.url).content.decode()


def test_neither_file_nor_text(desk):
    answer = upload(desk, b"")
    assert (answer.status_code, errors(answer)) == (
        422,
        "Not read: please mend this File : Choose a file, or paste its text below.",
    )


def test_file_and_text_at_once(desk):
    answer = upload(desk, text="something")
    assert answer.status_code == 422
    assert "Give one of them." in errors(answer)
    assert "something" in answer.content.decode()


def bomb():
    """A workbook whose sheet unpacks to a gigabyte."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("[Content_Types].xml", "<Types/>")
        with package.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            for _ in range(200):
                sheet.write(b"0" * 2**20)
    return file.getvalue()


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"\x00\xff\x13\x37" * 9000, "noise.edl"),
        (b"\x00\xff\x13\x37" * 9000, "noise"),
        ("001  AX  AA  C  10:00".encode("utf-16"), "wide.edl"),
        (b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY a 'a'><!ENTITY b '&a;&a;'>]><xmeml>&b;</xmeml>", "bomb.xml"),
        (b"Title,In\n" + b"x" * 10_000_000 + b",0:10\n", "cell.csv"),
        (b'{"OTIO_SCHEMA":' + b"[" * 200_000, "deep.otio"),
    ],
)
def test_bad_files_are_told_in_words_and_touch_nothing(desk, data, name):
    answer = upload(desk, data, name)
    assert answer.status_code == 422
    assert errors(answer).startswith("Not read: please mend this ")
    assert "Traceback" not in answer.content.decode()
    assert "does not keep a chosen file" in answer.content.decode()
    assert (CutImport.objects.count(), AuditEntry.objects.count()) == (0, 0)


def test_a_zip_bomb_is_told_in_words(desk):
    answer = upload(desk, bomb(), "bomb.xlsx")
    assert (answer.status_code, CutImport.objects.count()) == (422, 0)


def test_a_file_beyond_the_limit_is_413(desk):
    answer = upload(desk, b"x" * (LARGEST + 1), "huge.edl")
    assert answer.status_code == 413
    assert "at most 20 MB are read" in errors(answer)


def test_a_pasted_text_beyond_what_a_form_takes_is_refused_in_words(desk):
    answer = upload(desk, b"", text="x" * 3_000_000)
    assert answer.status_code in {400, 413, 422}
    assert CutImport.objects.count() == 0


@pytest.mark.parametrize("role", [Role.VIEWER, Role.FINANCE])
def test_others_read_and_do_not_write(desk, client, episode, role):
    draft = draft_of(desk)
    as_role(client, episode, role)
    for url in (
        "/episodes/WEIR-101/imports/",
        *(reverse(name, args=[draft.pk]) for name in ("import", "import-reading", "import-changes")),
    ):
        answer = client.get(url)
        assert answer.status_code == 200
        assert b'name="do"' not in answer.content
        assert b"Read it</button>" not in answer.content
    assert upload(client, b"TITLE: X\n").status_code == 403
    for name in ("import", "import-reading", "import-changes", "import-drop", "import-restore", "import-take-back"):
        assert client.post(reverse(name, args=[draft.pk]), {"do": "accept"}).status_code == 403
    assert Usage.objects.count() == 0


def test_outsiders_see_nothing(desk, client):
    draft = draft_of(desk)
    client.force_login(UserFactory())
    for url in (
        "/episodes/WEIR-101/imports/",
        *(reverse(name, args=[draft.pk]) for name in ("import", "import-reading", "import-changes")),
    ):
        assert client.get(url).status_code == 404


# --- how it is read --------------------------------------------------------------------------------------------------


def test_tracks_are_chosen_and_guesses_told(desk):
    data = edit_list(
        ("S1_BOOM.wav", "A1", "10:00:01:00", "10:00:05:00"), ("MX Tide.wav", "A7", "10:00:10:00", "10:00:20:00")
    )
    draft = draft_of(desk, data)
    url = reverse("import-reading", args=[draft.pk])
    shown = desk.get(url)
    assert "not music: 1 of 1 names speaks of dialogue or effects" in shown.content.decode()
    assert shown.context["form"].chosen_tracks == ["A7"]
    answer = desk.post(url, {"version": 1, "tracks": ["A1", "A7"], "rate": "25", "gap": "15", "file_start": ""})
    assert (answer.status_code, answer.url) == (302, f"/imports/{draft.pk}/")
    assert len(open_import(CutImport.objects.get()).proposals) == 2


def test_the_start_of_the_programme_is_set(desk):
    draft = draft_of(desk)
    url = reverse("import-reading", args=[draft.pk])
    desk.post(
        url,
        {"version": 1, "tracks": ["A1", "A2"], "rate": "25", "gap": "0", "file_start": "10:00:10:00", "do": "again"},
    )
    opened = open_import(CutImport.objects.get())
    assert (opened.spans[1].start, opened.setup.gap) == (START, 0)
    assert opened.start[1] == "as it was set"


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"tracks": []}, "Choose a track at least."),
        ({"file_start": "10:99:00:00"}, "minute 99"),
        ({"gap": "-1"}, "greater than or equal to 0"),
        ({"rate": "7"}, "Select a valid choice"),
        ({"rate": "24", "version": 7}, "Somebody else changed"),
    ],
)
def test_a_reading_that_cannot_be_is_told_beside_its_field(desk, fields, told):
    draft = draft_of(desk)
    sent = {"version": 1, "tracks": ["A1"], "rate": "25", "gap": "15", "file_start": ""} | fields
    answer = desk.post(reverse("import-reading", args=[draft.pk]), sent)
    assert answer.status_code == (409 if "version" in fields else 422)
    assert told in answer.content.decode()
    assert CutImport.objects.get().version == 1


def test_columns_are_set_and_another_heading_reads_anew(desk):
    draft = draft_of(desk, LOG, "log.csv")
    url = reverse("import-reading", args=[draft.pk])
    shown = desk.get(url)
    assert "The head says “Song”." in shown.content.decode()
    form = shown.context["form"]
    sent = {name: form[name].value() or "" for name in form.fields} | {"column-5": "scene"}
    assert desk.post(url, sent).status_code == 302
    opened = open_import(CutImport.objects.get())
    assert opened.proposals[0].facts.scene == "x"
    sent = sent | {"heading": "0", "version": CutImport.objects.get().version}
    assert desk.post(url, sent).status_code == 302
    assert open_import(CutImport.objects.get()).table.heading == 0


def test_columns_given_twice_are_refused(desk):
    draft = draft_of(desk, LOG, "log.csv")
    url = reverse("import-reading", args=[draft.pk])
    form = desk.get(url).context["form"]
    sent = {name: form[name].value() or "" for name in form.fields} | {"column-5": "title"}
    answer = desk.post(url, sent)
    assert answer.status_code == 422
    assert "is given by the columns B and F" in answer.content.decode()


# --- songs -----------------------------------------------------------------------------------------------------------


def test_songs_show_matches_and_what_is_unknown(desk):
    RecordingFactory(title="Harbour Lights")
    shown = desk.get(reverse("import", args=[draft_of(desk).pk]))
    text = shown.content.decode()
    assert "100: same title" in text
    assert "in the file: HARBOUR LIGHTS v3 MSTR.wav" in text
    assert "Unknown" in text
    assert shown.context["counts"] == {"rows": 2, "kept": 2, "open": 1, "skipped": 0}
    assert len(shown.context["timeline"].clips) == 4  # two clips on two tracks


def test_decisions_are_kept_over_a_reload(desk):
    draft = draft_of(desk)
    url = reverse("import", args=[draft.pk])
    changes = {"r1-choice": "new", "r1-artist": "Ada", "r2-in": "10:03:00:00", "r2-out": "+10s", "r2-cue_number": "2m4"}
    answer = desk.post(url, sent_rows(desk.get(url), **changes))
    assert (answer.status_code, answer.url) == (302, url)
    first, second = desk.get(url).context["rows"]
    assert (first.values["choice"], first.values["artist"], first.standing) == ("new", "Ada", "put right by hand")
    assert (second.values["in"], second.values["out"], second.values["cue_number"]) == (
        "10:03:00:00",
        "10:03:10:00",
        "2M4",
    )
    assert Usage.objects.count() == 0


def test_another_song_of_the_catalogue_is_chosen_by_its_text(desk):
    song = RecordingFactory(title="Mill")
    url = reverse("import", args=[draft_of(desk).pk])
    answer = desk.post(url, sent_rows(desk.get(url), **{"r2-song": f"Mill · R{song.pk}", "do": "next"}))
    assert answer.url == reverse("import-changes", args=[CutImport.objects.get().pk])
    assert open_import(CutImport.objects.get()).proposals[1].song == f"R{song.pk}"
    assert desk.get(url).context["rows"][1].standing == "as you chose"


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"r1-in": "99:00:00:00"}, "Line 2 : “99:00:00:00” has hour 99"),
        ({"r1-out": ""}, "Line 2 : The in point stands alone."),
        ({"r1-out": "10:00:09:00"}, "Line 2 : The music ends before it starts."),
        ({"r1-song": "no such song"}, "names no song of the catalogue"),
        ({"r1-choice": "song:R999"}, "The catalogue has no recording R999"),
        ({"r1-choice": "new", "r1-title": ""}, "A new song has a title."),
        ({"r1-choice": "burn"}, "There is no such choice."),
        ({"r1-title": "Mill", "version": 7}, "Somebody else changed"),
    ],
)
def test_a_row_that_cannot_be_is_told_and_nothing_typed_is_lost(desk, changes, told):
    url = reverse("import", args=[draft_of(desk).pk])
    answer = desk.post(url, sent_rows(desk.get(url), **{"r2-title": "Typed here"} | changes))
    assert answer.status_code == (409 if "version" in changes else 422)
    assert told in errors(answer)
    assert "Typed here" in answer.content.decode()
    assert CutImport.objects.get().version == 1


def test_rows_are_listed_by_what_is_left_to_do(desk):
    RecordingFactory(title="Harbour Lights")
    url = reverse("import", args=[draft_of(desk).pk])
    assert [row.proposal.key for row in desk.get(url, {"show": "open"}).context["rows"]] == [2]
    assert [row.proposal.key for row in desk.get(url, {"show": "taken"}).context["rows"]] == [1]
    assert desk.get(url, {"show": "skipped"}).context["rows"] == []


def test_what_is_lost_of_a_file_is_listed_with_its_lines(desk):
    data = edit_list(LIGHTS, ("BLACK", "AA", "10:10:00:00", "10:10:10:00"), TIDE)
    data = data.replace(b"10:02:30:12 10:02:00:00", b"10:02:30:12 10:77:00:00")
    text = " ".join(desk.get(reverse("import", args=[draft_of(desk, data).pk])).content.decode().split())
    assert "1 event that can be no usage" in text
    assert "Line 4, event 002 <bdi>BLACK</bdi>: black" in text
    assert "1 line that could not be used as it stands" in text
    assert "Line 6: " in text


def test_a_page_of_songs_costs_the_same_at_any_length(desk, django_assert_max_num_queries):
    few = draft_of(desk, edit_list(LIGHTS))
    events = [
        (
            f"Song {number}.wav",
            "AA",
            f"10:{number // 60:02}:{number % 60:02}:00",
            f"10:{number // 60:02}:{number % 60:02}:20",
        )
        for number in range(90)
    ]
    many = draft_of(desk, edit_list(*events))
    for draft in (few, many):
        with django_assert_max_num_queries(16):
            desk.get(reverse("import", args=[draft.pk]))


# --- changes and acceptance ------------------------------------------------------------------------------------------


def accept(client, draft, **fields):
    url = reverse("import-changes", args=[draft.pk])
    shown = client.get(url)
    form = shown.context["form"]
    sent = {name: form[name].value() or "" for name in form.fields}
    rows = shown.context["rows"]
    sent |= {"shown": [row.id for row in rows], "tick": [row.id for row in rows if row.wanted], "do": "accept"}
    return client.post(url, sent | fields)


def test_acceptance_lands_in_the_log(desk, episode):
    draft = draft_of(desk)
    answer = accept(desk, draft)
    assert (answer.status_code, answer.url) == (302, "/episodes/WEIR-101/")
    assert "reel.edl is accepted into Cut 1: 2 added." in desk.get(answer.url).content.decode()
    assert Usage.objects.filter(placements__cut=episode.current_cut).count() == 2
    assert "Accepted" in desk.get(reverse("import-changes", args=[draft.pk])).content.decode()
    assert desk.get(reverse("import", args=[draft.pk])).context["may_log"] is False


def test_the_same_file_again_is_told_to_be_done(desk, episode):
    accept(desk, draft_of(desk))
    again = draft_of(desk)
    shown = desk.get(reverse("import-changes", args=[again.pk]))
    assert "Nothing is left to do" in shown.content.decode()
    refused = accept(desk, again)
    assert refused.status_code == 422
    assert "Nothing is left to do" in errors(refused)


def test_an_acceptance_is_taken_back(desk, episode):
    draft = draft_of(desk)
    log = desk.get(accept(desk, draft).url).content.decode()
    url = reverse("import-take-back", args=[draft.pk])
    assert url in log
    assert url in desk.get(reverse("import-changes", args=[draft.pk])).content.decode()
    answer = desk.post(url)
    assert answer.url == reverse("import-changes", args=[draft.pk])
    assert "the log is as it was before it" in desk.get(answer.url).content.decode()
    assert Usage.objects.filter(deleted_at=None).count() == 0
    assert desk.post(url).status_code == 409


def test_a_recut_is_shown_with_ticks_and_consequences(desk, episode):
    song = RecordingFactory(title="Harbour Lights")
    usage = UsageFactory(episode=episode, cue_number="1M1", recording=song, placed=(START + 250, START + 900))
    UsageFactory(episode=episode, cue_number="1M2", title="Gone", placed=(START + 9000, START + 9100))
    draft = draft_of(desk)
    shown = desk.get(reverse("import-changes", args=[draft.pk]))
    assert [(row.change.kind.value, row.name, row.wanted) for row in shown.context["rows"]] == [
        ("longer", "1M1 Harbour Lights", True),
        ("gone", "1M2 Gone", True),
        ("new", "Slow Tide", True),
    ]
    assert shown.context["picture"].ribbons
    answer = accept(desk, draft, tick=[f"{usage.pk}-1"], label="Fine cut 2", running_time="44:00")
    assert answer.status_code == 302
    episode.refresh_from_db()
    cut = episode.current_cut
    assert (str(cut), cut.running_frames) == ("Fine cut 2", 25 * 60 * 44)
    assert [
        (each.usage.cue_number, each.in_frame - START, each.out_frame - START) for each in cut.placements.all()
    ] == [
        ("1M1", 250, 1000),
        ("1M2", 9000, 9100),
    ]


def test_ticks_and_the_new_cut_are_kept_without_accepting(desk, episode):
    UsageFactory(episode=episode, cue_number="1M1", title="Slow Tide", placed=(START, START + 100))
    draft = draft_of(desk)
    answer = accept(desk, draft, do="keep", tick=[], label="Fine cut 2")
    assert answer.status_code == 302
    shown = desk.get(answer.url)
    assert [row.wanted for row in shown.context["rows"]] == [False, False]
    assert shown.context["form"]["label"].value() == "Fine cut 2"
    assert Usage.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "status", "told"),
    [
        ({"running_time": "soon"}, 422, "is not a duration"),
        ({"target": "moon"}, 422, "Select a valid choice"),
        ({"token": "0" * 64}, 409, "no longer what you saw"),
        ({"version": "9"}, 409, "Somebody else changed"),
    ],
)
def test_an_acceptance_that_cannot_be_is_told(desk, fields, status, told):
    answer = accept(desk, draft_of(desk), **fields)
    assert answer.status_code == status
    assert told in errors(answer)
    assert Usage.objects.count() == 0


def test_after_a_refusal_for_a_changed_log_accepting_again_means_it(desk, episode):
    usage = UsageFactory(episode=episode, cue_number="1M1", title="Slow Tide", placed=(START, START + 100))
    draft = draft_of(desk)
    url = reverse("import-changes", args=[draft.pk])
    form = desk.get(url).context["form"]
    sent = {name: form[name].value() or "" for name in form.fields} | {"do": "accept", "label": "Fine cut 2"}
    usage.placements.update(out_frame=START + 110)
    refused = desk.post(url, sent)
    assert refused.status_code == 409
    form = refused.context["form"]
    sent = {name: form[name].value() or "" for name in form.fields} | {"do": "accept"}
    assert sent["label"] == "Fine cut 2"
    assert desk.post(url, sent).status_code == 302


def test_a_locked_cut_and_another_rate_are_told(desk, episode):
    UsageFactory(episode=episode, placed=(START, START + 10))
    draft = draft_of(desk, rate="24")
    answer = accept(desk, draft)
    assert answer.status_code == 422
    assert "the cut runs at 25" in answer.content.decode()
    episode.current_cut.locked = True
    episode.current_cut.save()
    other = draft_of(desk, edit_list(LIGHTS))
    answer = accept(desk, other, target="current")
    assert "is locked" in errors(answer)


def test_a_closed_episode_is_told(desk, episode):
    draft = draft_of(desk)
    episode.closed_at = draft.made_at
    episode.save()
    answer = accept(desk, draft)
    assert (answer.status_code, Usage.objects.count()) == (422, 0)
    assert "is closed" in errors(answer)
    assert "is closed" in errors(upload(desk, edit_list(TIDE)))


def test_drop_and_take_up_again(desk):
    draft = draft_of(desk)
    answer = desk.post(reverse("import-drop", args=[draft.pk]))
    assert answer.url == "/episodes/WEIR-101/imports/"
    assert reverse("import-restore", args=[draft.pk]) in desk.get(answer.url).content.decode()
    assert "Take it up again" in desk.get(reverse("import-changes", args=[draft.pk])).content.decode()
    assert desk.post(reverse("import-restore", args=[draft.pk])).url == reverse("import", args=[draft.pk])
    assert CutImport.objects.get().state == "draft"


def test_too_many_rows_are_told_on_every_step(desk):
    rows = b"".join(b"Song %d,Ada\n" % number for number in range(2001))
    draft = draft_of(desk, b"Title,Artist\n" + rows, "log.csv")
    for name in ("import", "import-changes"):
        assert "are more than an episode has" in desk.get(reverse(name, args=[draft.pk])).content.decode()
    assert len(desk.get(reverse("import", args=[draft.pk])).context["rows"]) == 100


def test_what_was_noted_about_a_file_is_told_in_the_readers_language(desk):
    draft = draft_of(desk, edit_list(("MX Tide.wav", "A7", "10:00:10:00", "10:00:20:00")) + b"\nwhat is this line\n")
    url = reverse("import-reading", args=[draft.pk])
    assert draft.payload["warnings"][0]["text"]["say"] == "The line was not understood: “{words}”."
    assert "The line was not understood: “what is this line”." in desk.get(url).content.decode()
    with bracketed():
        assert "⟦The line was not understood: “what is this line”.⟧" in desk.get(url).content.decode()


def test_draft_of_before_there_were_sentences_still_reads(desk):
    draft = draft_of(desk, edit_list(("MX Tide.wav", "A7", "10:00:10:00", "10:00:20:00")) + b"\nwhat is this line\n")
    draft.payload |= {
        "rate_from": "guess: the times rule nothing out",
        "warnings": [{"line": 4, "text": "The line was not understood: “what is this line”."}],
    }
    draft.save()
    shown = desk.get(reverse("import-reading", args=[draft.pk])).content.decode()
    assert "1 event at 25 (guess: the times rule nothing out)." in shown
    assert "The line was not understood: “what is this line”." in shown
