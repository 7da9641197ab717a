"""What a listing takes, tells and refuses, whatever the format."""

from fractions import Fraction

import pytest

from supervision.interchange import timeline_listing
from supervision.interchange.timeline_listing import Clip, Listing, clean_text, file_name
from supervision.rules.errors import UnreadableFile
from supervision.rules.timecode import FrameRate

RATE = FrameRate(Fraction(25))


def clip(start, end, name="Gull Reel", line=7):
    return Clip(line=line, name=name, tracks=("A1",), video=False, start=Fraction(start), end=Fraction(end))


def listed(*clips):
    listing = Listing()
    for each in clips:
        listing.add(each)
    return listing.reading(title="Reel", rate=RATE, rate_from="file")


def test_edits_between_two_frames_are_counted_and_taken_to_the_nearest():
    reading = listed(clip(Fraction(1, 2), Fraction(41, 4)), clip(Fraction(20001, 2000), 20))
    assert [(each.record_in, each.record_out) for each in reading.events] == [(1, 10), (10, 20)]
    assert [each.text for each in reading.warnings] == ["2 edits lie between two frames; the nearest frame is taken."]
    one = listed(clip(0, Fraction(5, 2)))
    assert [each.text for each in one.warnings] == ["One edit lies between two frames; the nearest frame is taken."]


def test_clip_before_zero_is_listed_from_zero_or_left_out():
    reading = listed(clip(-10, 20), clip(-20, -10), clip(0, 5))
    assert [(each.record_in, each.record_out) for each in reading.events] == [(0, 20), (0, 5)]
    assert [(each.line, each.text) for each in reading.warnings] == [
        (7, "“Gull Reel” begins before 00:00:00:00 and is listed from there."),
        (7, "“Gull Reel” is not within 48 hours of 00:00:00:00 and is left out."),
    ]


def test_clip_beyond_every_clock_is_left_out():
    reading = listed(clip(0, 5), clip(0, 10**30))
    assert [each.frames for each in reading.events] == [5]
    assert "not within 48 hours" in reading.warnings[0].text


def test_out_before_in():
    assert [each.skipped for each in listed(clip(9, 5), clip(5, 5)).events] == ["out before in", "zero length"]


def test_number_of_events_is_bounded(monkeypatch):
    monkeypatch.setattr(timeline_listing, "MOST_EVENTS", 3)
    with pytest.raises(UnreadableFile, match="more than 3 clips") as refused:
        listed(*[clip(0, 5)] * 4)
    assert refused.value.code == "timeline-too-large"


def test_steps_are_bounded(monkeypatch):
    monkeypatch.setattr(timeline_listing, "MOST_STEPS", 3)
    listing = Listing()
    for _ in range(3):
        listing.step()
    with pytest.raises(UnreadableFile, match="unfolds into more than 3 clips and gaps"):
        listing.step()


def test_remarks_are_bounded_and_the_rest_is_counted(monkeypatch):
    monkeypatch.setattr(timeline_listing, "MOST_WARNINGS", 2)
    listing = Listing()
    for number in range(5):
        listing.warn(number, "x")
    listing.add(clip(0, 5))
    reading = listing.reading(title="Reel", rate=RATE, rate_from="file")
    assert [(each.line, each.text) for each in reading.warnings] == [
        (0, "x"),
        (1, "x"),
        (0, "There is more of this kind: 3 further remarks are not listed."),
    ]


def test_remark_on_the_whole_file_is_told_once():
    listing = Listing()
    for _ in range(3):
        listing.warn_once("x")
    listing.add(clip(0, 5))
    assert len(listing.reading(title="Reel", rate=RATE, rate_from="file").warnings) == 1


def test_nothing_listed_tells_why():
    listing = Listing()
    listing.warn(3, "“X” has no length.")
    with pytest.raises(UnreadableFile, match=r"no clip in the timeline\. “X” has no length\."):
        listing.reading(title="Reel", rate=RATE, rate_from="file")


@pytest.mark.parametrize(
    ("text", "clean"),
    [
        ("  Gull\r\n\tReel ", "Gull Reel"),
        ("Gull\0\x07\x85Reel", "Gull Reel"),
        ("\ud83d\ud83d", "\ufffd\ufffd"),
        ("Bœuf Noir 海", "Bœuf Noir 海"),
        ("x" * 600, "x" * 499 + "…"),
        ("", ""),
    ],
)
def test_names_that_a_page_and_a_database_can_hold(text, clean):
    assert clean_text(text) == clean


@pytest.mark.parametrize(
    ("address", "name"),
    [
        ("file://localhost/MX/Lantern%20Waltz.aif", "Lantern Waltz.aif"),
        ("C:\\MX\\Lantern Waltz.aif", "Lantern Waltz.aif"),
        ("/mx/folder/", "folder"),
        ("Caf%E9.wav", "Caf\ufffd.wav"),
        ("", ""),
        ("a/" * 100_000 + "b", "b"),
    ],
)
def test_file_names(address, name):
    assert file_name(address) == name
