"""Whole edit lists, one small file per quirk in fixtures/edl, against what a person reads in them.

Frames are checked against OpenTimelineIO's timecode. The statements of CMX 3600: ``FCM`` as the edl2aaf project documents
it ("First entry controls both source and destination timecodes. Any further FCM statements will affect all following
source timecodes"). What the lists show otherwise: common practice, no published source. All names are invented.
"""

from fractions import Fraction
from pathlib import Path

import opentimelineio as otio
import pytest

from supervision.interchange import edl
from supervision.interchange.cut_file import LARGEST, read_cut
from supervision.rules.cut_cues import cues
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.timecode import parse_timecode

LISTS = Path(__file__).resolve().parent.parent.parent / "fixtures" / "edl"
NTSC = Fraction(30000, 1001)


def reading(name, *, rate=Fraction(24), drop=None):
    return read_cut((LISTS / name).read_bytes(), name=name, rate=rate, drop=drop)


def read_text(text, *, rate=Fraction(24), drop=None):
    return edl.read(text.encode(), rate=rate, drop=drop)


def names(found):
    return [event.name for event in found.events]


def told(found):
    return [(warning.line, warning.text) for warning in found.warnings]


def heard(found):
    """The cues: name, tracks, runs as pairs, frames."""
    return [
        (cue.name, cue.tracks, [(run.record_in, run.record_out) for run in cue.runs], cue.frames)
        for cue in cues(found.events, found.rate)
    ]


def frames(text, rate):
    return parse_timecode(text, rate)


def test_plain_list():
    found = reading("plain.edl", rate=None)
    first, second = found.events
    assert (found.title, found.rate.exact, found.rate.drop) == ("MARRAM 101 MUSIC", "24", False)
    assert found.rate_from.startswith("guess: the times rule nothing out")
    assert (first.line, first.number, first.reel, first.name) == (4, "001", "AX", "HARBOUR LIGHTS v3 MSTR.wav")
    assert (first.tracks, first.video, first.transition, first.speed, first.skipped) == (
        ("A1",),
        False,
        "cut",
        None,
        "",
    )
    assert (first.record_in, first.record_out, first.frames) == (86_400, 87_120, 720)
    assert (first.source_in, first.source_out) == (240, 960)
    assert (second.tracks, second.frames) == (("A2",), 300)
    assert found.warnings == ()
    assert [cue[0] for cue in heard(found)] == ["Harbour Lights", "Route 9"]


@pytest.mark.parametrize(
    ("name", "rate"),
    [
        ("plain.edl", Fraction(24000, 1001)),
        ("crlf.edl", Fraction(25)),
        ("drop_by_fcm_with_colons.edl", NTSC),
        ("drop_by_separators.edl", NTSC),
        ("non_drop_with_semicolons.edl", NTSC),
        ("speeds.edl", Fraction(24)),
        ("stereo_pairs.edl", Fraction(30)),
    ],
)
def test_record_frames_agree_with_the_reference_library(name, rate):
    found = reading(name, rate=rate)
    lines = (LISTS / name).read_text().splitlines()
    for event in found.events:
        labels = lines[event.line - 1].split()[-2:]
        mark = ";" if found.rate.drop else ":"
        written = [label.replace(";", ":")[:8] + mark + label[-2:] for label in labels]
        there = [otio.opentime.from_timecode(text, float(rate)).value for text in written]
        assert [event.record_in, event.record_out] == there


def test_first_fcm_line_governs_the_record_even_with_colons_and_later_ones_the_sources():
    found = reading("drop_by_fcm_with_colons.edl", rate=None)
    assert (found.rate.exact, found.rate.drop, found.rate_from) == ("30000/1001", True, "file")
    first, second = found.events
    # By ST 12-1 an hour in drop-frame counting has 107,892 frames; without, 108,000.
    assert first.record_in == 107_892 + 58 * 30
    assert first.source_in == 3 * 107_892 + 58 * 30
    assert second.source_in == 10 * 108_000 + 58 * 30
    assert second.record_in == 107_892 + 9 * 1800 - 9 * 2 + 2 + 58 * 30 - 2
    assert (first.frames, second.frames) == (150, 150)


