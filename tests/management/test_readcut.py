"""``manage.py readcut``: JSON as it is promised, without a database; exit 2 with one line where nothing can be used."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
LISTS = ROOT / "fixtures" / "edl"


def run(*words, given=None):
    """The command as people run it, with a database address that nothing answers at."""
    return subprocess.run(  # noqa: S603 - our own interpreter and our own words
        [sys.executable, "manage.py", "readcut", *map(str, words)],
        cwd=ROOT,
        input=given,
        capture_output=True,
        check=False,
        env=os.environ | {"DATABASE_URL": "postgres://nobody@127.0.0.1:9/nothing", "PYTHONWARNINGS": "error"},
    )


def told(*words, given=None):
    done = run(*words, "--json", given=given)
    assert (done.returncode, done.stderr) == (0, b"")
    return json.loads(done.stdout)


def test_events_as_json():
    assert told(LISTS / "plain.edl", "--rate", "24000/1001") == {
        "title": "MARRAM 101 MUSIC",
        "rate": "24000/1001",
        "drop": False,
        "rate_from": "given",
        "events": [
            {
                "line": 4,
                "number": "001",
                "reel": "AX",
                "name": "HARBOUR LIGHTS v3 MSTR.wav",
                "tracks": ["A1"],
                "video": False,
                "record_in": 86400,
                "record_out": 87120,
                "frames": 720,
                "source_in": 240,
                "source_out": 960,
                "transition": "cut",
                "speed": None,
            },
            {
                "line": 6,
                "number": "002",
                "reel": "AX",
                "name": "Route 9.wav",
                "tracks": ["A2"],
                "video": False,
                "record_in": 87120,
                "record_out": 87420,
                "frames": 300,
                "source_in": 0,
                "source_out": 300,
                "transition": "cut",
                "speed": None,
            },
        ],
        "warnings": [],
    }


def test_reasons_speeds_and_warnings_as_json():
    listed = told(LISTS / "unusable_events.edl", "--rate", "24")
    assert [event.get("skipped") for event in listed["events"]][:4] == [
        "zero length",
        "out before in",
        "black",
        "silence",
    ]
    assert "skipped" not in listed["events"][4]
    assert listed["warnings"][0] == {
        "line": 14,
        "text": "The time 01:75:35:00 does not exist at 24: the event is left out.",
    }
    assert [event["speed"] for event in told(LISTS / "speeds.edl", "--rate", "24")["events"]] == [
        "2",
        "-1",
        "0",
        "-2",
        "1",
        "4/5",
    ]


def test_cues_as_json():
    listed = told(LISTS / "stereo_pairs.edl", "--rate", "24", "--music-tracks", "A7-A8", "--cues")
    assert "events" not in listed
    assert listed["cues"] == [
        {
            "name": "Harbour Lights",
            "tracks": ["A7", "A8"],
            "runs": [{"record_in": 86400, "record_out": 87120}],
            "frames": 720,
        },
        {
            "name": "Tide Table",
            "tracks": ["A7", "A8"],
            "runs": [{"record_in": 87360, "record_out": 87840}],
            "frames": 480,
        },
    ]
    assert told(LISTS / "speeds.edl", "--rate", "24", "--cues")["cues"][0]["speeds"] == ["2"]


def test_gap_between_cues():
    assert len(told(LISTS / "odd_times.edl", "--cues")["cues"]) == 1
    assert len(told(LISTS / "odd_times.edl", "--cues", "--gap", "0.1")["cues"]) == 3


def test_music_tracks_limit_the_events_and_missing_ones_are_told():
    listed = told(LISTS / "stereo_pairs.edl", "--rate", "24", "--music-tracks", "a8,A9")
    assert [event["tracks"] for event in listed["events"]] == [["A8"], ["A8"]]
    assert listed["warnings"] == [{"line": 0, "text": "No event is on A9. Tracks with sound are A1, A7, A8."}]


@pytest.mark.parametrize(
    ("words", "drop"),
    [
        (["--rate", "29.97"], True),
        (["--rate", "30000/1001", "--non-drop"], False),
        (["--rate", "29.97 DF"], True),
        (["--drop"], True),
        ([], True),
    ],
)
def test_counting_is_given_or_the_lists(words, drop):
    listed = told(LISTS / "drop_by_fcm_with_colons.edl", *words)
    assert (listed["rate"], listed["drop"]) == ("30000/1001", drop)


def test_list_from_standard_input():
    assert told("-", given=(LISTS / "crlf.edl").read_bytes())["title"] == "CRLF"


def test_names_are_written_as_they_are():
    done = run(LISTS / "utf8_bom.edl", "--json")
    assert "Été à la mer – 海辺の灯" in done.stdout.decode()


def test_lines_for_people():
    done = run(LISTS / "unusable_events.edl", "--rate", "24")
    lines = done.stdout.decode().splitlines()
    assert lines[:2] == [
        "UNUSABLE, 24 (given)",
        "001 01:00:00:00 to 01:00:00:00 A1: HARBOUR LIGHTS (no usage: zero length)",
    ]
    assert "Line 14: The time 01:75:35:00 does not exist at 24: the event is left out." in lines
    done = run(LISTS / "past_midnight.edl", "--rate", "24", "--cues", "--music-tracks", "A1,A2")
    assert done.stdout.decode().splitlines()[:3] == [
        "LATE, 24 (given)",
        "Harbour Lights on A1: 1200 frames, 23:59:30:00 to 00:00:20:00",
        "No event is on A2. Tracks with sound are A1.",
    ]
    done = run(LISTS / "no_channel_column.edl", "--cues")
    assert "Harbour Lights on no named track: 240 frames" in done.stdout.decode()
    assert "Untitled, 24" in run(LISTS / "out_of_order.edl").stdout.decode()
    assert "007 01:00:06:00 to 01:00:07:00 picture: AX" in run(LISTS / "channels.edl").stdout.decode()


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ([LISTS / "binary.edl"], "Line 1, column 8: The byte 0x0E is no text, and many more like it follow. "),
        ([LISTS / "no_events.txt"], "Line 1, column 1: No line is an event of an edit list. "),
        ([LISTS / "plain.edl", "--rate", "12"], "“12” is not a frame rate of a cut. "),
        (
            [LISTS / "plain.edl", "--rate", "24", "--drop"],
            "Drop-frame counting is not defined at 24 frames per second. ",
        ),
        ([LISTS / "plain.edl", "--music-tracks", "drums"], "“drums” names no track. "),
        ([LISTS / "plain.edl", "--cues", "--gap", "long"], "“long” is no number of seconds. "),
        (["nowhere.edl"], "The file “nowhere.edl” cannot be read: No such file or directory."),
        (["."], "The file “.” cannot be read: Is a directory."),
        (["-"], "The file is empty. "),
    ],
)
def test_what_cannot_be_used_exits_2_with_one_line(words, line):
    done = run(*words, "--json", given=b"")
    assert (done.returncode, done.stdout) == (2, b"")
    words = done.stderr.decode()
    assert words.startswith(line)
    assert words.count("\n") == 1


def test_drop_and_non_drop_together_exit_2():
    done = run(LISTS / "plain.edl", "--drop", "--non-drop", "--json")
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"Traceback" not in done.stderr


def test_timeline_tells_what_its_tracks_are_called():
    reel = ROOT / "fixtures" / "timelines" / "fcpxml-connected.fcpxml"
    names = {"A1": "dialogue, storyline", "A2": "music, lane -1", "A3": "music, lane -2"}
    assert told(reel)["track_names"] == names
    done = run(reel, "--cues", "--music-tracks", "A2,A3")
    assert "Tracks by their names in the file: A1 “dialogue, storyline”, A2 “music" in done.stdout.decode()
    assert "track_names" not in told(LISTS / "plain.edl", "--rate", "24000/1001")


def test_every_kind_of_timeline_is_read_without_a_database():
    for name, cues in (("xmeml-drop-frame.xml", 2), ("otio-timeline.otio", 4)):
        listed = told(ROOT / "fixtures" / "timelines" / name, "--cues")
        assert (listed["rate"], listed["drop"], listed["rate_from"], len(listed["cues"])) == (
            "30000/1001",
            True,
            "file",
            cues,
        )
