"""AAF files that pyaaf2 (1.7.1) wrote for the purpose; no package that is installed here ships one.

Places are held against the AAF Object Specification v1.1 (transitions overlap both neighbours) and, where it reads a file,
against OpenTimelineIO's AAF adapter (2.0.0).
"""

import json
import resource
import subprocess
import sys
from fractions import Fraction

import opentimelineio as otio
import pytest
from aaf2.mobid import MobID
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.interchange import aaf_timeline
from supervision.interchange.aaf_content import MEMORY, SECONDS, described, main
from supervision.interchange.aaf_timeline import read, recognises
from supervision.interchange.cut_file import read_cut
from supervision.rules.errors import UnreadableFile
from supervision.rules.timecode import FrameRate, parse_timecode
from tests.interchange.aaf_files import Composition
from tests.interchange.timeline_files import guessed_drop, heard, remarks, skipped, track_names


@pytest.fixture
def reading_of(tmp_path):
    """The reading of a composition, described in this process, so that what is left unread shows."""

    def reading(made, *, rate=None, drop=None):
        path = tmp_path / "cut.aaf"
        path.write_bytes(made.bytes())
        return aaf_timeline.reading_of(described(str(path)), rate=rate, drop=drop)

    return reading


def refused(data):
    with pytest.raises(UnreadableFile) as caught:
        read(data, rate=None, drop=None)
    return caught.value


def reel(rate, fps, start, *, drop=False):
    """Stereo music with a crossfade, on tracks A1 and A2 of a reel, and a picture."""
    made = Composition("MARRAM 104 R1", rate=rate)
    made.timecode(fps, start, drop=drop)
    harbour = made.source("HARBOUR LIGHTS v3 MSTR", "file:///MX/HARBOUR%20LIGHTS%20v3.wav")
    waltz = made.source("Lantern Waltz")
    made.track(made.clip(harbour, 0, 600, kind="picture"), kind="picture", number=1)
    for number in (1, 2):
        made.track(
            made.gap(30),
            made.clip(harbour, 50, 330),
            made.fade(20),
            made.clip(waltz, 90, 260),
            number=number,
            name="MX L" if number == 1 else "",
        )
    return made


@pytest.mark.parametrize(
    ("rate", "fps", "label", "drop", "exact"),
    [
        ("24000/1001", 24, "01:00:00:00", False, "24000/1001"),
        ("25", 25, "10:00:00:00", False, "25"),
        ("30000/1001", 30, "01:00:00;00", True, "30000/1001"),
        ("30000/1001", 30, "01:00:00:00", False, "30000/1001"),
        ("60000/1001", 60, "00:59:50;00", True, "60000/1001"),
    ],
)
def test_reels_at_every_kind_of_rate(rate, fps, label, drop, exact):
    counts = FrameRate(Fraction(exact), drop)
    start = parse_timecode(label, counts)
    reading = read_cut(reel(rate, fps, start, drop=drop).bytes(), name="r1.aaf")
    assert (reading.title, reading.rate, reading.rate_from) == ("MARRAM 104 R1", counts, "file")
    assert heard(reading) == [
        ("A1", "HARBOUR LIGHTS v3 MSTR", start + 30, start + 360),
        ("A1", "Lantern Waltz", start + 340, start + 600),
        ("A2", "HARBOUR LIGHTS v3 MSTR", start + 30, start + 360),
        ("A2", "Lantern Waltz", start + 340, start + 600),
    ]
    picture, harbour, waltz = reading.events[:3]
    assert (picture.video, picture.tracks, picture.frames) == (True, (), 600)
    assert (harbour.reel, harbour.source_in, harbour.source_out) == ("HARBOUR LIGHTS v3.wav", 50, 380)
    assert (waltz.transition, harbour.transition) == ("dissolve", "cut")
    assert (track_names(reading), reading.warnings) == ({"A1": "MX L"}, ())


