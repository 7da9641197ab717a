"""Event lines with the notes around them: whose name, speed and channels they are. Common practice, no published source."""

import pytest

from supervision.interchange.edl_blocks import assemble
from supervision.interchange.edl_lines import statement
from supervision.interchange.edl_text import TextLine

ZERO = "00:00:00:00 00:00:00:00 01:00:10:00 01:00:10:00"
LONG = "00:00:00:00 00:00:10:00 01:00:10:00 01:00:20:00"


def put(*lines):
    return assemble(statement(TextLine(number, line)) for number, line in enumerate(lines, start=1))


def names(*lines):
    return [draft.name for draft in put(*lines).drafts]


def told(*lines):
    return [(warning.line, warning.text) for warning in put(*lines).warnings]


OUT = f"003  HARB A C {ZERO}"
IN = f"003  TIDE A D 024 {LONG}"
FROM_BLACK = f"003  BL A C {ZERO}"
TO_BLACK = f"003  BL A D 024 {LONG}"


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ((OUT, IN, "* FROM CLIP NAME: H", "* TO CLIP NAME: T"), ["H", "T"]),
        ((OUT, "* FROM CLIP NAME: H", IN, "* TO CLIP NAME: T"), ["H", "T"]),
        ((OUT, "* FROM CLIP NAME: H", IN, "* FROM CLIP NAME: T"), ["H", "T"]),
        ((OUT, "* CLIP NAME: H", IN, "* CLIP NAME: T"), ["H", "T"]),
        ((OUT, IN, "* FROM CLIP NAME: H"), ["H", ""]),
        ((OUT, IN, "* TO CLIP NAME: T"), ["", "T"]),
        ((OUT, IN, "* SOURCE FILE: H.WAV"), ["H.WAV", ""]),
        ((OUT, IN), ["", ""]),
        ((FROM_BLACK, IN, "* FROM CLIP NAME: BL", "* TO CLIP NAME: T"), ["BL", "T"]),
        ((FROM_BLACK, IN, "* TO CLIP NAME: T", "* SOURCE FILE: (NULL)"), ["", "T"]),
        ((FROM_BLACK, IN, "* FROM CLIP NAME: T"), ["", "T"]),
        ((FROM_BLACK, IN, "* SOURCE FILE: T.WAV"), ["", "T.WAV"]),
        ((OUT, TO_BLACK, "* FROM CLIP NAME: H", "* TO CLIP NAME: BL"), ["H", "BL"]),
        ((OUT, TO_BLACK, "* FROM CLIP NAME: H"), ["H", ""]),
        ((OUT, TO_BLACK, "* TO CLIP NAME: H"), ["H", ""]),
    ],
)
def test_names_of_a_dissolve(lines, found):
    assert names(*lines) == found


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ((f"001  AX A C {LONG}", "* FROM CLIP NAME: H", "* TO CLIP NAME: G"), ["H"]),
        ((f"001  AX A C {LONG}", "* TO CLIP NAME: H"), ["H"]),
        ((f"001  BL A C {LONG}", "* TO CLIP NAME: H"), [""]),
        ((f"001  AX A C {LONG}", "* CLIP NAME: H", "* SOURCE FILE: G.WAV"), ["H"]),
        ((f"001  AX A C {LONG}", "* FROM CLIP NAME: (NULL)", "* SOURCE FILE: G.WAV"), ["G.WAV"]),
        ((f"001  AX A C {LONG}", "* KEY CLIP NAME: H"), ["H"]),
        ((f"001  AX A D 024 {LONG}", "* FROM CLIP NAME: G", "* TO CLIP NAME: H"), ["H"]),
        ((f"001  AX A D 024 {LONG}", "* FROM CLIP NAME: H"), ["H"]),
        ((f"001  AX V K 024 {LONG}", "* FROM CLIP NAME: G", "* KEY CLIP NAME: H"), ["H"]),
        ((f"001  AX A C {LONG}", "* FROM CLIP NAME: H", f"001  AX A C {LONG}", "* FROM CLIP NAME: G"), ["H", "G"]),
        ((f"001  AX A C {LONG}", f"001  AX A2 C {LONG}", "* FROM CLIP NAME: H"), ["H", "H"]),
        ((f"001  AX A C {LONG}", f"002  AX A2 C {LONG}", "* FROM CLIP NAME: H"), ["", "H"]),
        ((f"AX A C {LONG}", f"AX A2 C {LONG}", "* FROM CLIP NAME: H"), ["", "H"]),
    ],
)
def test_names_of_single_lines(lines, found):
    assert names(*lines) == found


