"""OpenTimelineIO's JSON, held against the library itself (OpenTimelineIO 0.18.1) where it gives an answer."""

import io
import json
import zipfile
from fractions import Fraction

import opentimelineio as otio
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.interchange.cut_file import read_cut
from supervision.interchange.otio_json import DEEPEST
from supervision.interchange.otio_timeline import read, recognises
from supervision.rules.errors import UnreadableFile
from supervision.rules.timecode import FrameRate, parse_timecode
from tests.interchange.timeline_files import FOLDER, fixture, guessed_drop, heard, remarks, skipped, track_names


def time(value, rate=25):
    return {"OTIO_SCHEMA": "RationalTime.1", "rate": rate, "value": value}


def span(start, frames, rate=25):
    return {"OTIO_SCHEMA": "TimeRange.1", "start_time": time(start, rate), "duration": time(frames, rate)}


def clip(frames=25, *, start=0, rate=25, name="Gull Reel", **more):
    return {"OTIO_SCHEMA": "Clip.2", "name": name, "source_range": span(start, frames, rate)} | more


def gap(frames):
    return {"OTIO_SCHEMA": "Gap.1", "source_range": span(0, frames)}


def fade(before, after, kind="SMPTE_Dissolve"):
    return {
        "OTIO_SCHEMA": "Transition.1",
        "transition_type": kind,
        "in_offset": time(before),
        "out_offset": time(after),
    }


def track(*children, kind="Audio", **more):
    return {"OTIO_SCHEMA": "Track.1", "name": "", "kind": kind, "children": list(children)} | more


def stack(*children, **more):
    return {"OTIO_SCHEMA": "Stack.1", "name": "", "children": list(children)} | more


def timeline(*tracks, start=None, **more):
    return {
        "OTIO_SCHEMA": "Timeline.1",
        "name": "Reel",
        "global_start_time": start or time(0),
        "tracks": stack(*tracks),
    } | more


def read_value(value, *, rate=None, drop=None):
    return read(json.dumps(value).encode(), rate=rate, drop=drop)


def refused(data):
    with pytest.raises(UnreadableFile) as caught:
        read(data, rate=None, drop=None)
    return caught.value


def test_timeline_that_the_library_wrote():
    reading = fixture("otio-timeline.otio")
    start = parse_timecode("01:00:00;00", reading.rate)
    assert (reading.title, reading.rate) == ("MARRAM 104 v7", FrameRate(Fraction(30000, 1001), True))
    assert reading.rate_from == "file"
    assert heard(reading) == [
        ("A1", "HARBOUR LIGHTS v3 MSTR", start + 30, start + 360),
        ("A1", "Lantern Waltz.aif", start + 340, start + 600),
        ("A2", "Gull Reel", start + 100, start + 130),
        ("A2", "Net Menders", start + 170, start + 180),
    ]
    assert skipped(reading) == [
        ("Tide Song", "disabled"),
        ("Tide Song", "zero length"),
        ("Slate", "black"),
        ("Temp score", "on a track that is switched off"),
    ]
    assert remarks(reading) == [
        (
            "The file doesn't say whether it counts drop-frame: taken as drop-frame, since its start, frame 107892, "
            "is the whole second 01:00:00;00 in that counting only."
        ),
        "The track “Subtitles” is neither sound nor picture and is left out.",
    ]


def test_tracks_keep_the_names_that_the_file_has_for_them():
    assert track_names(fixture("otio-timeline.otio")) == {"A1": "MX L", "A2": "MX R", "A3": "Temp"}
    assert track_names(fixture("otio-old-schemas.otio")) == {}


def test_events_know_lines_reels_sources_and_speeds():
    events = {each.name: each for each in fixture("otio-timeline.otio").events}
    lines = (FOLDER / "otio-timeline.otio").read_text().splitlines()
    harbour, waltz = events["HARBOUR LIGHTS v3 MSTR"], events["Lantern Waltz.aif"]
    assert '"Clip.2"' in lines[harbour.line]
    assert (harbour.reel, harbour.source_in, harbour.source_out) == ("HARBOUR LIGHTS v3 MSTR.wav", 0, 330)
    assert (waltz.speed, waltz.transition, waltz.source_in) == (Fraction(1, 2), "dissolve", None)
    assert (events["Gull Reel"].source_in, events["Gull Reel"].source_out) == (520, 550)
    assert [each.name for each in fixture("otio-timeline.otio").events if each.video] == ["Harbour wide", "Montage"]


