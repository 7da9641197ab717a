"""The cue sheet as CSV, read back by the standard library's reader.

Outside checks: RFC 4180 (CRLF, doubled quotes); OWASP, "CSV Injection" (the characters that begin a formula).
"""

import csv
import io

import pytest

from supervision.interchange.csv_text import csv_bytes, guarded
from supervision.interchange.cue_sheet_csv import COLUMNS, write_cue_sheet
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.cue_sheet_table import FIRST_COLUMNS
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer


def read(data):
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_every_party_has_one_row():
    sheet = set_sheet(long_sheet(35))
    rows = read(write_cue_sheet(sheet))
    expected = [
        (str(cue.sequence), work.title, party.name, str(party.share))
        for cue in sheet.cues
        for work in cue.works
        for party in work.parties
    ]
    assert [(row["sequence"], row["work_title"], row["name"], row["share"]) for row in rows] == expected


def test_row_says_all_that_is_known():
    sheet = set_sheet(facts(use(works=[work(parties=[writer(), publisher()], iswc="T0345246801")])))
    first, second = read(write_cue_sheet(sheet))
    assert {name: first[name] for name in FIRST_COLUMNS} == {
        "production": "The Weir",
        "season": "1",
        "episode_number": "101",
        "episode_title": "Low Water",
        "episode_code": "WEIR-101",
        "first_broadcast": "2027-01-09",
        "revision": "",
        "sequence": "1",
        "cue_number": "1M1",
        "cue_title": "Evening Tide",
        "use_code": "BI",
        "origin": "pre_existing",
        "vocal": "instrumental",
        "timecode_in": "10:00:00:00",
        "timecode_out": "10:00:30:00",
        "duration": "0:30",
        "duration_seconds": "30",
        "artist": "",
        "label": "",
        "catalogue_number": "",
        "track_number": "",
        "isrc": "",
        "work_title": "Evening Tide",
        "iswc": "T0345246801",
        "public_domain": "no",
        "arrangement_of": "",
        "interest": "writer",
        "role": "CA",
        "name": "Ida Reed",
        "ipi": "00014107338",
        "society": "PRS",
        "society_code": "052",
        "share": "100.00",
    }
    assert (second["interest"], second["role"], second["name"]) == ("publisher", "E", "Reed Harbour Music")


def test_cue_without_parties_still_has_its_row():
    sheet = set_sheet(facts(use("1M1", works=[]), use("1M2", start=60, works=[work(parties=())])))
    assert [(row["cue_number"], row["work_title"], row["name"]) for row in read(write_cue_sheet(sheet))] == [
        ("1M1", "", ""),
        ("1M2", "Evening Tide", ""),
    ]


def test_columns_are_the_head():
    assert write_cue_sheet(set_sheet(facts())) == ("\ufeff" + ",".join(COLUMNS) + "\r\n").encode()


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", " =", "  @"])
def test_what_a_spreadsheet_would_calculate_is_guarded(start):
    assert guarded(f"{start}1+1") == f"'{start}1+1"


@pytest.mark.parametrize("text", ["", "Evening Tide", "1+1", "'tis", " ", "夕凪の歌", "a=b"])
def test_other_text_is_left_as_it_is(text):
    assert guarded(text) == text


def test_guard_quotes_and_lines_survive_the_reader():
    rows = list(
        csv.reader(
            io.StringIO(csv_bytes(["a", "b"], [['=1;"x"', "one\r\ntwo, three"]]).decode("utf-8-sig"), newline="")
        )
    )
    assert rows == [["a", "b"], ['\'=1;"x"', "one\r\ntwo, three"]]