def test_places_are_the_adapters_own_but_for_the_fade(tmp_path):
    """The adapter cuts at the transition's cut point, and its ``visible_range`` is what is heard."""
    data = reel("25", 25, 90_000).bytes()
    (tmp_path / "r1.aaf").write_bytes(data)
    timeline = otio.adapters.read_from_file(str(tmp_path / "r1.aaf"))
    start = timeline.global_start_time.value
    theirs = []
    for clip in timeline.find_clips():
        whole = clip.visible_range()
        ends = (whole.start_time, whole.end_time_exclusive())
        theirs.append([start + clip.transformed_time(end, timeline.tracks).value for end in ends])
    ours = read(data, rate=None, drop=None).events
    assert [[each.record_in, each.record_out] for each in ours] == theirs


def test_effects_mutes_subclips_and_nested_compositions(reading_of):
    made = Composition()
    made.timecode(25, 0)
    harbour, waltz = made.source("Harbour Lights", "C:\\MX\\Harbour.wav"), made.source("Lantern Waltz")
    made.track(made.effect("Gain", 50, made.clip(harbour, 0, 50)), number=3)
    made.track(made.effect("Combine", 50, made.clip(waltz, 0, 50), made.clip(waltz, 0, 50)), number=4)
    made.track(made.effect("Motion", 50, made.clip(waltz, 0, 100), warp=True, ratio="1/2"), number=5)
    muted = made.selector(made.gap(40), made.clip(waltz, 5, 40))
    made.track(muted, made.selector(made.clip(harbour, 0, 10), made.clip(waltz, 0, 10)), number=6)
    subclip = made.composition("Waltz (short)", "Usage_SubClip")
    slot = made.track(made.clip(waltz, 100, 500), mob=subclip)
    made.track(subclip.create_source_clip(slot.slot_id, 10, 60, "sound"), number=7)
    mix = made.composition("Scene mix")
    slot = made.track(
        made.clip(harbour, 0, 50), made.gap(40), made.clip(waltz, 0, 110), made.clip(harbour, 0, 9), mob=mix
    )
    made.track(made.gap(100), mix.create_source_clip(slot.slot_id, 20, 80, "sound"), number=8)
    group = made.composition("Group.1")
    slot = made.mob_slot(group, made.selector(made.clip(harbour, 7, 90), made.clip(waltz, 0, 90)))
    made.track(group.create_source_clip(slot.slot_id, 0, 30, "sound"), number=9)
    made.track(made.effect("Tone", 10), number=10)
    reading = reading_of(made)
    assert heard(reading) == [
        ("A3", "Harbour Lights", 0, 50),
        ("A4", "Lantern Waltz", 0, 50),
        ("A5", "Lantern Waltz", 0, 50),
        ("A6", "Harbour Lights", 40, 50),
        ("A7", "Waltz (short)", 0, 60),
        ("A8", "Harbour Lights", 100, 130),
        ("A8", "Lantern Waltz", 170, 180),
        ("A9", "Group.1", 0, 30),
        ("A10", "Tone", 0, 10),
    ]
    assert skipped(reading) == [("Lantern Waltz", "disabled")]
    events = {(*each.tracks, each.name): each for each in reading.events}
    assert events["A5", "Lantern Waltz"].speed == 2
    assert events["A3", "Harbour Lights"].reel == "Harbour.wav"
    assert (events["A8", "Harbour Lights"].source_in, events["A8", "Harbour Lights"].source_out) == (20, 50)
    assert events["A7", "Waltz (short)"].source_in == 110


def test_clips_without_a_source(reading_of):
    made = Composition()
    made.timecode(25, 0)
    song = made.source("Song")
    gone, nothing, lost = made.clip(song, 0, 10), made.clip(song, 0, 10), made.clip(song, 0, 10)
    gone.mob_id = MobID.new()
    nothing.mob_id = MobID()
    other = made.composition("Elsewhere")
    lost.mob_id, lost.slot_id = other.mob_id, 77
    made.track(gone, nothing, lost, made.selector(made.gap(5)), made.clip(song, 0, 5))
    reading = reading_of(made)
    assert [(each.name, each.record_in, each.skipped) for each in reading.events] == [
        ("", 0, ""),
        ("", 10, "silence"),
        ("Elsewhere", 20, ""),
        ("Song", 35, ""),
    ]
    assert "The sources of some clips are not in the file; these clips have no name." in remarks(reading)