def test_separators_tell_drop_frame_where_nothing_else_does():
    found = reading("drop_by_separators.edl", rate=None)
    assert (found.rate.exact, found.rate.drop) == ("30000/1001", True)
    assert found.rate_from == "guess: the times are written with “;”, as drop-frame timecode is"
    assert sum(event.frames for event in found.events) == 208


def test_non_drop_said_wins_over_separators():
    found = reading("non_drop_with_semicolons.edl", rate=None)
    assert (found.rate.exact, found.rate.drop) == ("30000/1001", False)
    assert found.events[0].record_in == 108_000 + 58 * 30
    assert told(found) == [(0, "The times are written with “;”, but the list says non-drop: counted so.")]


def test_dropped_label_is_told_with_what_was_taken():
    found = reading("dropped_label.edl", rate=None)
    assert told(found) == [(3, "Drop-frame counting has no 01:01:00:00: 01:01:00;02 was taken.")]
    assert found.events[0].record_in == frames("01:01:00;02", found.rate)
    assert found.events[1].record_in == frames("01:10:00;00", found.rate)


def test_every_channel_field():
    found = reading("channels.edl")
    assert [(event.tracks, event.video) for event in found.events] == [
        (("A1",), False),
        (("A2",), False),
        (("A1", "A2"), False),
        (("A1", "A2"), True),
        (("A2",), True),
        (("A1",), True),
        ((), True),
        ((), False),
        (("A10",), False),
        (("A12",), False),
        (("A99",), False),
        (("A3",), True),
        (("A7",), False),
    ]
    assert told(found) == [(9, "No channel is named for one event (NONE): taken as sound on no known track.")]


def test_channels_in_a_row():
    found = reading("channels_in_a_row.edl")
    assert ["".join(event.tracks) for event in found.events] == ["A1A2A3A4", "A1A2", "A3A4", "A1A2", "A3"]


def test_list_without_a_channel_column():
    found = reading("no_channel_column.edl")
    assert [(event.reel, event.tracks, event.video) for event in found.events] == [("A1", (), False), ("B2", (), False)]
    assert told(found) == [(2, "The list has no column of channels: every event is taken as sound.")]
    assert [cue[0] for cue in heard(found)] == ["Harbour Lights", "Tide Table"]


def test_list_with_record_times_alone():
    found = reading("two_times_only.edl")
    assert [(event.source_in, event.frames) for event in found.events] == [(None, 240), (None, 252)]
    assert told(found) == [(2, "There are two times instead of four in 2 events: taken as the record's.")]
    assert heard(found)[0][2] == [(864_000, 864_240 + 24)]


def test_aud_lines_add_channels_to_the_event_above():
    found = reading("aud_lines.edl")
    assert [event.tracks for event in found.events] == [("A1", "A2", "A3", "A4"), ("A4",), ("A3",), ("A3",)]
    assert heard(found)[1] == ("Tide Table", ("A3", "A4"), [(86_640, 86_904)], 264)


def test_stereo_pairs_list_every_edit_twice_and_count_once():
    found = reading("stereo_pairs.edl")
    assert names(found)[2:4] == ["TIDE TABLE.WAV", "TIDE TABLE.WAV"]
    assert heard(found) == [
        ("Harbour Lights", ("A7", "A8"), [(86_400, 87_120)], 720),
        ("12A-3", ("A1",), [(86_400, 89_280)], 2880),
        ("Tide Table", ("A7", "A8"), [(87_360, 87_840)], 480),
    ]


def test_cue_in_pieces_with_fades_between():
    found = reading("butt_joined_with_fades.edl")
    assert [(event.name, event.skipped, event.tail) for event in found.events] == [
        ("", "black", 0),
        ("HARBOUR LIGHTS.WAV", "", 0),
        ("HARBOUR LIGHTS.WAV", "", 0),
        ("HARBOUR LIGHTS.WAV", "zero length", 8),
        ("HARBOUR LIGHTS.WAV", "", 0),
        ("HARBOUR LIGHTS.WAV", "zero length", 24),
        ("TIDE TABLE.WAV", "", 0),
        ("TIDE TABLE.WAV", "zero length", 48),
        ("BL", "black", 0),
    ]
    # Out under a dissolve of 24 frames, and faded out in 48: both are heard to the end of it.
    assert heard(found) == [
        ("Harbour Lights", ("A5",), [(86_400, 87_024)], 624),
        ("Tide Table", ("A5",), [(87_000, 87_528)], 528),
    ]


