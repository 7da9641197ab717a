"""The languages of cue sheets say the same things, with the same places to fill."""

import string
from datetime import date

import pytest

from supervision.rules.cue_carving import Carving
from supervision.rules.cue_sheet_english import ENGLISH
from supervision.rules.cue_sheet_french import FRENCH
from supervision.rules.cue_sheet_profile import LANGUAGES
from supervision.rules.cue_sheet_words import words_for
from supervision.rules.durations import Rounding
from supervision.rules.errors import BadValue
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.programme import CutVersion, ProductionType
from supervision.rules.usage import Function, Origin, ProgrammePart


def places(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_language_says_everything_with_the_same_places():
    assert ENGLISH.keys() == FRENCH.keys()
    assert {key: places(text) for key, text in ENGLISH.items()} == {key: places(text) for key, text in FRENCH.items()}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("prefix", "words"),
    [
        ("function.", Function),
        ("part.", [part for part in ProgrammePart if part]),
        ("origin.", Origin),
        ("writer.", WriterRole),
        ("publisher.", PublisherRole),
        ("type.", [kind for kind in ProductionType if kind]),
        ("version.", [version for version in CutVersion if version]),
        ("carving_", Carving),
        ("times_", Rounding),
        ("shares_on_", ("100", "200")),
    ],
)
def test_every_word_of_the_trade_is_said(language, prefix, words):
    for word in words:
        assert words_for(language).text(f"{prefix}{word}", title="", number="", reason="")


def test_days_are_written_as_letters_write_them():
    assert words_for("en").day(date(2027, 3, 1)) == "1 March 2027"
    assert words_for("fr").day(date(2027, 3, 1)) == "1er mars 2027"


def test_language_without_words_is_refused():
    with pytest.raises(BadValue):
        words_for("de")
