"""What profiles demand, and what is wrong with parties and identifiers.

Outside checks: CISAC CWR19-1070, edits 46, 47 and 48; ISO 15707's example T-034.524.680-1 and CISAC's IPI example
00014107338, each with a wrong check digit beside it; CISAC CWR08-3615R1, Societies Codes.
"""

from dataclasses import replace

import pytest

from supervision.rules.cue_carving import Carving
from supervision.rules.cue_sheet import CueRecording
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.cue_sheet_profile import FIRST, Demand, ThemeRule
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.findings import Level
from supervision.rules.usage import Facets, Function, ProgrammePart, ThemePosition
from tests.factories.cue_sheets import facts, publisher, use, work, writer

OPENING = Facets(Function.THEME, ThemePosition.OPENING)
CARVED = replace(FIRST, carving=Carving.LATER_GIVES)


def told(*uses, profile=FIRST, minutes=45, **header):
    known = facts(*uses, minutes=minutes, **header)
    return [(finding.level, finding.code) for finding in check_sheet(known, set_sheet(known, profile))]


def levels(*uses, demand, **header):
    """The level of what is missing without the demand and with it; ``None`` for nothing said."""
    return [
        next((level for level, _ in told(*uses, profile=profile, **header)), None)
        for profile in (FIRST, replace(FIRST, demands=(demand,)))
    ]


@pytest.mark.parametrize(
    ("demand", "header", "usual"),
    [
        (Demand.FIRST_BROADCAST, {"first_broadcast": None}, Level.WARNING),
        (Demand.NETWORK, {"network": ""}, Level.WARNING),
        (Demand.COUNTRY, {"country": ""}, Level.NOTE),
        (Demand.YEAR, {"year": None}, Level.NOTE),
        (Demand.DIRECTOR, {}, None),
        (Demand.CAST, {}, None),
        (Demand.CONTACT, {}, None),
        (Demand.ISAN, {}, None),
        (Demand.EIDR, {}, None),
        (Demand.LOCKED_CUT, {"cut_locked": False}, Level.WARNING),
    ],
)
def test_missing_head_is_an_error_where_the_profile_demands_it(demand, header, usual):
    assert levels(use(), demand=demand, **header) == [usual, Level.ERROR]


HEARD = CueRecording(title="Evening Tide")
LIBRARY = CueRecording(title="Tense Pulse", artist="X", library=True)


@pytest.mark.parametrize(
    ("demand", "cue", "usual"),
    [
        (Demand.IPI, use(works=[work(parties=[writer(ipi=""), publisher()])]), Level.WARNING),
        (Demand.SOCIETY, use(works=[work(parties=[writer(society_code=""), publisher()])]), Level.WARNING),
        (Demand.PUBLISHER, use(works=[work(parties=[writer()])]), Level.WARNING),
        (Demand.ISWC, use(works=[work(iswc="")]), Level.NOTE),
        (Demand.ISRC, use(recording=HEARD), None),
        (Demand.ARTIST, use(recording=HEARD), None),
        (Demand.LIBRARY_TRACK, use(recording=LIBRARY), Level.WARNING),
        (Demand.CLEARED, use(uncleared=("sync requested",)), Level.WARNING),
    ],
)
def test_missing_fact_of_a_cue_is_an_error_where_the_profile_demands_it(demand, cue, usual):
    assert levels(cue, demand=demand) == [usual, Level.ERROR]


def test_partial_sheet_says_so():
    assert told(use(), partial="Act three is missing.") == [(Level.WARNING, "partial")]


# --- parties ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cue", "code"),
    [
        (use(works=[work(iswc="T0345246808")]), "iswc-malformed"),
        (use(works=[work(parties=[writer(ipi="00123456789"), publisher()])]), "ipi-malformed"),
        (use(recording=CueRecording(title="Tide", isrc="US-SKG-19-1234")), "isrc-malformed"),
    ],
)
def test_identifier_with_a_wrong_shape_or_check_digit_is_an_error(cue, code):
    assert told(cue) == [(Level.ERROR, code)]


def test_society_that_is_not_known_is_told():
    assert told(use(works=[work(parties=[writer(society_code="999"), publisher()])])) == [
        (Level.WARNING, "society-unknown")
    ]


def american(writer_society, *publisher_societies):
    publishers = [
        publisher(f"P{code}", 100 // len(publisher_societies), society_code=code) for code in publisher_societies
    ]
    return use(works=[work(parties=[writer(society_code=writer_society), *publishers])])


@pytest.mark.parametrize(
    ("cue", "codes"),
    [
        (american("021", "010"), ["publisher-of-another-society"]),  # BMI writer, ASCAP publisher
        (american("021", "021"), []),
        (american("021", "052"), []),  # a publisher that is not American
        (american("052", "010"), []),  # a writer who is not
        (american("021", "010", "021"), []),
    ],
)
def test_edit_48_is_a_warning(cue, codes):
    assert [code for _, code in told(cue)] == codes


@pytest.mark.parametrize(
    ("role", "code"),
    [("AR", "arranger-alone"), ("SA", "sub-author-alone")],  # edits 46 and 47
)
def test_arranger_and_sub_author_need_whom_they_changed(role, code):
    assert told(use(works=[work(parties=[writer(role=role), publisher()])])) == [(Level.WARNING, code)]


# --- time and use -------------------------------------------------------------------------------------------------


def test_carved_overlap_says_what_was_done():
    known = facts(use("1M1", seconds=30), use("1M2", start=20, seconds=30))
    mends = {finding.mend for finding in check_sheet(known, set_sheet(known, CARVED)) if finding.code == "overlap"}
    assert mends == {"On this sheet: the later cue gives way. What each gave is told."}


def test_cue_that_is_carved_away_whole_is_told():
    assert (Level.WARNING, "carved-to-nothing") in told(use("1M1"), use("1M2"), profile=CARVED)


def test_carved_sheet_has_no_more_music_than_programme():
    uses = [use(f"1M{n}", seconds=40) for n in (1, 2)]
    assert "music-over-programme" in [code for _, code in told(*uses, minutes=1)]
    assert "music-over-programme" not in [code for _, code in told(*uses, minutes=1, profile=CARVED)]


def test_cue_before_the_programme_is_an_error():
    early = use()
    before = replace(early, in_frame=early.in_frame - 25)
    assert told(before) == [(Level.ERROR, "before-programme")]


@pytest.mark.parametrize(
    ("rule", "season", "found"),
    [
        (ThemeRule.SEVERAL_IN_SERIES, 1, [(Level.WARNING, "theme-once")]),
        (ThemeRule.SEVERAL_IN_SERIES, None, []),
        (ThemeRule.SEVERAL_ALWAYS, None, [(Level.WARNING, "theme-once")]),
        (ThemeRule.AS_LOGGED, 1, [(Level.NOTE, "theme-once")]),
    ],
)
def test_theme_of_one_episode_is_told_by_the_rule(rule, season, found):
    assert told(use(facets=OPENING), profile=replace(FIRST, themes=rule), season=season) == found


def test_theme_in_a_recap_is_told():
    recap = use(facets=replace(OPENING, part=ProgrammePart.RECAP), elsewhere=True)
    assert told(recap) == [(Level.NOTE, "theme-in-part")]


def test_what_is_not_listed_is_not_checked():
    logo = use("1M2", start=60, works=[], facets=Facets(Function.LOGO))
    assert told(use(), logo, profile=replace(FIRST, logos=False)) == []
