"""Single lines of edit lists, as different systems write them."""

from fractions import Fraction

import pytest

from supervision.interchange.edl_lines import (
    CountMode,
    EventLine,
    MoreTracks,
    Name,
    RateNote,
    Remark,
    Speed,
    Title,
    Unread,
    statement,
)
from supervision.interchange.edl_text import TextLine
from supervision.rules.cut_rate import Label, Times

FOUR = "01:00:00:00 01:00:05:00 10:00:00:00 10:00:05:12"
TIMES = Times(Label(10, 0, 0, 0), Label(10, 0, 5, 12), Label(1, 0, 0, 0), Label(1, 0, 5, 0))


def said(text):
    return statement(TextLine(7, text))


def event(text):
    found = said(text)
    assert isinstance(found, EventLine)
    return found.number, found.middle, found.transition, found.duration


@pytest.mark.parametrize(
    ("head", "number", "middle", "transition", "duration"),
    [
        ("001  AX       A     C       ", "001", ("AX", "A"), "cut", 0),
        ("001\tAX\tAA/V\tC\t", "001", ("AX", "AA/V"), "cut", 0),
        ("  12 ax a2 c ", "12", ("ax", "a2"), "cut", 0),
        ("1000 TAPE A C", "1000", ("TAPE", "A"), "cut", 0),
        ("000123  A_LONG_NAME_OF_A_FILE.WAV A C", "000123", ("A_LONG_NAME_OF_A_FILE.WAV", "A"), "cut", 0),
        ("001A  AX A C", "001A", ("AX", "A"), "cut", 0),
        ("001. AX A C", "001", ("AX", "A"), "cut", 0),
        ("001  Tide Table (v2).wav A C", "001", ("Tide", "Table", "(v2).wav", "A"), "cut", 0),
        ("001  AX A D 024", "001", ("AX", "A"), "dissolve", 24),
        ("001  AX A D 024.0", "001", ("AX", "A"), "dissolve", 24),
        ("001  AX A D024", "001", ("AX", "A"), "dissolve", 24),
        ("001  AX A D", "001", ("AX", "A"), "dissolve", 0),
        ("001  AX A W001 024", "001", ("AX", "A"), "wipe", 24),
        ("001  AX A W 001 024", "001", ("AX", "A"), "wipe", 24),
        ("001  AX A W021", "001", ("AX", "A"), "wipe", 0),
        ("001  AX V K 000", "001", ("AX", "V"), "key", 0),
        ("001  AX V K B 012", "001", ("AX", "V"), "key", 12),
        ("001  AX V K O 012", "001", ("AX", "V"), "key", 12),
        ("001  AX V KB", "001", ("AX", "V"), "key", 0),
        ("001  AX V KO 030", "001", ("AX", "V"), "key", 30),
        ("001  AX B C", "001", ("AX", "B"), "cut", 0),
        ("001  AX A DISSOLVE 024", "001", ("AX", "A"), "dissolve", 24),
        ("001  AX A", "001", ("AX", "A"), "cut", 0),
        ("001  A C", "001", ("A",), "cut", 0),
        ("001  C", "001", (), "cut", 0),
        ("001", "001", (), "cut", 0),
        ("TAPE A C", "", ("TAPE", "A"), "cut", 0),
    ],
)
def test_event_with_its_columns(head, number, middle, transition, duration):
    assert event(f"{head} {FOUR}") == (number, middle, transition, duration)
    assert said(f"{head} {FOUR}").times == TIMES


def test_background_of_a_key_is_marked():
    assert [said(f"001  AX V {key} {FOUR}").background for key in ("K B", "KB", "K", "K O", "KO", "C")] == [
        True,
        True,
        False,
        False,
        False,
        False,
    ]


@pytest.mark.parametrize(
    "times",
    [
        "1:0:0:0 1:0:5:0 10:0:0:0 10:0:5:12",
        "01.00.00.00 01.00.05.00 10.00.00.00 10.00.05.12",
        "01:00:00.00 01:00:05.00 10:00:00.00 10:00:05.12",
        "01000000 01000500 10000000 10000512",
        "01:00:00:00. 01:00:05:00* 10:00:00:00, 10:00:05:12;",
        "1000000 1000500 10000000 10000512",
    ],
)
def test_times_in_other_spellings(times):
    assert said(f"001  AX A C {times}").times == TIMES


