"""Pasted rows: read and shown first, logged all at once, refused row by row with what was typed."""

import re

import pytest
from django.urls import reverse
from django.utils.translation import override

from supervision.models import Usage
from supervision.rules.roles import Role
from supervision.web.forms.spotting import ORIGINS, USES
from supervision.web.language import tell
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10
ROWS = "Cue\tIn\tOut\tTitle\tArtist\tUse\tNotes\n1M1\t10000000\t+33s\tEbb\tThe Weir\tVV\tloud\n\t10:01:00:00\t10:01:30:00\tFlow\t\tBI\t"


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101", number="101", title="Low Water")


@pytest.fixture(autouse=True)
def signed_in(episode, client):
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.COORDINATOR).user)


def paste(client, text=ROWS, **told):
    return client.post(reverse("usages-paste", args=["TIDE-101"]), {"text": text} | told)


def told(response):
    """The sentences about rows that cannot be read."""
    page = response.content.decode()
    return [re.sub("<[^>]*>", "", item) for item in re.findall(r'(?<=<ul class="field-errors">).*?(?=</ul>)', page)]


def test_pasted_rows_are_shown_and_nothing_is_logged(client):
    response = paste(client)
    assert (response.status_code, Usage.objects.count()) == (200, 0)
    rows = response.context["rows"].rows
    assert [(row.form.data["cue_number"], row.use, row.song) for row in rows] == [
        ("1M1", "On-screen", None),
        ("1M2", "Background", None),
    ]


def test_pasted_rows_are_logged_in_their_order(client, episode):
    song = RecordingFactory(title="Ebb", artist="The Weir")
    assert paste(client, log="yes").url == reverse("episode-log", args=["TIDE-101"])
    first, second = Usage.objects.order_by("pk")
    assert (first.cue_number, first.recording, first.function, first.seen, first.vocal, first.notes) == (
        "1M1",
        song,
        "on_screen",
        True,
        "vocal",
        "loud",
    )
    assert (second.cue_number, second.title, second.recording) == ("1M2", "Flow", None)
    assert [(one.placements.get().in_frame, one.placements.get().out_frame) for one in (first, second)] == [
        (START, START + 825),
        (START + 1500, START + 2250),
    ]


def test_row_that_cannot_be_read_holds_the_others_back(client):
    text = "1M1\t10:00:00:00\t10:00:30:00\tEbb\n1M2\t10:01:00:30\t10:02:00:00\tFlow"
    response = paste(client, text, log="yes")
    assert (response.status_code, Usage.objects.count()) == (422, 0)
    assert [sentence for sentence in told(response) if "last frame is 24" in sentence]
    assert paste(client, text, log="yes", leave_out="on").status_code == 302
    assert [usage.title for usage in Usage.objects.all()] == ["Ebb"]


def test_taken_numbers_are_refused_in_the_log_and_in_the_rows(client, episode):
    UsageFactory(episode=episode, cue_number="1M1", title="There", placed=(START, START + 25))
    response = paste(client, "1M1\t\t\tEbb\n1M5\t\t\tFlow\n1m5\t\t\tSlack\n\t\t\tSpring")
    assert told(response) == [
        "Cue number 1M1 is taken in this episode, or by a row above.",
        "Cue number 1M5 is taken in this episode, or by a row above.",
    ]
    assert [row.form.data["cue_number"] for row in response.context["rows"].rows] == ["1M1", "1M5", "1M5", "1M6"]


def test_columns_are_put_right_by_a_person(client):
    response = paste(client, "Ebb\tQuay\nFlow\tWeir", column=["title", "scene"])
    assert [(row.form.data["song"], row.form.data["scene"]) for row in response.context["rows"].rows] == [
        ("Ebb", "Quay"),
        ("Flow", "Weir"),
    ]
    assert paste(client, "Ebb\tQuay", column=["title", "nonsense"]).context["rows"].columns[1][2] == ""


@pytest.mark.parametrize("language", ["en", "fr"])
@pytest.mark.parametrize(("column", "choices"), [("use", USES), ("origin", ORIGINS)])
def test_uses_and_origins_are_read_in_the_words_of_the_page(client, language, column, choices):
    with override(language):
        text = "\n".join(f"Ebb {at}\t{tell(label)}" for at, (_, label) in enumerate(choices))
    rows = paste(client, text, column=["title", column]).context["rows"].rows
    assert [(row.form.data[column], row.unknown) for row in rows] == [(value, []) for value, _ in choices]


@pytest.mark.parametrize("words", ["Background, seen, vocal", "Fond, visible, vocal"])
def test_what_the_page_says_of_a_use_is_read_back(client, words):
    [row] = paste(client, f"Ebb\t{words}", column=["title", "use"]).context["rows"].rows
    assert (row.use, row.form.data["seen"], row.form.data["vocal"], row.unknown) == ("Background", True, True, [])


def test_duration_stands_for_the_out_point_and_unknown_words_are_told(client):
    text = "Title\tIn\tDuration\tUse\nEbb\t10:00:00:00\t0:33\tdreamy"
    [row] = paste(client, text).context["rows"].rows
    assert (row.form.data["out_timecode"], row.wrongs, row.unknown) == ("+0:33", [], ["dreamy"])


def test_song_that_two_recordings_fit_stays_a_working_title(client):
    RecordingFactory(title="Ebb", artist="The Weir")
    RecordingFactory(title="Ebb", artist="Ota")
    assert paste(client, "Title\tCue\nEbb\t1M1").context["rows"].rows[0].song is None


def test_refusal_of_the_log_is_told_and_nothing_is_logged(client, episode):
    cut = episode.current_cut
    cut.locked = True
    cut.save()
    response = paste(client, "Cue\tIn\tOut\nx\t99\t\n9M9\t\t\n" + ROWS.partition("\n")[2], log="yes", leave_out="on")
    assert (response.status_code, Usage.objects.count()) == (422, 0)
    reason = f"{cut} is locked, so no timing in it can change. Unlock the cut, or add a new one."
    assert response.context["form"].non_field_errors() == [f"Row 4: {reason}"]
    assert response.context["rows"].refused == 1


def test_nothing_pasted_shows_the_empty_field(client):
    assert paste(client, "").status_code == 200
    assert client.get(reverse("usages-paste", args=["TIDE-101"])).status_code == 200
    assert paste(client, " \t \n").status_code == 422
    assert "At most 500 rows" in paste(client, "x\n" * 501).content.decode()


def test_pasting_wants_the_deed_and_membership(client, episode):
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
    assert paste(client).status_code == 403
    client.force_login(MembershipFactory().user)
    assert paste(client).status_code == 404