def test_first_names_of_the_schemas_references_and_rounded_rates():
    reading = fixture("otio-old-schemas.otio")
    assert (reading.rate, reading.rate_from) == (FrameRate(Fraction(24000, 1001)), "file")
    assert heard(reading) == [
        ("A7", "Harbour Lights", 48, 288),
        ("A8", "Lantern Waltz", 0, 24),
        ("A8", "Lantern Waltz", 24, 48),
    ]
    assert remarks(reading) == [
        "The file gives a rate as 23.976; it is taken as 24000/1001.",
        "The file gives a rate as 23.98; it is taken as 24000/1001.",
        "The file has 2 timelines; the longest is read, “Reel 1, first names of the schemas”, and not “Trailer”.",
        "The timeline gives no start timecode; it is counted from 00:00:00:00.",
    ]


def test_archive_is_read_as_what_is_in_it():
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("version.txt", "1.0.0")
        archive.writestr("content.otio", (FOLDER / "otio-timeline.otio").read_bytes())
        archive.writestr("media/a.wav", b"RIFF")
    assert read_cut(packed.getvalue(), name="cut.otioz") == fixture("otio-timeline.otio")


def test_archive_that_unpacks_without_end_is_refused(monkeypatch):
    monkeypatch.setattr("supervision.interchange.otio_json.LARGEST_TEXT", 2 * 1024 * 1024)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("content.otio", b" " * 3 * 1024 * 1024)
    fault = refused(packed.getvalue())
    assert (fault.code, "more than 2 MB" in fault.text) == ("file-too-large", True)


def test_broken_archives():
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("content.otio", json.dumps(timeline(track(clip()))) * 20)
    good = packed.getvalue()
    bad = good[:60] + b"\xff" * 20 + good[80:]
    assert refused(bad).code == "archive-broken"
    assert recognises(good[:50], "a.otioz")
    assert refused(good[:50]).code == "archive-broken"
    assert not recognises(good[:50], "a.zip")
    other = io.BytesIO()
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("xl/workbook.xml", "")
    assert not recognises(other.getvalue(), "a.xlsx")


@pytest.mark.parametrize(
    ("data", "name", "known"),
    [
        (b'{"OTIO_SCHEMA": "Timeline.1"}', "cut", True),
        (b'\xef\xbb\xbf {"OTIO_SCHEMA": 1}', "cut", True),
        (b"{}", "cut.otio", True),
        (b"{}", "cut.txt", False),
        (b"TITLE", "cut.otio", False),
    ],
)
def test_recognised_by_content(data, name, known):
    assert recognises(data, name) is known


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32-le"])
def test_encodings_of_json(encoding):
    text = json.dumps(timeline(track(clip(name="Bœuf Noir"))), ensure_ascii=False)
    assert read(text.encode(encoding), rate=None, drop=None).events[0].name == "Bœuf Noir"


@pytest.mark.parametrize(
    ("data", "code", "line", "column"),
    [
        (b'{"OTIO_SCHEMA": "Timeline.1",\n "name": }', "json-broken", 2, 10),
        (b'{"OTIO_SCHEMA": "Timeline.1"', "json-broken", 1, 29),
        (b'{"OTIO_SCHEMA": "Time', "json-broken", 1, 17),
        (b'{"OTIO_SCHEMA"\n:\n "a": "\xe9"}', "json-encoding", 3, 8),
        (b'{"OTIO_SCHEMA": ' + b"9" * 5000 + b"}", "json-number", None, None),
        (b'{"OTIO_SCHEMA": ' + b"\n[" * 100_000, "json-too-large", DEEPEST + 1, None),
        (b'{"OTIO_SCHEMA": "Timeline.1", "a": {"a":' + b'{"a":' * 100_000, "json-too-large", 1, None),
        (b'{"OTIO_SCHEMA": "Clip.1"}', "timeline-missing", 1, None),
        (b'["OTIO_SCHEMA"]', "timeline-missing", 1, None),
        (b'{"OTIO_SCHEMA": "Timeline.1", "tracks": 5}', "timeline-missing", 1, None),
        (b'{"OTIO_SCHEMA": ["Timeline.1"], "tracks": 5}', "timeline-missing", 1, None),
    ],
)
def test_what_is_no_timeline_names_its_place(data, code, line, column):
    fault = refused(data)
    assert (fault.code, fault.line, fault.column) == (code, line, column)


