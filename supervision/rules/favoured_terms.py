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
from supervision.rules.sentence import figures, say

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
    Scope.SIDE: say("this side of the song"),
    Scope.SONG: say("both sides of the song"),
    Scope.EPISODE_SIDE: say("this side of every song"),
    Scope.ALL: say("every party"),
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
        if self.similar and across:
            return say("{songs} used similarly ({use})", songs=_WORDS[scope], use=self.use)
        return _WORDS[scope]

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
            say("A party's id is text of 1 to {number} characters in one line.", number=LONGEST_ID),
            place="id",
            mend=say("Give each party a short id."),
        )
    if party_id in taken or party_id in tuple(Scope):
        raise BadValue(
            "party-id-taken",
            say("The id {id} is used twice, or is a word of the clauses.", id=party_id),
            place=party_id,
            mend=say("Give each party an id of its own."),
        )


def _check_terms(party: Party) -> None:
    if party.side not in tuple(Side):
        raise BadValue(
            "side-unknown",
            say("The side of {party} is neither sync nor master.", party=party.id),
            place=f"{party.id}.side",
            mend=say("Use sync for the work, master for the recording."),
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
            say("A rate is for 100 % of the side, from 0 to {most} minor units.", most=figures(f"{LARGEST:,}")),
            place=place,
            mend=say("Check the number of zeros and the sign."),
        )


def _check_type(value: object, kind: type, place: str) -> None:
    if not isinstance(value, kind):
        raise BadValue("terms-unclear", _KINDS[kind], place=place, mend=say("Correct it, or leave it out."))


_KINDS: dict[type, str] = {
    str: say("This must be text."),
    tuple: say("This must be a list of ids and scopes."),
    frozenset: say("This must be a set of ids."),
}


def _check_clause(party: Party, known: set[str]) -> None:
    _check_type(party.favoured_with, tuple, f"{party.id}.favoured_with")
    _check_type(party.excluding, frozenset, f"{party.id}.excluding")
    names: tuple[object, ...] = (*party.favoured_with, *party.excluding)
    if not all(isinstance(name, str) and name in known for name in names):
        raise BadValue(
            "favoured-with-nobody",
            say("The clause of {party} names a party that is not there.", party=party.id),
            place=f"{party.id}.favoured_with",
            mend=say("Name one of the parties' ids, or {scopes}.", scopes=", ".join(Scope)),
        )
    if party.similar and not party.use:
        raise BadValue(
            "use-missing",
            say(
                "The clause of {party} is for songs used similarly, but its own class of use is not stated.",
                party=party.id,
            ),
            place=f"{party.id}.use",
            mend=say("State how the song is used."),
        )
