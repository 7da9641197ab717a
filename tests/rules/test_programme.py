"""Titles and types of programmes. Types: APRA AMCOS, "Cue Sheets"; language tags: BCP 47 (RFC 5646)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.programme import (
    AlternativeTitle,
    CutVersion,
    ProductionType,
    alternative_titles_text,
    read_alternative_titles,
    type_of,
)


def test_titles_are_read_one_a_line_with_their_languages():
    assert read_alternative_titles("Marée haute [fr]\n\n  Maré alta [pt-BR] \nHigh Water") == (
        AlternativeTitle("Marée haute", "fr"),
        AlternativeTitle("Maré alta", "pt-BR"),
        AlternativeTitle("High Water"),
    )


def test_bracket_that_is_no_language_belongs_to_the_title():
    assert read_alternative_titles("Low Water [Part 2]") == (AlternativeTitle("Low Water [Part 2]"),)


def test_title_twice_counts_once():
    assert read_alternative_titles("Ebb\nEbb") == (AlternativeTitle("Ebb"),)


@pytest.mark.parametrize("text", ["[fr]", "x" * 301])
def test_line_without_a_title_is_refused_by_its_number(text):
    with pytest.raises(BadValue, match="Line 2 "):
        read_alternative_titles(f"Ebb\n{text}")


def test_more_titles_than_a_sheet_has_room_for_are_refused():
    with pytest.raises(BadValue, match="51 titles"):
        read_alternative_titles("\n".join(map(str, range(51))))


@given(
    st.lists(
        st.tuples(
            st.text(st.characters(categories=["Lu", "Ll", "Nd"]), min_size=1, max_size=20),
            st.sampled_from(["", "fr", "pt-BR"]),
        ).map(lambda pair: AlternativeTitle(*pair)),
        max_size=5,
        unique=True,
    )
)
def test_text_reads_back(titles):
    assert read_alternative_titles(alternative_titles_text(titles)) == tuple(titles)


@pytest.mark.parametrize(
    ("kind", "stated", "found"),
    [
        ("series", ProductionType.NONE, ProductionType.SERIES_EPISODE),
        ("feature", ProductionType.NONE, ProductionType.FILM),
        ("pilot", ProductionType.NONE, ProductionType.ONE_OFF),
        ("series", ProductionType.SPORT, ProductionType.SPORT),
        ("opera", ProductionType.NONE, ProductionType.NONE),
    ],
)
def test_type_is_that_stated_else_that_of_the_kind(kind, stated, found):
    assert type_of(kind, stated) is found


@pytest.mark.parametrize("word", [*ProductionType, *CutVersion])
def test_each_word_has_its_label(word):
    assert word.label
