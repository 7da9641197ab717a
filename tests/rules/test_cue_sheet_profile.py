"""Profiles: what they print, what they leave out, and what is refused.

Outside checks: CISAC CWR08-3615R1 (BLTVR letters); BMI, "U.S. Television Royalties – Types of Uses" (BI, BV, VI, VV; a
theme is used in multiple episodes, else it counts as feature or background); APRA AMCOS, "Cue Sheets" (recaps, teasers
and play-ons are background); BMI, Work Registration Terms (100 for writers and 100 for publishers); CISAC CWR19-1070,
edits 4, 9 and 11 (out of 100 together, publishers hold half at most).
"""

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from supervision.rules.cue_carving import Carving
from supervision.rules.cue_sheet_profile import (
    FIRST,
    Demand,
    Identifier,
    Paper,
    RecordingsShown,
    SheetProfile,
    Situation,
    ThemeRule,
    UseCode,
    situation_of,
)
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.durations import Rounding
from supervision.rules.errors import BadValue
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.split import Convention
from supervision.rules.usage import Facets, Function, ProgrammePart, ThemePosition, Vocal
from tests.factories.cue_sheets import facts, publisher, use, work, writer

FOLDER = Path(__file__).parents[2] / "supervision/profiles"
HOUSE = {path.stem: from_plain(SheetProfile, json.loads(path.read_text())) for path in sorted(FOLDER.glob("*.json"))}
LETTERS, US, EUROPE = HOUSE["european-french"], HOUSE["us-practice"], HOUSE["european-practice"]
OPENING = Facets(Function.THEME, ThemePosition.OPENING)

EVERY_USE = [
    (Facets(), "B", "BI"),
    (Facets(vocal=Vocal.VOCAL), "B", "BV"),
    (Facets(seen=True), "V", "VI"),
    (Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL), "V", "VV"),
    (OPENING, "T", "MT"),
    (Facets(Function.THEME, ThemePosition.CLOSING), "T", "ET"),
    (Facets(Function.THEME, ThemePosition.SEGMENT), "T", "T"),
    (Facets(Function.THEME), "T", "T"),
    (Facets(Function.LOGO), "L", "L"),
    (Facets(Function.BUMPER), "B", "BU"),
]


@pytest.mark.parametrize(("facets", "letter", "short"), EVERY_USE)
def test_letters_of_cisac_and_short_codes(facets, letter, short):
    assert (LETTERS.code_for(facets), US.code_for(facets)) == (letter, short)
    assert FIRST.code_for(facets) == short


def test_row_of_several_cues_has_a_code_of_its_own_or_that_of_its_use():
    assert LETTERS.code_for(Facets(), rolled_up=True) == "R"
    assert EUROPE.code_for(Facets(), rolled_up=True) == "Background"
    assert FIRST.code_for(Facets(), rolled_up=True) == "R"
    assert situation_of(Facets(Function.ROLLED_UP)) is Situation.ROLLED_UP


@pytest.mark.parametrize("code", HOUSE)
def test_profile_of_the_house_names_itself_and_reads_back(code):
    profile = HOUSE[code]
    assert profile.code == code
    assert from_plain(SheetProfile, to_plain(profile)) == profile
    assert {entry.situation for entry in profile.codes} == set(Situation)
    assert len(profile.legend()) == len(set(profile.legend()))


def test_first_profile_has_the_legend_of_american_sheets():
    assert ("BI", "background instrumental") in FIRST.legend()


# --- shares -------------------------------------------------------------------------------------------------------


def shares(profile, *parties, **more):
    (cue,) = set_sheet(facts(use(works=[work(parties=parties, **more)])), profile).cues
    return [str(party.share) for party in cue.works[0].parties]


def test_worked_example_on_both_bases():
    # C 25, A 25, E 25, E 25 out of 100 are C 50, A 50 | E 50, E 50 out of 200.
    parties = [writer("C", 50, "C"), writer("A", 50, "A"), publisher("E1", 50), publisher("E2", 50)]
    assert shares(US, *parties) == ["50.00"] * 4
    assert shares(EUROPE, *parties) == ["25.00"] * 4


