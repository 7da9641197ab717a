"""``<xmeml>``. What its elements mean is in the format's published reference (interchange format, versions 1 to 5): -1 beside
transitions, ``in`` and ``out`` in the clip's rate, references by ``id``, ``ntsc`` as 1000/1001. From memory.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange.xml_timeline import read
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode
from tests.interchange.timeline_files import fixture, guessed_drop, heard, remarks, skipped, track_names

NTSC = Fraction(30000, 1001)


def sequence(audio, *, rate="<timebase>25</timebase><ntsc>FALSE</ntsc>", timecode="", video="", name="Reel", more=""):
    return f"""<?xml version="1.0"?><!DOCTYPE xmeml><xmeml version="5"><sequence><name>{name}</name>
        <rate>{rate}</rate>{timecode}<media><video>{video}</video><audio>{audio}</audio></media></sequence>{more}</xmeml>"""


def clip(start, end, source_in=0, source_out=None, *, name="Gull Reel", more=""):
    source_out = source_in + 100 if source_out is None else source_out
    return (
        f"<clipitem><name>{name}</name><start>{start}</start><end>{end}</end>"
        f"<in>{source_in}</in><out>{source_out}</out>{more}</clipitem>"
    )


def timecode(label, *, frame="", shown=""):
    return (
        f"<timecode><string>{label}</string>{frame and f'<frame>{frame}</frame>'}"
        f"{shown and f'<displayformat>{shown}</displayformat>'}</timecode>"
    )


def read_text(text, *, rate=None, drop=None):
    return read(text.encode(), rate=rate, drop=drop)


def test_drop_frame_sequence_with_stereo_pair_crossfade_and_fade():
    reading = fixture("xmeml-drop-frame.xml")
    assert (reading.title, reading.rate, reading.rate_from) == ("MARRAM 104 R1 v7", FrameRate(NTSC, True), "file")
    start = parse_timecode("01:00:00;00", reading.rate)
    assert heard(reading) == [
        ("A1", "HARBOUR LIGHTS v3 MSTR.wav", start + 30, start + 360),
        ("A1", "Lantern Waltz.aif", start + 340, start + 600),
        ("A2", "HARBOUR LIGHTS v3 MSTR.wav", start + 30, start + 360),
    ]
    assert reading.warnings == ()


def test_what_can_be_no_usage_stays_listed_with_the_reason():
    assert skipped(fixture("xmeml-drop-frame.xml")) == [
        ("Tide Song", "disabled"),
        ("Tide Song", "zero length"),
        ("Slug", "black"),
        ("Temp score", "on a track that is switched off"),
    ]


def test_events_know_their_lines_numbers_reels_and_sources():
    events = fixture("xmeml-drop-frame.xml").events
    picture, harbour, waltz, pair = events[:4]
    assert (picture.video, picture.tracks, picture.line, picture.number) == (True, (), 23, "001")
    assert (harbour.line, harbour.reel, harbour.source_in, harbour.source_out) == (32, "MX 12", 0, 330)
    assert (waltz.reel, waltz.transition) == ("Lantern Waltz.aif", "dissolve")
    assert (pair.reel, pair.transition) == ("MX 12", "cut")


def test_sequence_on_a_sound_track_is_what_it_plays_there():
    reading = fixture("xmeml-nested.xml")
    assert heard(reading) == [
        ("A1", "Gull Reel", 900_100, 900_130),
        ("A1", "Net Menders", 900_170, 900_180),
        ("A2", "Gull Reel", 900_400, 900_450),
    ]
    assert [(each.source_in, each.source_out) for each in reading.events] == [(520, 550), (0, 10), (500, 550)]
    assert remarks(reading) == ["The file has 2 sequences; the longest is read, “Reel 2”, and not “Reel 2 old”."]


def test_speeds():
    reading = fixture("xmeml-speed.xml")
    assert [(each.name, each.speed) for each in reading.events] == [
        ("Double", Fraction(2)),
        ("Backwards", Fraction(-1, 2)),
        ("Varies", None),
        ("Off", None),
    ]
    assert remarks(reading) == ["“Varies” plays at a speed that varies; no single speed is listed."]
    assert reading.events[0].record_in == parse_timecode("00:59:50:00", reading.rate)


@pytest.mark.parametrize(
    ("rate", "fps"),
    [
        ("<timebase>24</timebase><ntsc>TRUE</ntsc>", Fraction(24000, 1001)),
        ("<timebase>24</timebase>", Fraction(24)),
        ("<timebase>25</timebase><ntsc>TRUE</ntsc>", Fraction(25)),
        ("<timebase>23.976</timebase><ntsc>FALSE</ntsc>", Fraction(24000, 1001)),
        ("<timebase>60</timebase><ntsc>TRUE</ntsc>", Fraction(60000, 1001)),
    ],
)
def test_rates(rate, fps):
    reading = read_text(sequence(f"<track>{clip(0, 10)}</track>", rate=rate, timecode=timecode("00:00:00:00")))
    assert reading.rate.fps == fps


@pytest.mark.parametrize(
    ("given_timecode", "drop", "start", "guess"),
    [
        (timecode("01:00:00;00", shown="DF"), True, 107_892, ""),
        (timecode("01:00:00:00", shown="DF"), True, 107_892, ""),
        (timecode("01:00:00;00"), True, 107_892, ""),
        (timecode("01:00:00:00", shown="NDF"), False, 108_000, ""),
        (timecode("01:00:00;00", shown="NDF"), False, 108_000, ""),
        (
            timecode("01:00:00:00", frame=107_892),
            True,
            107_892,
            "taken as drop-frame, since its start, frame 107892, is the whole second 01:00:00;00 in that counting only.",
        ),
        ("", False, 0, "taken as non-drop."),
    ],
)
def test_drop_frame_by_display_format_separator_or_count(given_timecode, drop, start, guess):
    text = sequence(
        f"<track>{clip(5, 10)}</track>", rate="<timebase>30</timebase><ntsc>TRUE</ntsc>", timecode=given_timecode
    )
    reading = read_text(text)
    assert (reading.rate.drop, reading.rate_from) == (drop, "file")
    assert guessed_drop(reading).partition(": ")[2] == guess
    assert heard(reading) == [("A1", "Gull Reel", start + 5, start + 10)]


@pytest.mark.parametrize(
    ("given_timecode", "remark"),
    [
        (timecode("01:00:00;00", shown="NDF"), "has the “;” of drop-frame"),
        (timecode("01:00:00:00", shown="DF"), "not defined at 25"),
        (timecode("01:00:00:00", frame=12), "counts it as frame 12"),
        (timecode("later", frame=12), "cannot be read"),
        ("", "no start timecode"),
    ],
)
def test_start_that_contradicts_itself_is_told(given_timecode, remark):
    reading = read_text(sequence(f"<track>{clip(0, 10)}</track>", timecode=given_timecode))
    assert [text for text in remarks(reading) if remark in text]


def test_start_by_count_where_the_label_cannot_be_read():
    reading = read_text(sequence(f"<track>{clip(0, 10)}</track>", timecode=timecode("later", frame=12)))
    assert heard(reading) == [("A1", "Gull Reel", 12, 22)]


@pytest.mark.parametrize(
    ("clips", "spans"),
    [
        (clip(-1, 100, 20, 80), [(40, 100)]),
        (clip(10, -1, 20, 80), [(10, 70)]),
        (clip(0, 50) + clip(-1, -1, 0, 25), [(0, 50), (50, 75)]),
        (clip("", 50, 0, 30) + clip("x", "y", -1, -1), [(20, 50)]),
        # Numbers that stand at the cut, under a transition that lies over it: heard to its end, and from its beginning.
        (
            clip(0, 100) + "<transitionitem><start>90</start><end>110</end></transitionitem>" + clip(100, 200, 0, 100),
            [(0, 110), (90, 200)],
        ),
        # A transition that lies elsewhere is none of these clips'.
        (
            clip(0, 100) + "<transitionitem><start>300</start><end>310</end></transitionitem>" + clip(100, 200),
            [(0, 100), (100, 200)],
        ),
        (clip(0, 100) + "<transitionitem/>" + clip(100, 200), [(0, 100), (100, 200)]),
    ],
)
def test_ends_that_are_not_written_are_worked_out(clips, spans):
    reading = read_text(sequence(f"<track>{clips}</track>", timecode=timecode("00:00:00:00")))
    assert [(each.record_in, each.record_out) for each in reading.events] == spans


def test_clip_without_a_place_is_told_with_its_line():
    reading = read_text(sequence(f"<track>{clip(0, 10)}\n<clipitem><name>Lost</name></clipitem></track>"))
    assert [(each.line, each.text) for each in reading.warnings if "Lost" in each.text] == [
        (3, "“Lost” has no place that can be read and is left out.")
    ]


def test_source_frames_are_of_the_records_rate_or_none():
    at = "<rate><timebase>{}</timebase><ntsc>FALSE</ntsc></rate>"
    clips = clip(0, 25, 50, 100, more=at.format(50)) + clip(25, 50, 51, 101, more=at.format(50)) + clip(50, 60, -1, -1)
    events = read_text(sequence(f"<track>{clips}</track>")).events
    assert [(each.source_in, each.source_out) for each in events] == [(25, 50), (None, None), (None, None)]


def test_names_fall_back_to_the_file_and_the_sequence():
    unnamed = "<clipitem><start>{}</start><end>{}</end>{}</clipitem>"
    inner = "<sequence id='s'><name>Mix</name><media><audio/></media></sequence>"
    text = sequence(
        "<track>"
        + unnamed.format(0, 5, "<file id='1'><pathurl>file:///mx/Lantern%20Waltz.wav</pathurl></file>")
        + unnamed.format(5, 9, "<file id='1'/>")
        + unnamed.format(9, 12, inner + "<enabled>FALSE</enabled>")
        + unnamed.format(12, 14, "")
        + "</track>"
    )
    assert [each.name for each in read_text(text).events] == ["Lantern Waltz.wav", "Lantern Waltz.wav", "Mix", ""]


def test_nested_sequence_at_another_rate_lands_on_exact_frames():
    inner = (
        "<sequence id='i'><rate><timebase>50</timebase></rate><media><audio><track>"
        + clip(100, 300, 0, 200)
        + "</track></audio></media></sequence>"
    )
    text = sequence(
        f"<track>{clip(10, 210, 0, 200, more=inner)}</track>", timecode=timecode("00:00:00:00", shown="NDF")
    )
    assert heard(read_text(text)) == [("A1", "Gull Reel", 60, 160)]


def test_nested_sequence_at_another_speed_is_one_clip():
    fast = (
        "<filter><effect><effectid>timeremap</effectid><parameter><parameterid>speed</parameterid><value>200</value>"
        "</parameter></effect></filter><sequence id='i'><media><audio><track>" + clip(0, 9) + "</track></audio></media>"
        "</sequence>"
    )
    reading = read_text(sequence(f"<track>{clip(0, 50, name='Mix', more=fast)}</track>"))
    assert [(each.name, each.speed) for each in reading.events] == [("Mix", Fraction(2))]
    assert "The sequence “Mix” is played at another speed: listed as one clip." in remarks(reading)


def test_sequence_that_contains_itself_ends_in_a_remark():
    itself = clip(0, 50, name="Own", more="<sequence id='s'/>")
    text = sequence(f"<track>{itself}</track>", timecode=timecode("00:00:00:00")).replace(
        "<sequence><name>", '<sequence id="s"><name>'
    )
    reading = read_text(text)
    assert [each.name for each in reading.events] == ["Own"]
    assert "The sequence “Reel” contains itself: listed as one clip." in remarks(reading)


def test_sequences_in_sequences_are_played_twenty_deep():
    def nested(level):
        inside = f"<sequence id='n{level + 1}'/>" if level < 25 else ""
        return (
            f"<sequence id='n{level}'><name>N{level}</name><media><audio><track>{clip(0, 50, more=inside)}</track></audio>"
            "</media></sequence>"
        )

    more = "".join(f"<clip>{clip(0, 1, more=nested(level))}</clip>" for level in range(1, 26))
    first = clip(0, 50, more="<sequence id='n1'/>")
    reading = read_text(sequence(f"<track>{first}</track>", more=more))
    assert len(reading.events) == 1
    assert "The sequence “N21” is nested more than 20 deep: listed as one clip." in remarks(reading)


def test_sequences_that_unfold_without_end_are_refused():
    """Twelve sequences of eight clips, each of which plays the next: 8¹² clips in 10 kB."""

    def nested(level):
        inside = f"<sequence id='n{level + 1}'/>" if level < 12 else ""
        clips = "".join(clip(0, 50, more=inside) for _ in range(8))
        return f"<sequence id='n{level}'><media><audio><track>{clips}</track></audio></media></sequence>"

    everything = "".join(f"<clip>{clip(0, 1, more=nested(level))}</clip>" for level in range(1, 13))
    first = clip(0, 50, more="<sequence id='n1'/>")
    text = sequence(f"<track>{first}</track>", more=everything)
    with pytest.raises(UnreadableFile, match="more than") as refused:
        read_text(text)
    assert refused.value.code == "timeline-too-large"


def test_wipes_generators_and_named_tracks():
    video = (
        "<track>"
        + clip(0, 50)
        + "<transitionitem><start>40</start><end>60</end><effect><name>Edge Wipe</name></effect></transitionitem>"
        + clip(50, 99)
        + "<generatoritem><name>Card</name><start>99</start><end>120</end></generatoritem></track>"
    )
    reading = read_text(sequence(f"<track><name>MX L</name>{clip(0, 9)}</track>", video=video))
    assert [(each.name, each.transition) for each in reading.events if each.video] == [
        ("Gull Reel", "cut"),
        ("Gull Reel", "wipe"),
        ("Card", "cut"),
    ]
    assert track_names(reading) == {"A1": "MX L"}


def test_rate_of_most_clips_where_the_sequence_has_none():
    at = "<rate><timebase>24</timebase><ntsc>TRUE</ntsc></rate>"
    text = sequence(f"<track>{clip(0, 10, more=at)}</track>", rate="", timecode=timecode("01:00:00:00"))
    reading = read_text(text)
    assert (reading.rate.exact, reading.rate_from) == ("24000/1001", "guess: the rate of most of its clips")
    assert reading.events[0].record_in == 86_400


def test_time_remap_that_says_no_speed():
    remap = "<filter><effect><effectid>timeremap</effectid></effect></filter><filter/>"
    assert [each.speed for each in read_text(sequence(f"<track>{clip(0, 10, more=remap)}</track>")).events] == [None]


def test_no_rate_at_all_asks_for_one():
    text = sequence(f"<track>{clip(0, 10)}</track>", rate="<timebase>12</timebase>", timecode=timecode("01:00:00:00"))
    with pytest.raises(UnreadableFile, match="Give its rate") as refused:
        read_text(text)
    assert refused.value.code == "rate-missing"
    reading = read_text(text, rate=Fraction(25))
    assert (reading.rate_from, reading.events[0].record_in) == ("given", 90_000)


def test_given_rate_names_the_same_frames_anew_and_says_so():
    reading = fixture("xmeml-nested.xml", rate=Fraction(24))
    assert (reading.rate, reading.rate_from) == (FrameRate(Fraction(24)), "given")
    assert heard(reading)[0] == ("A1", "Gull Reel", 864_100, 864_130)
    assert (
        "The file says 25 frames per second, and 24 was given: the frames stay as they are, "
        "and are named at the given rate." in remarks(reading)
    )


def test_given_counting_wins_over_the_file():
    reading = fixture("xmeml-drop-frame.xml", drop=False)
    assert (reading.rate, reading.rate_from) == (FrameRate(NTSC), "file")
    assert heard(reading)[0][2] == 108_030
    assert remarks(reading) == ["The file says 29.97 DF, and 29.97 NDF was given."]


def test_drop_frame_where_none_is_defined_is_the_persons_mistake():
    with pytest.raises(BadValue, match="not defined at 25"):
        fixture("xmeml-nested.xml", drop=True)


def test_no_sequence():
    with pytest.raises(UnreadableFile, match="no sequence") as refused:
        read_text("<xmeml><clip><media/></clip></xmeml>")
    assert (refused.value.code, refused.value.line) == ("timeline-missing", 1)


def test_no_clip():
    with pytest.raises(UnreadableFile, match="no clip in the timeline") as refused:
        read_text(sequence("<track/>"))
    assert refused.value.code == "timeline-empty"


@given(
    st.lists(
        st.lists(
            st.tuples(st.integers(0, 30), st.integers(1, 200), st.integers(0, 500), st.integers(0, 9)), max_size=8
        ),
        min_size=1,
        max_size=4,
    ).filter(lambda tracks: any(map(len, tracks))),
    st.sampled_from([(24, True), (24, False), (25, False), (30, True), (60, True)]),
    st.booleans(),
    st.integers(0, 3 * 60 * 60 * 24),
)
def test_any_sequence_is_read_to_the_frame(tracks, rate, drop, start):
    """Gaps, lengths, sources and fades at random: the events are the model's, to the frame."""
    slowed = Fraction(1000, 1001) if rate[1] else Fraction(1)
    fps = FrameRate(rate[0] * slowed, drop and rate in ((30, True), (60, True)))
    want, audio = [], ""
    for number, track in enumerate(tracks, 1):
        here, written = 0, ""
        for index, (gap, frames, source, longest) in enumerate(track):
            here += gap
            fade = min(longest, frames - 1)
            want.append((f"A{number}", f"S{index}", start + here, start + here + frames, source, source + frames))
            faded = f"<transitionitem><start>{here}</start><end>{here + fade}</end></transitionitem>" if fade else ""
            written += faded + clip(-1 if fade else here, here + frames, source, source + frames, name=f"S{index}")
            here += frames
        audio += f"<track>{written}</track>"
    label = format_timecode(start, fps)
    reading = read_text(
        sequence(
            audio,
            rate=f"<timebase>{rate[0]}</timebase><ntsc>{str(rate[1]).upper()}</ntsc>",
            timecode=timecode(label, frame=start, shown="DF" if fps.drop else "NDF"),
        )
    )
    assert reading.rate == fps
    assert [
        (*each.tracks, each.name, each.record_in, each.record_out, each.source_in, each.source_out)
        for each in reading.events
    ] == want
    assert reading.warnings == ()
