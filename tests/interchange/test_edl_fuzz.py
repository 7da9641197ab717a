"""Edit lists gone wrong in every way: a reading or the reader's own refusal, and nothing else."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.interchange import edl
from supervision.interchange.cut_json import cues_json, events_json
from supervision.interchange.edl_blocks import assemble
from supervision.interchange.edl_lines import EventLine, statement
from supervision.interchange.edl_text import TextLine
from supervision.rules.cut_cues import cues
from supervision.rules.errors import UnreadableFile

LISTS = sorted((Path(__file__).resolve().parent.parent.parent / "fixtures" / "edl").glob("*.edl"))
WORDS = [
    *[
        "001",
        "1",
        "AX",
        "BL",
        "A",
        "A2",
        "AA",
        "AA/V",
        "B",
        "V",
        "NONE",
        "A10",
        "A1234V",
        "C",
        "D",
        "W001",
        "K",
        "KB",
        "KO",
        "024",
        "M2",
        "AUD",
        "3",
        "4",
        "FCM:",
        "DROP",
        "FRAME",
        "NON-DROP",
    ],
    *["TITLE:", "* FROM CLIP NAME:", "* TO CLIP NAME:", "SPLIT:", "* FRAME RATE:", "24", "30000/1001", "Harbour.wav"],
    *["00:00:00:00", "23:59:59:23", "99:99:99:99", "01:00:00;02", "1:2:3:4", "-", "+", "*", "(NULL)", "9" * 30, "é"],
]
ENDS = st.sampled_from(["\n", "\r", "\r\n", " \n", "\x1a"])


def survives(data, rate=None, drop=None):
    """Read the list; what comes out is whole: in JSON, in cues, its lines within the file."""
    try:
        reading = edl.read(data, rate=rate, drop=drop)
    except UnreadableFile:
        return
    joined = cues(reading.events, reading.rate)
    assert events_json(reading, reading.events, reading.warnings)["events"]
    assert len(cues_json(reading, joined, ())["cues"]) == len(joined)
    last = len(data.splitlines()) + data.count(b"\r") + 1
    assert all(0 < event.line <= last for event in reading.events)
    assert all(0 <= warning.line <= last for warning in reading.warnings)
    assert all(cue.frames > 0 for cue in joined)
    assert all(run.record_in < run.record_out for cue in joined for run in cue.runs)


@given(st.binary(max_size=300))
def test_bytes_of_any_kind(data):
    survives(data)


@given(st.text(max_size=300))
def test_text_of_any_kind(text):
    survives(text.encode("utf-8", "surrogatepass"))


@given(
    st.lists(st.tuples(st.lists(st.sampled_from(WORDS), max_size=12), ENDS), max_size=20),
    st.sampled_from([None, True, False]),
)
@settings(max_examples=300)
def test_words_of_edit_lists_in_any_order(lines, drop):
    survives("".join(" ".join(words) + end for words, end in lines).encode(), drop=drop)


@given(st.data())
@settings(max_examples=300)
def test_real_lists_with_bytes_changed(data):
    changed = bytearray(data.draw(st.sampled_from(LISTS)).read_bytes()[:3000])
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, max(0, len(changed) - 1)))
        match data.draw(st.sampled_from(["put", "cut", "repeat", "insert"])):
            case "put":
                changed[at : at + 1] = bytes([data.draw(st.integers(0, 255))])
            case "cut":
                del changed[at : at + data.draw(st.integers(1, 40))]
            case "repeat":
                changed[at:at] = changed[at : at + data.draw(st.integers(1, 200))]
            case "insert":
                changed[at:at] = data.draw(st.binary(max_size=6))
    survives(bytes(changed))


@given(st.lists(st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join), max_size=20))
def test_no_line_is_lost_in_silence(texts):
    """Every line is an event, is told of, or is one that may be passed over: blank, or read by itself as something."""
    lines = [TextLine(number, text) for number, text in enumerate(texts, start=1)]
    found = assemble(map(statement, lines))
    drafted = {draft.event.line for draft in found.drafts}
    told = {warning.line for warning in found.warnings}
    for line in lines:
        alone = statement(line)
        if isinstance(alone, EventLine):
            assert line.number in drafted
        elif hasattr(alone, "why"):
            assert line.number in told


@pytest.mark.parametrize(
    "text", ["AUD " + "1" * 1900, "M2 " + "9 " * 900, "* FROM CLIP NAME " * 100, "A1" * 900, "W " * 900 + "001"]
)
def test_lines_made_to_be_slow(text):
    survives(f"001  AX A C 00:00:00:00 00:00:01:00 01:00:00:00 01:00:01:00\n{text}\n".encode())
