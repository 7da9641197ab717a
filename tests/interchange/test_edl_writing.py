"""Edit lists written and read back."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange import edl
from supervision.interchange.edl_writing import write_edl
from supervision.interchange.otio_writing import TimelineMarker
from supervision.rules.errors import BadValue
from supervision.rules.timecode import RATES, FrameRate
from supervision.rules.timeline import CutEvent

NTSC_DROP = FrameRate(Fraction(30000, 1001), drop=True)


def event(**rest):
    usual = {"line": 0, "number": "", "reel": "AX", "name": "Harbour Lights", "tracks": ("A7",), "video": False}
    return CutEvent(**usual | {"record_in": 109_632, "record_out": 109_900, "source_in": 0, "source_out": 268} | rest)


def lines(*events, **rest):
    return write_edl("MARRAM 101", NTSC_DROP, events, **rest).split("\r\n")


def test_list_as_it_is_written():
    assert lines(event()) == [
        "TITLE: MARRAM 101",
        "FCM: DROP FRAME",
        "* FRAME RATE: 30000/1001",
        "",
        "001  AX       A7    C        00:00:00;00 00:00:08;28 01:00:58;00 01:01:07;00",
        "* FROM CLIP NAME: Harbour Lights",
        "",
    ]


@pytest.mark.parametrize(
    ("tracks", "video", "fields", "further"),
    [
        ((), True, ["V"], None),
        ((), False, ["NONE"], None),
        (("A1",), False, ["A"], None),
        (("A1",), True, ["B"], None),
        (("A1", "A2"), False, ["AA"], None),
        (("A1", "A2"), True, ["AA/V"], None),
        (("A2",), True, ["A2/V"], None),
        (("A3",), False, ["A3"], None),
        (("A10",), True, ["A10/V"], None),
        (("A1", "A2", "A3", "A4"), False, ["AA"], "AUD  3    4"),
        (("A3", "A4"), False, ["NONE"], "AUD  3    4"),
        (("A1", "A4"), True, ["B"], "AUD  4"),
        (("A2", "A7"), True, ["A2/V", "A7"], None),
    ],
)
def test_channels_are_written_as_the_format_has_them(tracks, video, fields, further):
    written = lines(event(tracks=tracks, video=video))
    assert [line.split()[2] for line in written if line.startswith("001")] == fields
    assert next((line for line in written if line.startswith("AUD")), None) == further


@pytest.mark.parametrize(
    ("speed", "written"),
    [(Fraction(1, 2), "015.0"), (Fraction(-2), "-060.0"), (Fraction(0), "000.0"), (Fraction(1001, 1000), "030.03")],
)
def test_speeds_have_one_decimal_or_as_many_as_they_need(speed, written):
    assert next(line for line in lines(event(speed=speed)) if line.startswith("M2")).split()[2] == written


def test_markers_stand_below_the_event_that_is_on():
    markers = [
        TimelineMarker(frame=109_950, name="Bell", comment="at sea", colour="RED"),
        TimelineMarker(frame=0, name="Start"),
    ]
    written = lines(event(), event(record_in=109_900, record_out=110_000), markers=markers)
    assert [line for line in written if line.startswith(("* LOC", "0"))] == [
        "001  AX       A7    C        00:00:00;00 00:00:08;28 01:00:58;00 01:01:07;00",
        "* LOC: 00:00:00;00 GREEN   Start",
        "002  AX       A7    C        00:00:00;00 00:00:08;28 01:01:07;00 01:01:10;10",
        "* LOC: 01:01:08;20 RED     Bell at sea",
    ]
    assert lines(markers=markers)[3] == "* LOC: 00:00:00;00 GREEN   Start"


def test_source_times_are_made_up_where_there_are_none():
    assert "00:00:00;00 00:00:08;28" in lines(event(source_in=None, source_out=None))[4]


def test_texts_stay_in_their_line():
    written = write_edl("A\r\nB", NTSC_DROP, [event(name="Harbour\n* FROM CLIP NAME: Lights\x00", reel=" ")])
    found = edl.read(written.encode(), rate=None, drop=None)
    assert (found.title, found.events[0].name, found.events[0].reel) == (
        "A B",
        "Harbour * FROM CLIP NAME: Lights",
        "AX",
    )


def test_event_without_a_name_has_no_comment():
    assert lines(event(name=""))[5:] == [""]


def test_time_past_midnight_is_the_next_days():
    rate = FrameRate(Fraction(25))
    start = rate.day - 250
    written = write_edl("LATE", rate, [event(record_in=start, record_out=start + 500, source_in=0, source_out=500)])
    assert "23:59:50:00 00:00:10:00" in written
    found = edl.read(written.encode(), rate=None, drop=None).events[0]
    assert (found.record_in, found.record_out) == (start, start + 500)


def test_time_before_midnight_is_refused():
    with pytest.raises(BadValue) as refused:
        lines(event(record_in=-1))
    assert refused.value.place == "record_in"


def test_transition_is_written_by_its_kind():
    kinds = [event(transition=kind) for kind in ("cut", "dissolve", "wipe", "key")]
    found = edl.read(write_edl("KINDS", NTSC_DROP, kinds).encode(), rate=None, drop=None)
    assert [(one.transition, one.name) for one in found.events] == [
        (kind, "Harbour Lights") for kind in ("cut", "dissolve", "wipe", "key")
    ]


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12)
NAMES = (
    st.lists(WORDS, min_size=1, max_size=4)
    .map(" ".join)
    .filter(lambda name: name.upper() not in ("(NULL)", "NULL", "(NONE)"))
)
REELS = st.from_regex(r"[A-Z][A-Z0-9_]{2,31}(\.[A-Z0-9]{3})?", fullmatch=True)
FOUR = st.sets(st.sampled_from(["A1", "A2", "A3", "A4"]), min_size=1).map(sorted).map(tuple)
TRACKS = FOUR | st.integers(1, 33).map(lambda number: (f"A{number}",)) | st.just(())
SPEEDS = st.none() | st.integers(-4000, 4000).map(lambda tenth: Fraction(tenth, 10))


@st.composite
def written_events(draw, rate):
    start = draw(st.integers(0, rate.day - 50_001))
    source = draw(st.integers(0, rate.day - 50_001))
    speed = draw(SPEEDS)
    return CutEvent(
        line=0,
        number="",
        reel=draw(REELS),
        name=draw(NAMES),
        tracks=draw(TRACKS),
        video=draw(st.booleans()),
        record_in=start,
        record_out=start + draw(st.integers(1, 50_000)),
        source_in=source,
        source_out=source + draw(st.integers(0, 50_000)),
        transition=draw(st.sampled_from(["cut", "dissolve", "wipe", "key"])),
        speed=None if speed is None else speed / rate.nominal,
    )


@given(st.data(), st.sampled_from(RATES))
def test_what_is_written_is_read_back_equal(data, rate):
    events = data.draw(st.lists(written_events(rate), min_size=1, max_size=6))
    found = edl.read(write_edl("A title", rate, events).encode(), rate=None, drop=None)
    assert (found.title, found.rate, found.rate_from) == ("A title", rate, "file")
    assert [warning.text for warning in found.warnings if "(NONE)" not in warning.text] == []
    for number, (before, after) in enumerate(zip(events, found.events, strict=True), start=1):
        near = before.speed is not None and abs(abs(before.speed * rate.nominal) - rate.fps) < Fraction(1, 100)
        speed = Fraction(1 if before.speed > 0 else -1) if near else before.speed
        expected = replace(before, number=f"{number:03}", speed=speed, line=after.line)
        assert replace(after, skipped="", tail=0) == expected
