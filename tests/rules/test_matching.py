"""Which song a name means. The limits are common practice, no published source; likeness of letters is rapidfuzz's."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz import fuzz

from supervision.rules.matching import (
    ALIKE,
    FLOOR,
    MARGIN,
    OTHER_ARTIST,
    OTHER_NUMBER,
    SURE,
    UNMATCHED,
    UNSURE,
    Candidate,
    Song,
    Standing,
    Titles,
    Wanted,
    remembered,
)

LIGHTS = Song("R1", "Harbour Lights", "The Lockkeepers", isrc="QMEX11900001")
REPRISE = Song("R2", "Harbour Lights (Reprise)", "The Lockkeepers")
NOCTURNE = Song("R3", "Nocturne No. 2", "Ada Weir")
TIDE = Song("R4", "Tide", "Nets & Buoys")
KANA = Song("R5", "夜のがき", "灯台")
ACCENTED = Song("W6", "Řezeda", titles=("Mignonette",))
NUMBERED = Song("R7", "Low Water", "Pier 9")
SONGS = (LIGHTS, REPRISE, NOCTURNE, TIDE, KANA, ACCENTED, NUMBERED)


@pytest.fixture(scope="module")
def titles():
    return Titles(SONGS)


def match(titles, title, artist="", isrc=""):
    found = titles.match(Wanted(title, artist, isrc))
    return found.standing, found.best and (found.best.code, found.best.score, found.best.reason)


@pytest.mark.parametrize(
    ("title", "standing", "best"),
    [
        ("Harbour Lights", Standing.MATCHED, ("R1", 100, "same title")),
        ("HARBOUR  LIGHTS", Standing.MATCHED, ("R1", 100, "same title")),
        ("Harbour Lights (feat. Ada Weir)", Standing.MATCHED, ("R1", 98, "same title but for accents or punctuation")),
        ("Harbour Lights (Reprise)", Standing.MATCHED, ("R2", 100, "same title")),
        ("Harbour Lights [Reprise]", Standing.MATCHED, ("R2", 100, "same title")),
        ("Harbour Lights Reprise", Standing.MATCHED, ("R2", 96, "same words")),
        ("Lights, Harbour", Standing.MATCHED, ("R1", 96, "same words")),
        ("Harbor Lights", Standing.MATCHED, ("R1", ALIKE, "title alike but for the spelling")),
        ("Lockkeepers Harbor Lights", Standing.MATCHED, ("R1", 91, "title alike but for the spelling")),
        ("The Lockkeepers - Harbour Lights", Standing.MATCHED, ("R1", 98, "title and artist in the name")),
        ("Low Water Pier 9", Standing.MATCHED, ("R7", 98, "title and artist in the name")),
        ("Nocturne No 2", Standing.MATCHED, ("R3", 100, "same title")),
        ("Rezeda", Standing.MATCHED, ("W6", 98, "same title but for accents or punctuation")),
        ("mignonette", Standing.MATCHED, ("W6", 100, "same title")),
        ("夜のがき", Standing.MATCHED, ("R5", 100, "same title")),
    ],
)
def test_the_same_title_is_taken(titles, title, standing, best):
    assert match(titles, title) == (standing, best)


@pytest.mark.parametrize(
    ("title", "best"),
    [
        # Another instalment, another version, another single word, other voicing marks: all near, none the same.
        ("Nocturne No. 3", ("R3", OTHER_NUMBER, "another number")),
        ("Harbour Lights (Acoustic)", ("R1", UNSURE, "same title, without a version")),
        ("Tides", ("R4", UNSURE, "title alike")),
        ("Harbour Nights", ("R1", UNSURE, "title alike")),
        ("Harbour Lights Everywhere", ("R1", 72, "title alike")),
        ("夜のかき", ("R5", UNSURE, "same letters with other marks")),
    ],
)
def test_what_is_merely_near_waits_for_a_person(titles, title, best):
    assert match(titles, title) == (Standing.TO_CONFIRM, best)


@pytest.mark.parametrize("title", ["", "   ", "()", "Zzyzx", "!!!", "x" * 5000])
def test_nothing_alike_is_unknown(titles, title):
    assert titles.match(Wanted(title)) == UNMATCHED


def test_what_stands_in_brackets_alone_is_the_title():
    assert match(Titles([Song("R1", "(Interlude)")]), "(interlude)") == (
        Standing.MATCHED,
        ("R1", 100, "same title"),
    )


def test_isrc_names_the_recording_whatever_its_title(titles):
    assert match(titles, "Harbour Lights", isrc="QMEX11900001") == (Standing.CERTAIN, ("R1", 100, "same ISRC"))
    found = titles.match(Wanted("Low Water", isrc="QMEX11900001"))
    assert (found.standing, found.best.code, found.best.reason) == (
        Standing.CERTAIN,
        "R1",
        "same ISRC, though the title differs",
    )
    assert found.runner_up.code == "R7"


def test_isrc_that_nobody_has_leaves_the_title_to_decide(titles):
    assert match(titles, "Tide", isrc="QMEX11999999") == (Standing.MATCHED, ("R4", 100, "same title"))


def test_isrc_alone_is_enough(titles):
    assert match(titles, "", isrc="QMEX11900001") == (Standing.CERTAIN, ("R1", 100, "same ISRC"))


def test_namesakes_wait_for_a_person_and_an_artist_decides_between_them():
    namesakes = Titles([LIGHTS, Song("R9", "Harbour Lights", "Ada Weir")])
    undecided = namesakes.match(Wanted("Harbour Lights"))
    assert (undecided.standing, undecided.best.score, undecided.runner_up.score) == (Standing.TO_CONFIRM, 100, 100)
    decided = namesakes.match(Wanted("Harbour Lights", "Weir, Ada"))
    assert (decided.standing, decided.best.code, decided.best.reason) == (
        Standing.MATCHED,
        "R9",
        "same title, same artist",
    )
    assert (decided.runner_up.code, decided.runner_up.score) == ("R1", OTHER_ARTIST)


def test_another_artist_has_to_be_confirmed(titles):
    assert match(titles, "Tide", "Ada Weir") == (
        Standing.TO_CONFIRM,
        ("R4", OTHER_ARTIST, "same title, another artist"),
    )


def test_a_song_without_an_artist_is_not_held_to_one(titles):
    assert match(titles, "Řezeda", "Ada Weir") == (Standing.MATCHED, ("W6", 100, "same title"))


def test_the_runner_up_is_shown_with_its_score(titles):
    found = titles.match(Wanted("Harbour Lights"))
    assert found.runner_up == Candidate(
        "R2", "Harbour Lights (Reprise)", "The Lockkeepers", UNSURE, "another version: reprise"
    )


def test_a_remembered_choice_is_certain_and_keeps_the_next_beside_it(titles):
    found = titles.match(Wanted("Harbour Lights"))
    again = remembered(found, TIDE)
    assert (again.standing, again.best.code, again.best.score) == (Standing.CERTAIN, "R4", 100)
    assert again.runner_up == found.best
    assert remembered(found, LIGHTS).runner_up == found.runner_up
    assert remembered(UNMATCHED, TIDE).runner_up is None


def test_what_is_taken_and_what_is_called():
    assert [standing for standing in Standing if standing.taken] == [Standing.CERTAIN, Standing.MATCHED]
    assert Standing.TO_CONFIRM.label == "To confirm"


words = st.lists(st.sampled_from(["harbour", "lights", "tide", "weir", "slow", "2", "(reprise)", "é"]), max_size=4)


@given(st.lists(words.map(" ".join), max_size=6), words.map(" ".join))
def test_nothing_is_taken_below_the_limit_or_within_the_margin(catalogue, wanted):
    songs = [Song(f"R{number}", title) for number, title in enumerate(catalogue)]
    found = Titles(songs).match(Wanted(wanted))
    if found.standing is Standing.MATCHED:
        assert found.best.score >= SURE
        assert found.runner_up is None or found.best.score - found.runner_up.score >= MARGIN
    if found.best:
        assert found.best.score >= FLOOR
        assert found.runner_up is None or found.runner_up.score <= found.best.score
        assert found.best.score <= 100


@given(st.text(max_size=30))
def test_every_title_finds_itself(title):
    found = Titles([Song("R1", title)]).match(Wanted(title))
    assert found == UNMATCHED or found.best.score == 100


def test_likeness_is_that_of_the_open_library(titles):
    """rapidfuzz.fuzz.ratio over the words in the order of the alphabet."""
    found = titles.match(Wanted("Nocturn No. 2 late"))
    assert found.best.score == round(fuzz.ratio("2 late no nocturn", "2 no nocturne"))
