"""``<fcpxml>``. What its attributes mean is in the format's published reference: rational seconds, offsets in the parent's
time, lanes, ``tcStart`` and ``tcFormat``, time maps. From memory.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange.xml_timeline import read
from supervision.rules.errors import UnreadableFile
from supervision.rules.timecode import RATES, FrameRate, parse_timecode
from tests.interchange.timeline_files import fixture, guessed_drop, heard, remarks, skipped, track_names


def project(spine, *, form='frameDuration="1/25s"', attributes='tcStart="0s" tcFormat="NDF"', resources="", more=""):
    return f"""<?xml version="1.0"?><!DOCTYPE fcpxml><fcpxml version="1.10"><resources><format id="f" {form}/>
        <asset id="song" name="Gull Reel" hasAudio="1"/><asset id="scene" hasAudio="1" hasVideo="1" name="Scene"/>{resources}
        </resources><project name="Reel"><sequence format="f" {attributes}><spine>{spine}</spine></sequence></project>
        {more}</fcpxml>"""


def song(offset, frames, more="", *, inside=""):
    at = f'offset="{offset}"' if offset else ""
    return f'<asset-clip ref="song" name="Gull Reel" {at} duration="{frames}/25s" {more}>{inside}</asset-clip>'


def read_text(text, *, rate=None, drop=None):
    return read(text.encode(), rate=rate, drop=drop)


def test_storyline_with_connected_songs():
    reading = fixture("fcpxml-connected.fcpxml")
    assert (reading.title, reading.rate, reading.rate_from) == (
        "MARRAM 104 v7",
        FrameRate(Fraction(24000, 1001)),
        "file",
    )
    hour = parse_timecode("01:00:00:00", reading.rate)
    assert heard(reading) == [
        ("A1", "Harbour wide", hour, hour + 240),
        ("A1", "Harbour close", hour + 240, hour + 480),
        ("A2", "HARBOUR LIGHTS v3 MSTR", hour + 264, hour + 384),
        ("A3", "Lantern Waltz", hour + 250, hour + 303),
        ("A3", "HARBOUR LIGHTS v3 MSTR", hour + 293, hour + 322),
        ("A2", "Lantern Waltz", hour + 514, hour + 538),
    ]
    assert skipped(reading) == [("Lantern Waltz", "disabled"), ("Lantern Waltz", "its sound is switched off")]
    assert track_names(reading) == {"A1": "dialogue, storyline", "A2": "music, lane -1", "A3": "music, lane -2"}
    assert reading.warnings == ()


def test_events_know_lines_sources_speeds_and_fades():
    events = {each.line: each for each in fixture("fcpxml-connected.fcpxml").events}
    assert (events[18].video, events[18].source_in, events[18].source_out) == (True, 10, 250)
    assert (events[19].name, events[19].video, events[19].tracks) == ("Main title", True, ())
    assert (events[22].source_in, events[22].source_out) == (12, 132)
    assert (events[27].transition, events[27].source_in, events[27].source_out) == ("dissolve", 45, 74)
    assert (events[32].speed, events[32].source_in) == (Fraction(2), None)


def test_clips_that_consist_of_others():
    reading = fixture("fcpxml-containers.fcpxml")
    start = parse_timecode("01:00:00;00", reading.rate)
    assert reading.rate == FrameRate(Fraction(30000, 1001), True)
    assert heard(reading) == [
        ("A1", "HARBOUR LIGHTS", start, start + 50),
        ("A2", "Net Menders", start + 45, start + 145),
        ("A1", "Gull Reel", start + 50, start + 100),
        ("A1", "Net Menders", start + 100, start + 150),
        ("A1", "Net Menders", start + 160, start + 200),
        ("A2", "Gull Reel", start + 210, start + 220),
        ("A1", "Gull Reel", start + 230, start + 250),
    ]


@pytest.mark.parametrize(
    ("form", "exact"),
    [
        ('frameDuration="1001/24000s"', "24000/1001"),
        ('frameDuration="100/2400s"', "24"),
        ('frameDuration="1001/60000s"', "60000/1001"),
        ('name="FFVideoFormat1080p2398"', "24000/1001"),
        ('name="FFVideoFormat1080i5994"', "30000/1001"),
        ('name="FFVideoFormat1080i50"', "25"),
        ('name="FFVideoFormat720p50"', "50"),
    ],
)
def test_rates(form, exact):
    reading = read_text(project('<asset-clip ref="song" duration="1001s"/>', form=form))
    assert (reading.rate.exact, reading.rate_from) == (exact, "file")


@pytest.mark.parametrize("form", ["", 'frameDuration="1/12s"', 'frameDuration="0s"', 'name="Rate undefined"'])
def test_no_rate_asks_for_one(form):
    with pytest.raises(UnreadableFile, match="Give its rate"):
        read_text(project(song("0s", 25), form=form))
    reading = read_text(project(song("1s", 25), form=form), rate=Fraction(24))
    assert heard(reading) == [("A1", "Gull Reel", 24, 48)]


@pytest.mark.parametrize(
    ("attributes", "drop", "guess"),
    [
        ('tcStart="107999892/30000s" tcFormat="DF"', True, ""),
        ('tcStart="107999892/30000s" tcFormat="NDF"', False, ""),
        (
            'tcStart="107999892/30000s"',
            True,
            "taken as drop-frame, since its start, frame 107892, is the whole second 01:00:00;00 in that counting only.",
        ),
        ("", False, "taken as non-drop."),
    ],
)
def test_drop_frame_by_format_or_start(attributes, drop, guess):
    clip = '<asset-clip ref="song" duration="1001/30s"/>'
    reading = read_text(project(clip, form='frameDuration="1001/30000s"', attributes=attributes))
    assert (reading.rate.drop, reading.rate_from) == (drop, "file")
    assert guessed_drop(reading).partition(": ")[2] == guess
    assert reading.events[0].frames == 1000


def test_drop_frame_at_a_rate_without_it_is_told():
    reading = read_text(project(song("0s", 5), attributes='tcFormat="DF"'))
    assert reading.rate == FrameRate(Fraction(25))
    assert "The file says drop-frame, which is not defined at 25: non-drop is taken." in remarks(reading)


def test_offsets_that_count_from_the_start_of_the_sequence():
    """Some writers count the storyline from 0, whatever the sequence's start."""
    reading = read_text(project(song("0s", 25) + song("1s", 25), attributes='tcStart="3600s" tcFormat="NDF"'))
    assert heard(reading) == [("A1", "Gull Reel", 90_000, 90_025), ("A1", "Gull Reel", 90_025, 90_050)]


