"""Label copy of a season: what stands beside each recording on a soundtrack album, and what of it is missing.

The ℗ notice has the year of first publication and, where nothing else names him, the owner (Rome Convention 1961,
article 11; 17 USC 402); the © notice has year and owner (Universal Copyright Convention, article III; 17 USC 401). The
rest is ``common practice, no published source``. A working paper: the labels' own copy and the signed licences prevail.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from supervision.rules.credit_style import CreditStyle
from supervision.rules.credits import CreditMaster, CreditWork, writer_lines
from supervision.rules.findings import Finding, Level, worst_first
from supervision.rules.sentence import counted, joined, say


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelTrack:
    """A recording of the season; ``episodes`` are the codes of those whose final cut has it, ``seconds`` its length."""

    title: str
    version: str
    artist: str
    isrc: str
    seconds: int | None
    works: tuple[CreditWork, ...]
    master: CreditMaster
    episodes: tuple[str, ...]
    p_year: int | None = None
    p_owner: str = ""
    c_year: int | None = None
    c_owner: str = ""

    @property
    def p_line(self) -> str:
        """``℗ 1999 Weirside Records``; blank where nothing is known."""
        return notice("℗", self.p_year, self.p_owner)

    @property
    def c_line(self) -> str:
        """``© 1999 Weirside Records``; blank where nothing is known."""
        return notice("©", self.c_year, self.c_owner)

    @property
    def name(self) -> str:
        """The title with its version."""
        return f"{self.title} ({self.version})" if self.version else self.title


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelCopy:
    """The recordings of a season in the order of their first appearance."""

    production: str
    season: str
    name: str
    tracks: tuple[LabelTrack, ...]


def notice(sign: str, year: int | None, owner: str) -> str:
    """A notice of what is known of year and owner; blank where nothing is."""
    known = [text for text in (str(year or ""), owner) if text]
    return " ".join([sign, *known]) if known else ""


def writers_text(track: LabelTrack, style: CreditStyle) -> str:
    """Who wrote what the recording fixes, work by work."""
    several = len(track.works) > 1
    return "; ".join(
        (f"{style.phrase('title', title=work.title)}: " if several else "") + ", ".join(writer_lines(work, style))
        for work in track.works
        if work.writers or work.public_domain
    )


def publishers_text(track: LabelTrack) -> str:
    """The publishers with their societies, each once."""
    named = [name for work in track.works for name in work.publishers]
    return " / ".join(dict.fromkeys(f"{name.name} ({name.society})" if name.society else name.name for name in named))


def check_label_copy(copy: LabelCopy) -> list[Finding]:
    """What a track lacks before an album can be pressed, warnings before notes."""
    return worst_first(finding for track in copy.tracks for finding in _track(track))


def gathered(findings: Iterable[Finding]) -> list[Finding]:
    """What several tracks lack alike, told once with their names: an album's notes are missing all over, or nowhere."""
    alike: dict[Finding, list[str]] = {}
    for finding in findings:
        alike.setdefault(replace(finding, place=""), []).append(finding.place)
    return [
        replace(finding, place=names[0])
        if len(names) == 1
        else replace(
            finding,
            place=counted(len(names), "{number} recording", "{number} recordings"),
            text=say("{names}: {text}", names=joined(names, between=", "), text=finding.text),
        )
        for finding, names in alike.items()
    ]


def _track(track: LabelTrack) -> Iterator[Finding]:
    protected = not track.master.public_domain
    lacking = (
        ("isrc-missing", not track.isrc, say("It has no ISRC."), say("Ask the owner of the recording.")),
        ("artist-missing", not track.artist, say("The artist is not known."), say("Name the artist of the recording.")),
        (
            "writers-unknown",
            not writers_text(track, CreditStyle()),
            say("Its writers are not known."),
            say("Name them."),
        ),
        (
            "p-line-missing",
            protected and not (track.p_year and track.p_owner),
            say("The ℗ line lacks its year or owner."),
            say("Give the year of first publication and the owner of the sound."),
        ),
    )
    for code, missing, text, mend in lacking:
        if missing:
            yield Finding(Level.WARNING, code, track.name, text, mend)
    if protected and not (track.c_year and track.c_owner):
        yield Finding(
            Level.NOTE,
            "c-line-missing",
            track.name,
            say("The © line lacks its year or owner."),
            say("Give them where notes or artwork of the owner are used."),
        )
    if track.seconds is None:
        yield Finding(
            Level.NOTE, "length-missing", track.name, say("Its length is not known."), say("Give it as m:ss.")
        )