def test_speed_that_varies_is_told(reading_of):
    made = Composition()
    made.timecode(25, 0)
    made.track(made.effect("Motion", 50, made.clip(made.source("Song"), 0, 100), warp=True))
    reading = reading_of(made)
    assert [(each.name, each.speed) for each in reading.events] == [("Song", None)]
    assert remarks(reading) == ["Some clips play at a speed that varies; no single speed is listed for them."]


@pytest.mark.parametrize(
    ("number", "sequence"),
    [(None, False), (1, True), (2, False)],
)
def test_timecode_wherever_it_stands(number, sequence, reading_of):
    made = Composition(rate="24000/1001")
    made.timecode(24, 86_400, number=number, sequence=sequence)
    made.track(made.clip(made.source("Song"), 0, 48))
    assert heard(reading_of(made)) == [("A1", "Song", 86_400, 86_448)]


def test_timecode_of_the_first_physical_track_wins(reading_of):
    made = Composition()
    made.timecode(30, 5, number=2)
    made.timecode(25, 90_000, number=1)
    made.track(made.clip(made.source("Song"), 0, 5))
    assert heard(reading_of(made)) == [("A1", "Song", 90_000, 90_005)]


def test_no_timecode_is_counted_from_zero_and_told(reading_of):
    made = Composition(rate="30000/1001")
    made.track(made.clip(made.source("Song"), 0, 5))
    reading = reading_of(made)
    assert (reading.rate_from, heard(reading)) == ("file", [("A1", "Song", 0, 5)])
    assert guessed_drop(reading).endswith("taken as non-drop.")
    assert "The composition has no start timecode; it is counted from 00:00:00:00." in remarks(reading)


def test_tracks_in_samples(reading_of):
    made = Composition(rate="48000")
    made.timecode(25, 90_000, rate="25")
    made.track(made.gap(4800), made.clip(made.source("Song"), 0, 96_100))
    reading = reading_of(made)
    assert heard(reading) == [("A1", "Song", 90_003, 90_053)]
    assert remarks(reading) == ["2 edits lie between two frames; the nearest frame is taken."]


def test_every_rate_in_samples_leaves_the_timecodes_whole_number(reading_of):
    made = Composition(rate="48000")
    made.timecode(30, 107_892, drop=True)
    made.track(made.gap(48_048), made.clip(made.source("Song"), 0, 96_096))
    reading = reading_of(made)
    assert (reading.rate, reading.rate_from) == (
        FrameRate(Fraction(30000, 1001), True),
        "guess: the timecode counts 30 frames a second, and every edit rate is one of samples",
    )
    assert heard(reading) == [("A1", "Song", 107_922, 107_982)]


def test_no_rate_of_a_cut_asks_for_one():
    made = Composition(rate="48000")
    made.track(made.clip(made.source("Song"), 0, 48_000))
    data = made.bytes()
    assert refused(data).code == "rate-missing"
    assert heard(read(data, rate=Fraction(24), drop=None)) == [("A1", "Song", 0, 24)]


def test_edit_rates_that_are_rounded_or_contradict_the_timecode_are_told(reading_of):
    made = Composition(rate="2997/100")
    made.timecode(25, 0)
    made.track(made.clip(made.source("Song"), 0, 5))
    assert remarks(reading_of(made)) == [
        "The edit rate is written as 2997/100; it is taken as 30000/1001.",
        "The timecode counts 25 frames a second, and the edit rate is 30000/1001.",
    ]


def test_given_rate_wins_and_is_told(reading_of):
    reading = reading_of(reel("25", 25, 90_000), rate=Fraction(24))
    assert (reading.rate_from, reading.events[0].record_in) == ("given", 86_400)
    assert any("The file says 25 frames per second, and 24 was given" in text for text in remarks(reading))


