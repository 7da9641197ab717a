"""Proposed usages: what a cut file or a song log would put into an episode, and what people decide about each.

A proposal keeps the file's own frames; where it stands in the cut is worked out from the setup. Decisions are kept when the
file is laid out in another way: a proposal is the same one while its name and its place in the file are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.matching import UNMATCHED, Match
from supervision.rules.search_text import fold
from supervision.rules.sentence import Said, figures, say
from supervision.rules.timeline import Run
from supervision.rules.usage import Facets

SONG, NEW_SONG, TITLE, SKIP = "song", "new", "title", "skip"
DECISIONS: Final = (SONG, NEW_SONG, TITLE, SKIP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What a song log says beside title and time; blank for a cut file."""

    cue_number: str = ""
    version: str = ""
    label: str = ""
    catalogue_number: str = ""
    track_number: str = ""
    scene: str = ""
    notes: str = ""
    facets: Facets = field(default_factory=Facets)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One usage that could be logged.

    ``key`` counts from 1 in its import. ``clip`` is the file's own name, ``name`` the cleaned one, ``title`` what a person made of
    it; ``lines`` are the file's, ``told`` is what its reader found odd, and ``sounding`` how many frames of it are music, ``None`` where the file says no more. The
    record frames are the file's, both ``None`` where a song log gives no place; ``edited`` is what a person put in their place.
    ``decision``: use the catalogue's
    ``song`` (a code), make a ``new`` one from title and artist, log the ``title`` alone, or ``skip`` it. ``touched`` tells
    that a person decided. ``usage`` is what an accepted one became.
    """

    key: int
    name: str
    title: str
    clip: str = ""
    lines: tuple[int, ...] = ()
    artist: str = ""
    isrc: str = ""
    tracks: tuple[str, ...] = ()
    speeds: tuple[Fraction, ...] = ()
    record_in: int | None = None
    record_out: int | None = None
    edited: Run | None = None
    sounding: int | None = None
    told: tuple[Said, ...] = ()
    facts: Facts = field(default_factory=Facts)
    match: Match = UNMATCHED
    decision: str = TITLE
    song: str = ""
    touched: bool = False
    usage: int | None = None

    @property
    def kept(self) -> bool:
        """Whether it is to become a usage."""
        return self.decision != SKIP

    @property
    def open(self) -> bool:
        """Whether a person still has to look: nothing was taken and nobody decided."""
        return not self.touched and self.decision == TITLE

    @property
    def identity(self) -> tuple[str, int | None, int | None, tuple[int, ...]]:
        """What it is known by when the file is laid out anew."""
        return self.name, self.record_in, self.record_out, self.lines if self.record_in is None else ()

    @property
    def run(self) -> Run | None:
        """Its place in the file's frames, as edited where somebody did."""
        if self.edited is not None or self.record_in is None or self.record_out is None:
            return self.edited
        return Run(record_in=self.record_in, record_out=self.record_out)

    @property
    def song_key(self) -> str:
        """Equal for equal music: the song's code, else its title; blank for a clip without a name."""
        return self.song if self.decision == SONG else title_key(self.title)

    def placed(self, shift: int) -> Span | None:
        """Where it stands in the cut; ``None`` without a place, and for what would start before 00:00:00:00."""
        run = self.run
        return None if run is None or run.record_in + shift < 0 else Span(run.record_in + shift, run.record_out + shift)


def title_key(title: str) -> str:
    """Music without a song in the catalogue, by its title; never a song's code."""
    folded = fold(title)
    return f"= {folded}" if folded else ""


def with_match(proposal: Proposal, match: Match) -> Proposal:
    """The proposal with what was found; a song that can be trusted is taken, unless a person has decided."""
    if proposal.touched:
        return replace(proposal, match=match)
    if match.standing.taken and match.best is not None:
        return replace(proposal, match=match, decision=SONG, song=match.best.code)
    return replace(proposal, match=match, decision=TITLE, song="")


def carry_over(old: Iterable[Proposal], new: Sequence[Proposal]) -> list[Proposal]:
    """The new proposals with what people decided about the same ones before; edited times and names count."""
    decided = {proposal.identity: proposal for proposal in old if proposal.touched}
    return [_carried(proposal, decided.get(proposal.identity)) for proposal in new]


def _carried(proposal: Proposal, before: Proposal | None) -> Proposal:
    if before is None:
        return proposal
    return replace(
        proposal,
        title=before.title,
        artist=before.artist,
        facts=replace(proposal.facts, cue_number=before.facts.cue_number),
        edited=before.edited,
        decision=before.decision,
        song=before.song,
        touched=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """What a person says about a proposal; ``None`` leaves it as it is. ``run`` is in the file's frames."""

    decision: str | None = None
    song: str | None = None
    title: str | None = None
    artist: str | None = None
    cue_number: str | None = None
    run: Run | None = None


def decide(proposals: Sequence[Proposal], decisions: Mapping[int, Decided]) -> list[Proposal]:
    """The proposals with the decisions by key; what says nothing new leaves its proposal alone. ``BadValue`` names the row."""
    unknown = sorted(decisions.keys() - {proposal.key for proposal in proposals})
    if unknown:
        raise BadValue(
            "proposal-unknown",
            say("There is no row {unknown}.", unknown=unknown[0]),
            place="proposals",
            mend=say("Load the import anew."),
        )
    return [_decided(proposal, decisions.get(proposal.key)) for proposal in proposals]


def _decided(proposal: Proposal, said: Decided | None) -> Proposal:
    if said is None:
        return proposal
    place = f"row {proposal.key}"
    told: dict[str, object] = {
        name: value for name in ("decision", "song", "title", "artist") if (value := getattr(said, name)) is not None
    }
    if said.cue_number is not None:
        told["facts"] = replace(proposal.facts, cue_number=said.cue_number)
    if said.run is not None and said.run != proposal.run:
        told["edited"] = said.run
    changed = replace(proposal, **told)  # type: ignore[arg-type] # the names are the fields'
    if changed == proposal:
        return proposal
    if changed.decision not in DECISIONS:
        raise BadValue(
            "decision-unknown",
            say("There is no such decision."),
            place=place,
            mend=say("Say {decisions}.", decisions=", ".join(DECISIONS)),
        )
    if changed.decision == SONG and not changed.song:
        raise BadValue(
            "song-missing", say("No song is chosen."), place=place, mend=say("Choose one, or log the title alone.")
        )
    if changed.decision == NEW_SONG and not changed.title.strip():
        raise BadValue("title-missing", say("A new song has a title."), place=place, mend=say("Give the title."))
    return replace(changed, song=changed.song if changed.decision == SONG else "", touched=True)


def speed_text(speed: Fraction) -> str:
    """A play speed in per cent with at most one decimal, half up: ``104 %``, ``95.9 %``, ``−100 %`` backwards."""
    tenths = (2000 * abs(speed.numerator) + speed.denominator) // (2 * speed.denominator)
    shown = f"{tenths // 10}.{tenths % 10}" if tenths % 10 else str(tenths // 10)
    return figures(f"{'−' if speed < 0 else ''}{shown} %")
