"""The log taken away, and read back by the doors for tables and cuts with everything guessed.

Outside checks: openpyxl and OpenTimelineIO's own reader on what is written; OWASP, "CSV Injection".
"""

import io
from datetime import UTC, datetime
from fractions import Fraction

import openpyxl
import opentimelineio
import pytest
import time_machine
from django.core.management import call_command
from django.utils import timezone

from supervision.actions.log_files import LOG_FORMS, print_log
from supervision.interchange.cut_file import read_cut
from supervision.interchange.table import read_table
from supervision.models import Placement
from supervision.queries.log_export import log_sheet
from supervision.rules.column_mapping import guess_columns, mapping_of
from supervision.rules.durations import Span
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.log_sheet import COLUMNS, log_cells
from supervision.rules.roles import Role
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_rows import ProposedUsage, apply_mapping
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory, WorkShareFactory
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
DAY = timezone.datetime(2026, 11, 26).date()

FACETS = (
    Facets(),
    Facets(seen=True, vocal=Vocal.VOCAL),
    Facets(Function.ON_SCREEN, seen=True),
    Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED),
    Facets(Function.THEME, ThemePosition.CLOSING, origin=Origin.OWNED, part=ProgrammePart.RECAP),
    Facets(Function.THEME, ThemePosition.SEGMENT, part=ProgrammePart.PLAY_ON),
    Facets(Function.THEME, part=ProgrammePart.TEASER),
    Facets(Function.LOGO, origin=Origin.LIBRARY, part=ProgrammePart.PROMO),
    Facets(Function.BUMPER),
    Facets(Function.ROLLED_UP),
)


def facets_of(facets):
    return {name: getattr(facets, name) for name in ("function", "theme_position", "seen", "vocal", "origin", "part")}


@pytest.fixture
def episode():
    """An episode at 29.97 drop-frame whose log has all that a log may have."""
    episode = EpisodeFactory(code="WEIR-101")
    cut = CutFactory(episode=episode, rate="30000/1001", drop=True, start_frame=107_892, running_frames=80_000)
    episode.current_cut = cut
    episode.save()
    work = WorkFactory(title="-Tide **", iswc="T0345246801")
    WorkShareFactory(work=work, party__name="Reed, Ida", interest="writer", role="CA")
    WorkShareFactory(work=work, party__name="=Harbour Music", interest="publisher", role="E")
    recording = RecordingFactory(
        title="-Tide **",
        version_title="(live)",
        artist="@The “Oxbow” Lamps; and others",
        isrc="USS1Z9900001",
        label="+Slipway",
        catalogue_number="0012",
        track_number="07",
        works=[work],
    )
    songs = ({"recording": recording, "title": "working; title"}, {"work": work}, {"title": "=1+1"}, {})
    for number, facets in enumerate(FACETS):
        usage = UsageFactory(
            episode=episode,
            **{"cue_number": f"1M{number}" if number else "", "title": "", "recording": None, "work": None, "notes": ""}
            | {"scene": '"Low" water, 12"', "notes": "two\nlines" if number == 1 else ""}
            | songs[number % 4]
            | facets_of(facets),
        )
        if number < 8:
            start = 107_892 + 1_800 * number
            Placement.objects.create(usage=usage, cut=cut, in_frame=start, out_frame=start + 2_000 + number)
    return episode


def proposed(line, row):
    """What the reader should make of an exported line."""
    names = (
        "cue_number", "title", "version", "working_title", "artist", "isrc", "iswc", "label", "catalogue_number",
        "track_number", "writers", "publishers", "scene", "notes",
    )  # fmt: skip
    facets = line.facets
    said = {"function", "seen", "vocal", "origin"}
    said |= {"theme_position"} if facets.theme_position else set()
    return ProposedUsage(
        line=row,
        **{name: getattr(line, name) for name in names},
        facets=facets,
        said=frozenset(said | ({"part"} if facets.part else set())),
        span=line.span,
        frames=line.span.frames if line.span else None,
    )


