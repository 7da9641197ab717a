"""The quote-request letter: what a holder is asked for one side of the music of one episode.

``LetterFacts`` is what is known of the holder's songs and where they are used; ``write_letter`` turns it into a
``LetterContent``, which holds every sentence that the letter says, so that a sent letter can be printed again as it
was. Paper only lays it out. Contents follow the specimens and articles named in the notes of the trade (Brabec &
Brabec; Documentary.org, "All Clear?"; the Musicians' Union's specimen licences): ``common practice, not law``.

A publisher is asked about its share of a composition, a label about the recording: whether it contains samples, what
the unions are owed for the new use, how it is to be credited. A letter never names a fee: it says "please quote".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from supervision.rules.clearance import Side
from supervision.rules.usage import Facets, Function, ThemePosition, Vocal

SCHEMA = "ledger-line/letter/1"
"""What a stored letter says it is; the number rises when a field changes its meaning."""

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
class SongUse:
    """One use: the scene in words, how the music is used, and its length (``None``: not timed yet)."""

    cue_number: str
    scene: str
    how: str
    up_to_seconds: int | None = None


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

    @property
    def share(self) -> Decimal:
        """What the addressee holds of it altogether, in percent, where its portions hold everywhere."""
        return sum((portion.share for portion in self.portions), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestedRights:
    """What is asked for, in the words of the trade."""

    media: str
    territory: str
    term: str
    promotion: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterFacts:
    """Everything a letter is written from."""

    side: Side
    letterhead: Letterhead
    addressee: Addressee
    programme: Programme
    songs: tuple[LetterSong, ...]
    rights: RequestedRights
    answer_by: date | None = None


# --- what it says -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterContent:
    """All that a letter says, in order of reading; ``reference`` is blank on a draft."""

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


ALL_MEDIA = "all media now known or hereafter devised"
CAUTION = (
    "This is a request for a quotation. No rights are granted until a licence has been signed, and a quotation commits "
    "neither of us to the use. Any licence is subject to contract and to review by counsel."
)


def usual_rights(kind: str) -> RequestedRights:
    """What is usually asked for a kind of production; a feature is shown in cinemas as well."""
    return RequestedRights(
        media=ALL_MEDIA if kind == "feature" else f"{ALL_MEDIA}, excluding theatrical",
        territory="worldwide",
        term="in perpetuity",
        promotion="in-context promotion included; out-of-context promotion as an option, priced separately",
    )


def reference(episode_code: str, side: Side, number: int) -> str:
    """Our reference of an episode's nth letter: ``TIDE-101/S-0007``."""
    return f"{episode_code}/{side.label[0]}-{number:04}"


def number_of(reference: str) -> int:
    """The number in one of our references; 0 where it is none of ours."""
    number = reference.rpartition("-")[2]
    return int(number) if number.isdecimal() else 0


def how_used(facets: Facets) -> str:
    """How the music is used, in words that need no code list: ``background, with vocals``."""
    vocal = "with vocals" if facets.vocal is Vocal.VOCAL else "instrumental"
    return f"{_place_in_programme(facets)}, {vocal}"


def _place_in_programme(facets: Facets) -> str:
    match facets.function:
        case Function.THEME:
            return {
                ThemePosition.OPENING: "opening theme",
                ThemePosition.CLOSING: "closing theme",
                ThemePosition.SEGMENT: "theme of a segment",
            }.get(facets.theme_position, "theme")
        case Function.LOGO:
            return "with a logo"
        case Function.BUMPER:
            return "into or out of a break"
        case Function.ROLLED_UP:
            return "background, in several passages"
        case Function.ON_SCREEN:
            return "performed or played on screen"
    return "background, its source seen" if facets.seen else "background"


def write_letter(facts: LetterFacts, *, reference: str, dated: date) -> LetterContent:
    """The letter in English. ``reference`` is blank for a draft."""
    side = facts.side
    return LetterContent(
        language="en",
        side=side,
        reference=reference,
        dated=dated,
        letterhead=facts.letterhead,
        addressee=facts.addressee,
        heading=_HEADINGS[side],
        subject=_subject(facts.songs, facts.programme),
        salutation=f"Dear {facts.addressee.contact or facts.addressee.name},",
        opening=_OPENINGS[side],
        programme=facts.programme,
        songs=facts.songs,
        rights=facts.rights,
        fee=_FEES[side],
        questions=_QUESTIONS[side],
        answer=_answer(facts.answer_by),
        caution=CAUTION,
        closing="With kind regards,",
    )


def _subject(songs: Sequence[LetterSong], programme: Programme) -> str:
    titles = list(dict.fromkeys(f"“{song.title}”" for song in songs))
    named = ", ".join(titles[:2]) + (f" and {len(titles) - 2} more" if len(titles) > 2 else "")
    return f"{named} in {programme.production}" + (f", {programme.episode}" if programme.episode else "")


def _answer(answer_by: date | None) -> str:
    if answer_by is None:
        return "We would be grateful for your answer as soon as you can give it."
    return f"We would be grateful for your answer by {answer_by.day} {answer_by:%B %Y}."


_HEADINGS = {
    Side.SYNC: "Synchronisation: request for a quotation",
    Side.MASTER: "Master use: request for a quotation",
}
_OPENINGS = {
    Side.SYNC: (
        "We would like to synchronise the following with picture in the production described below, and understand that "
        "you control the share of the composition stated beside each title. Please correct us where that is not so."
    ),
    Side.MASTER: (
        "We would like to use the following in the production described below, and understand that you own or control "
        "the recording to the extent stated beside each title. Please correct us where that is not so."
    ),
}
_FEES = {
    Side.SYNC: (
        "Please quote your fee for each use, and say whether it is stated for 100 % of the composition or for your share."
    ),
    Side.MASTER: (
        "Please quote your fee for each use, and say whether it is stated for 100 % of the recording or for your share."
    ),
}
_BOTH_FIRST = "whether your quotation is on a most-favoured-nations basis, and with whom;"
_BOTH_LAST = "how long your quotation is valid."
_QUESTIONS = {
    Side.SYNC: (
        _BOTH_FIRST,
        "who administers the remaining shares, where you know it;",
        "whether any writer must approve the use, and what they do not approve;",
        "the credit you require;",
        _BOTH_LAST,
    ),
    Side.MASTER: (
        _BOTH_FIRST,
        "whether the recording contains samples or other material of third parties;",
        "whether payments for the new use (re-use) are due to musicians or their unions;",
        "whether the artist must approve the use, and what they do not approve;",
        "the courtesy credit you require, and the label copy;",
        _BOTH_LAST,
    ),
}