def test_number_of_brackets_is_bounded(monkeypatch):
    monkeypatch.setattr("supervision.interchange.otio_json.MOST_BRACKETS", 1000)
    fault = refused(b'{"OTIO_SCHEMA": [' + b"[]," * 1001 + b"[]]}")
    assert "more than 1,000 objects and lists" in fault.text


def test_strings_that_never_end_are_scanned_once():
    assert refused(b'{"OTIO_SCHEMA": "' + b'\\"' * 1_000_000).code == "json-broken"
    assert refused(b'{"OTIO_SCHEMA": "' + b'\\"' * 1_000_000 + b"\\").code == "json-broken"


def test_more_closed_than_opened():
    assert refused(b'{"OTIO_SCHEMA": 1}]}').code == "json-broken"


@pytest.mark.parametrize(
    ("rate", "exact"),
    [
        (23.976, "24000/1001"),
        (23.98, "24000/1001"),
        (24000 / 1001, "24000/1001"),
        (29.97, "30000/1001"),
        (59.94, "60000/1001"),
        (24, "24"),
        (24.0, "24"),
    ],
)
def test_rates(rate, exact):
    reading = read_value(timeline(track(clip(48, rate=rate)), start=time(240, rate)))
    assert (reading.rate.exact, reading.events[0].record_in, reading.events[0].record_out) == (exact, 240, 288)


@pytest.mark.parametrize("rate", [0, -24, float("nan"), float("inf"), 1e308, True, "24", None, 12, 10**400])
def test_rate_of_no_clock_asks_for_one_or_is_told(rate):
    value = timeline(track(clip()), start=time(5, rate))
    value["tracks"]["children"][0]["children"] = [clip(rate=rate)]
    with pytest.raises(UnreadableFile):
        read_value(value)


def test_length_that_is_none_stops_its_track_only():
    broken = clip(float("nan"), name="Broken")
    reading = read_value(timeline(track(clip(5), broken, clip(5, name="After")), track(clip(9))))
    assert heard(reading) == [("A1", "Gull Reel", 0, 5), ("A2", "Gull Reel", 0, 9)]
    assert remarks(reading) == [
        "“Broken” has a time of nan at 25 per second (line 1) and is left out.",
        "What follows “Broken” on its track cannot be placed and is left out.",
    ]


@pytest.mark.parametrize(
    "child",
    [
        {"OTIO_SCHEMA": "Clip.2", "name": "X"},
        {"OTIO_SCHEMA": "Clip.2", "name": "X", "media_reference": {"OTIO_SCHEMA": "MissingReference.1"}},
        {"OTIO_SCHEMA": "Clip.2", "name": "X", "media_references": [], "source_range": {"duration": time(-5)}},
        {"OTIO_SCHEMA": "Clip.2", "name": "X", "source_range": {"OTIO_SCHEMA": "TimeRange.1"}},
        {"OTIO_SCHEMA": "Clip.2", "name": "X", "source_range": span(0, 1e15)},
        {"OTIO_SCHEMA": "Novelty.9", "name": "X"},
        {"OTIO_SCHEMA": "Track.1", "name": "X", "children": [{"OTIO_SCHEMA": "Clip.1"}]},
    ],
)
def test_child_without_a_length_is_told(child):
    reading = read_value(timeline(track(clip(5), child, clip(5))))
    assert len(reading.events) == 1
    assert "What follows “X” on its track cannot be placed and is left out." in remarks(reading)
    assert any(" and is left out." in text for text in remarks(reading)[:-1])