def test_transition_runs_from_the_incoming_lines_record_in_for_its_duration():
    # CMX 3600's examples of dissolve and wipe, as otio-cmx3600-adapter quotes them in test_cmx_dissolve_examples.py: the
    # transition has no frames before the incoming line's record in, and 30 after it.
    found = read_text(
        "003  001      B     C        02:00:00:00 02:00:09:00 01:00:00:00  01:00:09:00\n"
        "003  002      B     W019 030 03:00:00:00 03:00:01:00 01:00:09:00  01:00:10:00\n",
        rate=Fraction(30),
    )
    assert [(event.record_in, event.record_out, event.tail) for event in found.events] == [
        (108_000, 108_270, 30),
        (108_270, 108_300, 0),
    ]


def test_split_edit_has_its_own_times():
    # CMX 3600's example of a split edit: picture first, then sound, each with its times.
    found = read_text(
        "SPLIT:    AUDIO DELAY=  00:00:00:06\n"
        "053  021      V     C        01:21:05:19 01:21:06:26 01:00:51:11 01:00:52:18\n"
        "053  021      A     C        01:21:05:25 01:21:06:26 01:00:51:17 01:00:52:18\n",
        rate=Fraction(30),
    )
    assert [(event.tracks, event.frames) for event in found.events] == [((), 37), (("A1",), 31)]
    assert found.warnings == ()


def test_fade_written_as_a_cut_has_the_name_of_what_comes_in():
    found = reading("fades_as_cuts.edl")
    assert names(found) == ["HARBOUR LIGHTS", "TIDE TABLE", "TIDE TABLE", ""]
    assert found.events[3].skipped == "black"


def test_wipes_and_keys():
    found = reading("wipe_and_key.edl")
    assert [(event.transition, event.name) for event in found.events] == [
        ("cut", "GULLS"),
        ("wipe", "PIER"),
        ("key", "PIER"),
        ("key", "MAIN TITLE"),
        ("key", ""),
        ("key", ""),
        ("wipe", "HARBOUR LIGHTS"),
    ]
    assert [cue[0] for cue in heard(found)] == ["Harbour Lights"]


def test_speed_lines():
    found = reading("speeds.edl")
    speeds = [event.speed for event in found.events]
    assert speeds == [2, -1, 0, -2, 1, Fraction(4, 5)]
    assert told(found) == [(20, "The speed is for reel “SOMETHING_ELSE”, and was taken for the event above it.")]


@pytest.mark.parametrize(("written", "speed"), [("023.98", 1), ("024.0", 1), ("-23.976", -1), ("048.0", 2)])
def test_normal_speed_at_23_976_is_written_as_24_too(written, speed):
    found = read_text(
        f"001  AX A C 00:00:00:00 00:00:01:00 01:00:00:00 01:00:01:00\nM2   AX  {written}  00:00:00:00\n",
        rate=Fraction(24000, 1001),
    )
    assert found.events[0].speed == speed


def test_names_that_wrap():
    found = reading("wrapped_names.edl")
    assert names(found) == [
        "THE LONG WAY ROUND THE HARBOUR WITH A LANTERN AND A BELL_v2.WAV",
        "THE LONG WAY ROUND THE HARBOUR WITH A LANTERN IN THE RAIN_v2.WAV",
        "Tide Table",
        "GULLS",
    ]
    assert found.warnings == ()


