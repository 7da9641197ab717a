"""Facets out of words. Codes: BMI, "U.S. Television Royalties – Types of Uses" (BI, BV, VI, VV); the other codes and the
words are common practice, no published source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.song_log_words import FacetWords, read_facets
from supervision.rules.usage import (
    CODE_LEGEND,
    Facets,
    Function,
    Origin,
    ProgrammePart,
    ThemePosition,
    Vocal,
    check_facets,
    sheet_code,
)


@pytest.mark.parametrize("code", [code for code, _ in CODE_LEGEND])
def test_the_codes_that_we_write_are_read_back(code):
    read = read_facets(FacetWords(use=code))
    assert sheet_code(read.facets) == code
    assert not read.unknown
    assert not read.contradictions


@pytest.mark.parametrize(
    ("words", "facets"),
    [
        (FacetWords(use="Background Instrumental"), Facets()),
        (FacetWords(use="Hintergrundmusik mit Gesang"), Facets(vocal=Vocal.VOCAL)),
        (FacetWords(use="musique de fond"), Facets()),
        (FacetWords(use="Visual Vocal"), Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL)),
        (FacetWords(use="générique de fin"), Facets(Function.THEME, ThemePosition.CLOSING)),
        (FacetWords(use="Vorspann"), Facets(Function.THEME, ThemePosition.OPENING)),
        (FacetWords(use="Score"), Facets(origin=Origin.COMMISSIONED)),
        (FacetWords(use="Theme", theme_position="Segment"), Facets(Function.THEME, ThemePosition.SEGMENT)),
        (FacetWords(theme_position="Opening"), Facets(Function.THEME, ThemePosition.OPENING)),
        (FacetWords(use="Background", seen="ja"), Facets(seen=True)),
        (FacetWords(vocal="V", origin="Library music"), Facets(vocal=Vocal.VOCAL, origin=Origin.LIBRARY)),
        (FacetWords(vocal="x", seen="no"), Facets(vocal=Vocal.VOCAL)),
        (FacetWords(origin="In-house"), Facets(origin=Origin.OWNED)),
        (FacetWords(part="Play-on"), Facets(part=ProgrammePart.PLAY_ON)),
        (FacetWords(part="Rückblick"), Facets(part=ProgrammePart.RECAP)),
    ],
)
def test_words_in_three_languages_are_read(words, facets):
    read = read_facets(words)
    assert (read.facets, dict(read.unknown), read.contradictions) == (facets, {}, ())


def test_only_what_is_said_is_told_as_said():
    assert read_facets(FacetWords(use="BV")).said == {"function", "vocal"}
    assert read_facets(FacetWords()).said == set()


@pytest.mark.parametrize(
    ("words", "unknown"),
    [
        (FacetWords(use="Background under dialogue"), {"use": "Background under dialogue"}),
        (FacetWords(use="montage"), {"use": "montage"}),
        (FacetWords(seen="perhaps"), {"seen": "perhaps"}),
    ],
)
def test_a_word_that_is_not_known_comes_back(words, unknown):
    assert read_facets(words).unknown == unknown


@pytest.mark.parametrize(
    ("words", "facets", "place", "code"),
    [
        (FacetWords(use="BV", vocal="instrumental"), Facets(), "vocal", "facets-contradict"),
        (FacetWords(use="VI", seen="no"), Facets(Function.ON_SCREEN, seen=True), "seen", "facets-contradict"),
        (FacetWords(use="BI", theme_position="closing"), Facets(), "theme_position", "position-without-theme"),
    ],
)
def test_what_contradicts_is_told_and_agrees_in_the_end(words, facets, place, code):
    read = read_facets(words)
    assert read.facets == facets
    assert (place, code) in [(where, finding.code) for where, finding in read.contradictions]


@given(st.builds(FacetWords, *[st.text(max_size=12) | st.sampled_from(["VV", "theme", "no", "closing"])] * 6))
def test_facets_always_agree(words):
    assert check_facets(read_facets(words).facets, "") == []
