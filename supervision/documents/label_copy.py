"""Label copy as lines of text: what stands beside each track of an album."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.documents.cue_sheet import isrc_text
from supervision.rules.credit_style import CreditStyle
from supervision.rules.credits import CAUTION
from supervision.rules.durations import clock
from supervision.rules.label_copy import LabelCopy, LabelTrack, publishers_text, writers_text

TERMS = frozenset({"ISRC", "Length", "Heard in"})
"""What is written before its text; the other lines speak for themselves."""

STYLE = CreditStyle(line_length=200)


def track_facts(track: LabelTrack) -> list[tuple[str, str]]:
    """The lines of a track as terms and texts; what is not known is left out."""
    known = [
        ("Artist", STYLE.phrase("performed", names=track.artist) if track.artist else ""),
        ("Writers", writers_text(track, STYLE)),
        ("Publishers", STYLE.phrase("published", names=publishers_text(track)) if publishers_text(track) else ""),
        ("Samples", " ".join(STYLE.phrase("samples", text=text) for text in track.master.samples)),
        ("℗", track.p_line),
        ("©", track.c_line),
        ("ISRC", isrc_text(track.isrc) if track.isrc else ""),
        ("Length", clock(track.seconds) if track.seconds is not None else ""),
        ("Heard in", ", ".join(track.episodes)),
    ]
    return [fact for fact in known if fact[1]]


def label_copy_text(copy: LabelCopy) -> bytes:
    """The label copy as plain text, UTF-8, a blank line between tracks."""
    title = " · ".join(filter(None, ("Label copy", copy.production, copy.season)))
    tracks = ["\n".join(_track(index, track)) for index, track in enumerate(copy.tracks, start=1)]
    return ("\n\n".join([title, *tracks, CAUTION]) + "\n").encode()


def _track(index: int, track: LabelTrack) -> Iterator[str]:
    yield f"{index}. {track.name}"
    for term, text in track_facts(track):
        yield f"   {term}: {text}" if term in TERMS else f"   {text}"
