"""Roll-up of commissioned cues.

Outside checks: APRA AMCOS, "Cue Sheets" (``TITLE (BACKGROUND)`` and ``TITLE (THEME)``); PRS, "Registering Cue Sheets"
(commissioned cues are grouped where ownership is the same); CISAC CWR08-3615R1, BLTVR (R: a rolled-up cue has the same
writers and ownership, differing constituent titles, and is one collated entry).
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from supervision.rules.cue_sheet import CueRecording, Interest
from supervision.rules.cue_sheet_profile import FIRST, RecordingsShown
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal
from tests.factories.cue_sheets import facts, publisher, use, work, writer

ROLLED = replace(FIRST, roll_up=True)
SCORE = Facets(origin=Origin.COMMISSIONED)
COMPOSER = [writer("Tove Marsh", role="C"), publisher("Weir Pictures Music")]


def score(cue, start, title, parties=COMPOSER, seconds=30, facets=SCORE, **more):
    return use(cue, start=start, seconds=seconds, works=[work(title, parties, **more)], facets=facets)


def rows(*uses, profile=ROLLED):
    return [(cue.title, cue.seconds, len(cue.inside)) for cue in set_sheet(facts(*uses), profile).cues]


def test_score_of_one_composer_is_one_row_under_the_production_title():
    song = use("1M2", start=40, seconds=20)
    sheet = set_sheet(facts(score("1M1", 0, "Night Barge"), song, score("1M3", 80, "Low Water", seconds=12)), ROLLED)
    assert [(cue.sequence, cue.number, cue.title, cue.seconds) for cue in sheet.cues] == [
        (1, "", "THE WEIR (BACKGROUND)", 42),
        (2, "1M2", "Evening Tide", 20),
    ]
    assert sheet.music_seconds == 62
    row = sheet.cues[0]
    assert (row.use.bltvr, row.use.cue_use_type, row.use.function) == ("R", "RolledUpCue", Function.BACKGROUND)
    assert (row.timecode_in, row.timecode_out, row.start, row.frames) == ("", "", 0, 42 * 25)
    assert [party.share for party in row.works[0].of(Interest.WRITER)] == [Decimal("100.00")]


def test_row_keeps_which_cues_are_inside():
    sheet = set_sheet(facts(score("1M1", 0, "Night Barge"), score("1M3", 80, "Low Water", seconds=12)), ROLLED)
    assert [(one.number, one.title, one.timecode_in, one.seconds) for one in sheet.cues[0].inside] == [
        ("1M1", "Night Barge", "10:00:00:00", 30),
        ("1M3", "Low Water", "10:01:20:00", 12),
    ]


def test_rolling_up_can_be_undone_by_the_profile():
    uses = [score("1M1", 0, "Night Barge"), score("1M3", 80, "Low Water")]
    assert rows(*uses, profile=FIRST) == [("Night Barge", 30, 0), ("Low Water", 30, 0)]
    assert set_sheet(facts(*uses), FIRST).music_seconds == set_sheet(facts(*uses), ROLLED).music_seconds


OTHER = [
    ("writer", {"parties": [writer("Bo Alder", role="C"), publisher("Weir Pictures Music")]}),
    ("role", {"parties": [writer("Tove Marsh", role="CA"), publisher("Weir Pictures Music")]}),
    ("publisher", {"parties": [writer("Tove Marsh", role="C"), publisher("Upper Lock Songs")]}),
    (
        "shares",
        {"parties": [writer("Tove Marsh", 50, "C"), writer("Bo Alder", 50, "C"), publisher("Weir Pictures Music")]},
    ),
    ("vocal", {"facets": replace(SCORE, vocal=Vocal.VOCAL)}),
    ("seen", {"facets": replace(SCORE, seen=True)}),
    ("part", {"facets": replace(SCORE, part=ProgrammePart.PROMO)}),
    ("origin", {"facets": Facets()}),
    ("copyright", {"public_domain": True}),
    ("arrangement", {"arrangement_of": "Bells"}),
]


@pytest.mark.parametrize(("what", "difference"), OTHER, ids=[name for name, _ in OTHER])
def test_cue_that_differs_stands_by_itself(what, difference):
    assert rows(score("1M1", 0, "Night Barge"), score("1M2", 80, "Low Water", **difference)) == [
        ("Night Barge", 30, 0),
        ("Low Water", 30, 0),
    ], what


def test_medley_and_cue_without_a_work_stand_by_themselves():
    medley = use("1M2", start=80, works=[work("A", COMPOSER), work("B", COMPOSER)], facets=SCORE, title="A and B")
    blank = use("1M3", start=120, works=[], facets=SCORE, title="tense")
    assert [inside for _, _, inside in rows(score("1M1", 0, "Night Barge"), medley, blank)] == [0, 0, 0]


def test_theme_and_featured_score_have_rows_of_their_own():
    opening = Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED)
    played = Facets(Function.ON_SCREEN, seen=True, origin=Origin.COMMISSIONED)
    uses = [
        score("1M1", 0, "Titles", facets=opening),
        score("1M2", 40, "Titles, reprise", facets=opening),
        score("1M3", 80, "The Band", facets=played),
        score("1M4", 120, "The Band again", facets=played),
    ]
    assert rows(*uses) == [("THE WEIR (THEME)", 60, 2), ("THE WEIR (FEATURED)", 60, 2)]


def test_one_cue_used_twice_keeps_its_title_and_number():
    twice = [score("1M1", 0, "Night Barge", number="PRS 1"), score("1M2", 40, "Night Barge", number="PRS 1")]
    (row,) = set_sheet(facts(*twice), ROLLED).cues
    assert (row.title, row.seconds, len(row.inside)) == ("Night Barge", 60, 2)
    assert (row.works[0].iswc, row.works[0].number) == ("T0345246801", "PRS 1")


def test_collated_entry_has_nothing_that_identifies_one_cue():
    (row,) = set_sheet(facts(score("1M1", 0, "A", number="1"), score("1M2", 40, "B", number="2")), ROLLED).cues
    assert (row.works[0].title, row.works[0].iswc, row.works[0].number) == ("THE WEIR (BACKGROUND)", "", "")


def test_recording_is_named_where_all_cues_have_the_same():
    heard = CueRecording(title="Score", artist="Tove Marsh")
    same = [replace(score(f"1M{n}", 40 * n, f"Cue {n}"), recording=heard) for n in (1, 2)]
    (row,) = set_sheet(facts(*same), ROLLED).cues
    assert row.recording == heard
    (row,) = set_sheet(facts(same[0], replace(same[1], recording=None)), ROLLED).cues
    assert row.recording is None


def test_row_is_called_in_the_language_of_the_profile():
    uses = [score("1M1", 0, "A"), score("1M2", 40, "B")]
    french = replace(ROLLED, language="fr", recordings=RecordingsShown.NONE)
    assert rows(*uses, profile=french) == [("THE WEIR (MUSIQUE DE FOND)", 60, 2)]
