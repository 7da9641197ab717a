"""What a song is licensed for: rights with the uses that they are for, without fees."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from supervision.rules.clearance import Side
from supervision.rules.term import Term


@dataclass(frozen=True, slots=True)
class SongRight:
    """A grant, or an option that is still open: ``number`` is the licence's, or what the option is called.

    ``deadline`` is the last day to take an option up, None where it has none and for grants.
    """

    production: str
    side: Side
    song: str
    holder: str
    is_option: bool
    number: str
    media: str
    territory: str
    term: Term
    deadline: date | None = None


@dataclass(frozen=True, slots=True)
class RightUse:
    """A use that a right is for: its cue in an episode, and the clearance (by number) that says so."""

    episode: str
    cue: str
    clearance: int


@dataclass(frozen=True, slots=True)
class SongLicence:
    """A right with its uses, in the order of episodes: the same terms in several episodes are told once."""

    right: SongRight
    uses: tuple[RightUse, ...]