def test_unknown_schema_with_a_length_is_a_gap():
    reading = read_value(timeline(track({"OTIO_SCHEMA": "Novelty.9", "source_range": span(0, 10)}, clip(5))))
    assert heard(reading) == [("A1", "Gull Reel", 10, 15)]
    assert "A “Novelty” is not known here and is taken as a gap." in remarks(reading)


def test_media_by_key_and_without_one():
    two = {
        "DEFAULT_MEDIA": {"OTIO_SCHEMA": "MissingReference.1", "name": "low", "available_range": span(0, 10)},
        "high": {"OTIO_SCHEMA": "MissingReference.1", "name": "high", "available_range": span(0, 20)},
    }
    keyed = {"OTIO_SCHEMA": "Clip.2", "media_references": two, "active_media_reference_key": "high"}
    plain = {"OTIO_SCHEMA": "Clip.2", "media_references": two}
    reading = read_value(timeline(track(keyed, plain)))
    assert [(each.name, each.frames) for each in reading.events] == [("high", 20), ("low", 10)]


def effect(schema, **more):
    return {"OTIO_SCHEMA": schema} | more


@pytest.mark.parametrize(
    ("effects", "speed"),
    [
        ([effect("LinearTimeWarp.1", time_scalar=2.0)], Fraction(2)),
        ([effect("LinearTimeWarp.1", time_scalar=-0.5)], Fraction(-1, 2)),
        ([effect("LinearTimeWarp.1", time_scalar=2), effect("LinearTimeWarp.1", time_scalar=1.5)], Fraction(3)),
        ([effect("FreezeFrame.1", time_scalar=0)], Fraction(0)),
        ([effect("LinearTimeWarp.1", time_scalar=2, enabled=False), effect("Effect.1"), None], None),
        ([effect("LinearTimeWarp.1", time_scalar=float("inf"))], None),
        ("none", None),
    ],
)
def test_time_warps(effects, speed):
    reading = read_value(timeline(track(clip(effects=effects))))
    assert [each.speed for each in reading.events] == [speed]


def test_speed_that_is_none_is_told():
    reading = read_value(timeline(track(clip(effects=[effect("LinearTimeWarp.1", time_scalar=float("inf"))]))))
    assert "A speed of inf is none; normal speed is taken." in remarks(reading)


def test_stack_at_another_speed_is_one_clip():
    fast = stack(track(clip(), clip()), name="Mix", effects=[effect("LinearTimeWarp.1", time_scalar=2)])
    reading = read_value(timeline(track(fast)))
    assert [(each.name, each.frames, each.speed) for each in reading.events] == [("Mix", 50, Fraction(2))]


def test_transitions_of_all_kinds():
    parts = [fade(5, 5), clip(25), fade(4, 6, "Edge Wipe"), clip(25), fade(float("nan"), float("nan")), clip(25)]
    reading = read_value(timeline(track(*parts)))
    assert [(each.record_in, each.record_out, each.transition) for each in reading.events] == [
        (0, 31, "dissolve"),
        (21, 50, "wipe"),
        (50, 75, "dissolve"),
    ]
    assert "“Gull Reel” begins before 00:00:00:00 and is listed from there." in remarks(reading)
    assert any("A transition has a time of nan" in text for text in remarks(reading))


def test_tracks_are_named_by_order_unless_all_names_are_tracks():
    def tracks(*names):
        return [each.tracks[0] for each in read_value(timeline(*(track(clip(), name=name) for name in names))).events]

    assert tracks("A7", "a8") == ["A7", "A8"]
    assert tracks("A7", "A7") == ["A1", "A2"]
    assert tracks("A7", "Music") == ["A1", "A2"]


@pytest.mark.parametrize("kind", [None, 5, "Video"])
def test_track_of_picture_or_without_a_kind_is_no_sound(kind):
    reading = read_value(timeline(track(clip(), kind=kind)))
    assert [(each.tracks, each.video) for each in reading.events] == [((), True)]


