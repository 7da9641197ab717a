"""Writing letters: from what is known of a holder's songs to every sentence that the letter says, in its language.

Contents follow the specimens and articles named in the notes of the trade (Brabec & Brabec; Documentary.org, "All
Clear?"; the Musicians' Union's specimen licences): ``common practice, not law``. A publisher is asked about its share of
a composition, a label about the recording: whether it contains samples, what the unions are owed for the new use, how
it is to be credited. A fee is named only where one is offered; else the letter says "please quote".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from supervision.rules.clearance import Side
from supervision.rules.fees import Basis
from supervision.rules.letter import (
    LetterContent,
    LetterFacts,
    LetterKind,
    LetterSong,
    Programme,
    RequestedRights,
    songs_tell_fees,
)
from supervision.rules.letter_words import Words, words
from supervision.rules.usage import Facets, Function, ThemePosition, Vocal


def how_used(facets: Facets, language: str = "en") -> str:
    """How the music is used, in words that need no code list: ``background, with vocals``."""
    text = words(language).text
    vocal = "vocal" if facets.vocal is Vocal.VOCAL else "instrumental"
    return text("how", place=text(f"how.{_place_in_programme(facets)}"), vocal=text(f"how.{vocal}"))


def _place_in_programme(facets: Facets) -> str:
    match facets.function:
        case Function.THEME:
            return {
                ThemePosition.OPENING: "opening",
                ThemePosition.CLOSING: "closing",
                ThemePosition.SEGMENT: "segment",
            }.get(facets.theme_position, "theme")
        case Function.LOGO:
            return "logo"
        case Function.BUMPER:
            return "bumper"
        case Function.ROLLED_UP:
            return "rolled_up"
        case Function.ON_SCREEN:
            return "on_screen"
    return "seen" if facets.seen else "background"


def write_letter(facts: LetterFacts, *, reference: str, dated: date) -> LetterContent:
    """The letter in the language of its facts. ``reference`` is blank for a draft."""
    voice, kind, side = words(facts.language), facts.kind, facts.side
    return LetterContent(
        language=facts.language,
        kind=kind,
        side=side,
        reference=reference,
        dated=dated,
        letterhead=facts.letterhead,
        addressee=facts.addressee,
        heading=voice.text(f"heading.{kind}.{side}"),
        subject=_subject(facts.songs, facts.programme, voice),
        salutation=_salutation(facts, voice),
        opening=_opening(facts, voice),
        programme=facts.programme,
        songs=_credited(facts, voice),
        rights=spoken(facts.rights, voice),
        fee=_fee(facts, voice),
        questions=tuple(voice.text(f"question.{question}") for question in _QUESTIONS[kind, side]),
        answer=_answer(facts, voice),
        caution=voice.text(f"caution.{kind}"),
        closing=voice.text("closing"),
        first=facts.first,
        countersign=_countersign(facts, voice),
    )


def _subject(songs: Sequence[LetterSong], programme: Programme, voice: Words) -> str:
    titles = list(dict.fromkeys(voice.text("title", title=song.title) for song in songs))
    named = ", ".join(titles[:2])
    if len(titles) > 2:
        named = voice.text("subject_more", titles=named, count=len(titles) - 2)
    whole = ", ".join(filter(None, (programme.production, programme.episode)))
    return voice.text("subject", titles=named, programme=whole)


def _salutation(facts: LetterFacts, voice: Words) -> str:
    whom = facts.addressee
    return voice.text("salutation.person" if whom.contact else "salutation.house", name=whom.contact or whom.name)


def _opening(facts: LetterFacts, voice: Words) -> str:
    told = {"day": voice.day(facts.first.dated), "reference": facts.first.reference} if facts.first else {}
    return voice.text(f"opening.{facts.kind}.{facts.side}", **told)


def _credited(facts: LetterFacts, voice: Words) -> tuple[LetterSong, ...]:
    """The songs; a confirmation proposes the customary credit where none has been agreed."""
    if facts.kind is not LetterKind.CONFIRMATION:
        return facts.songs
    return tuple(replace(song, credit=song.credit or _customary_credit(song, facts, voice)) for song in facts.songs)


def _customary_credit(song: LetterSong, facts: LetterFacts, voice: Words) -> str:
    """Title, who made it, by whose courtesy: the credit in end titles (common practice, no published source)."""
    holder = facts.addressee.name
    if facts.side is Side.SYNC:
        known: dict[str, Sequence[str]] = {
            "written_by": song.writers,
            "published_by": [portion.name or holder for portion in song.portions],
        }
    else:
        known = {"performed_by": [song.artist] if song.artist else [], "courtesy": [song.label or holder]}
    told = [voice.text(f"credit.{key}", names=", ".join(dict.fromkeys(names))) for key, names in known.items() if names]
    return " · ".join([voice.text("title", title=song.title), *told])


def spoken(rights: RequestedRights, voice: Words) -> RequestedRights:
    """The rights with the trade's phrases in the voice's language; what a person worded stays as it was typed."""
    return replace(
        rights,
        media=voice.phrase(rights.media),
        territory=voice.phrase(rights.territory),
        term=voice.term(rights.term),
        promotion=voice.phrase(rights.promotion),
        options=tuple(voice.phrase(option) for option in rights.options),
    )


def _fee(facts: LetterFacts, voice: Words) -> str:
    side = facts.side
    if facts.kind is LetterKind.CONFIRMATION:
        return voice.text(f"fee.confirmed.{side}")
    told = []
    uses = [use for song in facts.songs for use in song.uses]
    if songs_tell_fees(facts.songs):
        told.append(voice.text(f"fee.offer_{_BASES[facts.rights.basis or Basis.FULL]}.{side}"))
        if not all(use.offers for use in uses):
            told.append(voice.text("fee.offer_some"))
    elif facts.rights.basis:
        told.append(voice.text(f"fee.ask_{_BASES[facts.rights.basis]}.{side}"))
    else:
        told.append(voice.text(f"fee.ask.{side}"))
    if facts.rights.favoured_offered:
        told.append(voice.text("fee.favoured"))
    return " ".join(told)


def _answer(facts: LetterFacts, voice: Words) -> str:
    asked = "confirm" if facts.kind is LetterKind.CONFIRMATION else "answer"
    if facts.answer_by is None:
        return voice.text(f"{asked}_soon")
    return voice.text(f"{asked}_by", day=voice.day(facts.answer_by))


def _countersign(facts: LetterFacts, voice: Words) -> tuple[str, ...]:
    """The sentence, the party, and the lines that it fills in."""
    if facts.kind is not LetterKind.CONFIRMATION:
        return ()
    lines = (voice.text(f"countersign.{line}") for line in ("signature", "name", "date"))
    return (voice.text("countersign"), voice.text("countersign.for", holder=facts.addressee.name), *lines)


_BASES = {Basis.FULL: "full", Basis.SHARE: "share"}
_REMIND = ("need", "whom")
_QUESTIONS: dict[tuple[LetterKind, Side], tuple[str, ...]] = {
    (LetterKind.REQUEST, Side.SYNC): ("favoured", "others", "writer_approval", "credit", "validity"),
    (LetterKind.REQUEST, Side.MASTER): ("favoured", "samples", "unions", "artist_approval", "label_copy", "validity"),
    (LetterKind.CHASER, Side.SYNC): _REMIND,
    (LetterKind.CHASER, Side.MASTER): _REMIND,
    (LetterKind.CONFIRMATION, Side.SYNC): (),
    (LetterKind.CONFIRMATION, Side.MASTER): (),
}
