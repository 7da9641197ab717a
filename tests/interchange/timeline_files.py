"""The timelines in ``fixtures/timelines``, and how a reading is told in a test."""

from pathlib import Path

from supervision.interchange.cut_file import read_cut

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "timelines"


def fixture(name, **given):
    return read_cut((FOLDER / name).read_bytes(), name=name, **given)


def heard(reading):
    """Track, name and place of what can be a usage."""
    return [
        (*event.tracks, event.name, event.record_in, event.record_out)
        for event in reading.events
        if event.tracks and not event.skipped
    ]


def skipped(reading):
    return [(event.name, event.skipped) for event in reading.events if event.skipped]


def remarks(reading):
    return [warning.text for warning in reading.warnings]


def track_names(reading):
    return {each.track: each.name for each in reading.track_names}


def guessed_drop(reading):
    """What is told where the counting was guessed; "" where the file says it."""
    return "".join(
        text for text in remarks(reading) if text.startswith("The file doesn't say whether it counts drop-frame")
    )