def test_track_or_stack_alone_is_a_timeline():
    assert heard(read_value(track(clip(5)))) == [("A1", "Gull Reel", 0, 5)]
    assert heard(read_value(stack(track(gap(5), clip(5)), name="Mix"))) == [("A1", "Gull Reel", 5, 10)]


def test_part_of_the_timeline_that_is_played():
    value = timeline(track(clip(50), clip(50, name="Late")))
    value["tracks"]["source_range"] = span(10, 60)
    assert heard(read_value(value)) == [("A1", "Gull Reel", 0, 40), ("A1", "Late", 40, 60)]
    value["tracks"]["source_range"] = span(60, 10)
    assert heard(read_value(value)) == [("A1", "Late", 0, 10)]
    value["tracks"]["source_range"] = span(float("nan"), 60)
    reading = read_value(value)
    assert heard(reading) == [("A1", "Gull Reel", 0, 50), ("A1", "Late", 50, 100)]
    assert any("all of it is played" in text for text in remarks(reading))


def test_clip_or_stack_beside_the_tracks_is_picture():
    reading = read_value(timeline(clip(5, name="Slate"), stack(track(clip()), name="Mix"), track(clip(7))))
    assert [(each.name, each.tracks, each.video) for each in reading.events] == [
        ("Slate", (), True),
        ("Mix", (), True),
        ("Gull Reel", ("A1",), False),
    ]


def test_given_rate_names_the_same_frames_anew_and_says_so():
    reading = read_value(timeline(track(clip(10)), start=time(25)), rate=Fraction(24))
    assert (reading.rate_from, heard(reading)) == ("given", [("A1", "Gull Reel", 24, 34)])
    assert any("The file says 25 frames per second, and 24 was given" in text for text in remarks(reading))


def test_start_that_is_none_is_told():
    reading = read_value(timeline(track(clip()), start=time(float("inf"))))
    assert heard(reading) == [("A1", "Gull Reel", 0, 25)]
    assert any("counted from 00:00:00:00" in text for text in remarks(reading))


def test_rate_of_most_parts_where_the_start_has_none():
    value = timeline(track(clip(24, rate=24), clip(24, rate=24), clip(25)), start=time(48000, 48000))
    reading = read_value(value)
    assert (reading.rate.exact, reading.rate_from) == ("24", "guess: 24 is the rate of most of its parts")
    assert [(each.record_in, each.record_out) for each in reading.events] == [(24, 48), (48, 72), (72, 96)]


def test_drop_frame_is_guessed_where_the_file_has_no_labels():
    rate = 30000 / 1001
    reading = read_value(timeline(track(clip(5, rate=rate)), start=time(108_000, rate)))
    assert (reading.rate.drop, reading.rate_from) == (False, "file")
    assert guessed_drop(reading) == "The file doesn't say whether it counts drop-frame: taken as non-drop."
    told = read_value(timeline(track(clip(5, rate=rate)), start=time(108_000, rate)), drop=True)
    assert (told.rate.drop, told.rate_from, told.events[0].record_in) == (True, "file", 107_892)
    assert told.warnings == ()


def test_object_that_contains_itself_is_refused():
    looped = stack(track({"OTIO_SCHEMA": "SerializableObjectRef.1", "id": "me"}), OTIO_REF_ID="me")
    for source_range in (None, span(0, 50)):
        looped["source_range"] = source_range
        with pytest.raises(UnreadableFile, match="nested more than 100 deep"):
            read_value(timeline(track(clip(5)), track(looped)))


def test_objects_that_unfold_without_end_are_refused():
    """Twenty stacks, each of which plays the next twice: a million clips in 5 kB."""
    parts = [clip(1, OTIO_REF_ID="0")]
    for level in range(1, 21):
        again = {"OTIO_SCHEMA": "SerializableObjectRef.1", "id": str(level - 1)}
        parts.append(stack(track(again, again), OTIO_REF_ID=str(level)))
    last = {"OTIO_SCHEMA": "SerializableObjectRef.1", "id": "20"}
    with pytest.raises(UnreadableFile) as caught:
        read_value(timeline(track(last), metadata={"parts": parts}))
    assert caught.value.code == "timeline-too-large"