def test_duration_written_as_a_time():
    assert event(f"001  AX A D 00:00:00:24 {FOUR}") == ("001", ("AX", "A"), "dissolve", 24)
    assert event(f"001  AX A D 00:00:01:00 {FOUR}") == ("001", ("AX", "A"), "dissolve", 0)
    assert said(f"001  AX A D 00:00:01:00 {FOUR}").rest == "a transition of 00:00:01:00"
    assert said(f"001  AX A D 00:00:01:00 {FOUR}").times == TIMES
    assert said(f"001  AX A C {FOUR} 00:00:05:12").times == TIMES


@pytest.mark.parametrize("mark", [";", ","])
def test_drop_frame_marks_of_times_are_kept(mark):
    found = said(f"001  AX A C {FOUR.replace(':', mark)}")
    assert found.times.record_in == Label(10, 0, 0, 0, drop_mark=True)


def test_counts_of_frames_are_read_after_a_transition():
    found = said("001  AX A D 024 0 48 86400 86448")
    assert found.duration == 24
    assert found.times.record_out == Label(0, 0, 0, 86_448, counted=True)
    assert said("001  AX A C 0 48 10:00:00:00 10:00:02:00").times.source_out == Label(0, 0, 0, 48, counted=True)


def test_two_times_are_the_records():
    found = said("001  AX A C 10:00:00:00 10:00:05:12")
    assert (found.times.record_in, found.times.source_in) == (Label(10, 0, 0, 0), None)
    assert isinstance(said("001  AX A C 10:00:00:00 and 10:00:05:12"), Unread)


def test_what_follows_the_times_is_kept():
    assert said(f"001  AX A C {FOUR}  SEE NOTE 5").rest == "SEE NOTE 5"
    assert said(f"001  AX A C {FOUR}  00:00:05:12").rest == ""
    assert said(f"001  AX A C {FOUR}  00:00:05:12").times == TIMES


