"""Which tracks are music and where the programme starts. Common practice, no published source; names are invented."""

from fractions import Fraction

import pytest

from supervision.rules.durations import Span
from supervision.rules.import_setup import guess_tracks, relabelled, start_from
from supervision.rules.timecode import FrameRate, parse_timecode
from supervision.rules.timeline import CutEvent, TrackName

RATE = FrameRate(Fraction(25))


def event(name, tracks, start=0, end=250, **rest):
    return CutEvent(
        line=1,
        number="001",
        reel="AX",
        name=name,
        tracks=tuple(tracks),
        video=False,
        record_in=start,
        record_out=end,
        **rest,
    )


def guesses(*events, known=(), names=()):
    return {
        guess.track: (guess.music, guess.reason)
        for guess in guess_tracks(events, RATE, lambda name: name in set(known), names)
    }


def test_names_tell_music_from_dialogue_and_effects():
    assert guesses(
        event("S12A_T3_BOOM.wav", ["A1"]),
        event("ROOMTONE kitchen", ["A2"]),
        event("Unnamed thing", ["A2"]),
        event("2M14 stem.wav", ["A7", "A8"]),
        event("Harbour Lights", ["A8"]),
        event("Unnamed thing", ["A10"]),
        known=["Harbour Lights"],
    ) == {
        "A1": (False, "1 of 1 names speaks of dialogue or effects"),
        "A2": (False, "1 of 2 names speaks of dialogue or effects"),
        "A7": (True, "1 of 1 names speaks of music or is in the catalogue"),
        "A8": (True, "2 of 2 names speak of music or are in the catalogue"),
        "A10": (False, "no name speaks of music"),
    }


def test_a_track_of_both_goes_by_the_majority():
    names = ["MX one", "MX two", "SFX door"]
    assert guesses(*(event(name, ["A3"]) for name in names))["A3"][0] is True
    assert guesses(*(event(name, ["A3"]) for name in [*names, "SFX bell", "FX rain"]), event("MX", ["A4"]))["A3"] == (
        False,
        "3 of 5 names speak of dialogue or effects",
    )


def test_where_no_name_speaks_every_track_is_taken():
    reason = "no name tells music from other sound, so every track is taken"
    assert guesses(event("Tide", ["A1"]), event("Weir", ["A2"])) == {"A1": (True, reason), "A2": (True, reason)}


def test_what_the_file_calls_a_track_speaks_louder_than_what_is_on_it():
    called = [TrackName("A1", "dialogue, storyline"), TrackName("A2", "music, lane -1"), TrackName("A3", "Track 3")]
    events = [event("MX one", ["A1"]), event("Tide", ["A2"]), event("Weir", ["A3"])]
    assert guesses(*events, names=called) == {
        "A1": (False, "the file calls it so"),
        "A2": (True, "the file calls it so"),
        "A3": (False, "no name speaks of music"),
    }
    assert [each.called for each in guess_tracks(events, RATE, lambda _: False, called)] == [
        "dialogue, storyline",
        "music, lane -1",
        "Track 3",
    ]


def test_a_track_is_told_by_clips_time_and_names():
    first, second = guess_tracks(
        [
            event("A", ["A10"], 0, 250),
            event("B", ["A2"], 0, 250),
            event("B", ["A2"], 125, 500),
            event("C", ["A2"], 125, 125, skipped="zero length"),
            event("picture", [], 0, 250),
        ],
        RATE,
        lambda _: False,
    )
    assert (first.track, first.clips, first.seconds, first.samples) == ("A2", 2, 20, ("B",))
    assert (second.track, second.clips, second.seconds) == ("A10", 1, 10)


def frame(text):
    return parse_timecode(text, RATE)


PROGRAMME = Span(frame("10:00:00:00"), frame("10:45:00:00"))


@pytest.mark.parametrize(
    ("first", "start", "reason"),
    [
        ("10:00:00:00", "10:00:00:00", "what it lists lies in the cut as it is timed here"),
        ("10:44:59:24", "10:00:00:00", "what it lists lies in the cut as it is timed here"),
        (
            "01:00:10:00",
            "01:00:00:00",
            "its first event is at 01:00:10:00, and a programme starts on the full hour",
        ),
        (
            "00:59:58:00",
            "01:00:00:00",
            "its first event is at 00:59:58:00, and a programme starts on the full hour",
        ),
        (
            "00:00:00:00",
            "00:00:00:00",
            "its first event is at 00:00:00:00, and a programme starts on the full hour",
        ),
        (
            "00:12:00:00",
            "00:00:00:00",
            "its first event is at 00:12:00:00, and a programme starts on the full hour",
        ),
    ],
)
def test_where_the_programme_starts_in_the_file(first, start, reason):
    assert start_from([frame(first), frame(first) + 50], PROGRAMME, RATE) == (frame(start), reason)


def test_a_few_events_far_from_the_others_tell_nothing():
    tone = frame("00:00:00:00")
    inside = [frame("10:01:00:00"), frame("10:20:00:00")]
    assert start_from([tone, *inside], PROGRAMME, RATE)[0] == PROGRAMME.start
    elsewhere = [frame("01:01:00:00"), frame("01:20:00:00"), frame("02:10:00:00")]
    assert start_from([tone, *elsewhere], PROGRAMME, RATE) == (
        frame("01:00:00:00"),
        "its first event is at 01:01:00:00, and a programme starts on the full hour",
    )
    assert start_from([*elsewhere, frame("09:00:00:00")], PROGRAMME, RATE)[0] == frame("01:00:00:00")
    assert start_from([], PROGRAMME, RATE) == (PROGRAMME.start, "there is nothing to tell it by")


def test_the_full_hour_of_drop_frame_is_that_of_its_labels():
    rate = FrameRate(Fraction(30000, 1001), drop=True)
    first = parse_timecode("01:00:05;00", rate)
    assert start_from([first], Span(0, 0), rate)[0] == parse_timecode("01:00:00;00", rate) == 107_892  # ST 12-1


@pytest.mark.parametrize(
    ("label", "rate", "other", "expected"),
    [
        ("10:00:00:00", "25", "24", "10:00:00:00"),
        ("10:00:10:24", "25", "24", "10:00:10:23"),
        ("01:00:10:12", "24", "25", "01:00:10:12"),
        ("00:01:00:00", "25", "30000/1001", "00:01:00;02"),  # ST 12-1: 00:01:00;00 does not exist
        ("00:10:00:00", "25", "30000/1001", "00:10:00;00"),
    ],
)
def test_a_label_at_another_rate(label, rate, other, expected):
    rate, other = (FrameRate(Fraction(each), drop=each == "30000/1001") for each in (rate, other))
    assert relabelled(parse_timecode(label, rate), rate, other) == parse_timecode(expected, other)
    assert relabelled(100, rate, rate) == 100
