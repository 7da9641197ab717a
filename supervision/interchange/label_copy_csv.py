"""Label copy as CSV: one row a recording."""

from __future__ import annotations

from supervision.interchange.csv_text import csv_bytes
from supervision.rules.credit_style import CreditStyle
from supervision.rules.label_copy import LabelCopy, publishers_text, writers_text

COLUMNS = (
    "track",
    "title",
    "version",
    "artist",
    "writers",
    "publishers",
    "samples",
    "isrc",
    "length_seconds",
    "p_year",
    "p_owner",
    "c_year",
    "c_owner",
    "episodes",
)


def write_label_copy(copy: LabelCopy) -> bytes:
    """The label copy as CSV."""
    style = CreditStyle()
    return csv_bytes(
        COLUMNS,
        (
            (
                index,
                track.title,
                track.version,
                track.artist,
                writers_text(track, style),
                publishers_text(track),
                "; ".join(track.master.samples),
                track.isrc,
                "" if track.seconds is None else track.seconds,
                track.p_year or "",
                track.p_owner,
                track.c_year or "",
                track.c_owner,
                " ".join(track.episodes),
            )
            for index, track in enumerate(copy.tracks, start=1)
        ),
    )
