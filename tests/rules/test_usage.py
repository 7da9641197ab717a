"""Usage facets and the codes that recipients write for them; cue numbers as a log counts them on."""

import pytest

from supervision.rules.findings import has_errors
from supervision.rules.usage import (
    Facets,
    Function,
    MusicKind,
    Origin,
    ThemePosition,
    Vocal,
    bltvr,
    check_facets,
    cue_order,
    music_kind,
    next_cue_number,
    sheet_code,
    tidy_cue_number,
)

VOCAL = Vocal.VOCAL


# BMI, "U.S. Television Royalties - Types of Uses" for BI, BV, VI, VV; CISAC CWR08-3615R1 lookup table for BLTVR; the
# letters of themes, logos and bumpers are common practice, no published source.
@pytest.mark.parametrize(
    ("facets", "code", "letter"),
    [
        (Facets(), "BI", "B"),
        (Facets(vocal=VOCAL), "BV", "B"),
        (Facets(Function.ON_SCREEN, seen=True), "VI", "V"),
        (Facets(Function.ON_SCREEN, seen=True, vocal=VOCAL), "VV", "V"),
        (Facets(seen=True, vocal=VOCAL), "VV", "V"),
        (Facets(Function.THEME), "T", "T"),
        (Facets(Function.THEME, ThemePosition.OPENING), "MT", "T"),
        (Facets(Function.THEME, ThemePosition.CLOSING), "ET", "T"),
        (Facets(Function.THEME, ThemePosition.SEGMENT), "T", "T"),
        (Facets(Function.LOGO), "L", "L"),
        (Facets(Function.BUMPER), "BU", "B"),
        (Facets(Function.ROLLED_UP), "R", "R"),
    ],
)
def test_codes_of_facets(facets, code, letter):
    assert (sheet_code(facets), bltvr(facets)) == (code, letter)


# Common practice, no published source.
@pytest.mark.parametrize(
    ("facets", "kind"),
    [
        (Facets(), MusicKind.SCORE),
        (Facets(origin=Origin.COMMISSIONED), MusicKind.SCORE),
        (Facets(seen=True), MusicKind.SOURCE),
        (Facets(Function.ON_SCREEN, seen=True), MusicKind.SOURCE),
        (Facets(Function.THEME, seen=True), MusicKind.THEME),
        (Facets(Function.LOGO), MusicKind.THEME),
        (Facets(Function.BUMPER), MusicKind.THEME),
        (Facets(Function.ROLLED_UP), MusicKind.SCORE),
    ],
)
def test_music_kind_of_facets(facets, kind):
    assert music_kind(facets) is kind


def test_check_facets_accepts_what_agrees():
    assert check_facets(Facets(Function.THEME, ThemePosition.OPENING), "1M1") == []


@pytest.mark.parametrize(
    ("facets", "code"),
    [
        (Facets(theme_position=ThemePosition.OPENING), "position-without-theme"),
        (Facets(Function.ON_SCREEN), "on-screen-unseen"),
    ],
)
def test_check_facets_names_what_contradicts(facets, code):
    findings = check_facets(facets, "1M1")
    assert has_errors(findings)
    assert [finding.code for finding in findings] == [code]


# Common practice, no published source.
@pytest.mark.parametrize(
    ("last", "following"),
    [
        ("", "1M1"),
        ("1M3", "1M4"),
        ("2M09", "2M10"),
        ("2M99", "2M100"),
        ("2M14A", "2M15"),
        ("17", "18"),
        ("M7", "M8"),
        ("3M-2", "3M-3"),
        ("TITLE", ""),
        ("2M14AB", ""),
    ],
)
def test_next_cue_number_counts_on(last, following):
    assert next_cue_number(last) == following


def test_next_cue_number_leaves_out_what_is_taken():
    assert next_cue_number("1M3", {"1M4", "1M5", "1M7"}) == "1M6"


def test_tidy_cue_number_in_capitals_without_spaces():
    assert tidy_cue_number(" 2m 14a ") == "2M14A"


def test_cue_order_counts_numbers():
    assert sorted(["2M14", "10M1", "2M9", "", "2M9A", "TITLE"], key=cue_order) == [
        "",
        "2M9",
        "2M9A",
        "2M14",
        "10M1",
        "TITLE",
    ]