def test_place_that_is_not_written_is_where_the_one_before_ends():
    reading = read_text(project(song("", 25) + '<gap duration="2s"/>' + song("", 10)))
    assert heard(reading) == [("A1", "Gull Reel", 0, 25), ("A1", "Gull Reel", 75, 85)]


def test_length_of_the_media_where_the_clip_has_none():
    media = '<asset id="long" hasAudio="1" duration="4s"/><media id="mix"><sequence duration="3s"><spine/></sequence></media>'
    spine = '<asset-clip ref="long" name="Long"/><ref-clip ref="mix" name="Mix"/><asset-clip ref="song" name="Lost"/>'
    reading = read_text(project(spine, resources=media))
    assert [(each.name, each.record_in, each.record_out) for each in reading.events] == [
        ("Long", 0, 100),
        ("Mix", 100, 175),
    ]
    assert "“Lost” has no duration that can be read and is left out." in remarks(reading)


@pytest.mark.parametrize("time", ["1/0s", "1001/24000", "s", "1e9s", "-4s", "NaN"])
def test_duration_that_is_none_is_told(time):
    reading = read_text(project(song("0s", 5) + f'<asset-clip ref="song" name="Bad" duration="{time}"/>'))
    assert "“Bad” has no duration that can be read and is left out." in remarks(reading)


def test_decimal_seconds():
    reading = read_text(project('<asset-clip ref="song" offset="0.4s" duration="1.6s"/>'))
    assert [(each.record_in, each.record_out) for each in reading.events] == [(10, 50)]


def test_sound_between_two_frames_is_taken_to_the_nearest_and_told():
    reading = read_text(project('<asset-clip ref="song" offset="1001/48000s" duration="2s"/>'))
    assert [(each.record_in, each.record_out) for each in reading.events] == [(1, 51)]
    assert "2 edits lie between two frames; the nearest frame is taken." in remarks(reading)


def test_what_is_used_of_a_clip():
    scene = '<asset-clip ref="scene" name="{0}" duration="1s" srcEnable="{0}"/>'
    reading = read_text(project(scene.format("all") + scene.format("audio") + scene.format("video")))
    assert [(each.name, bool(each.tracks), each.video) for each in reading.events] == [
        ("all", True, True),
        ("audio", True, False),
        ("video", False, True),
    ]


def test_picture_within_a_compound_clip_is_no_sound():
    inner = '<asset-clip ref="scene" duration="9s" srcEnable="video"/><asset-clip ref="song" name="S" offset="1s" duration="1s"/>'
    media = f'<media id="mix"><sequence><spine>{inner}</spine></sequence></media>'
    reading = read_text(project('<ref-clip ref="mix" name="Mix" duration="9s"/>', resources=media))
    assert [(each.name, each.video) for each in reading.events] == [("Mix", True), ("S", False)]


