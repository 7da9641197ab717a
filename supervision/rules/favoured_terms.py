"""Most favoured nations, the terms: what one party asks, whom its clause favours it with, and what cannot be true."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.fees import check_share
from supervision.rules.money import FINEST, LARGEST, exact, minor_units

LONGEST_ID = 200


class Scope(StrEnum):
    """Whom a clause reaches, short of naming parties one by one."""

    SIDE = "side"
    SONG = "song"
    EPISODE_SIDE = "episode-side"
    ALL = "all"

    @property
    def words(self) -> str:
        """Whom it reaches, in words."""
        return _WORDS[self]


_WORDS = {
    Scope.SIDE: "this side of the song",
    Scope.SONG: "both sides of the song",
    Scope.EPISODE_SIDE: "this side of every song",
    Scope.ALL: "every party",
}

#: The scopes that reach other songs, which alone can be limited to songs used similarly.
ACROSS_SONGS = frozenset({Scope.EPISODE_SIDE, Scope.ALL})

#: A set of parties that a scope means, e.g. ``("side", "Song X", "sync")``.
Circle = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Party:
    """One holder's terms for one side of one song.

    ``share``          percent of the side, 0 to 100
    ``rate``           asked for 100 % of the side, in minor units of ``currency``; a fraction where it was quoted for
                       the share (``fees.rate_on_full``)
    ``favoured_with``  its clause: scopes (``"side"`` the holders of this side of this song, ``"song"`` of both its
                       sides, ``"episode-side"`` of this side of every song, ``"all"`` every party) and ids of parties
    ``song``, ``use``  which song, and its class of use ("background vocal")
    ``similar``        the clause says "songs used similarly": ``episode-side`` and ``all`` reach only the same ``use``
    ``excluding``      ids of parties that the clause's scopes leave out
    ``signed_at``      the 100 % rate in its signed licence, None while unsigned; what it gets, whatever it asked
    """

    id: str
    side: Side
    share: Fraction
    rate: Fraction | int
    currency: str
    favoured_with: tuple[str, ...] = ()
    song: str = ""
    use: str = ""
    similar: bool = False
    excluding: frozenset[str] = frozenset()
    signed_at: Fraction | int | None = None

    @property
    def own_rate(self) -> Fraction:
        """The 100 % rate it gets if nobody raises it: as signed, else as asked."""
        return Fraction(self.rate if self.signed_at is None else self.signed_at)

    def circle(self, scope: Scope) -> Circle:
        """The circle that this party's clause means by the scope; by its class of use where the clause says so."""
        similar = (self.use,) if self.similar else ()
        if scope is Scope.SIDE:
            return (scope, self.song, self.side)
        if scope is Scope.SONG:
            return (scope, self.song)
        if scope is Scope.EPISODE_SIDE:
            return (scope, self.side, *similar)
        return (scope, *similar)

    def words(self, scope: Scope) -> str:
        """Whom this party's clause means by the scope, in words."""
        across = scope in ACROSS_SONGS
        return _WORDS[scope] + (f" used similarly ({self.use})" if self.similar and across else "")

    def memberships(self) -> Iterator[tuple[Scope, Circle]]:
        """Every circle that this party is in, the narrowest first."""
        yield Scope.SIDE, (Scope.SIDE, self.song, self.side)
        yield Scope.SONG, (Scope.SONG, self.song)
        yield Scope.EPISODE_SIDE, (Scope.EPISODE_SIDE, self.side)
        yield Scope.EPISODE_SIDE, (Scope.EPISODE_SIDE, self.side, self.use)
        yield Scope.ALL, (Scope.ALL,)
        yield Scope.ALL, (Scope.ALL, self.use)


def check_parties(parties: Sequence[Party], awaited: Iterable[str] = ()) -> None:
    """``BadValue`` for the first party whose terms cannot be true, or whose id or clause is unclear."""
    ids: set[str] = set()
    for party in parties:
        _check_id(party.id, ids)
        ids.add(party.id)
    known = ids.union(awaited, Scope)
    for party in parties:
        _check_terms(party)
        _check_clause(party, known)


def _check_id(party_id: object, taken: set[str]) -> None:
    if not isinstance(party_id, str) or not 0 < len(party_id) <= LONGEST_ID or not party_id.isprintable():
        raise BadValue(
            "party-id-unclear",
            f"A party's id is text of 1 to {LONGEST_ID} characters in one line.",
            place="id",
            mend="Give each party a short id.",
        )
    if party_id in taken or party_id in tuple(Scope):
        raise BadValue(
            "party-id-taken",
            f"The id {party_id} is used twice, or is a word of the clauses.",
            place=party_id,
            mend="Give each party an id of its own.",
        )


def _check_terms(party: Party) -> None:
    if party.side not in tuple(Side):
        raise BadValue(
            "side-unknown",
            f"The side of {party.id} is neither sync nor master.",
            place=f"{party.id}.side",
            mend="Use sync for the work, master for the recording.",
        )
    check_share(party.share, f"{party.id}.share")
    _check_rate(party.rate, f"{party.id}.rate")
    if party.signed_at is not None:
        _check_rate(party.signed_at, f"{party.id}.signed_at")
    _check_type(party.song, str, f"{party.id}.song")
    _check_type(party.use, str, f"{party.id}.use")
    try:
        minor_units(party.currency)
    except BadValue as unknown:
        raise BadValue(unknown.code, unknown.text, place=f"{party.id}.currency", mend=unknown.mend) from None


def _check_rate(rate: object, place: str) -> None:
    fraction = exact(rate, place)
    if not 0 <= fraction <= LARGEST or fraction.denominator > FINEST:
        raise BadValue(
            "rate-out-of-range",
            f"A rate is for 100 % of the side, from 0 to {LARGEST:,} minor units.",
            place=place,
            mend="Check the number of zeros and the sign.",
        )


def _check_type(value: object, kind: type, place: str) -> None:
    if not isinstance(value, kind):
        raise BadValue(
            "terms-unclear", f"This must be {_KINDS[kind]}.", place=place, mend="Correct it, or leave it out."
        )


_KINDS: dict[type, str] = {str: "text", tuple: "a list of ids and scopes", frozenset: "a set of ids"}


def _check_clause(party: Party, known: set[str]) -> None:
    _check_type(party.favoured_with, tuple, f"{party.id}.favoured_with")
    _check_type(party.excluding, frozenset, f"{party.id}.excluding")
    names: tuple[object, ...] = (*party.favoured_with, *party.excluding)
    if not all(isinstance(name, str) and name in known for name in names):
        raise BadValue(
            "favoured-with-nobody",
            f"The clause of {party.id} names a party that is not there.",
            place=f"{party.id}.favoured_with",
            mend=f"Name one of the parties' ids, or {', '.join(Scope)}.",
        )
    if party.similar and not party.use:
        raise BadValue(
            "use-missing",
            f"The clause of {party.id} is for songs used similarly, but its own class of use is not stated.",
            place=f"{party.id}.use",
            mend="State how the song is used.",
        )
