"""Pasted rows: cells as spreadsheets copy them (RFC 4180, with a tab for the comma), and which column is what."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.pasted_rows import MOST_COLUMNS, MOST_ROWS, columns_of, read_pasted, texts_of


def cells(text):
    return [row.cells for row in read_pasted(text).lines]


def test_rows_end_with_either_line_end_and_blank_rows_fall_out():
    assert cells("1M1\tEbb\r\n\t\r\n1M2\tFlow\n") == [("1M1", "Ebb"), ("1M2", "Flow")]


def test_cell_with_a_line_end_or_a_tab_is_in_quotes():
    # RFC 4180, section 2, rules 6 and 7: such a field is enclosed in double quotes, and a quote in it is doubled.
    assert cells('1M1\t"Ebb\nand ""flow"""\tQuay\n1M2\t"a\tb"\n') == [("1M1", 'Ebb and "flow"', "Quay"), ("1M2", "a b")]


def test_any_other_quote_is_part_of_the_text():
    assert cells('1M1\t"Ebb" reprise\n1M2\t"Flow"\n"3M3\tx') == [
        ("1M1", '"Ebb" reprise'),
        ("1M2", '"Flow"'),
        ('"3M3', "x"),
    ]


@given(st.lists(st.lists(st.text('ab "\n\t', max_size=4), min_size=1, max_size=3), min_size=1, max_size=4))
def test_what_a_spreadsheet_writes_is_read_again(rows):
    def written(cell):
        return '"' + cell.replace('"', '""') + '"' if set("\n\t") & set(cell) else cell

    kept = [tidy for row in rows if any(tidy := tuple(" ".join(cell.split()) for cell in row))]
    assume(kept)
    # A spreadsheet writes a text that begins with a quote and needs none as it is, and that may be read as quoted.
    assume(not any(cell.startswith('"') and not set("\n\t") & set(cell) for row in rows for cell in row))
    assert cells("\n".join("\t".join(map(written, row)) for row in rows)) == kept


def test_known_heads_name_the_columns_and_unknown_ones_are_left_out():
    table = read_pasted("Cue No.\tTC in\tTC out\tTrack\tArtist\tMood\n1M1\t1000\t+33s\tEbb\tThe Weir\tsad")
    assert (table.heading, columns_of(table)) == (1, ("cue_number", "in", "out", "title", "artist", ""))
    assert texts_of(table.rows[0], columns_of(table)) == {
        "cue_number": "1M1",
        "in": "1000",
        "out": "+33s",
        "title": "Ebb",
        "artist": "The Weir",
    }


def test_without_heads_cells_tell_and_the_rest_is_in_the_usual_order():
    table = read_pasted("Ebb\t1M1\t10:00:00:00\t10:00:30:00\tThe Weir\nFlow\t1M2\t10:01:00:00\t10:01:30:00\tOta")
    assert (table.heading, columns_of(table)) == (0, ("title", "cue_number", "in", "out", "artist"))


def test_two_words_that_are_no_heads_are_a_row():
    assert read_pasted("Ebb\tThe Weir\nFlow\tOta").heading == 0


def test_of_two_columns_with_one_field_the_first_that_says_anything_counts():
    [row] = read_pasted("\tEbb\tFlow").rows
    assert texts_of(row, ("title", "title", "title", "scene")) == {"title": "Ebb"}


@pytest.mark.parametrize("text", ["", "\n\t\n", "x\n" * (MOST_ROWS + 1), "\t".join("x" * (MOST_COLUMNS + 1))])
def test_nothing_and_too_much_are_refused(text):
    with pytest.raises(BadValue) as refused:
        read_pasted(text)
    assert (refused.value.place, bool(refused.value.mend)) == ("text", True)
