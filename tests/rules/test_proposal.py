"""Proposals: where they stand, what people decide about them, and what is kept when a file is laid out anew."""

from dataclasses import replace
from fractions import Fraction

import pytest

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.matching import UNMATCHED, Candidate, Match, Standing
from supervision.rules.proposal import (
    Decided,
    Facts,
    Proposal,
    carry_over,
    decide,
    speed_text,
    title_key,
    with_match,
)
from supervision.rules.timeline import Run

BEST = Candidate("R1", "Harbour Lights", "The Lockkeepers", 100, "same title")
TIDE = Proposal(key=1, name="Tide", title="Tide", clip="TIDE.wav", lines=(3,), record_in=100, record_out=200)
ROW = Proposal(key=2, name="Weir", title="Weir", lines=(9,))


def refused(decided, proposal=TIDE):
    with pytest.raises(BadValue) as found:
        decide([proposal], {proposal.key: decided})
    return found.value.code, found.value.place


def test_a_proposal_stands_where_the_file_says_and_the_shift_brings_it():
    assert TIDE.placed(0) == Span(100, 200)
    assert TIDE.placed(50) == Span(150, 250)
    assert TIDE.placed(-100) == Span(0, 100)
    assert TIDE.placed(-101) is None
    assert ROW.placed(0) is None


def test_edited_times_take_the_place_of_the_file():
    edited = replace(ROW, edited=Run(record_in=5, record_out=9))
    assert edited.placed(1) == Span(6, 10)


def test_a_trusted_song_is_taken_and_a_doubtful_one_is_not():
    taken = with_match(TIDE, Match(Standing.MATCHED, BEST))
    assert (taken.decision, taken.song, taken.open, taken.song_key) == ("song", "R1", False, "R1")
    doubtful = with_match(TIDE, Match(Standing.TO_CONFIRM, BEST))
    assert (doubtful.decision, doubtful.song, doubtful.open, doubtful.song_key) == ("title", "", True, "= tide")


def test_a_match_never_undoes_what_a_person_decided():
    skipped = replace(TIDE, decision="skip", touched=True)
    assert with_match(skipped, Match(Standing.CERTAIN, BEST)) == replace(skipped, match=Match(Standing.CERTAIN, BEST))
    assert not skipped.kept
    assert not skipped.open


def test_music_without_a_name_is_like_no_other():
    assert title_key(" – ") == "= –"
    assert title_key("") == ""
    assert title_key("Řezeda ") == title_key("rezeda")


@pytest.mark.parametrize(
    ("decided", "changed"),
    [
        (Decided(decision="song", song="R9"), {"decision": "song", "song": "R9"}),
        (Decided(decision="new", artist="Ada"), {"decision": "new", "artist": "Ada"}),
        (Decided(title="Ebb"), {"title": "Ebb"}),
        (Decided(decision="skip"), {"decision": "skip"}),
        (Decided(cue_number="1M1"), {"facts": Facts(cue_number="1M1")}),
        (Decided(run=Run(record_in=1, record_out=2)), {"edited": Run(record_in=1, record_out=2)}),
    ],
)
def test_a_decision_changes_what_it_names_and_is_known_to_be_a_persons(decided, changed):
    assert decide([TIDE, ROW], {1: decided}) == [replace(TIDE, touched=True, **changed), ROW]


def test_a_decision_that_says_nothing_new_leaves_the_row_alone():
    same = Decided(decision="title", song="", title="Tide", artist="", cue_number="", run=TIDE.run)
    assert decide([TIDE], {1: same}) == [TIDE]


def test_a_song_goes_when_something_else_is_decided():
    song = replace(TIDE, decision="song", song="R1")
    assert decide([song], {1: Decided(decision="title")})[0].song == ""


def test_decisions_that_cannot_be_are_refused_by_their_row():
    assert refused(Decided(decision="burn")) == ("decision-unknown", "row 1")
    assert refused(Decided(decision="song")) == ("song-missing", "row 1")
    assert refused(Decided(decision="new", title=" ")) == ("title-missing", "row 1")
    with pytest.raises(BadValue, match="There is no row 7"):
        decide([TIDE], {7: Decided()})


def test_decisions_go_with_their_clip_when_the_file_is_laid_out_anew():
    decided = replace(
        TIDE,
        title="Ebb",
        decision="new",
        touched=True,
        edited=Run(record_in=90, record_out=200),
        facts=Facts(cue_number="1M1"),
    )
    found = replace(TIDE, key=5, tracks=("A7",), match=UNMATCHED)
    assert carry_over([decided], [found, replace(found, key=6, record_in=101)]) == [
        replace(
            found,
            title="Ebb",
            decision="new",
            touched=True,
            edited=Run(record_in=90, record_out=200),
            facts=Facts(cue_number="1M1"),
        ),
        replace(found, key=6, record_in=101),
    ]


def test_a_row_without_a_time_is_known_by_its_line():
    decided = replace(ROW, decision="skip", touched=True)
    assert carry_over([decided], [replace(ROW, key=7), replace(ROW, key=8, lines=(10,))]) == [
        replace(ROW, key=7, decision="skip", touched=True),
        replace(ROW, key=8, lines=(10,)),
    ]


def test_a_proposal_is_kept_as_plain_values_and_comes_back():
    whole = replace(
        TIDE,
        speeds=(Fraction(25, 24),),
        match=Match(Standing.MATCHED, BEST, BEST),
        edited=Run(record_in=1, record_out=2),
    )
    assert from_plain(Proposal, to_plain(whole)) == whole


@pytest.mark.parametrize(
    ("speed", "text"),
    [
        (Fraction(25, 24), "104.2 %"),
        (Fraction(1, 2), "50 %"),
        (Fraction(-1), "−100 %"),
        (Fraction(959, 1000), "95.9 %"),
    ],
)
def test_speed_in_per_cent(speed, text):
    assert speed_text(speed) == text