def test_long_reels_high_numbers_and_files_for_names():
    found = reading("long_reels.edl")
    assert [(event.number, event.reel, event.name) for event in found.events] == [
        ("000001", "HARBOUR_LIGHTS_2CH_48K_24BIT.WAV", "HARBOUR_LIGHTS_2CH_48K_24BIT.WAV"),
        ("000002", "LANTERN_WALTZ_FULL_ORCHESTRA.W", "LANTERN_WALTZ_FULL_ORCHESTRA.WAV"),
        ("000003", "Tide Table (final) v2.wav", ""),
        ("1000", "C_0019C005_241014_204338_H1F4X", "GULLS AT NIGHT.MOV"),
        ("1001A", "AX", "GULLS BY DAY.WAV"),
    ]


def test_tabs_and_lower_case():
    found = reading("tabs_and_lower_case.edl", rate=None)
    assert (found.title, found.rate.drop) == ("lower case", True)
    assert [event.tracks for event in found.events] == [("A1",), ("A1", "A2", "A3", "A4")]
    assert names(found) == ["harbour lights.wav", "tide table.wav"]


@pytest.mark.parametrize(
    ("name", "title", "clip"),
    [
        ("crlf.edl", "CRLF", "HARBOUR LIGHTS"),
        ("bare_cr_mac_roman.edl", "ÉTÉ", "CAFÉ DU PORT"),
        ("mixed_line_ends.edl", "MIXED", "HARBOUR LIGHTS"),
        ("padded_with_1a.edl", "PADDED", "HARBOUR LIGHTS"),
        ("utf8_bom.edl", "BOM", "Été à la mer – 海辺の灯"),
        ("utf16.edl", "WIDE", "Été à la mer"),
    ],
)
def test_bytes_of_every_kind(name, title, clip):
    found = reading(name, rate=None)
    assert (found.title, names(found)[0], found.rate.exact) == (title, clip, "25")
    assert found.events[0].line == 2


def test_encodings_hidden_in_ascii_are_told_with_their_lines():
    found = reading("hidden_encodings.edl", rate=None)
    assert names(found) == ["Café du Port", "海边的灯.wav", "ハーバー", "Огни гавани", "Café du Port", "Été"]
    assert [line for line, _ in told(found)] == [3, 5, 7, 9, 11]


def test_what_can_be_no_usage_stays_listed_and_what_cannot_be_used_is_told():
    found = reading("unusable_events.edl")
    assert [(event.number, event.skipped) for event in found.events] == [
        ("001", "zero length"),
        ("002", "out before in"),
        ("003", "black"),
        ("004", "silence"),
        ("005", ""),
        ("006", "black"),
        ("011", ""),
    ]
    assert found.events[1].frames == 0
    assert [line for line, _ in told(found)] == [14, 16, 17, 18, 19, 20, 21, 22, 24, 26]
    assert told(found)[0][1] == "The time 01:75:35:00 does not exist at 24: the event is left out."
    assert [cue[0] for cue in heard(found)] == ["Black Water", "Tide Table"]


def test_notes_without_an_event_are_told_and_known_notes_are_not():
    found = reading("notes_without_event.edl")
    assert (found.title, names(found)) == ("", ["TIDE TABLE"])
    assert [line for line, _ in told(found)] == [1, 2, 3]


def test_odd_spellings_of_times():
    found = reading("odd_times.edl", rate=Fraction(25))
    assert [event.record_in for event in found.events] == [90_000, 90_125, 90_175, 90_200]
    assert [event.record_out for event in found.events] == [90_122, 90_162, 90_200, 90_250]
    assert told(found) == [(8, "Numbers for times in one event: taken as counts of frames.")]


def test_list_that_runs_past_midnight_is_counted_on():
    found = reading("past_midnight.edl")
    day = found.rate.day
    assert [(event.record_in - day, event.record_out - day) for event in found.events] == [
        (-720, -240),
        (-240, 240),
        (240, 480),
    ]
    assert told(found) == [(5, "The list runs past midnight: what follows is counted on from 24:00:00:00.")]
    assert heard(found)[0][3] == 1200


def test_times_past_24_hours_are_counted_on():
    found = reading("past_24_hours.edl")
    assert heard(found)[0][3] == 960
    assert told(found) == [(2, "Times past 24 hours in 2 events: counted on from 24:00:00:00.")]