@pytest.mark.parametrize(("form", "first"), [("csv", 2), ("xlsx", 6)])
def test_a_log_comes_back_from_its_own_table_with_every_column_guessed(episode, form, first):
    sheet = log_sheet(episode)
    printed = print_log(sheet=sheet, form=form, on=DAY)
    assert printed.name == f"WEIR-101-log.{form}"
    table = read_table(printed.body, name=printed.name, words=SONG_LOG.words)
    assert (table.heading, table.columns) == (first - 1, tuple(column.head for column in COLUMNS))
    mapping = mapping_of(guess_columns(table, SONG_LOG))
    assert [head for head, name in zip(table.columns, mapping.columns, strict=True) if not name] == ["Sheet code"]
    read = apply_mapping(table, mapping, sheet.rate, cut_start=sheet.start_frame)
    row_of = {row.line: row for row in table.rows}
    lines = dict(zip(row_of, sheet.lines, strict=True))
    assert list(read) == [proposed(line, number) for number, line in lines.items()]


def test_lines_stand_in_the_order_of_the_picture_with_the_placeless_last(episode):
    lines = log_sheet(episode).lines
    spans = [line.span for line in lines]
    assert spans == [*sorted(span for span in spans if span), None, None]
    assert [line.cue_number for line in lines[-2:]] == ["1M8", "1M9"]
    assert lines[0].span == Span(107_892, 109_892)
    assert log_cells(lines[0], log_sheet(episode).rate)[5:8] == ("01:00:00;00", "01:01:06;22", "1:07")