def test_stereo_dissolve_pairs_lines_of_the_same_channel():
    lines = (f"003  H A7 C {ZERO}", f"003  H A8 C {ZERO}", f"003  T A7 D 024 {LONG}", f"003  T A8 D 024 {LONG}")
    drafts = put(*lines, "* FROM CLIP NAME: H", "* TO CLIP NAME: T").drafts
    assert [draft.name for draft in drafts] == ["H", "H", "T", "T"]
    assert [draft.under and draft.under.event.line for draft in drafts] == [3, 4, None, None]


def test_dissolve_on_another_channel_is_still_the_lines_partner():
    drafts = put(f"003  H A7 C {ZERO}", f"003  T AA D 024 {LONG}").drafts
    assert drafts[0].under is drafts[1]


def test_second_name_of_an_event_is_told():
    lines = (f"001  AX A C {LONG}", "* FROM CLIP NAME: H", "* FROM CLIP NAME: H", "* FROM CLIP NAME: G")
    assert told(*lines) == [(4, "A second name for the event: left out (“G”).")]
    assert told(OUT, IN, "* FROM CLIP NAME: H", "* TO CLIP NAME: T", "* TO CLIP NAME: X") == [
        (5, "A second name for the event: left out (“X”).")
    ]


def test_block_without_end_is_cut_up_and_names_without_end_are_told():
    drafts = put(*[f"001  AX A C {LONG}"] * 70, "* FROM CLIP NAME: H").drafts
    assert [draft.name for draft in drafts] == [""] * 64 + ["H"] * 6
    lines = [f"001  AX A C {LONG}", *["* FROM CLIP NAME: H"] * 65]
    assert told(*lines) == [(66, "One name too many for an event: left out.")]


@pytest.mark.parametrize(
    ("lines", "name"),
    [
        (("* FROM CLIP NAME:", "* HARBOUR.WAV"), "HARBOUR.WAV"),
        (("* FROM CLIP NAME: A NAME THAT IS FORTY WIDE", "* AND ON.WAV"), "A NAME THAT IS FORTY WIDE AND ON.WAV"),
        (("* FROM CLIP NAME: A NAME THAT IS FORTY WIDE-", "* ON.WAV"), "A NAME THAT IS FORTY WIDE-ON.WAV"),
        (("* FROM CLIP NAME: A NAME THAT IS FORTY WIDE", "* _ON.WAV"), "A NAME THAT IS FORTY WIDE_ON.WAV"),
        (("* FROM CLIP NAME: A NAME THAT IS FORTY WIDE", "* A NAME THAT.WAV"), "A NAME THAT IS FORTY WIDE"),
        (("* FROM CLIP NAME: Short", "* OTHER.WAV"), "Short"),
        (("* FROM CLIP NAME: Short", "second"), "Short second"),
        (("* FROM CLIP NAME: Whole.wav", "* second"), "Whole.wav"),
        (("* FROM CLIP NAME: " + "long " * 10 + "name", "* goes on"), "long " * 10 + "name goes on"),
        (("* FROM CLIP NAME: " + "long " * 10 + "name", "* FREEZE FRAME"), "long " * 10 + "name"),
        (("* FROM CLIP NAME: " + "long " * 10 + "name", "* A1: LOUD"), "long " * 10 + "name"),
        (("* FROM CLIP NAME: " + "long " * 10 + "name", "", "* goes on"), "long " * 10 + "name"),
        (("* FROM CLIP NAME: " + "long " * 11 + "lante", "* rn.wav"), "long " * 11 + "lantern.wav"),
        (("* FROM CLIP NAME: " + "long " * 11 + "lante ", "* rn.wav"), "long " * 11 + "lante rn.wav"),
        (("* FROM CLIP NAME: a", "b", "c", "d", "e", "f"), "a b c d e"),
    ],
)
def test_name_goes_on_in_the_next_line(lines, name):
    assert names(f"001  AX A C {LONG}", *lines) == [name]


