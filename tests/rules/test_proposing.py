"""Cues and rows of a song log as proposals, matched."""

from dataclasses import replace
from fractions import Fraction

import pytest

from supervision.rules.cut_cues import cues
from supervision.rules.durations import Span
from supervision.rules.findings import Finding, Level
from supervision.rules.matching import Candidate, Match, Standing, Wanted
from supervision.rules.proposal import Facts
from supervision.rules.proposing import isrc_in, matched, propose_cues, propose_rows, wanted_by
from supervision.rules.song_log_rows import ProposedUsage
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutEvent
from supervision.rules.usage import Facets, Origin

RATE = FrameRate(Fraction(25))


def event(line, name, start, end, tracks=("A7",), **rest):
    return CutEvent(
        line=line,
        number=f"{line:03}",
        reel="AX",
        name=name,
        tracks=tracks,
        video=False,
        record_in=start,
        record_out=end,
        **rest,
    )


def proposed(*events):
    return propose_cues(cues(events, RATE), events)


def test_a_cue_is_one_proposal_with_the_lines_tracks_and_speeds_of_its_events():
    found = proposed(
        event(2, "TIDE_v2.wav", 0, 100, speed=Fraction(25, 24)),
        event(4, "TIDE_v2.wav", 0, 100, ("A8",), speed=Fraction(25, 24)),
        event(6, "TIDE_v3.wav", 100, 200),
        event(8, "WEIR.wav", 150, 300, speed=Fraction(1)),
        event(10, "BLACK", 300, 400, skipped="black"),
    )
    assert [
        (each.key, each.name, each.clip, each.title, each.lines, each.tracks, each.speeds, each.run, each.sounding)
        for each in found
    ] == [
        (
            1,
            "Tide",
            "TIDE_v2.wav",
            "Tide",
            (2, 4, 6),
            ("A7", "A8"),
            (Fraction(25, 24),),
            found[0].run,
            200,
        ),
        (2, "Weir", "WEIR.wav", "Weir", (8,), ("A7",), (), found[1].run, 150),
    ]
    assert [each.placed(0) for each in found] == [Span(0, 200), Span(150, 300)]


def test_a_bridged_silence_is_told_by_what_sounds():
    (found,) = proposed(event(2, "Tide", 0, 100), event(4, "Tide", 200, 300))
    assert (found.placed(0), found.sounding) == (Span(0, 300), 200)


def test_a_timeline_without_lines_has_none_and_a_clip_without_a_name_its_reel():
    (found,) = proposed(event(0, "", 0, 100))
    assert (found.lines, found.title, found.clip) == ((), "AX", "AX")


@pytest.mark.parametrize(
    ("name", "isrc"),
    [
        ("QMEX11900001_Harbour Lights.wav", "QMEX11900001"),
        ("Harbour Lights (US-SKG-19-12345)", "USSKG1912345"),  # the example of python-stdnum's documentation
        ("QMEX11900001 QMEX11900001", "QMEX11900001"),
        ("QMEX11900001 QMEX11900002", ""),
        ("qmex11900001.wav", ""),
        ("XQMEX11900001", ""),
        ("Harbour Lights 1900001", ""),
    ],
)
def test_an_isrc_in_a_clips_name_is_read(name, isrc):
    assert isrc_in(name) == isrc
    (found,) = proposed(event(2, name, 0, 100))
    assert found.isrc == isrc


def test_an_isrc_is_no_part_of_the_title():
    (found,) = proposed(event(2, "QMEX11900001_Harbour Lights.wav", 0, 100))
    assert (found.title, found.clip) == ("Harbour Lights", "QMEX11900001_Harbour Lights.wav")
    (shouted,) = proposed(event(2, "HARBOUR LIGHTS QM-EX1-19-00001.wav", 0, 100))
    assert (shouted.title, shouted.isrc) == ("Harbour Lights", "QMEX11900001")
    (bare,) = proposed(event(2, "QMEX11900001.wav", 0, 100))
    assert bare.title == "QMEX11900001"


def test_a_row_of_a_log_keeps_all_that_it_says():
    row = ProposedUsage(
        line=7,
        cue_number="1M1",
        title="Tide",
        version="Live",
        artist="Ada",
        isrc="QMEX11900001",
        label="Skala",
        catalogue_number="SK-1",
        track_number="4",
        scene="On the pier",
        notes="loud",
        facets=Facets(origin=Origin.LIBRARY),
        writers="Ada Weir",
        publishers="Kotva Music",
        iswc="T0345246801",
        span=Span(10, 20),
        frames=10,
        findings=(Finding(Level.WARNING, "odd", "row 7, column B", "It is odd.", "Look at it."),),
    )
    placed, loose = propose_rows([row, ProposedUsage(line=9, working_title="Something slow", frames=40)])
    assert (placed.key, placed.title, placed.artist, placed.isrc, placed.lines) == (
        1,
        "Tide",
        "Ada",
        "QMEX11900001",
        (7,),
    )
    assert placed.placed(0) == Span(10, 20)
    assert placed.facts == Facts(
        cue_number="1M1",
        version="Live",
        label="Skala",
        catalogue_number="SK-1",
        track_number="4",
        scene="On the pier",
        notes="loud\nWriters: Ada Weir\nPublishers: Kotva Music\nISWC: T0345246801",
        facets=Facets(origin=Origin.LIBRARY),
    )
    assert placed.told == ("row 7, column B: It is odd. Look at it.",)
    assert (loose.key, loose.title, loose.run, loose.lines) == (2, "Something slow", None, (9,))
    assert (loose.facts.notes, loose.told) == ("Length: 40 frames", ())
    assert wanted_by(placed) == Wanted("Tide (Live)", "Ada", "QMEX11900001")
    assert wanted_by(loose) == Wanted("Something slow")


def test_each_proposal_is_asked_for_with_its_name_in_the_file():
    (tide,) = proposed(event(2, "TIDE_v2.wav", 0, 100))
    best = Candidate("R1", "Tide", "", 100, "same title")
    asked = []

    def match(wanted, name):
        asked.append((wanted, name))
        return Match(Standing.MATCHED, best)

    (found,) = matched([replace(tide, title="Ebb")], match)
    assert asked == [(Wanted("Ebb"), "Tide")]
    assert (found.decision, found.song) == ("song", "R1")