def test_given_rate_names_the_same_frames_anew_and_says_so():
    reading = read_text(project(song("1s", 25), attributes='tcStart="1s"'), rate=Fraction(24))
    assert (reading.rate_from, heard(reading)) == ("given", [("A1", "Gull Reel", 24, 49)])
    assert any("The file says 25 frames per second, and 24 was given" in text for text in remarks(reading))


@pytest.mark.parametrize("lane", ["--1", "١", "x", "1e3", "99999"])
def test_lane_that_is_no_number_is_the_storylines(lane):
    inside = song("0s", 5, f'lane="{lane}"')
    reading = read_text(project(f'<gap duration="1s">{inside}</gap>'))
    assert heard(reading) == [("A1", "Gull Reel", 0, 5)]


def test_sides_of_a_stereo_clip_are_one_event():
    side = '<audio ref="song" offset="0s" duration="9s" srcCh="{}" role="music">{}</audio>'
    both = side.format(1, side.format(2, "").replace("<audio", '<audio lane="-1"'))
    reading = read_text(project(f'<clip name="Song" duration="1s">{both}</clip>'))
    assert heard(reading) == [("A1", "Song", 0, 25)]


def test_missing_resources_lose_nothing():
    spine = '<asset-clip ref="gone" name="Song" duration="1s"/><ref-clip ref="gone" name="Mix" duration="1s"/>'
    reading = read_text(project(spine + '<mc-clip ref="gone" name="Live" duration="1s"/>'))
    assert heard(reading) == [("A1", "Song", 0, 25)]
    assert "What “Mix” consists of is not in the file." in remarks(reading)
    assert "What “Live” consists of is not in the file." in remarks(reading)


def test_compound_clip_at_another_speed_is_one_clip():
    media = '<media id="mix"><sequence duration="9s"><spine><asset-clip ref="song" duration="9s"/></spine></sequence></media>'
    retimed = '<timeMap><timept time="0s" value="0s"/><timept time="1s" value="3s"/></timeMap>'
    spine = f'<ref-clip ref="mix" name="Mix" duration="2s" srcEnable="audio">{retimed}</ref-clip>'
    reading = read_text(project(spine, resources=media))
    assert [(each.name, each.speed, each.frames, each.video) for each in reading.events] == [
        ("Mix", Fraction(3), 50, False)
    ]


@pytest.mark.parametrize(
    ("points", "speed", "told"),
    [
        ("", None, False),
        ('<timept time="0s" value="0s"/>', None, False),
        ('<timept time="0s" value="0s"/><timept time="x" value="1s"/>', None, False),
        ('<timept time="0s" value="8s"/><timept time="2s" value="7s"/>', Fraction(-1, 2), False),
        (
            '<timept time="0s" value="0s"/><timept time="1s" value="1s"/><timept time="2s" value="9s"/>',
            None,
            True,
        ),
    ],
)
def test_time_maps(points, speed, told):
    reading = read_text(project(song("0s", 25, inside=f"<timeMap>{points}</timeMap>")))
    assert [each.speed for each in reading.events] == [speed]
    assert any("varies" in text for text in remarks(reading)) is told


def test_compound_clip_whose_sound_is_switched_off_or_that_is_seen_only():
    media = (
        '<media id="mix"><sequence><spine><asset-clip ref="song" name="In" duration="9s"/></spine></sequence></media>'
    )
    spine = (
        '<ref-clip ref="mix" name="Off" duration="1s"><audio-role-source role="music" active="0"/></ref-clip>'
        '<ref-clip ref="mix" name="Seen" duration="1s" srcEnable="video"/>'
    )
    reading = read_text(project(spine, resources=media))
    assert [(each.name, bool(each.tracks), each.skipped) for each in reading.events] == [
        ("Off", False, "its sound is switched off"),
        ("In", True, "its sound is switched off"),
        ("Seen", False, ""),
    ]


def test_transition_of_picture_alone_moves_no_sound():
    between = '<transition offset="20/25s" duration="10/25s"><filter-video ref="x"/>{}</transition>'
    spine = song("0s", 25) + between + song("1s", 25)
    assert heard(read_text(project(spine.format("<note/>")))) == [
        ("A1", "Gull Reel", 0, 25),
        ("A1", "Gull Reel", 25, 50),
    ]
    both = spine.format("<filter-audio/>")
    assert heard(read_text(project(both))) == [("A1", "Gull Reel", 0, 30), ("A1", "Gull Reel", 20, 50)]


