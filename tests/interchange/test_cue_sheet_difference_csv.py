"""The difference between two revisions as CSV, read back by Python's own reader (RFC 4180)."""

import csv
import io

from supervision.interchange.cue_sheet_difference_csv import COLUMNS, write_difference
from supervision.rules.cue_sheet_difference import difference
from supervision.rules.cue_sheet_setting import set_sheet
from tests.factories.cue_sheets import facts, publisher, use, work, writer

THIRDS = [*(writer(name, "33.333333") for name in "ABC"), publisher()]


def rows(before, after, **header):
    changes = difference(set_sheet(facts(*before)), set_sheet(facts(*after, **header)))
    return list(csv.DictReader(io.StringIO(write_difference(changes).decode("utf-8-sig"))))


def test_each_change_is_a_row():
    found = rows([use(seconds=60)], [use(seconds=60, works=[work(parties=THIRDS)])], network="=Nine")
    assert list(found[0]) == list(COLUMNS)
    assert [
        (row["about"], row["name"], row["side"], row["what"], row["before"], row["after"], row["seconds"])
        for row in found
    ] == [
        ("party", "Ida Reed", "writer", "credited seconds", "60", "0", "'-60"),
        ("party", "Ida Reed", "writer", "share of Evening Tide", "100 %", "0 %", ""),
        ("party", "A", "writer", "credited seconds", "0", "20", "20"),
        ("party", "A", "writer", "share of Evening Tide", "0 %", "33.3333… %", ""),
        ("party", "B", "writer", "credited seconds", "0", "20", "20"),
        ("party", "B", "writer", "share of Evening Tide", "0 %", "33.3333… %", ""),
        ("party", "C", "writer", "credited seconds", "0", "20", "20"),
        ("party", "C", "writer", "share of Evening Tide", "0 %", "33.3333… %", ""),
        ("cue", "1M1 Evening Tide", "", "changed", "", "", "0"),
        ("cue", "1M1 Evening Tide", "", "A (writer, CA) in Evening Tide", "", "33.3333… %", ""),
        ("cue", "1M1 Evening Tide", "", "B (writer, CA) in Evening Tide", "", "33.3333… %", ""),
        ("cue", "1M1 Evening Tide", "", "C (writer, CA) in Evening Tide", "", "33.3333… %", ""),
        ("cue", "1M1 Evening Tide", "", "Ida Reed (writer, CA) in Evening Tide", "100 %", "", ""),
        ("header", "", "", "Network or platform", "Channel Nine and a Half", "'=Nine", ""),
    ]


def test_seconds_that_do_not_end_are_fractions():
    third = rows([use(seconds=60)], [use(seconds=61, works=[work(parties=THIRDS)])])
    assert {row["name"]: row["after"] for row in third if row["what"] == "credited seconds"}["A"] == "61/3"
