"""Clips joined into cues: a moment counts once, tails sound on, a long silence makes another cue."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.cut_cues import cues, missing_tracks, on_tracks, parse_tracks, track_order, tracks_of
from supervision.rules.errors import BadValue
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutEvent, Run

FILM = FrameRate(Fraction(24))


def event(start, end, name="Harbour Lights", *tracks, **rest):
    return CutEvent(
        **{"line": start, "number": "001", "reel": "AX", "video": False}
        | {"name": name, "tracks": tracks or ("A1",), "record_in": start, "record_out": end}
        | rest
    )


def told(*events, **options):
    """Name, tracks, runs and frames of each cue."""
    return [
        (cue.name, cue.tracks, [(run.record_in, run.record_out) for run in cue.runs], cue.frames)
        for cue in cues(events, FILM, **options)
    ]


def test_butt_joined_and_overlapping_clips_are_one_run():
    pieces = [event(200, 300), event(100, 200), event(250, 400)]
    assert told(*pieces) == [("Harbour Lights", ("A1",), [(100, 400)], 300)]


def test_stereo_pair_and_stems_count_a_moment_once():
    pair = [event(100, 200, "HARBOUR LIGHTS.L.wav", "A10"), event(100, 200, "HARBOUR LIGHTS.R.wav", "A9")]
    stem = event(150, 250, "HARBOUR_LIGHTS_STEM_DX.wav", "A2")
    assert told(*pair, stem) == [("Harbour Lights", ("A2", "A9", "A10"), [(100, 250)], 150)]


def test_clips_that_sound_together_and_differ_in_their_instruments_are_stems():
    stems = [event(100, 300, "Harbour Lights - Keys", "A3"), event(100, 300, "Harbour Lights Strings.wav", "A4")]
    alone = event(320, 400, "Harbour Lights - Keys", "A3")
    assert told(*stems, alone) == [("Harbour Lights", ("A3", "A4"), [(100, 300), (320, 400)], 280)]
    twice = [event(50, 90, "Harbour Lights - Keys", "A3"), event(90, 120, "Harbour Lights - Keys", "A3")]
    assert told(*twice, *stems)[0][2] == [(50, 300)]
    whole = [event(100, 300, "HARBOUR LIGHTS", "A3"), event(299, 400, "HARBOUR LIGHTS KEYS", "A4")]
    assert told(*whole) == [("Harbour Lights", ("A3", "A4"), [(100, 400)], 300)]


def test_title_that_ends_in_instruments_is_no_stem_by_itself():
    apart = [event(100, 200, "Heart Strings", "A3"), event(200, 300, "Heart", "A3")]
    assert [cue[0] for cue in told(*apart)] == ["Heart Strings", "Heart"]
    beside = [event(100, 200, "Heart Strings", "A3"), event(100, 200, "Tide Table", "A4")]
    assert [cue[0] for cue in told(*beside)] == ["Heart Strings", "Tide Table"]


def test_title_beside_stems_that_it_does_not_sound_with_stays_apart():
    stems = [
        event(100, 300, "Heart Keys", "A3"),
        event(150, 250, "Heart Bass", "A4"),
        event(160, 240, "Heart Brass", "A5"),
    ]
    later = event(5000, 5100, "Heart", "A3")
    assert [(cue[0], cue[3]) for cue in told(*stems, later)] == [("Heart", 200), ("Heart", 100)]


def test_hole_of_one_frame_is_played_through_and_two_are_two_runs():
    assert told(event(100, 200), event(201, 300))[0][2:] == ([(100, 300)], 200)
    assert told(event(100, 200), event(202, 300))[0][2:] == ([(100, 200), (202, 300)], 198)


def test_short_silence_is_the_same_cue_and_a_long_one_another():
    again = 200 + 15 * 24
    assert len(told(event(100, 200), event(again, again + 10))) == 1
    assert len(told(event(100, 200), event(again + 1, again + 10))) == 2


def test_gap_is_said_in_seconds():
    pieces = [event(100, 200), event(260, 300)]
    assert len(told(*pieces, gap=Fraction(5, 2))) == 1
    assert len(told(*pieces, gap=Fraction(2))) == 2
    assert len(told(*pieces, gap=Fraction(0))) == 2
    with pytest.raises(BadValue) as refused:
        told(*pieces, gap=Fraction(-1))
    assert refused.value.place == "gap"


def test_silence_is_measured_from_the_end_of_all_that_sounds():
    pieces = [event(100, 1000), event(150, 200, "Harbour Lights", "A2"), event(1010, 1100)]
    assert told(*pieces) == [("Harbour Lights", ("A1", "A2"), [(100, 1000), (1010, 1100)], 990)]


def test_sources_are_apart_and_in_order_of_time():
    assert [cue[0] for cue in told(event(300, 400), event(100, 200, "TIDE TABLE"))] == ["Tide Table", "Harbour Lights"]


def test_tail_under_a_transition_sounds():
    fading = event(200, 200, tail=24, skipped="zero length")
    assert told(event(100, 200), fading) == [("Harbour Lights", ("A1",), [(100, 224)], 124)]
    assert told(event(100, 200, tail=12)) == [("Harbour Lights", ("A1",), [(100, 212)], 112)]


def test_what_can_be_no_usage_and_picture_alone_make_no_cue():
    assert (
        told(
            event(100, 200, skipped="black"),
            event(100, 100, skipped="zero length"),
            event(200, 100, skipped="out before in"),
            replace(event(100, 200), tracks=(), video=True),
        )
        == []
    )


def test_sound_without_a_named_track_makes_a_cue():
    assert told(replace(event(100, 200), tracks=())) == [("Harbour Lights", (), [(100, 200)], 100)]
    assert told(replace(event(100, 200), tracks=()), music=frozenset(("A1",))) == []


def test_clips_without_names_are_one_source_by_their_reel():
    pieces = [event(100, 200, "", reel="HARB_LGT"), event(200, 300, "", reel="harb_lgt")]
    assert told(*pieces) == [("Harb Lgt", ("A1",), [(100, 300)], 200)]


def test_auxiliary_clips_without_names_are_one_source_only_at_the_same_moments():
    pieces = [event(100, 200, "", "A1"), event(100, 200, "", "A2"), event(200, 300, "", "A1")]
    assert told(*pieces) == [("AX", ("A1", "A2"), [(100, 200)], 100), ("AX", ("A1",), [(200, 300)], 100)]


def test_cue_keeps_lines_and_speeds_other_than_normal():
    pieces = [
        event(100, 200, speed=Fraction(1)),
        event(200, 300, speed=Fraction(-2)),
        event(300, 400, speed=Fraction(1, 2)),
    ]
    cue = cues(pieces, FILM)[0]
    assert (cue.lines, cue.speeds) == ((100, 200, 300), (Fraction(-2), Fraction(1, 2)))


def test_music_tracks_limit_events_and_tracks():
    both = event(100, 200, "Harbour Lights", "A1", "A7")
    assert told(both, event(150, 300), music=frozenset(("A7",))) == [("Harbour Lights", ("A7",), [(100, 200)], 100)]
    assert on_tracks(both, None) == ("A1", "A7")
    assert on_tracks(both, frozenset(("A2",))) is None


@pytest.mark.parametrize(
    ("text", "tracks"),
    [("A7,A8", ["A7", "A8"]), ("a7 - x", None), ("a7-a10", ["A7", "A8", "A9", "A10"]), ("7 8;A9", ["A7", "A8", "A9"])],
)
def test_parse_tracks_reads_lists_and_spans(text, tracks):
    if tracks:
        assert parse_tracks(text) == frozenset(tracks)
    else:
        with pytest.raises(BadValue) as refused:
            parse_tracks(text)
        assert refused.value.place == "music-tracks"


@pytest.mark.parametrize("text", ["", "V1", "A0", "A9-A7", "A1,,B", "A1-A2-A3"])
def test_parse_tracks_refuses_what_names_none(text):
    with pytest.raises(BadValue):
        parse_tracks(text)


def test_missing_tracks_are_told_with_those_there_are():
    events = [event(0, 1, "x", "A10"), event(0, 1, "x", "A2")]
    assert tracks_of(events) == ("A2", "A10")
    assert missing_tracks(frozenset(("A10",)), events) == ""
    assert missing_tracks(frozenset(("A9", "A11")), events) == "No event is on A9, A11. Tracks with sound are A2, A10."
    assert missing_tracks(frozenset(("A1",)), []) == "No event is on A1. The cut names no track with sound."
    assert track_order("Music") == (0, "Music")


SPANS = st.tuples(st.integers(0, 500), st.integers(1, 60), st.sampled_from(["A1", "A2", "A3"]))


@given(st.lists(SPANS, max_size=25), st.randoms(use_true_random=False))
def test_frames_are_the_moments_that_sound_in_whatever_order_events_come(spans, random):
    """Against a set of frames: the sum of the cues' runs, but for holes of one frame, is what sounds."""
    events = [event(start, start + length, "Harbour Lights", track) for start, length, track in spans]
    random.shuffle(events)
    sounding = {frame for start, length, _ in spans for frame in range(start, start + length)}
    holes = {frame for frame in range(600) if frame not in sounding and {frame - 1, frame + 1} <= sounding}
    found = cues(events, FILM, gap=Fraction(1))
    covered = [frame for cue in found for run in cue.runs for frame in range(run.record_in, run.record_out)]
    assert sorted(covered) == sorted(sounding | holes)
    assert sum(cue.frames for cue in found) == len(covered)
    assert all(isinstance(run, Run) for cue in found for run in cue.runs)