def test_stored_text_is_untouched_and_nothing_calculates(episode):
    data = print_log(sheet=log_sheet(episode), form="csv", on=DAY).body.decode("utf-8-sig")
    assert "'-Tide **,(live),working; title,'@The “Oxbow” Lamps; and others," in data
    assert "'=Harbour Music" in data
    book = openpyxl.load_workbook(io.BytesIO(print_log(sheet=log_sheet(episode), form="xlsx", on=DAY).body))
    cells = [cell for row in book["Log"].iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s"}
    assert "-Tide **" in {cell.value for cell in cells}
    assert not any(cell.hyperlink for cell in cells)


def test_the_edit_list_is_read_back_to_the_frame(episode):
    sheet = log_sheet(episode)
    text = print_log(sheet=sheet, form="edl", on=DAY).body
    reading = read_cut(text, name="log.edl")
    assert (reading.rate.exact, reading.rate.drop, reading.rate_from) == ("30000/1001", True, "file")
    placed = [line for line in sheet.lines if line.span]
    assert [(event.name, event.record_in, event.record_out) for event in reading.events] == [
        (line.song, line.span.start, line.span.end) for line in placed
    ]
    assert {event.tracks for event in reading.events} == {("A1",), ("A2",)}  # each overlaps the next
    assert text.decode().count("* LOC: ") == len(placed)
    assert reading.warnings == ()


def test_the_timeline_is_read_by_the_industrys_library(episode):
    sheet = log_sheet(episode)
    timeline = opentimelineio.adapters.read_from_string(
        print_log(sheet=sheet, form="otio", on=DAY).body.decode(), "otio_json"
    )
    placed = [line for line in sheet.lines if line.span]
    found = {
        (clip.name, int(timeline.global_start_time.value + clip.range_in_parent().start_time.value))
        for track in timeline.tracks
        for clip in track.find_clips()
    }
    assert found == {(line.song, line.span.start) for line in placed}
    assert len(timeline.tracks.markers) == len(placed)
    reading = read_cut(print_log(sheet=sheet, form="otio", on=DAY).body, name="log.otio")
    assert {(event.name, event.record_in, event.record_out) for event in reading.events} == {
        (line.song, line.span.start, line.span.end) for line in placed
    }


def test_music_before_the_cuts_start_begins_the_timeline_earlier(episode):
    usage = UsageFactory(episode=episode, cue_number="0M1", title="Leader", recording=None)
    Placement.objects.create(usage=usage, cut=episode.current_cut, in_frame=100_000, out_frame=100_100)
    reading = read_cut(print_log(sheet=log_sheet(episode), form="otio", on=DAY).body, name="log.otio")
    assert min(event.record_in for event in reading.events) == 100_000


def test_an_episode_without_a_cut_has_a_table_and_no_timeline():
    episode = EpisodeFactory()
    episode.current_cut = None
    UsageFactory(episode=episode, cue_number="1M1", title="Tide", recording=None)
    sheet = log_sheet(episode)
    for form in ("csv", "xlsx"):
        table = read_table(print_log(sheet=sheet, form=form, on=DAY).body, name="x", words=SONG_LOG.words)
        assert "Tide" in table.rows[0].cells
    for form in ("edl", "otio"):
        with pytest.raises(Conflict, match="no cut"):
            print_log(sheet=sheet, form=form, on=DAY)


def test_an_unknown_form_is_not_there(episode):
    with pytest.raises(NotVisible, match="Ask for csv, xlsx, edl, otio"):
        print_log(sheet=log_sheet(episode), form="aaf", on=DAY)


def test_an_older_cut_has_its_own_places(episode):
    old = CutFactory(episode=episode, number=77, rate="25", running_frames=90_000)
    sheet = log_sheet(episode, old)
    assert (sheet.rate.fps, {line.span for line in sheet.lines}) == (Fraction(25), {None})


def test_reading_the_log_takes_as_many_queries_whatever_its_size(episode, django_assert_num_queries):
    with django_assert_num_queries(4):
        log_sheet(episode)
    for number in range(20):
        UsageFactory(episode=episode, cue_number=f"2M{number}")
    with django_assert_num_queries(4):
        log_sheet(episode)


@time_machine.travel(datetime(2026, 11, 26, 9, tzinfo=UTC), tick=False)  # a workbook says the second it was made in
@pytest.mark.parametrize("form", LOG_FORMS)
def test_members_take_the_log_away_by_page_and_api(episode, client, form):
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
    for address in (f"/episodes/WEIR-101/log.{form}", f"/api/v1/episodes/WEIR-101/log.{form}"):
        answer = client.get(address)
        assert answer.status_code == 200
        assert answer["Content-Disposition"] == f'attachment; filename="WEIR-101-log.{form}"'
        assert client.get(f"{address}?cut={episode.current_cut.number}").content == answer.content
        assert client.get(f"{address}?cut=99").status_code == 404
    assert f'href="/episodes/WEIR-101/log.{form}"' in client.get("/episodes/WEIR-101/").content.decode()
    assert client.get("/episodes/WEIR-101/log.exe").status_code == 404
    client.force_login(UserFactory())
    assert client.get(f"/episodes/WEIR-101/log.{form}").status_code == 404
    assert client.get(f"/api/v1/episodes/WEIR-101/log.{form}").status_code == 404


@pytest.mark.parametrize("form", LOG_FORMS)
def test_the_command_writes_the_same_file(episode, tmp_path, form):
    path, said = tmp_path / "log", io.StringIO()
    call_command("exportlog", "weir-101", "--format", form, "--output", str(path), stdout=said)
    made = path.read_bytes()
    if form != "xlsx":  # a package carries the moment of its writing
        assert made == print_log(sheet=log_sheet(episode), form=form, on=DAY).body
    assert len(made) > 300
    assert said.getvalue() == f"{path}\n"


@pytest.mark.parametrize("arguments", [("NOUGHT",), ("WEIR-101", "--cut", "99")])
def test_the_command_refuses_in_one_line(episode, tmp_path, arguments):
    wrong = io.StringIO()
    with pytest.raises(SystemExit) as end:
        call_command("exportlog", *arguments, "--output", str(tmp_path / "log"), stderr=wrong)
    assert (end.value.code, wrong.getvalue().count("\n")) == (2, 1)