@pytest.mark.parametrize(
    ("text", "which", "name"),
    [
        ("* FROM CLIP NAME:  Harbour Lights", "from", "Harbour Lights"),
        ("*FROM CLIP NAME:Harbour Lights", "from", "Harbour Lights"),
        ("FROM CLIP NAME: Harbour Lights", "from", "Harbour Lights"),
        ("* from clip name:  Harbour Lights ", "from", "Harbour Lights"),
        ("* TO CLIP NAME:  Harbour Lights", "to", "Harbour Lights"),
        ("; FROM CLIP NAME: Harbour Lights", "from", "Harbour Lights"),
        ("# FROM CLIP NAME: Harbour Lights", "from", "Harbour Lights"),
        ("* KEY CLIP NAME:  Harbour Lights", "key", "Harbour Lights"),
        ("* CLIP NAME: Harbour Lights", "own", "Harbour Lights"),
        ("* FROM CLIP NAME   Harbour Lights", "from", "Harbour Lights"),
        ("* FROM CLIP NAME IS Harbour Lights", "from", "Harbour Lights"),
        ("* FROM CLIP NAME: **Stars**", "from", "**Stars**"),
        ("* FROM CLIP NAME: -4: Degrees", "from", "-4: Degrees"),
        ("* FROM CLIP NAME:", "from", ""),
        ("* SOURCE FILE: HARBOUR.WAV", "file", "HARBOUR.WAV"),
        ("* FROM FILE: HARBOUR.WAV", "file", "HARBOUR.WAV"),
        ("* FROM CLIP: S:\\music\\HARBOUR.WAV", "file", "S:\\music\\HARBOUR.WAV"),
    ],
)
def test_name(text, which, name):
    assert said(text) == Name(7, which, name, len(text.rstrip()), 7)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("TITLE:   MARRAM 101 ", Title(7, "MARRAM 101")),
        ("TITLE MARRAM 101", Title(7, "MARRAM 101")),
        ("title: lower", Title(7, "lower")),
        ("TITLE:", Title(7, "")),
        ("FCM: DROP FRAME", CountMode(7, drop=True)),
        ("FCM: NON-DROP FRAME", CountMode(7, drop=False)),
        ("fcm: non-drop frame/with rubbish", CountMode(7, drop=False)),
        ("FCM: NDF", CountMode(7, drop=False)),
        ("FCM:DF", CountMode(7, drop=True)),
        ("AUD  3    4", MoreTracks(7, (3, 4))),
        ("AUD       4", MoreTracks(7, (4,))),
        ("aud 3", MoreTracks(7, (3,))),
        ("AUD  34", MoreTracks(7, (3, 4))),
        ("AUD: A5, A12", MoreTracks(7, (5, 12))),
        (
            "M2   HARB_LGT       024.0                01:00:10:20",
            Speed(7, "HARB_LGT", Fraction(24), Label(1, 0, 10, 20)),
        ),
        (
            "M2   230204   -48.0                      00:29:16:21 ",
            Speed(7, "230204", Fraction(-48), Label(0, 29, 16, 21)),
        ),
        ("M2   A_LONG_REEL_NAME - 019.2 00:00:00:00", Speed(7, "A_LONG_REEL_NAME", Fraction(96, 5), Label(0, 0, 0, 0))),
        ("M2   CYAN   000.0    MSTR     I +00:00:00:15", Speed(7, "CYAN", Fraction(0), Label(0, 0, 0, 15))),
        ("M2   TIDE TABLE 012.5", Speed(7, "TIDE TABLE", Fraction(25, 2), None)),
        ("M2   024.0  01:00:00:00", Speed(7, "", Fraction(24), Label(1, 0, 0, 0))),
        ("* FRAME RATE: 24000/1001", RateNote(7, Fraction(24000, 1001))),
        ("* SEQUENCE FRAME RATE: 29.97 DF", RateNote(7, Fraction(30000, 1001))),
        ("FRAME_RATE=25", RateNote(7, Fraction(25))),
        ("* 23.976 FPS", RateNote(7, Fraction(24000, 1001))),
        ("TIME_CODE_MODULUS 30", RateNote(7, Fraction(30))),
        ("* TIMEBASE: 50 fps", RateNote(7, Fraction(50))),
        ("* Frame rate: 12", Remark(7, "Frame rate: 12", starred=True)),
        ("* FREEZE FRAME", Remark(7, "FREEZE FRAME", starred=True)),
        ("* * FREEZE FRAME", Remark(7, "FREEZE FRAME", starred=True)),
        ("* LOC: 01:00:15:13 GREEN  bell", Remark(7, "LOC: 01:00:15:13 GREEN  bell", starred=True)),
        ("see the other list", Remark(7, "see the other list", starred=False)),
    ],
)
def test_other_statements(text, found):
    if isinstance(found, Speed) and " - " in text:
        found = Speed(7, found.reel, -found.fps, found.at)
    assert said(text) == found


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   \t ",
        "*",
        "* ****",
        "-----",
        ">>> SOURCE HARBOUR 1234",
        "EFFECTS NAME IS CONSTANT POWER",
        "EFFECT NAME: CROSS DISSOLVE",
        "REEL 1 IS TAPE 2",
        "SYSTEM REEL: 001 REPLACED BY: 001A",
        "GPI SLAVE 1",
        "M/S",
        "BELL",
        "SPLIT:    AUDIO DELAY=  00:00:00:05",
        "REM a remark",
        "ASC_SOP (1 1 1)",
    ],
)
def test_lines_known_to_bear_nothing(text):
    assert said(text) is None


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("x" * 2001, "The line is longer than 2000 characters: left out."),
        (f"* 001  AX A C {FOUR}", "The event is in a comment: left out."),
        ("FCM: SOMETIMES", "FCM is neither drop nor non-drop: “SOMETIMES”."),
        ("M2", "The speed line has no speed."),
        ("M2 AX", "The speed line has no speed."),
        ("AUD 0", "The channels do not exist: “AUD 0”."),
        ("AUD 12345", "The channels do not exist: “AUD 12345”."),
        (
            "001  AX A C 01:00:00:00 01:00:05:00 10:00:00:00",
            "No event could be made out: “001  AX A C 01:00:00:00 01:00:05:00 10:00:00:00”.",
        ),
        ("009 AX A C gone", "No event could be made out: “009 AX A C gone”."),
        ("001  AX A C 0:0:0,000 0:0:5,500", "No event could be made out: “001  AX A C 0:0:0,000 0:0:5,500”."),
        (f"TAPE A {FOUR}", f"No event could be made out: “TAPE A {FOUR}”."[:110]),
    ],
)
def test_lines_that_cannot_be_used(text, why):
    found = said(text)
    assert isinstance(found, Unread)
    assert found.why == why


def test_name_is_whole_with_the_ending_of_a_file():
    assert said("* FROM CLIP NAME: Harbour.WAV").is_whole
    assert not said("* FROM CLIP NAME: Harbour.L").is_whole
    assert not said("* FROM CLIP NAME: .wav").is_whole
