"""Sheets that were stored before sheets had profiles: still read, still what their digest says, still printed.

``fixtures/sheets/cue-sheet-1-stored.json`` is a payload as the first schema wrote it, with the digest of that day. The
digest is recomputed with hashlib from the bytes (FIPS 180-4), not by our own code.
"""

import hashlib
import json
from decimal import Decimal
from pathlib import Path

import pytest

from supervision.documents.cue_sheet_pdf import cue_sheet_html
from supervision.interchange.cue_sheet_csv import write_cue_sheet
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_profile import FIRST
from supervision.rules.errors import Conflict
from supervision.rules.frozen import thawed

STORED = (Path(__file__).parents[2] / "fixtures/sheets/cue-sheet-1-stored.json").read_bytes()
DIGEST = "c92a8b8db12ac07bb2ca604d8cba4d44e5114927ca550bf6f750ca41812efed6"


@pytest.fixture
def sheet():
    return thawed(CueSheet, json.loads(STORED), DIGEST)


def test_first_schema_is_read_with_its_digest(sheet):
    assert hashlib.sha256(STORED).hexdigest() == DIGEST
    assert sheet.schema == "ledger-line/cue-sheet/1"
    assert (sheet.header.revision, len(sheet.cues), sheet.music_seconds) == (1, 9, 139)
    assert (sheet.profile, sheet.set_by, sheet.share_basis) == (None, FIRST, "200")
    assert sheet.header.partial == ""


def test_cue_of_the_first_schema_counts_in_full_and_its_shares_are_those_printed(sheet):
    song = sheet.cues[0]
    assert (song.counted_frames, song.carved, song.inside) == (song.frames, (), ())
    assert [party.stated for party in song.works[0].parties] == [party.share for party in song.works[0].parties]
    assert song.works[0].parties[0].share == Decimal("33.34")


def test_first_schema_is_still_printed(sheet):
    assert "Evening Tide 0" in cue_sheet_html(sheet, digest=DIGEST)
    assert b"Evening Tide 0" in write_cue_sheet(sheet)


def test_stored_sheet_that_was_changed_is_refused():
    with pytest.raises(Conflict, match="changed after it was frozen"):
        thawed(CueSheet, json.loads(STORED) | {"music_seconds": 140}, DIGEST)
