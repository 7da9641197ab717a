"""Timelines written here are read back by OpenTimelineIO (0.18.1) and by our own reader, to the frame."""

import json
import subprocess
import sys
from fractions import Fraction

import opentimelineio as otio
import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange.otio_timeline import read
from supervision.interchange.otio_writing import TimelineMarker, TimelinePlacement, write_otio
from supervision.rules.errors import BadValue
from supervision.rules.timecode import RATES, FrameRate
from tests.interchange.timeline_files import guessed_drop

DROP = FrameRate(Fraction(30000, 1001), True)
TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Zs", "Zl", "Zp")), min_size=1, max_size=30)


def placed(name, record_in, record_out, track="A1", **more):
    return TimelinePlacement(name=name, record_in=record_in, record_out=record_out, track=track, **more)


def written(placements, *, rate=DROP, start_frame=107_892, markers=(), title="MARRAM 104"):
    return write_otio(title=title, rate=rate, start_frame=start_frame, placements=placements, markers=markers)


def by_the_library(text):
    timeline = otio.adapters.read_from_string(text, "otio_json")
    start = round(timeline.global_start_time.value)
    told = []
    for track in timeline.tracks:
        for clip in track.find_clips():
            where = clip.range_in_parent()
            first = start + round(where.start_time.value)
            told.append((track.name, clip.name, first, first + round(where.duration.value)))
    return timeline, told


def by_ourselves(text):
    reading = read(text.encode(), rate=None, drop=None)
    return reading, [(*each.tracks, each.name, each.record_in, each.record_out) for each in reading.events]


def test_timeline_with_notes_facts_and_markers():
    text = written(
        [
            placed("Harbour Lights", 107_922, 108_252, note="under the speech", facts={"cue": "4M2"}),
            placed("Lantern Waltz", 108_232, 108_492, "A2"),
        ],
        markers=[
            TimelineMarker(frame=108_000, name="Act 2", comment="after the break", frames=10, colour="RED"),
            TimelineMarker(frame=108_100, name="Sting?", colour="beige"),
        ],
    )
    timeline, told = by_the_library(text)
    assert timeline.name == "MARRAM 104"
    assert timeline.global_start_time == otio.opentime.RationalTime(107_892, 30000 / 1001)
    assert told == [("A1", "Harbour Lights", 107_922, 108_252), ("A2", "Lantern Waltz", 108_232, 108_492)]
    assert dict(next(iter(timeline.find_clips())).metadata["ledger_line"]) == {"cue": "4M2", "note": "under the speech"}
    act, sting = timeline.tracks.markers
    assert (act.name, act.color, act.comment) == ("Act 2", "RED", "after the break")
    assert (act.marked_range.start_time.value, act.marked_range.duration.value) == (108, 10)
    assert (sting.color, sting.marked_range.duration.value) == ("GREEN", 0)
    reading, ours = by_ourselves(text)
    assert (reading.rate, reading.rate_from, ours) == (DROP, "file", told)
    assert reading.warnings == ()


def test_rates_are_written_as_the_library_writes_them():
    for rate in RATES:
        text = written([placed("X", 10, 20)], rate=rate, start_frame=0)
        theirs = otio.schema.Timeline(global_start_time=otio.opentime.RationalTime(0, float(rate.fps))).to_json_string()
        assert json.loads(text)["global_start_time"] == json.loads(theirs)["global_start_time"]


def test_placements_that_overlap_go_on_further_tracks():
    text = written(
        [
            placed("A", 0, 100),
            placed("B", 50, 150),
            placed("C", 60, 70),
            placed("D", 100, 120, "A4"),
            placed("E", 150, 160),
        ],
        start_frame=0,
    )
    want = [
        ("A1", "A", 0, 100),
        ("A1", "E", 150, 160),
        ("A4", "D", 100, 120),
        ("A5", "B", 50, 150),
        ("A6", "C", 60, 70),
    ]
    assert by_the_library(text)[1] == want
    assert by_ourselves(text)[1] == want


def test_track_of_another_name_comes_first_and_is_told_by_order():
    text = written([placed("A", 0, 10, "A2"), placed("B", 0, 10, "Music")], start_frame=0)
    assert [each[:2] for each in by_the_library(text)[1]] == [("Music", "B"), ("A2", "A")]
    assert [each[:2] for each in by_ourselves(text)[1]] == [("A1", "B"), ("A2", "A")]


@pytest.mark.parametrize(("record_in", "record_out"), [(107_000, 108_000), (108_000, 108_000), (108_000, 107_950)])
def test_placement_without_a_place_is_refused(record_in, record_out):
    with pytest.raises(BadValue, match="“X” has no place in the timeline") as refused:
        written([placed("X", record_in, record_out)])
    assert refused.value.place == "X"


def test_empty_episode_is_a_timeline_without_tracks():
    assert by_the_library(written([]))[1] == []


@pytest.mark.parametrize("ours", [{"rate": "12"}, {"rate": 5}, {"rate": "25", "drop": True}, [], "x"])
def test_strange_words_under_our_name_are_no_rate_of_ours(ours):
    value = json.loads(written([placed("X", 107_900, 107_990)]))
    value["metadata"]["ledger_line"] = ours
    reading, _ = by_ourselves(json.dumps(value))
    assert guessed_drop(reading).endswith(
        "its start, frame 107892, is the whole second 01:00:00;00 in that counting only."
    )


def test_way_out_needs_no_library():
    code = (
        "import sys; sys.modules['opentimelineio'] = None; sys.modules['aaf2'] = None\n"
        "from fractions import Fraction\n"
        "from supervision.interchange.otio_writing import TimelinePlacement, write_otio\n"
        "from supervision.interchange.cut_file import read_cut\n"
        "from supervision.rules.timecode import FrameRate\n"
        "placed = TimelinePlacement(name='X', record_in=5, record_out=10)\n"
        "text = write_otio(title='T', rate=FrameRate(Fraction(25)), start_frame=0, placements=[placed])\n"
        "print(read_cut(text.encode(), name='t.otio').events[0].frames)"
    )
    run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert (run.stdout, run.stderr) == ("5\n", "")


@given(
    st.sampled_from(RATES),
    st.integers(0, 1_000_000),
    st.lists(st.tuples(TEXT, st.integers(0, 5000), st.integers(1, 2000), st.integers(1, 4)), min_size=1, max_size=12),
    TEXT,
)
def test_whatever_is_written_is_read_back(rate, start, usages, title):
    placements = [placed(name, start + at, start + at + frames, f"A{track}") for name, at, frames, track in usages]
    text = written(placements, rate=rate, start_frame=start, title=title)
    timeline, theirs = by_the_library(text)
    reading, ours = by_ourselves(text)
    spans = sorted((each.name, each.record_in, each.record_out) for each in placements)
    assert sorted(each[1:] for each in theirs) == spans
    assert (timeline.name, reading.rate, reading.rate_from) == (title, rate, "file")
    assert [each[2:] for each in ours] == [each[2:] for each in theirs]
    assert sorted((each.record_in, each.record_out) for each in reading.events) == sorted(span[1:] for span in spans)