def test_longest_composition_is_read_where_none_is_marked(reading_of):
    made = Composition(usage=None)
    made.timecode(25, 0)
    song = made.source("Song")
    made.track(made.clip(song, 0, 50))
    made.track(made.clip(song, 0, 5), mob=made.composition("Other"))
    reading = reading_of(made)
    assert reading.title == "REEL 1"
    assert "The file has 2 compositions; the longest is read, “REEL 1”, and not “Other”." in remarks(reading)


def test_no_clip():
    made = Composition()
    made.timecode(25, 0)
    made.track(made.gap(5))
    assert refused(made.bytes()).code == "timeline-empty"


def test_no_composition(reading_of):
    made = Composition(bare=True)
    made.source("Song")
    with pytest.raises(UnreadableFile) as caught:
        reading_of(made)
    assert caught.value.code == "timeline-missing"


def test_composition_that_contains_itself_is_refused(reading_of):
    made = Composition()
    made.timecode(25, 0)
    slot = made.track(made.gap(5))
    slot.segment.components.append(made.mob.create_source_clip(slot.slot_id, 0, 50, "sound"))
    with pytest.raises(UnreadableFile, match="unfolds into too many clips") as caught:
        reading_of(made)
    assert caught.value.code == "aaf-unreadable"


def test_choices_of_essence_and_nested_scopes(reading_of):
    made = Composition()
    made.timecode(25, 0)
    song, other = made.source("Song"), made.source("Other")
    group = made.file.create.EssenceGroup()
    group.media_kind, group.length = "sound", 20
    group["Choices"].append(made.clip(song, 0, 20))
    scope = made.file.create.NestedScope()
    scope.media_kind, scope.length = "sound", 10
    scope.slots.extend([made.sequence(made.clip(song, 0, 10)), made.sequence(made.clip(other, 0, 10))])
    made.track(group, scope)
    assert heard(reading_of(made)) == [("A1", "Song", 0, 20), ("A1", "Song", 20, 30), ("A1", "Other", 20, 30)]


def test_clip_without_a_length_stops_its_track(reading_of):
    made = Composition()
    made.timecode(25, 0)
    song = made.source("Song")
    broken = made.clip(song, 0, 10)
    made.track(made.clip(song, 0, 5), broken, made.clip(song, 0, 5))
    broken.length = -1
    reading = reading_of(made)
    assert heard(reading) == [("A1", "Song", 0, 5)]
    assert "A clip has no length: neither it nor what follows on its track can be placed." in remarks(reading)


def test_slots_without_sound_or_picture_or_with_a_rate_of_none_are_passed_over(reading_of):
    made = Composition()
    made.timecode(25, 0)
    song = made.source("Song")
    made.track(made.clip(song, 0, 5, kind="Edgecode"), kind="Edgecode")
    made.track(made.clip(song, 0, 5), rate="0/1")
    made.track(made.clip(song, 0, 5), number=4)
    assert heard(reading_of(made)) == [("A2", "Song", 0, 5)]


def test_freeze_and_warp_of_nothing(reading_of):
    made = Composition()
    made.timecode(25, 0)
    made.track(
        made.effect("Freeze", 10, made.clip(made.source("Song"), 0, 1), warp=True, ratio="0/1"),
        made.effect("Warp", 10, warp=True, ratio="2/1"),
        made.effect("Nothing", 10, made.gap(10), warp=True, ratio="2/1"),
        made.effect("Gain", 10, made.clip(made.source("Loud"), 0, 10), ratio="3/1", parameter="Level"),
        made.effect("Outer", 10, made.effect("Gain", 5, made.clip(made.source("Deep"), 0, 5)), warp=True, ratio="2/1"),
    )
    assert [(each.name, each.speed) for each in reading_of(made).events] == [
        ("Song", Fraction(0)),
        ("Warp", Fraction(1, 2)),
        ("Nothing", Fraction(1, 2)),
        ("Loud", None),
        ("Deep", Fraction(1, 2)),
    ]


