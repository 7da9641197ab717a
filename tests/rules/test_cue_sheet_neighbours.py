"""A sheet beside other sheets, the catalogue and the locked cut. When two spellings are one name: common practice."""

from fractions import Fraction

import pytest

from supervision.rules.cue_sheet import CueRecording, Interest
from supervision.rules.cue_sheet_neighbours import KnownName, Neighbours, StatedElsewhere, check_neighbours
from supervision.rules.cue_sheet_setting import set_sheet
from tests.factories.cue_sheets import facts, publisher, use, work, writer


def told(*uses, **neighbours):
    known = facts(*uses)
    return [
        (finding.code, finding.place, finding.text)
        for finding in check_neighbours(known, set_sheet(known), Neighbours(**neighbours))
    ]


def stated(share=100, title="Evening Tide", iswc="T0345246801", name="Ida Reed"):
    shares = {
        (Interest.WRITER, "CA", name, Fraction(share)),
        (Interest.PUBLISHER, "E", "Reed Harbour Music", Fraction(100)),
    }
    return StatedElsewhere("WEIR-102, revision 2", title, iswc, frozenset(shares))


def test_other_shares_in_another_episode_are_told_once_with_names():
    uses = [use("1M1"), use("1M2", start=60)]
    assert told(*uses, elsewhere=[stated(50), stated(50)]) == [
        (
            "shares-differ-elsewhere",
            "Evening Tide",
            "On WEIR-102, revision 2 it has other shares: Ida Reed (CA) 50 % there, 100 % here.",
        )
    ]


@pytest.mark.parametrize(
    "other",
    [
        stated(),
        stated("99.95"),  # CISAC CWR19-1070 explains 0.06 by rounding
        stated(50, title="Another", iswc=""),
        stated(50, iswc="", name="Bo Alder"),
        stated(50, title="Evening Tide", iswc="T0000000010", name="Bo Alder"),
    ],
)
def test_same_shares_or_another_work_are_not_told(other):
    assert told(use(), elsewhere=[other]) == []


def test_work_without_iswc_is_known_by_title_and_a_writer():
    found = told(use(works=[work(iswc="")]), elsewhere=[stated(50, title="EVENING TIDE", iswc="")])
    assert [code for code, _, _ in found] == ["shares-differ-elsewhere"]


def test_logged_title_that_is_spelled_otherwise_is_told():
    heard = CueRecording(title="Evening Tide (Live)")
    assert told(use(title="Evning Tide", recording=heard)) == [
        ("title-spelling", "1M1 Evening Tide", "It is logged as “Evning Tide”; the catalogue says “Evening Tide”.")
    ]


@pytest.mark.parametrize("title", ["", "evening tide", "car radio"])
def test_logged_title_that_is_the_same_or_another_is_not_told(title):
    assert told(use(title=title)) == []


def test_catalogue_entries_that_differ_by_spelling_are_told():
    found = told(
        use(works=[work(iswc="")]),
        works=[KnownName(1, "Evening Tide"), KnownName(2, "Evening Tyde"), KnownName(3, "Morning Tide")],
        parties=[KnownName(4, "Ida Read", ""), KnownName(5, "Reed Harbour Musik"), KnownName(6, "Tove Marsh")],
    )
    assert [(code, place) for code, place, _ in found] == [
        ("title-twice", "Evening Tide"),
        ("name-twice", "Ida Reed"),
        ("name-twice", "Reed Harbour Music"),
    ]


@pytest.mark.parametrize(
    "other",
    [
        KnownName(2, "Evening Tyde", "T0000000010"),  # both have an ISWC: two works
        KnownName(2, "Evening Tide 2"),
        KnownName(2, "Even"),
        KnownName(2, "Evening Tide"),
    ],
)
def test_entries_that_are_two_are_not_told(other):
    assert told(use(), works=[other]) == []


def test_spelling_by_accents_alone_is_one_name():
    assert [code for code, _, _ in told(use(works=[work(iswc="")]), works=[KnownName(2, "Évening Tide")])] == [
        "title-twice"
    ]


def test_names_of_few_letters_are_compared_whole():
    short = work("Ebb", parties=[writer("Bo"), publisher("Upper Lock Songs")], iswc="")
    assert told(use(works=[short]), works=[KnownName(2, "Eba")], parties=[KnownName(3, "Ba")]) == []


def test_cue_that_lasts_otherwise_in_the_locked_cut_is_told():
    found = told(
        use(seconds=30, row=7), use("1M2", start=60, row=8), locked_cut="Cut 3", locked_frames={7: 750, 8: 800}
    )
    assert found == [
        ("locked-cut-differs", "1M2 Evening Tide", "It lasts 0:32 in Cut 3, which is locked, and 0:30 here.")
    ]


def test_party_without_a_name_is_compared_with_nobody():
    nameless = work(parties=[writer(""), publisher()])
    assert told(use(works=[nameless]), parties=[KnownName(4, "")]) == []