def test_strange_values_where_objects_are_meant():
    value = timeline(
        track(clip(5), 7, None, {"OTIO_SCHEMA": "SerializableObjectRef.1", "id": "gone"}), track(children="no")
    )
    value["name"] = 12
    reading = read_value(value)
    assert (reading.title, heard(reading)) == ("", [("A1", "Gull Reel", 0, 5)])


def test_halves_of_characters_and_control_characters_leave_the_names():
    reading = read_value(timeline(track(clip(name="\ud800Gull\u0000 \r\nReel\u0085"))))
    assert reading.events[0].name == "\ufffdGull Reel"


def built(parts, rate, depth=0):
    """A track of the library's own objects."""
    made = otio.schema.Track("A1" if not depth else "", kind="Audio")
    for part in parts:
        kind, frames, start, before, after = part[:5]
        if kind == "inner":
            item = otio.schema.Stack(children=[built(part[5], rate, depth + 1)])
            length = round(item.available_range().duration.to_seconds() * rate)
            if frames % 2 and length > 2:
                first = start % (length - 1)
                item.source_range = rng(first, 1 + frames % (length - first), rate)
        elif kind == "gap":
            item = otio.schema.Gap(source_range=rng(0, frames, rate))
        else:
            item = otio.schema.Clip(f"{depth}-{frames}-{start}", source_range=rng(start, frames, rate))
        if len(made) and kind != "gap" and before + after:
            made.append(otio.schema.Transition("x", "SMPTE_Dissolve", at(before, rate), at(after, rate)))
        made.append(item)
    return made


def at(frames, rate):
    return otio.opentime.RationalTime(frames, rate)


def rng(start, frames, rate):
    return otio.opentime.TimeRange(at(start, rate), at(frames, rate))


def by_the_library(timeline, rate):
    """Name and place of each clip by the library's ``visible_range`` and ``transformed_time``, trimmed by its parents."""
    told = []
    for found in timeline.find_clips():
        low, high = visible(found, timeline, rate)
        parent = found.parent()
        while parent.parent() is not None:
            if parent.source_range is not None:
                first, last = visible(parent, timeline, rate)
                low, high = max(low, first), min(high, last)
            parent = parent.parent()
        if high > low:
            told.append((found.name, low, high))
    return told


def visible(item, timeline, rate):
    ranged = item.visible_range()
    ends = (ranged.start_time, ranged.end_time_exclusive())
    return [round(item.transformed_time(end, timeline.tracks).to_seconds() * rate) for end in ends]


PART = st.tuples(
    st.sampled_from(["clip", "clip", "gap"]),
    st.integers(20, 300),
    st.integers(0, 900),
    st.integers(0, 9),
    st.integers(0, 9),
)
INNER = st.tuples(
    st.just("inner"),
    st.integers(1, 99),
    st.integers(0, 99),
    st.integers(0, 9),
    st.integers(0, 9),
    st.lists(PART, min_size=1, max_size=4),
)


@settings(deadline=None)
@given(
    st.lists(st.lists(st.one_of(PART, INNER), min_size=1, max_size=6), min_size=1, max_size=3),
    st.sampled_from([Fraction(24000, 1001), Fraction(24), Fraction(25), Fraction(30000, 1001), Fraction(60)]),
)
def test_places_are_the_librarys_own(tracks, fps):
    """Source: OpenTimelineIO 0.18.1, ``Item.visible_range`` and ``Item.transformed_time``."""
    rate = float(fps)
    value = otio.schema.Timeline("Reel")
    value.global_start_time = at(0, rate)
    for parts in tracks:
        value.tracks.append(built(parts, rate))
    want = by_the_library(value, fps)
    try:
        events = read(value.to_json_string().encode(), rate=None, drop=None).events
    except UnreadableFile as refused_empty:
        assert (refused_empty.code, want) == ("timeline-empty", [])  # noqa: PT017 - both are right
        return
    assert [(each.name, each.record_in, each.record_out) for each in events] == [
        (name, max(0, low), high) for name, low, high in want
    ]
