"""Folding for search. Unicode UAX #15 (decomposition) and CaseFolding.txt."""

import pytest

from supervision.rules.search_text import fold, search_key


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Řezeda", "rezeda"),
        ("STRASSE", fold("Straße")),
        ("Smørrebrød", "smorrebrod"),
        ("Łódź", "lodz"),
        ("T-034.524.680-1", "t0345246801"),
        ("Тихая Вода", "тихая вода"),
        ("ﾊﾙ", "ハル"),
        ("  Low   Water ", "low water"),
        ("Don’t", "dont"),
    ],
)
def test_fold_ignores_case_accents_and_joiners(typed, folded):
    assert fold(typed) == folded


def test_search_key_keeps_each_text_once():
    assert search_key("Low Water", "", "LOW WATER", "The Weir") == "low water | the weir"