def test_transition_without_a_place_moves_nothing():
    spine = song("0s", 25) + "<transition/>" + song("1s", 25) + '<transition offset="9s" duration="1s"/>'
    assert heard(read_text(project(spine))) == [("A1", "Gull Reel", 0, 25), ("A1", "Gull Reel", 25, 50)]


def test_empty_audition_and_sequence_without_storyline():
    media = '<media id="mix"><sequence/></media>'
    spine = '<audition/><ref-clip ref="mix" name="Mix" duration="1s" srcEnable="audio"/>' + song("", 5)
    assert heard(read_text(project(spine, resources=media))) == [("A1", "Gull Reel", 25, 30)]


def test_part_of_a_compound_clip_that_is_not_played_is_not_listed():
    inner = '<asset-clip ref="song" name="One" duration="1s"/><asset-clip ref="song" name="Two" duration="1s"/>'
    media = f'<media id="mix"><sequence tcStart="10s"><spine>{inner}</spine></sequence></media>'
    spine = '<ref-clip ref="mix" name="Mix" start="11s" duration="1s" srcEnable="audio"/>'
    assert heard(read_text(project(spine, resources=media))) == [("A1", "Two", 0, 25)]
    natural = '<ref-clip ref="mix" name="Mix" duration="1s" srcEnable="audio"/>'
    assert heard(read_text(project(natural, resources=media))) == [("A1", "One", 0, 25)]


def test_compound_clip_that_contains_itself_is_refused():
    media = '<media id="mix"><sequence><spine><ref-clip ref="mix" duration="1s"/></spine></sequence></media>'
    with pytest.raises(UnreadableFile, match="nested more than 80 deep") as refused:
        read_text(project('<ref-clip ref="mix" duration="1s"/>', resources=media))
    assert (refused.value.code, refused.value.line) == ("timeline-too-deep", 2)


def test_longest_of_several_projects_is_read():
    other = '<project name="Old"><sequence format="f" duration="1s"><spine/></sequence></project>'
    reading = read_text(project(song("0s", 5), attributes='duration="2s"', more=other))
    assert reading.title == "Reel"
    assert "The file has 2 projects; the longest is read, “Reel”, and not “Old”." in remarks(reading)


def test_no_project():
    with pytest.raises(UnreadableFile, match="no project") as refused:
        read_text("<fcpxml><library><event/></library></fcpxml>")
    assert refused.value.code == "timeline-missing"


@given(
    st.sampled_from(RATES),
    st.integers(0, 2_000_000),
    st.lists(
        st.tuples(
            st.integers(0, 50),
            st.integers(1, 300),
            st.integers(0, 1000),
            st.lists(st.tuples(st.integers(1, 3), st.integers(-200, 200), st.integers(1, 400)), max_size=3),
        ),
        min_size=1,
        max_size=6,
    ),
)
def test_any_storyline_is_read_to_the_frame(rate, start, clips):
    """Gaps, scenes and songs connected to them by the scenes' own time: the events are the model's, to the frame."""

    def time(frames):
        seconds = frames / rate.fps
        return f"{seconds.numerator}/{seconds.denominator}s"

    here, spine, want = start, "", []
    for gap, frames, source, connected in clips:
        spine += f'<gap offset="{time(here)}" duration="{time(gap)}" start="3600s"/>' if gap else ""
        here += gap
        want.append(("A1", "S", here, here + frames))
        inside = ""
        for lane, shift, length in connected:
            if here + shift < 0:
                continue
            inside += (
                f'<asset-clip ref="song" name="{lane}" lane="-{lane}" offset="{time(source + shift)}" '
                f'duration="{time(length)}"/>'
            )
            want.append((f"L{lane}", str(lane), here + shift, here + shift + length))
        spine += (
            f'<asset-clip ref="scene" name="S" offset="{time(here)}" start="{time(source)}" '
            f'duration="{time(frames)}">{inside}</asset-clip>'
        )
        here += frames
    duration = time(1).replace("s", "s")
    counting = "DF" if rate.drop else "NDF"
    text = project(
        spine, form=f'frameDuration="{duration}"', attributes=f'tcStart="{time(start)}" tcFormat="{counting}"'
    )
    reading = read_text(text)
    lanes = sorted({each[0] for each in want if each[0] != "A1"})
    names = {lane: f"A{number}" for number, lane in enumerate(lanes, 2)}
    assert reading.rate == rate
    assert heard(reading) == [(names.get(lane, lane), *rest) for lane, *rest in dict.fromkeys(want)]
    assert track_names(reading) == {names[lane]: f"lane -{lane[1:]}" for lane in lanes}
    assert reading.warnings == ()
