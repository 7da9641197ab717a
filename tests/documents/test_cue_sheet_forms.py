"""One sheet in all its forms, each read back by a reader that is not ours, and equal to one another cell by cell.

Readers: PDFium (PDF), openpyxl (XLSX), the standard library (CSV, JSON), jsonschema (JSON Schema 2020-12).
Outside checks: ISO 8601 durations as DDEX writes them (``PT2M4S``, ``PT1M30.5S``, ``PT1H2M3S``); DDEX DSR part 8, cells
1 to 8 of CU01.
"""

import csv
import io
import json
import re
from dataclasses import fields, is_dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path

import openpyxl
import pypdfium2
import pytest
from jsonschema import Draft202012Validator

from supervision.documents.cue_sheet import country_text, left_out_text, words_of
from supervision.documents.cue_sheet_pdf import cue_sheet_pdf
from supervision.documents.cue_sheet_xlsx import cue_sheet_workbook
from supervision.interchange.cue_sheet_csv import write_cue_sheet
from supervision.interchange.cue_sheet_cu01 import CELLS, duration_text, write_cu01
from supervision.interchange.cue_sheet_schema import cue_sheet_schema
from supervision.queries.cue_sheet_profiles import house_profiles
from supervision.rules import cue_sheet, cue_sheet_profile
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.cue_sheet_setting import issued, set_sheet
from supervision.rules.cue_sheet_table import COLUMNS, PRODUCTION_COLUMNS
from supervision.rules.durations import clock
from supervision.rules.filing import FilingRule
from supervision.rules.frozen import canonical, to_plain
from supervision.rules.programme import AlternativeTitle, CutVersion, ProductionType
from supervision.rules.usage import Facets, Function
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer

CUE_COLUMNS = [name for name in COLUMNS if name not in PRODUCTION_COLUMNS]


@pytest.fixture(params=[profile.code for profile in house_profiles()], scope="module")
def sheet(request):
    """Sixty cues of every kind by each profile of the house, issued, with everything said of the production."""
    profile = next(profile for profile in house_profiles() if profile.code == request.param)
    more = {
        "production_type": ProductionType.SERIES_EPISODE,
        "production_titles": (AlternativeTitle("Le Barrage", "fr"), AlternativeTitle("=Wehr")),
        "broadcast_country": "FR",
        "version": CutVersion.NETWORK,
        "directors": "Ann Fen",
        "partial": "the last reel is still being cut",
    }
    told = long_sheet(60)
    made = set_sheet(facts(*told.uses, minutes=60, **more), profile)
    return issued(made, revision=3, by="Ida Person", on=date(2026, 11, 25))


def flattened(value):
    """The JSON as one row a party, by paths into it and nothing of the code that writes tables."""
    for cue in value["cues"]:
        for work_ in cue["works"] or [None]:
            for party in (work_["parties"] or [None]) if work_ else [None]:
                yield cue, work_ or {}, party or {}


def from_json(sheet):
    rows = []
    for cue, work_, party in flattened(json.loads(canonical(to_plain(sheet)))):
        heard = cue["recording"] or {}
        rows.append(
            {
                "sequence": str(cue["sequence"]),
                "cue_number": cue["number"],
                "cue_title": cue["title"],
                "use_code": cue["use"]["code"],
                "origin": cue["use"]["origin"],
                "timecode_in": cue["timecode_in"],
                "timecode_out": cue["timecode_out"],
                "duration_seconds": str(cue["seconds"]),
                "artist": heard.get("artist", ""),
                "isrc": heard.get("isrc", ""),
                "work_title": work_.get("title", ""),
                "iswc": work_.get("iswc", ""),
                "interest": party.get("interest", ""),
                "role": party.get("role", ""),
                "name": party.get("name", ""),
                "ipi": party.get("ipi", ""),
                "society": party.get("society", ""),
                "society_code": party.get("society_code", ""),
                "share": party.get("share", ""),
                "exact_share": party.get("exact", ""),
            }
        )
    return rows


def from_csv(sheet):
    text = io.StringIO(write_cue_sheet(sheet).decode("utf-8-sig"), newline="")
    return list(csv.DictReader(text))


def from_xlsx(sheet):
    """The cells of the sheet Cues; a share has two decimals as its format shows it."""
    written = openpyxl.load_workbook(io.BytesIO(cue_sheet_workbook(sheet)))["Cues"]
    head = [cell.value for cell in written[5]]
    rows = []
    for line in written.iter_rows(min_row=6, values_only=True):
        cells = dict(zip(head, ("" if cell is None else cell for cell in line), strict=True))
        share = cells["share"]
        rows.append(
            {name: str(cell) for name, cell in cells.items()} | {"share": f"{share:.2f}" if share != "" else ""}
        )
    return rows


