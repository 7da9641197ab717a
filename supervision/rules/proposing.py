"""What was read as proposals: each cue of a cut, and each row of a song log, is one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from supervision.rules.clip_names import clean
from supervision.rules.matching import Match, Wanted
from supervision.rules.proposal import Facts, Proposal, with_match
from supervision.rules.sentence import joined, say
from supervision.rules.song_log_rows import ProposedUsage
from supervision.rules.timeline import CutCue, CutEvent

# ISO 3901: a prefix of two letters and three letters or digits, two digits of the year, five of designation. In a name only
# capitals count, since any word of twelve letters and digits would do else.
_ISRC = re.compile(r"(?<![A-Za-z0-9])[A-Z]{2}-?[A-Z0-9]{3}-?[0-9]{2}-?[0-9]{5}(?![A-Za-z0-9])", re.ASCII)


def propose_cues(cues: Iterable[CutCue], events: Sequence[CutEvent]) -> list[Proposal]:
    """The cues in the order of the record, numbered from 1.

    A cue is one usage from its first frame to its last, with the silences that ``cut_cues`` bridges; ``sounding`` tells
    how much of it is music.
    """
    by_line: dict[int, list[CutEvent]] = {}
    for event in events:
        if event.heard is not None:
            by_line.setdefault(event.line, []).append(event)
    return [_of_cue(key, cue, by_line) for key, cue in enumerate(cues, start=1)]


def _of_cue(key: int, cue: CutCue, by_line: Mapping[int, Sequence[CutEvent]]) -> Proposal:
    start, end = cue.runs[0].record_in, cue.runs[-1].record_out
    own = (event for line in cue.lines for event in by_line.get(line, ()) if clean(event.name) == cue.name)
    clip = next((event.name for event in own), cue.name)
    isrc = isrc_in(clip)
    return Proposal(
        key=key,
        name=cue.name,
        clip=clip,
        title=_without(isrc, cue.name) if isrc else cue.name,
        isrc=isrc,
        lines=tuple(line for line in dict.fromkeys(cue.lines) if line),
        tracks=cue.tracks,
        speeds=cue.speeds,
        record_in=start,
        record_out=end,
        sounding=cue.frames,
    )


def isrc_in(name: str) -> str:
    """The ISRC that stands in a clip's name, in its canonical form; blank where there is none, or more than one."""
    found = {found[0].replace("-", "") for found in _ISRC.finditer(name)}
    return found.pop() if len(found) == 1 else ""


def _without(isrc: str, name: str) -> str:
    """The cleaned name without the ISRC, which cleaning may have written as a word; the ISRC where nothing is left."""
    bare = re.sub(r"-?".join(isrc), " ", name, flags=re.IGNORECASE)
    return " ".join(bare.split()) or isrc


def propose_rows(rows: Iterable[ProposedUsage]) -> list[Proposal]:
    """The rows of a song log in its order, numbered from 1."""
    return [_of_row(key, row) for key, row in enumerate(rows, start=1)]


def _of_row(key: int, row: ProposedUsage) -> Proposal:
    name = row.title or row.working_title
    return Proposal(
        key=key,
        name=name,
        clip=name,
        title=name,
        lines=(row.line,),
        artist=row.artist,
        isrc=row.isrc,
        record_in=row.span.start if row.span else None,
        record_out=row.span.end if row.span else None,
        told=tuple(
            say("{place}: {text}", place=found.place, text=joined([found.text, found.mend])) for found in row.findings
        ),
        facts=Facts(
            cue_number=row.cue_number,
            version=row.version,
            label=row.label,
            catalogue_number=row.catalogue_number,
            track_number=row.track_number,
            scene=row.scene,
            notes="\n".join(filter(None, (row.notes, *_loose(row)))),
            facets=row.facets,
        ),
    )


def _loose(row: ProposedUsage) -> Iterable[str]:
    """What neither a usage nor a new recording has a field for, so that the notes keep it."""
    for name, text in (("Writers", row.writers), ("Publishers", row.publishers), ("ISWC", row.iswc)):
        if text:
            yield f"{name}: {text}"
    if row.span is None and row.frames:
        yield f"Length: {row.frames} frames"


def matched(proposals: Iterable[Proposal], match: Callable[[Wanted, str], Match]) -> list[Proposal]:
    """The proposals with what the catalogue has for them; ``match`` is asked with the name as written beside."""
    return [with_match(proposal, match(wanted_by(proposal), proposal.name)) for proposal in proposals]


def wanted_by(proposal: Proposal) -> Wanted:
    """What to look for: the version belongs to the title."""
    version = proposal.facts.version
    return Wanted(f"{proposal.title} ({version})" if version else proposal.title, proposal.artist, proposal.isrc)