def test_out_before_in_is_no_midnight():
    text = "001  BLUE A C 00:00:00:00 00:00:01:19 00:00:14:06 00:00:00:00\n"
    assert [(event.record_out, event.skipped) for event in read_text(text).events] == [(0, "out before in")]


def test_long_event_over_midnight_is_known_by_its_source():
    text = "001  TAPE A C 00:00:00:00 02:00:00:00 23:00:00:00 01:00:00:00\n"
    assert read_text(text).events[0].frames == 2 * 3600 * 24
    assert read_text(text.replace("02:00:00:00", "01:59:00:00")).events[0].skipped == "out before in"


def test_short_event_over_midnight_needs_no_source():
    assert read_text("001  TAPE A C 23:59:50:00 00:00:10:00\n").events[0].frames == 20 * 24


def test_events_out_of_order_stay_in_the_files_order():
    found = reading("out_of_order.edl")
    assert [event.number for event in found.events] == ["001", "3", "2"]
    assert heard(found) == [
        ("Harbour Lights", ("A5",), [(86_400, 87_360)], 960),
        ("Harbour Lights", ("A6",), [(129_600, 129_720)], 120),
    ]


def test_rate_is_read_off_lengths_and_never_off_a_name():
    found = read_cut((LISTS / "rate_by_lengths.edl").read_bytes(), name="cut_29.97DF_30fps.edl")
    assert found.rate_from == "guess: the source and record lengths of 2 events agree at 25 only"
    found = reading("rate_in_a_note.edl", rate=None)
    assert (found.rate.exact, found.rate_from) == ("24000/1001", "file")
    assert reading("rate_in_a_note.edl", rate=Fraction(24)).rate_from == "given"


def test_source_length_is_never_the_length():
    found = reading("zero_source.edl")
    assert [event.frames for event in found.events] == [192, 311]
    assert heard(found)[0][3] == 503


def test_source_at_another_rate_is_left_out_and_told_once():
    text = "".join(f"00{n}  AX A C 00:00:00:29 00:00:01:00 01:00:0{n}:00 01:00:0{n + 1}:00\n" for n in range(1, 4))
    found = read_text(text)
    assert [(event.source_in, event.source_out, event.frames) for event in found.events] == [(None, 24, 24)] * 3
    assert told(found) == [
        (1, "The source times of 3 events do not exist at 24: those are left out, the record's stand.")
    ]


def test_titles_that_look_odd_stay_as_they_are():
    found = reading("titles_that_look_odd.edl")
    assert found.title == "-ODD** TITLES"
    assert names(found) == ["-4 Degrees", "**Stars**", "1999", "=SUM OF US"]


def test_channels_that_cannot_be_made_out_are_told():
    found = read_text(
        "001  AX A C 00:00:00:00 00:00:01:00 01:00:00:00 01:00:01:00\n"
        "002  AX X9 C 00:00:00:00 00:00:01:00 01:00:01:00 01:00:02:00\n"
    )
    assert [(event.reel, event.tracks) for event in found.events] == [("AX", ("A1",)), ("AX X9", ())]
    assert told(found) == [(2, "The channels could not be made out: taken as sound on no known track.")]


def test_tail_of_what_ends_where_a_lone_dissolve_begins():
    found = read_text(
        "001  HARB A5 C 00:00:00:00 00:00:10:00 01:00:00:00 01:00:10:00\n"
        "002  TIDE A6 C 00:00:00:00 00:00:10:00 01:00:00:00 01:00:10:00\n"
        "003  GULL A5 D 048 00:00:00:00 00:00:01:00 01:00:10:00 01:00:11:00\n"
    )
    assert [event.tail for event in found.events] == [24, 0, 0]  # not past the end of what comes in


def test_transition_that_a_list_has_twice_has_its_tail_twice():
    pair = (
        "00{0}  HARB A5 C 00:00:10:00 00:00:10:00 01:00:10:00 01:00:10:00\n"
        "00{0}  BL   A5 W001 014 00:00:00:00 00:00:01:00 01:00:10:00 01:00:11:00\n"
        "* FROM CLIP NAME: HARBOUR\n"
    )
    found = read_text(
        pair.format(1) + pair.format(2) + "003  TIDE A5 C 00:00:00:00 00:00:01:00 01:00:10:00 01:00:11:00\n"
    )
    assert [event.tail for event in found.events] == [14, 0, 14, 0, 0]