def test_thirds_add_up_on_both_bases():
    parties = [*(writer(name, "33.333333") for name in "ABC"), publisher()]
    assert shares(US, *parties) == ["33.34", "33.33", "33.33", "100.00"]
    halves = shares(EUROPE, *parties)
    assert sum(map(Decimal, halves[:3])) == 50
    assert sum(map(Decimal, halves)) == 100


def test_unpublished_work_is_all_the_writers_out_of_100():
    assert shares(EUROPE, writer("A", 50), writer("B", 50)) == ["50.00", "50.00"]
    assert shares(US, writer("A", 50), writer("B", 50)) == ["50.00", "50.00"]


def test_unknown_share_stays_unknown_on_both_bases():
    assert shares(EUROPE, writer(share=50), publisher()) == ["25.00", "50.00"]


@pytest.mark.parametrize("profile", [US, EUROPE])
def test_public_domain_has_shares_of_0_and_its_arranger_has_his(profile):
    # CISAC CWR19-1070, edit 24.
    free = [writer("Traditional", 100, "C", public_domain=True)]
    assert shares(profile, *free, public_domain=True) == ["0.00"]
    arranged = [writer("Traditional", 0, "C", public_domain=True), writer("Tove Marsh", 100, "AR")]
    assert shares(profile, *arranged, arrangement_of="Bells") == ["0.00", "100.00"]


def test_exact_share_is_kept_beside_the_printed_one():
    (cue,) = set_sheet(facts(use(works=[work(parties=[writer("A", "33.34"), writer("B", "66.66")])])), EUROPE).cues
    assert [str(party.exact) for party in cue.works[0].parties] == ["1667/50", "3333/50"]
    (cue,) = set_sheet(facts(use(works=[work(parties=[writer(n, "33.333333") for n in "ABC"])])), EUROPE).cues
    assert [str(party.exact) for party in cue.works[0].parties] == ["100/3"] * 3


# --- what counts as what ------------------------------------------------------------------------------------------


def printed(profile, facets, *, elsewhere=False, season=1):
    (cue,) = set_sheet(facts(use(facets=facets, elsewhere=elsewhere), season=season), profile).cues
    return cue.use.code, cue.use.function, cue.use.logged


@pytest.mark.parametrize(
    ("rule", "elsewhere", "season", "theme"),
    [
        (ThemeRule.AS_LOGGED, False, 1, True),
        (ThemeRule.SEVERAL_IN_SERIES, False, 1, False),
        (ThemeRule.SEVERAL_IN_SERIES, True, 1, True),
        (ThemeRule.SEVERAL_IN_SERIES, False, None, True),
        (ThemeRule.SEVERAL_ALWAYS, False, None, False),
        (ThemeRule.SEVERAL_ALWAYS, True, 1, True),
    ],
)
def test_theme_counts_as_one_by_the_rule(rule, elsewhere, season, theme):
    found = printed(replace(US, themes=rule), OPENING, elsewhere=elsewhere, season=season)
    expected = ("MT", Function.THEME, None) if theme else ("BI", Function.BACKGROUND, Function.THEME)
    assert found == expected


def test_theme_that_is_seen_counts_as_featured():
    assert printed(US, replace(OPENING, seen=True)) == ("VI", Function.ON_SCREEN, Function.THEME)


@pytest.mark.parametrize("part", [ProgrammePart.RECAP, ProgrammePart.TEASER, ProgrammePart.PLAY_ON])
def test_recaps_teasers_and_play_ons_are_background(part):
    for facets in (replace(OPENING, part=part), Facets(Function.ON_SCREEN, seen=True, part=part)):
        code, function, _ = printed(HOUSE["australasian-practice"], facets, elsewhere=True)
        assert (code, function) == ("Background", Function.BACKGROUND)


def test_promo_keeps_what_it_is():
    assert printed(EUROPE, Facets(seen=True, part=ProgrammePart.PROMO))[0] == "Featured"


