"""Letters to holders as values: what is known of one holder's songs, and all that a letter about them says.

There are three kinds: the request for a quotation, the reminder that nobody has answered (chaser), and the
confirmation of the terms that were accepted. ``LetterFacts`` is what a letter is written from
(``letter_writing.write_letter``); ``LetterContent`` holds every sentence that it says in its language, so that a sent
letter can be printed again as it was. Paper only lays it out.

A field that was added later has a default, so that letters frozen before it can still be read.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from supervision.rules.clearance import Side
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.sentence import say

SCHEMA = "ledger-line/letter/1"
"""What a stored letter says it is; the number rises when a field changes its meaning."""


class LetterKind(StrEnum):
    """What a letter is for."""

    REQUEST = "request"
    CHASER = "chaser"
    CONFIRMATION = "confirmation"

    @property
    def label(self) -> str:
        return _KINDS[self]


_KINDS = {
    LetterKind.REQUEST: say("Quote request"),
    LetterKind.CHASER: say("Reminder"),
    LetterKind.CONFIRMATION: say("Confirmation"),
}


# --- what is known ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """The company that writes, and who answers for it there."""

    company: str
    address: str = ""
    contact_name: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Addressee:
    """The holder, and the person or desk there."""

    name: str
    contact: str = ""
    department: str = ""
    address: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """The production and its episode; ``kind`` in words, ``episode`` blank where there is only one."""

    production: str
    kind: str
    company: str
    episode: str = ""
    network: str = ""
    first_broadcast: date | None = None
    synopsis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A percentage of a side and whose it is; ``territory`` is blank where it holds everywhere."""

    name: str
    share: Decimal
    territory: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What we offer for a use; ``name`` is the party whose portion it is for, blank for the addressee's own."""

    amount: Money
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptedOption:
    """An option as it was quoted, its words in the letter's language; ``fee`` is what the addressee's share costs."""

    name: str
    media: str
    territory: str
    fee: Money
    until: date | None = None
    exercised: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptedTerms:
    """A quote that was accepted: ``amount`` as quoted, ``payable`` for the ``share``; ``quote`` is its number here.

    ``favoured`` is blank where most favoured nations was not asked for; ``licence`` and ``granted`` are blank until one
    is signed. All words are in the letter's language, but for what the holder wrote itself.
    """

    quote: int
    amount: Money
    basis: Basis
    share: Decimal
    payable: Money
    received: date
    name: str = ""
    favoured: str = ""
    conditions: tuple[str, ...] = ()
    options: tuple[AcceptedOption, ...] = ()
    licence: str = ""
    granted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SongUse:
    """One use: the scene in words, how the music is used, and its length (``None``: not timed yet).

    ``offers`` and ``accepted`` have one entry a portion of the addressee.
    """

    cue_number: str
    scene: str
    how: str
    up_to_seconds: int | None = None
    offers: tuple[Offer, ...] = ()
    accepted: tuple[AcceptedTerms, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterSong:
    """A composition (sync) or a recording (master) with its uses.

    ``portions`` are the addressee's, by the party they are held for; ``others`` are the other holders'.
    """

    title: str
    portions: tuple[Portion, ...]
    uses: tuple[SongUse, ...]
    others: tuple[Portion, ...] = ()
    writers: tuple[str, ...] = ()
    iswc: str = ""
    version: str = ""
    artist: str = ""
    label: str = ""
    isrc: str = ""
    year: int | None = None
    credit: str = ""

    @property
    def share(self) -> Decimal:
        """What the addressee holds of it altogether, in percent, where its portions hold everywhere."""
        return sum((portion.share for portion in self.portions), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestedRights:
    """What is asked for, in the words of the trade.

    Each of the ``options`` is priced separately; ``basis`` says what a fee is to be stated for (``None``: the holder
    says so); ``remarks`` is a paragraph before the end.
    """

    media: str
    territory: str
    term: str
    promotion: str
    options: tuple[str, ...] = ()
    basis: Basis | None = None
    favoured_offered: bool = False
    remarks: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLetter:
    """The letter that a chaser reminds of."""

    reference: str
    dated: date


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterFacts:
    """Everything a letter is written from; a chaser has its ``first`` letter."""

    side: Side
    letterhead: Letterhead
    addressee: Addressee
    programme: Programme
    songs: tuple[LetterSong, ...]
    rights: RequestedRights
    answer_by: date | None = None
    kind: LetterKind = LetterKind.REQUEST
    language: str = "en"
    first: FirstLetter | None = None

    @property
    def tells_fees(self) -> bool:
        """Whether it names an amount, so that only who may see fees may read it."""
        return songs_tell_fees(self.songs)

    @property
    def without_fees(self) -> LetterFacts:
        """The same for who may not see fees: no offer and no accepted terms."""
        return replace(self, songs=tuple(_without_fees(song) for song in self.songs))


def songs_tell_fees(songs: tuple[LetterSong, ...]) -> bool:
    """Whether an amount of money stands beside a use."""
    return any(use.offers or use.accepted for song in songs for use in song.uses)


def _without_fees(song: LetterSong) -> LetterSong:
    return replace(song, uses=tuple(replace(use, offers=(), accepted=()) for use in song.uses))


# --- what it says -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterContent:
    """All that a letter says, in order of reading; ``reference`` is blank on a draft.

    ``fee`` has its sentences one after the other; ``countersign`` is what the addressee signs, on a confirmation.
    """

    language: str
    side: Side
    reference: str
    dated: date
    letterhead: Letterhead
    addressee: Addressee
    heading: str
    subject: str
    salutation: str
    opening: str
    programme: Programme
    songs: tuple[LetterSong, ...]
    rights: RequestedRights
    fee: str
    questions: tuple[str, ...]
    answer: str
    caution: str
    closing: str
    schema: str = SCHEMA
    kind: LetterKind = LetterKind.REQUEST
    first: FirstLetter | None = None
    countersign: tuple[str, ...] = ()

    @property
    def tells_fees(self) -> bool:
        """Whether it names an amount, so that only who may see fees may read it."""
        return songs_tell_fees(self.songs)


ALL_MEDIA = "all media now known or hereafter devised"


def usual_rights(kind: str) -> RequestedRights:
    """What is usually asked for a kind of production; a feature is shown in cinemas as well."""
    return RequestedRights(
        media=ALL_MEDIA if kind == "feature" else f"{ALL_MEDIA}, excluding theatrical",
        territory="worldwide",
        term="in perpetuity",
        promotion="in-context promotion included",
        options=_usual_options(kind),
    )


def _usual_options(kind: str) -> tuple[str, ...]:
    """What is priced apart from the usual rights: theatrical where they leave it out; no extension of perpetuity."""
    theatrical = () if kind == "feature" else ("theatrical release",)
    return (*theatrical, "out-of-context advertising", "soundtrack album")


def reference(episode_code: str, side: Side, number: int) -> str:
    """Our reference of an episode's nth letter: ``TIDE-101/S-0007``."""
    return f"{episode_code}/{side.label[0]}-{number:04}"


def number_of(reference: str) -> int:
    """The number in one of our references; 0 where it is none of ours."""
    number = reference.rpartition("-")[2]
    return int(number) if number.isdecimal() else 0