def test_line_that_is_no_rest_of_a_name_is_told():
    assert told(f"001  AX A C {LONG}", "* FROM CLIP NAME: Whole.wav", "what is this") == [
        (3, "The line was not understood: “what is this”.")
    ]


def test_comment_that_is_a_file_names_the_event_only_without_a_better_name():
    assert names(f"001  AX A C {LONG}", "* HARBOUR.WAV") == ["HARBOUR.WAV"]
    assert names(f"001  AX A C {LONG}", "* HARBOUR.WAV", "* FROM CLIP NAME: H") == ["H"]
    assert names(f"001  AX A C {LONG}", "* NOTE: HARBOUR.WAV") == [""]
    assert names("* HARBOUR.WAV", f"001  AX A C {LONG}") == [""]


def test_file_behind_the_times_names_the_event_and_other_words_are_told():
    assert names(f"001  AX A C {LONG}  Harbour Lights.wav", f"001  AX A2 C {LONG}  Tide.wav") == [
        "Harbour Lights.wav",
        "Tide.wav",
    ]
    assert told(f"001  AX A C {LONG}  see note") == [(1, "What follows the times was left out: “see note”.")]


def speeds(*lines):
    return [draft.speed and float(draft.speed.fps) for draft in put(*lines).drafts]


SLOW = f"001  HARB A C 00:00:00:00 00:00:10:00 {ZERO[24:]}"
QUICK = f"001  HARB A D 024 00:00:05:00 00:00:10:00 {LONG[24:]}"


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ((SLOW, "M2   HARB   012.0   00:00:00:00"), [12]),
        ((SLOW, QUICK, "M2   HARB  012.0  00:00:00:00", "M2   HARB  048.0  00:00:05:00"), [12, 48]),
        ((SLOW, QUICK, "M2   HARB  048.0  00:00:05:00"), [None, 48]),
        ((SLOW, QUICK, "M2   HARB  012.0  00:00:09:00", "M2   HARB  048.0  00:00:09:00"), [12, 48]),
        ((SLOW, QUICK, "M2   HARB  012.0"), [12, 12]),
        ((SLOW, QUICK.replace("HARB", "TIDE"), "M2   TIDE  012.0"), [None, 12]),
        ((SLOW.replace("HARB", "HARBOUR_LIGHTS"), "M2   HARBOUR_REST  012.0"), [12]),
        ((SLOW, "M2   012.0"), [12]),
    ],
)
def test_speed_goes_to_its_reel_and_time(lines, found):
    assert speeds(*lines) == found
    assert told(*lines) == []


def test_speed_of_another_reel_is_taken_for_the_event_above_and_told():
    lines = (SLOW, QUICK, "M2   TIDE  012.0")
    assert speeds(*lines) == [None, 12]
    assert told(*lines) == [(3, "The speed is for reel “TIDE”, and was taken for the event above it.")]


def test_further_channels_go_to_both_lines_of_a_transition_or_to_the_last_line():
    pair = put(f"001  H NONE C {ZERO}", f"001  T NONE D 024 {LONG}", "AUD  3")
    assert [draft.more_tracks for draft in pair.drafts] == [{3}, {3}]
    cuts = put(f"001  H A C {LONG}", f"001  H A2 C {LONG}", "AUD  3  4", "AUD 4")
    assert [draft.more_tracks for draft in cuts.drafts] == [set(), {3, 4}]


def test_counting_of_the_sources_changes_and_that_of_the_record_does_not():
    found = put("FCM: DROP FRAME", SLOW, "FCM: NON-DROP FRAME", SLOW.replace("001", "002"))
    assert [draft.source_drop for draft in found.drafts] == [True, False]
    assert found.said.drop is True


def test_rate_counts_above_the_first_event_only():
    assert put("* FRAME RATE: 25", "* FRAME RATE: 24", SLOW).said.fps == 25
    assert put(SLOW, "* FRAME RATE: 25").said.fps is None


def test_first_title_stands():
    assert put("TITLE: One", "TITLE: Two", SLOW).title == "One"
    assert told("TITLE: One", "TITLE: Two", SLOW) == [(2, "A second title: left out.")]
