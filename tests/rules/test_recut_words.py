"""A change in a sentence, and a cue sheet that no longer holds. Common practice, no published source."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from supervision.rules.cue_sheet import LeftOut, RolledCue
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.findings import Level
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_sheet import SheetLine, lines_of, sheet_outdated
from supervision.rules.recut_words import kind_label, kinds_counted, measure, told
from supervision.rules.timecode import FrameRate
from tests.factories.cue_sheets import facts, use

AT_25 = FrameRate(Fraction(25))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"kind": Kind.KEPT}, ""),
        ({"kind": Kind.NEW, "longer": 250}, ""),
        ({"kind": Kind.GONE, "longer": -250}, ""),
        ({"kind": Kind.KEPT, "slid": -1500}, "1:00 earlier with the picture."),
        ({"kind": Kind.KEPT, "slid": 1}, "1 frame later with the picture."),
        ({"kind": Kind.LONGER, "longer": 50, "tail": 50}, "0:02 longer at its end."),
        ({"kind": Kind.SHORTER, "longer": -7, "head": -7}, "7 frames shorter at its start."),
        (
            {"kind": Kind.SHORTER, "longer": -75, "head": -25, "tail": -50},
            "0:03 shorter at its start and its end.",
        ),
        ({"kind": Kind.SHORTER, "longer": -250, "inside": -250}, "0:10 shorter."),
        ({"kind": Kind.MOVED, "slid": 75, "astray": 75}, "0:03 later against the picture."),
        (
            {"kind": Kind.MOVED, "slid": -225, "astray": 25},
            "0:01 later against the picture; 0:10 earlier with the picture.",
        ),
        (
            {"kind": Kind.MOVED, "slid": 500, "astray": 500, "reordered": True},
            "In another place of the order, 0:20 later against the picture.",
        ),
        ({"kind": Kind.MOVED, "reordered": True}, "In another place of the order."),
        ({"kind": Kind.SPLIT, "after": (1, 2)}, "In 2 pieces now."),
        (
            {"kind": Kind.SPLIT, "after": (1, 2), "longer": -25, "inside": -25},
            "In 2 pieces now; 0:01 shorter between.",
        ),
        (
            {"kind": Kind.JOINED, "before": (1, 2), "longer": 25, "inside": 25},
            "2 usages are one now; 0:01 longer between.",
        ),
    ],
)
def test_a_change_is_told_in_one_sentence(change: dict[str, object], sentence: str):
    assert told(Change(song="R1", **change), AT_25) == sentence  # type: ignore[arg-type]


def test_lengths_below_a_second_are_told_in_frames():
    assert [measure(frames, AT_25) for frames in (0, 1, -24, 25, -1500)] == [
        "0 frames",
        "1 frame",
        "24 frames",
        "0:01",
        "1:00",
    ]


def test_changes_are_counted_by_kind_without_what_is_kept():
    kinds = (Kind.GONE, Kind.KEPT, Kind.LONGER, Kind.GONE)
    assert kinds_counted(Change(kind=kind, song="R1") for kind in kinds) == "1 longer, 2 gone"
    assert kinds_counted([Change(kind=Kind.KEPT, song="R1")]) == ""


def test_every_kind_has_a_word():
    assert len({kind_label(kind) for kind in Kind}) == len(Kind)


SHEET = set_sheet(facts(use("1M1"), use("1M2", start=60), use("", title="Bells", start=120, seconds=12)))
ISSUED = lines_of(SHEET)


def test_a_sheet_lists_its_cues_by_number_else_by_title():
    assert [(line.seconds, line.timecode_in) for line in ISSUED] == [
        (30, "10:00:00:00"),
        (30, "10:01:00:00"),
        (12, "10:02:00:00"),
    ]
    assert [line.name for line in ISSUED[:2]] == ["1M1", "1M2"]


def test_a_sheet_that_says_what_is_heard_holds():
    assert sheet_outdated(2, ISSUED, list(ISSUED)) is None


def test_what_a_sheet_says_otherwise_is_told():
    first, _, third = ISSUED
    heard = [replace(first, seconds=41), SheetLine("1M3", 8, "10:03:00:00"), replace(third, timecode_in="10:02:00:01")]
    found = sheet_outdated(2, ISSUED, heard)
    assert found is not None
    assert (found.level, found.name) == (Level.WARNING, "Revision 2 of the cue sheet")
    assert found.reason == (
        "It no longer says what is heard: 1M1 is 0:41 long, not 0:30; 1M2 is not heard; 1M3 is missing from it; "
        "1 cue comes in elsewhere."
    )


def test_cues_that_only_slid_are_counted():
    heard = [replace(line, timecode_in="11:00:00:00") for line in ISSUED]
    found = sheet_outdated(1, ISSUED, heard)
    assert found is not None
    assert found.reason == "It no longer says what is heard: 3 cues come in elsewhere."


def test_a_cue_heard_more_often_is_told():
    found = sheet_outdated(1, ISSUED, [*ISSUED, ISSUED[0]])
    assert found is not None
    assert found.reason.endswith("1M1 is heard 2 times, not 1.")


def test_a_long_list_of_differences_is_cut_short():
    found = sheet_outdated(1, [], [SheetLine(f"1M{number}", 5, "") for number in range(9)])
    assert found is not None
    assert found.reason.endswith("1M3 is missing from it; and 5 more.")


def test_cues_inside_a_row_and_cues_left_out_are_listed_too():
    rolled = RolledCue(
        number="1M1A",
        title="Tide",
        timecode_in="10:00:10:00",
        timecode_out="10:00:20:00",
        start=Fraction(10),
        frames=250,
        seconds=10,
        counted=Fraction(250),
    )
    row, *others = SHEET.cues
    sheet = replace(
        SHEET,
        cues=(replace(row, number="", inside=(rolled,)), *others),
        left_out=(LeftOut(number="", title="Ident", why="logo", seconds=4),),
    )
    assert lines_of(sheet) == [
        SheetLine("1M1A", 10, "10:00:10:00"),
        *ISSUED[1:],
        SheetLine("Ident", 4, ""),
    ]