def test_json_csv_and_workbook_say_the_same_cell_by_cell(sheet):
    told, separated, tabulated = from_json(sheet), from_csv(sheet), from_xlsx(sheet)
    assert len(told) > 60
    assert [{name: row[name].removeprefix("'") for name in told[0]} for row in separated] == told
    assert [{name: row[name] for name in CUE_COLUMNS} for row in tabulated] == [
        {name: row[name].replace("'=", "=") for name in CUE_COLUMNS} for row in separated
    ]


def test_workbook_says_of_the_production_what_the_table_does(sheet):
    book = openpyxl.load_workbook(io.BytesIO(cue_sheet_workbook(sheet, digest="d" * 64)))
    told = {
        row[0]: "" if row[1] is None else str(row[1])
        for row in book["Production"].iter_rows(min_row=6, values_only=True)
    }
    first = from_csv(sheet)[0]
    assert {name: told[name] for name in PRODUCTION_COLUMNS} == {name: first[name] for name in PRODUCTION_COLUMNS}
    assert told["digest"] == "d" * 64
    inside = [row[1] for row in book["Cues inside"].iter_rows(min_row=6, values_only=True)]
    assert inside == [each.number for cue in sheet.cues for each in cue.inside]


def test_paper_says_what_the_table_says(sheet):
    document = pypdfium2.PdfDocument(cue_sheet_pdf(sheet))
    text = " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
    sign = words_of(sheet).writing.table["decimal_sign"]
    shares = re.findall(rf"\b\d{{1,3}}{re.escape(sign)}\d\d\b", text)
    rows = from_json(sheet)
    assert sorted(shares) == sorted(row["share"].replace(".", sign) for row in rows if row["share"])
    for cue in sheet.cues:
        assert f" {clock(cue.seconds)}" in text
    latin = [row["name"] for row in rows if row["name"].isascii()]
    assert [name for name in set(latin) if name.split()[0] not in text] == []


def test_json_is_as_the_schema_says(sheet):
    schema = json.loads(cue_sheet_schema())
    Draft202012Validator.check_schema(schema)
    errors = Draft202012Validator(schema).iter_errors(json.loads(canonical(to_plain(sheet))))
    assert [error.message for error in errors] == []


def test_sheet_of_the_first_schema_is_still_as_the_schema_says():
    stored = Path(__file__).parents[2] / "fixtures/sheets/cue-sheet-1-stored.json"
    errors = Draft202012Validator(json.loads(cue_sheet_schema())).iter_errors(json.loads(stored.read_bytes()))
    assert [error.message for error in errors] == []


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("music_seconds",), "60"),
        (("cues", 0, "use", "bltvr"), "X"),
        (("cues", 0, "works", 0, "parties", 0, "share"), "50"),
        (("cues", 0, "works", 0, "parties", 0, "ipi"), "123"),
        (("unknown",), 1),
    ],
)
def test_schema_refuses_what_is_no_sheet(place, value):
    plain = to_plain(set_sheet(long_sheet(1)))
    at = plain
    for step in place[:-1]:
        at = at[step]
    at[place[-1]] = value
    assert not Draft202012Validator(json.loads(cue_sheet_schema())).is_valid(plain)


def _classes(module):
    return [kind for kind in vars(module).values() if isinstance(kind, type) and is_dataclass(kind)]


def test_schema_has_every_field_and_no_other():
    schema = json.loads(cue_sheet_schema())
    described = schema["$defs"] | {"CueSheet": schema}
    kinds = {kind.__name__: kind for module in (cue_sheet, cue_sheet_profile) for kind in _classes(module)}
    kinds |= {kind.__name__: kind for kind in (AlternativeTitle, FilingRule)}
    checked = {name for name in described if name in kinds}
    assert {"CueSheet", "CueSheetHeader", "Cue", "CueUse", "CueWork", "CueParty", "CueRecording"} <= checked
    for name in checked:
        assert set(described[name]["properties"]) == {field.name for field in fields(kinds[name])}, name