def test_tail_is_what_the_list_does_not_count_itself():
    found = read_text(
        "001  HARB A5 C 00:00:00:00 00:00:11:00 01:00:00:00 01:00:11:00\n"
        "001  TIDE A5 D 024 00:00:00:00 00:00:10:00 01:00:10:00 01:00:20:00\n"
        "002  BL A5 C 00:00:00:00 00:00:00:00 01:00:20:00 01:00:20:00\n"
        "002  GULL A5 D 024 00:00:00:00 00:00:10:00 01:00:21:00 01:00:30:00\n"
    )
    assert [event.tail for event in found.events] == [0, 0, 0, 0]


def test_binary_is_refused_with_line_and_column():
    with pytest.raises(UnreadableFile) as refused:
        reading("binary.edl")
    assert (refused.value.line, refused.value.column) == (1, 8)


def test_text_without_an_event_is_refused_with_line_and_column():
    with pytest.raises(UnreadableFile) as refused:
        reading("no_events.txt")
    assert (refused.value.code, refused.value.line, refused.value.column) == ("edl-no-events", 1, 1)
    assert "No line is an event of an edit list. The line was not understood: “Dear all,”." in str(refused.value)
    with pytest.raises(UnreadableFile) as refused:
        read_text("001  AX\n")
    assert refused.value.line == 1


def test_list_of_which_no_event_can_be_used_is_refused_with_its_line():
    with pytest.raises(UnreadableFile) as refused:
        read_text("\n001  AX A C 00:00:00:00 00:00:01:00 01:00:00:29 01:00:01:29\n")
    assert (refused.value.code, refused.value.line) == ("edl-unusable", 2)


@pytest.mark.parametrize(("data", "code"), [(b"", "file-empty"), (b"\x1a\0\r\n ", "file-empty")])
def test_empty_file_is_refused(data, code):
    with pytest.raises(UnreadableFile) as refused:
        read_cut(data, name="cut.edl")
    assert refused.value.code == code


def test_file_that_is_too_large_is_refused_in_words():
    with pytest.raises(UnreadableFile) as refused:
        read_cut(b"x" * (LARGEST + 1), name="cut.edl")
    assert (
        str(refused.value) == "The file is larger than the 20 MB that are read of a cut. Export the music tracks alone."
    )


def test_rate_of_no_cut_is_refused():
    with pytest.raises(BadValue) as refused:
        reading("plain.edl", rate=Fraction(7))
    assert refused.value.place == "rate"


EVENT = "{:06}  AX  A  C  00:00:00:00 00:00:01:00 01:00:00:00 01:00:01:00\n"


def test_more_events_than_are_read_are_refused_with_the_line():
    with pytest.raises(UnreadableFile) as refused:
        read_text("".join(EVENT.format(number) for number in range(50_001)))
    assert (refused.value.code, refused.value.line) == ("edl-too-long", 50_001)


def test_warnings_without_end_are_summed_up():
    found = read_text(EVENT.format(1) + "what is this\n" * 10_010)
    assert len(found.warnings) == 10_001
    assert told(found)[-1] == (
        10_002,
        "10 more lines, from here to line 10011, could not be used as they stand.",
    )


def test_line_of_ten_megabytes_is_left_out_and_told():
    found = read_text(EVENT.format(1) + "* FROM CLIP NAME: " + "A" * 10_000_000 + "\n" + EVENT.format(2))
    assert len(found.events) == 2
    assert told(found) == [(2, "The line is longer than 2000 characters: left out.")]


def test_five_thousand_events():
    found = read_text(
        "TITLE: LONG\n" + "".join(EVENT.format(n) + f"* FROM CLIP NAME: SONG {n // 20}\n" for n in range(5000))
    )
    assert (len(found.events), found.warnings, len(heard(found))) == (5000, (), 250)