# --- what is listed -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wish", "facets", "why"),
    [("logos", Facets(Function.LOGO), "logo"), ("promos", Facets(part=ProgrammePart.PROMO), "promo")],
)
def test_what_is_not_wanted_is_left_out_and_named(wish, facets, why):
    uses = [use("1M1", seconds=20), use("1M2", start=60, seconds=5, facets=facets)]
    listed = set_sheet(facts(*uses), FIRST)
    assert (len(listed.cues), listed.music_seconds, listed.left_out) == (2, 25, ())
    sheet = set_sheet(facts(*uses), replace(FIRST, **{wish: False}))
    assert (len(sheet.cues), sheet.music_seconds) == (1, 20)
    assert [(cue.number, cue.why, cue.seconds) for cue in sheet.left_out] == [("1M2", why, 5)]


def test_carved_cues_never_exceed_the_programme():
    uses = [use(f"1M{n}", seconds=60) for n in (1, 2, 3)]
    for rule in (Carving.LATER_GIVES, Carving.EARLIER_GIVES, Carving.SHARED):
        sheet = set_sheet(facts(*uses, minutes=1), replace(FIRST, carving=rule))
        assert sheet.music_seconds == sheet.running_seconds == 60
    assert set_sheet(facts(*uses, minutes=1), FIRST).music_seconds == 180


def test_carved_cue_says_to_whom_its_time_went():
    sheet = set_sheet(facts(use("1M1", seconds=30), use("1M2", start=20, seconds=30)), US)
    first, second = sheet.cues
    assert (first.seconds, first.carved) == (30, ())
    assert (second.frames, second.counted, second.seconds) == (750, 500, 20)
    assert [(given.number, given.title, given.frames) for given in second.carved] == [("1M1", "Evening Tide", 250)]


def test_seconds_are_cut_off_where_the_profile_says_so():
    short = replace(use(), out_frame=use().in_frame + 49)
    assert set_sheet(facts(short), replace(FIRST, rounding=Rounding.DOWN)).cues[0].seconds == 1
    assert set_sheet(facts(short), FIRST).cues[0].seconds == 2


def test_sheet_holds_the_profile_it_was_set_by():
    sheet = set_sheet(facts(use()), EUROPE)
    assert (sheet.profile, sheet.set_by, sheet.share_basis) == (EUROPE, EUROPE, "100")


# --- what is refused ----------------------------------------------------------------------------------------------

CODES = US.codes


@pytest.mark.parametrize(
    ("wrong", "place"),
    [
        ({"code": "North Sea"}, "code"),
        ({"code": "x" * 25}, "code"),
        ({"name": " "}, "name"),
        ({"language": "de"}, "language"),
        ({"codes": CODES[:-1]}, "codes"),
        ({"codes": (*CODES, CODES[0])}, "codes"),
        ({"codes": (UseCode(Situation.BACKGROUND_INSTRUMENTAL, "", ""), *CODES[1:])}, "codes.background_instrumental"),
        (
            {"codes": (UseCode(Situation.BACKGROUND_INSTRUMENTAL, "B" * 25, ""), *CODES[1:])},
            "codes.background_instrumental",
        ),
        (
            {"codes": (UseCode(Situation.BACKGROUND_INSTRUMENTAL, "B", "x" * 61), *CODES[1:])},
            "codes.background_instrumental",
        ),
    ],
)
def test_profile_that_contradicts_itself_is_refused_with_place_and_mend(wrong, place):
    with pytest.raises(BadValue) as refused:
        replace(US, **wrong)
    assert refused.value.place == place
    assert refused.value.mend


@pytest.mark.parametrize("word", [*Situation, *ThemeRule, *Identifier, *RecordingsShown, *Paper, *Demand, *Convention])
def test_each_word_has_its_label(word):
    assert word.label


def test_demands_are_those_listed():
    assert replace(US, demands=(Demand.ISRC,)).wants(Demand.ISRC)
    assert not replace(US, demands=()).wants(Demand.ISRC)