def test_terms_of_the_schema_are_those_that_sheets_use():
    properties = json.loads(cue_sheet_schema())["$defs"]["CueUse"]["properties"]
    # DDEX allowed-value sets CueUseType_MWDR and Bumper, ThemeType, VocalType, VisualPerceptionType, CueOrigin.
    assert properties["cue_use_type"]["enum"] == [
        "AudioLogo",
        "Background",
        "Bumper",
        "OnScreenMusic",
        "RolledUpCue",
        "Theme",
    ]
    assert set(properties["bltvr"]["enum"]) == set("BLTVR")  # CISAC CWR08-3615R1


# --- CU01 -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "told"),
    [
        (Fraction(124), "PT2M4S"),
        (Fraction("90.5"), "PT1M30.5S"),
        (Fraction(3723), "PT1H2M3S"),
        (Fraction(0), "PT0S"),
        (Fraction(120), "PT2M"),
        (Fraction(3600), "PT1H"),
        (Fraction(1001, 30000), "PT0.033S"),
    ],
)
def test_duration_as_ddex_writes_it(seconds, told):
    assert duration_text(seconds) == told


def test_cu01_records_have_eight_cells_in_order(sheet):
    lines = write_cu01(sheet).decode().split("\r\n")
    assert lines.pop() == ""
    records = [dict(zip(CELLS, line.split("\t"), strict=True)) for line in lines]
    assert {record["RecordType"] for record in records} == {"CU01.02"}
    first = sheet.cues[0]
    assert (records[0]["CueDuration"], records[0]["Title"]) == (duration_text(Fraction(first.seconds)), first.title)
    # A recording that is cued stands for its works; without one each work has a record.
    wanted = sum(
        1 if (cue.recording and cue.recording.isrc) or len(cue.works) < 2 else len(cue.works) for cue in sheet.cues
    )
    assert len(records) == wanted


def test_cu01_keeps_titles_in_one_cell():
    lines = write_cu01(set_sheet(facts(use(works=[work("Tide\tand\nWeir")])))).decode().splitlines()
    assert [line.split("\t")[7] for line in lines] == ["Tide and Weir"]


# --- long sheets ----------------------------------------------------------------------------------------------------


def test_300_cues_and_25_writers_in_one_cue_stand_on_paper_once_each():
    crowd = [writer(f"Writer {number:02} End", 4) for number in range(25)]
    told = long_sheet(299)
    big = use("99M99", start=299 * 20 + 5, seconds=9, works=[work("Crowd", [*crowd, publisher()])])
    made = set_sheet(facts(*told.uses, big, minutes=300))
    assert len(made.cues) == 300
    document = pypdfium2.PdfDocument(cue_sheet_pdf(made))
    pages = [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    text = " ".join(pages)
    marks = [f"{cue.number} {cue.timecode_in} {cue.timecode_out}" for cue in made.cues]
    assert [mark for mark in marks if text.count(mark) != 1] == []
    assert [party.name for party in crowd if text.count(party.name) != 1] == []
    assert [page for page in pages if page.count("IPI name no.") != 2] == []


def test_rolled_up_rows_tell_on_paper_what_is_inside():
    profile = next(profile for profile in house_profiles() if profile.roll_up)
    made = set_sheet(long_sheet(60), profile)
    inside = [each for cue in made.cues for each in cue.inside]
    document = pypdfium2.PdfDocument(cue_sheet_pdf(made))
    text = " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
    assert len(inside) > 2
    assert [each.title for each in inside if f"{each.number} {each.title}" not in text] == []


def test_french_sheet_speaks_french():
    profile = next(profile for profile in house_profiles() if profile.language == "fr")
    made = set_sheet(long_sheet(7), profile)
    text = pypdfium2.PdfDocument(cue_sheet_pdf(made))[0].get_textpage().get_text_bounded()
    assert "Société de production" in text
    assert "Royaume-Uni" in text
    assert (country_text("FR", "fr"), country_text("FR", "en"), country_text("", "fr")) == ("France", "France", "")


def test_cues_that_are_left_out_are_told():
    profile = SheetProfile(code="no-logos", name="No logos", logos=False)
    ident = use("1L", seconds=4, works=[work("Weir Ident")], facets=Facets(Function.LOGO))
    made = set_sheet(facts(ident, use("1M1", start=20)), profile)
    assert left_out_text(made) == "Not listed, and in no total: 1L Weir Ident 0:04"
    text = pypdfium2.PdfDocument(cue_sheet_pdf(made))[0].get_textpage().get_text_bounded()
    assert left_out_text(made) in " ".join(text.split())
    assert left_out_text(set_sheet(long_sheet(7))) == ""