@pytest.mark.parametrize(
    ("data", "name", "known"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "cut", True),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old.XLS", False),
        (b"TITLE: X", "cut.aaf", False),
    ],
)
def test_recognised_by_content(data, name, known):
    assert recognises(data, name) is known


def test_garbage_with_the_right_beginning_is_refused():
    fault = refused(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\xff" * 600)
    assert fault.code == "aaf-unreadable"
    assert "damaged" in fault.text


@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.binary(min_size=1, max_size=64)), min_size=1, max_size=30)
)
def test_spoilt_aaf_is_read_or_refused(spots):
    data = bytearray(_GOOD)
    for place, splinter in spots:
        here = int(place * len(data))
        data[here : here + len(splinter)] = splinter
    try:
        reading = read(bytes(data), rate=None, drop=None)
    except UnreadableFile:
        return
    assert all(each.record_in >= 0 for each in reading.events)


_GOOD = reel("25", 25, 90_000).bytes()


@pytest.mark.parametrize(
    ("code", "told"), [("import os; os.abort()", "ended in the middle"), ("while True: pass", "longer")]
)
def test_child_that_dies_or_hangs_is_a_sentence(monkeypatch, code, told):
    monkeypatch.setattr(aaf_timeline, "_CHILD", code)
    monkeypatch.setattr(aaf_timeline, "_WAIT", 1)
    fault = refused(_GOOD)
    assert fault.code == "aaf-unreadable"
    assert told in fault.text


def test_child_limits_itself_and_answers_in_json(tmp_path, monkeypatch, capsys):
    (tmp_path / "r1.aaf").write_bytes(_GOOD)
    kinds = (resource.RLIMIT_AS, resource.RLIMIT_CPU)
    before = [resource.getrlimit(kind) for kind in kinds]
    asked = []
    monkeypatch.setattr(resource, "setrlimit", lambda kind, limits: asked.append((kind, limits)))
    with (tmp_path / "r1.aaf").open() as opened:
        monkeypatch.setattr(sys, "stdin", opened)
        main()
    assert asked == [(kinds[0], (MEMORY, MEMORY)), (kinds[1], (SECONDS, SECONDS))]
    assert json.loads(capsys.readouterr().out)["title"] == "MARRAM 104 R1"
    assert [resource.getrlimit(kind) for kind in kinds] == before


def test_child_cannot_take_more_memory_than_its_limit():
    code = (
        "from supervision.interchange import aaf_content\n"
        "aaf_content.described = lambda source: len(bytearray(2 * aaf_content.MEMORY))\n"
        "aaf_content.main()"
    )
    run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "-c", code], stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )
    assert run.stderr.rstrip().endswith("MemoryError")


def test_missing_package_says_how_to_add_it():
    told = (
        "An AAF is read by the package pyaaf2, which is not installed here. "
        "Add it with .venv/bin/pip install 'pyaaf2>=1.7.1' (the extra “conform”), or export an edit list or XML."
    )
    code = (
        "import sys; sys.modules['aaf2'] = None; sys.modules['opentimelineio'] = None\n"
        "from supervision.interchange.cut_file import read_cut\n"
        "try: read_cut(b'\\xd0\\xcf\\x11\\xe0\\xa1\\xb1\\x1a\\xe1', name='r1.aaf')\n"
        "except Exception as fault: print(fault.code, '|', fault)"
    )
    run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert (run.stdout, run.stderr) == (
        f"aaf-reader-missing | {told}\n",
        "",
    )


def test_missing_package_is_no_fault_of_the_file(monkeypatch):
    monkeypatch.setitem(sys.modules, "aaf2", None)
    assert refused(_GOOD).code == "aaf-reader-missing"


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # pyaaf2 leaves a file open that it cannot read
def test_description_by_path_tells_a_fault_by_its_kind(tmp_path):
    (tmp_path / "x.aaf").write_bytes(b"nothing")
    assert set(described(str(tmp_path / "x.aaf"))) == {"fault"}
