"""Columns and their fields. The heads are common practice, no published source, in three languages."""

import pytest

from supervision.rules.column_mapping import (
    CONTENT,
    EXACT,
    NEARLY,
    WITHIN,
    ColumnMapping,
    check_mapping,
    guess_columns,
    mapping_from_plain,
    mapping_of,
    mapping_to_plain,
)
from supervision.rules.errors import BadValue
from supervision.rules.song_log import SONG_LOG
from supervision.rules.table import Table, TableRow, column_letter, guess_heading, heading_key


def table_of(*rows, heading=1):
    lines = tuple(TableRow(number, tuple(row.split("|"))) for number, row in enumerate(rows, 1) if row)
    return Table(name="log.csv", lines=lines, read_as="text", heading=heading)


def fields_of(*rows, heading=1):
    return [guess.field for guess in guess_columns(table_of(*rows, heading=heading), SONG_LOG)]


@pytest.mark.parametrize(
    "heads",
    [
        "Cue #|Song Title|Performer|TC IN|TC OUT|Duration|Usage|Composer(s)|Publisher(s)|Label|Cat. No.|ISRC|Comments",
        "Cue_No.|Track|Artist|Start|End|Length|Use code|Written by|Published by|Record label|Catalogue number|ISRC code|Notes",
        "Nr.|Titel|Interpret|Anfang|Ende|Länge|Verwendung|Komponist/Autor|Verlag|Plattenfirma|Katalognummer|ISRC|Bemerkungen",
        "N°|Titre|Interprète|Entrée|Sortie|Durée|Utilisation|Auteurs/Compositeurs|Éditeurs|Maison de disques|Réf.|ISRC|Remarques",
    ],
)
def test_heads_in_three_languages_are_known(heads):
    assert fields_of(heads) == [
        "cue_number", "title", "artist", "in", "out", "duration", "use", "writers", "publishers", "label",
        "catalogue_number", "isrc", "notes",
    ]  # fmt: skip


def test_no_head_belongs_to_two_fields_and_each_is_written_as_it_is_compared():
    words = [word for field in SONG_LOG.fields for word in field.words]
    assert len(words) == len(set(words))
    assert [word for word in words if heading_key(word) != word] == []


def test_a_guess_says_why_and_shows_an_example():
    guesses = guess_columns(table_of("Titel|Performing artist|Komponisten/in|x||", "Tide|The Weirs|A|1||"), SONG_LOG)
    assert [(guess.letter, guess.field, guess.reason, guess.strength, guess.example) for guess in guesses] == [
        ("A", "title", "The head says “Titel”.", EXACT, "Tide"),
        ("B", "artist", "The head says “Performing artist”.", WITHIN + 6, "The Weirs"),
        ("C", "writers", "The head says “Komponisten/in”.", WITHIN + 11, "A"),
        ("D", "", "No field has this head.", 0, "1"),
        ("E", "", "No field has this head.", 0, ""),
        ("F", "", "No field has this head.", 0, ""),
    ]


def test_a_slip_in_a_head_is_forgiven_and_said():
    (guess,) = guess_columns(table_of("Durration"), SONG_LOG)
    assert (guess.field, guess.reason) == ("duration", "The head nearly says “Durration”.")
    assert NEARLY <= guess.strength < WITHIN


def test_a_field_is_given_once_to_the_column_that_fits_best():
    assert fields_of("Title of the song|Title|Titel") == ["", "title", ""]


def test_cells_speak_where_heads_do_not():
    rows = ("1M1|Tide|01:00:10:00|01:00:43:12|US-S1Z-99-00001", "1M2|Weir|01:01:10:00|01:01:43:12|USS1Z9900002")
    assert fields_of(*rows, heading=0) == ["cue_number", "", "in", "out", "isrc"]
    assert {guess.strength for guess in guess_columns(table_of(*rows, heading=0), SONG_LOG)} == {0, CONTENT}


def test_times_of_the_source_are_no_length():
    assert fields_of("TC in|TC out|Src in|Src out", "01:00:10:00|01:00:43:12|05:00:00:00|05:00:33:12") == [
        "in",
        "out",
        "",
        "",
    ]


def test_the_row_of_heads_is_found():
    words = SONG_LOG.words
    lines = table_of("The Weir|||", "Episode 101|||", "", "Cue|Title|In|Out", "1M1|Tide|1|2").lines
    assert guess_heading(lines, words) == (4, "guess: 4 heads are known words")
    lines = table_of("Liste||", "Alpha|Beta|Gamma", "1|2|3").lines
    assert guess_heading(lines, words) == (2, "guess: the first full row that has words only")
    assert guess_heading(table_of("1|2|3", "4|5|6").lines, words) == (0, "guess: no row looks like column heads")
    assert guess_heading((), words) == (0, "guess: no row looks like column heads")


def test_heads_are_put_right_by_people():
    table = table_of("The Weir|", "Cue|Song", "1M1|Tide").headed(2)
    assert (table.columns, [row.line for row in table.rows], table.heading_from) == (("Cue", "Song"), [3], "given")
    assert [row.line for row in table.headed(0).rows] == [1, 2, 3]
    assert table.headed(0).columns == ("", "")
    with pytest.raises(BadValue, match=r"There is nothing in row 9\."):
        table.headed(9)


def test_the_fingerprint_knows_tables_of_one_make():
    assert table_of("Cue No.|Title").fingerprint == table_of("cue_no|TITLE", "1M1|Tide").fingerprint
    assert table_of("Cue No.|Title").fingerprint != table_of("Title|Cue No.").fingerprint


def test_values_are_the_first_cells_with_anything_in_them():
    assert list(table_of("a", " ", "x", "y", "z").values(0, 2)) == ["x", "y"]
    assert list(table_of("a", "x").values(3)) == []


@pytest.mark.parametrize(
    ("index", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA"), (16383, "XFD")]
)
def test_column_letters_are_those_of_spreadsheets(index, letters):
    assert column_letter(index) == letters  # Microsoft, "Excel specifications and limits": 16,384 columns, the last XFD


def test_a_mapping_is_fitted_to_the_table():
    table = table_of("a|b|c")
    assert check_mapping(ColumnMapping(("title",)), table, SONG_LOG).columns == ("title", "", "")
    assert check_mapping(ColumnMapping(("title", "", "", "in")), table, SONG_LOG).columns == ("title", "", "")


@pytest.mark.parametrize(
    ("columns", "place", "text"),
    [
        (("title", "colour"), "column B", "There is no field “colour”."),
        (("title", "", "title"), "column C", "Title is given by the columns A and C."),
    ],
)
def test_a_mapping_that_cannot_be_is_refused(columns, place, text):
    with pytest.raises(BadValue) as refused:
        check_mapping(ColumnMapping(columns), table_of("a|b|c"), SONG_LOG)
    assert (refused.value.place, refused.value.text) == (place, text)


def test_a_mapping_is_kept_and_comes_back():
    mapping = mapping_of(guess_columns(table_of("Cue|Title|In"), SONG_LOG))
    mapping = ColumnMapping(mapping.columns, {"in": "seconds"})
    assert mapping_from_plain(mapping_to_plain(mapping)) == mapping
    assert (mapping.column("title"), mapping.column("out")) == (1, None)


@pytest.mark.parametrize("plain", [None, [], {}, {"columns": [1], "times": {}}, {"columns": [], "times": {"in": 3}}])
def test_what_is_no_mapping_is_refused(plain):
    with pytest.raises(BadValue, match="no mapping of columns"):
        mapping_from_plain(plain)
