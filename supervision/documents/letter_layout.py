"""A letter as parts in order of reading: what its PDF, its editable document, its e-mail and its page all show.

A ``Part`` has what it shows in this order: title, paragraphs, facts, a table, bullets, lines (a signature), blanks (to be
filled in by hand). Labels and formats are those of the letter's language.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from supervision.documents.cue_sheet import isrc_text, iswc_text
from supervision.rules.clearance import Side
from supervision.rules.durations import clock
from supervision.rules.fees import Basis
from supervision.rules.letter import (
    AcceptedOption,
    AcceptedTerms,
    LetterContent,
    LetterKind,
    LetterSong,
    Portion,
    SongUse,
)
from supervision.rules.letter_words import Words, words

Fact = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a letter; ``name`` says which, for its look."""

    name: str
    title: str = ""
    paragraphs: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    bullets: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A letter laid out: ``draft`` is blank on one that was sent, ``mark`` is what the foot of each page says."""

    letter: LetterContent
    draft: str
    mark: str
    page: str
    page_of: str
    running_head: str
    matter: tuple[Fact, ...]
    addressee: tuple[str, ...]
    address: tuple[str, ...]
    parts: tuple[Part, ...]


def laid_out(letter: LetterContent) -> Layout:
    """All that the letter shows, in its language."""
    voice = words(letter.language)
    draft = "" if letter.reference else voice.text("draft")
    whom, day = letter.addressee, voice.day(letter.dated)
    return Layout(
        letter=letter,
        draft=draft,
        mark=letter.reference or draft,
        page=voice.text("page"),
        page_of=voice.text("page_of"),
        running_head=voice.text("running_head", company=letter.letterhead.company, holder=whom.name, day=day),
        matter=(
            (voice.text("label.date"), day),
            (voice.text("label.reference"), letter.reference or voice.text("draft_reference")),
        ),
        addressee=tuple(filter(None, (whom.contact, whom.department, *whom.address.splitlines(), whom.email))),
        address=tuple(filter(None, letter.letterhead.address.splitlines())),
        parts=tuple(_parts(letter, voice)),
    )


def _parts(letter: LetterContent, voice: Words) -> Iterator[Part]:
    yield Part(
        name="opening", paragraphs=(letter.salutation, letter.opening), facts=tuple(programme_facts(letter, voice))
    )
    for song in letter.songs:
        yield from _song(song, letter, voice)
    yield Part(name="rights", title=voice.text(f"label.rights.{letter.kind}"), facts=tuple(rights_facts(letter)))
    if letter.rights.options:
        yield Part(
            name="options",
            title=voice.text("label.options"),
            paragraphs=(voice.text("options_intro"),),
            bullets=tuple(voice.text("option_line", option=option) for option in letter.rights.options),
        )
    asked = (voice.text("questions_intro"),) if letter.questions else ()
    yield Part(
        name="fee",
        title=voice.text("label.fee_section"),
        paragraphs=(" ".join((letter.fee, *asked)),),
        bullets=letter.questions,
    )
    remarks = tuple(line for line in letter.rights.remarks.splitlines() if line.strip())
    yield Part(name="answer", paragraphs=(letter.answer, *remarks))
    yield Part(name="caution", paragraphs=(letter.caution,))
    house = letter.letterhead
    signature = tuple(filter(None, (house.contact_name, house.company, house.email, house.phone)))
    yield Part(name="closing", paragraphs=(letter.closing,), lines=signature)
    if letter.countersign:
        yield Part(name="countersign", paragraphs=letter.countersign[:2], blanks=letter.countersign[2:])


def programme_facts(letter: LetterContent, voice: Words) -> Iterator[Fact]:
    """The production and its episode, as far as they are known."""
    programme, first = letter.programme, letter.programme.first_broadcast
    for key, text in (
        ("production", programme.production),
        ("type", programme.kind),
        ("episode", programme.episode),
        ("company", programme.company),
        ("network", programme.network),
        ("first_broadcast", voice.day(first) if first else ""),
        ("synopsis", programme.synopsis),
    ):
        if text:
            yield voice.text(f"label.{key}"), text


def rights_facts(letter: LetterContent) -> list[Fact]:
    """The rights as terms and texts."""
    text, rights = words(letter.language).text, letter.rights
    facts = [
        (text("label.media"), rights.media),
        (text("label.territory"), rights.territory),
        (text("label.term"), rights.term),
        (text("label.promotion"), rights.promotion),
    ]
    return [fact for fact in facts if fact[1]]


def song_facts(song: LetterSong, side: Side, language: str = "en") -> list[Fact]:
    """What identifies the song, and whose share is meant, as terms and texts."""
    voice = words(language)
    own = portions_text(song.portions, song, language=language)
    others = portions_text(song.others, language=language)
    if side is Side.SYNC:
        known = {
            "written_by": ", ".join(song.writers),
            "iswc": iswc_text(song.iswc) if song.iswc else "",
            "your_share": own,
            "other_publishers": others,
        }
    else:
        known = {
            "performed_by": song.artist,
            "version": song.version,
            "label": " · ".join(filter(None, (song.label, str(song.year or "")))),
            "isrc": isrc_text(song.isrc) if song.isrc else "",
            "your_share": own,
            "other_owners": others,
        }
    known["credit"] = song.credit
    return [(voice.text(f"label.{key}"), text) for key, text in known.items() if text]


def portions_text(portions: Sequence[Portion], of: LetterSong | None = None, *, language: str = "en") -> str:
    """Portions in words: ``50 % (30 % for A, 20 % for B)`` for the addressee, else ``A 30 %, B 20 %``."""
    voice = words(language)
    told = [_portion(portion, voice, own=of is not None) for portion in portions]
    if of is None:
        return ", ".join(told)
    if len(portions) == 1:
        return told[0]
    whole = f"{voice.share(of.share)} " if not any(portion.territory for portion in portions) else ""
    return f"{whole}({', '.join(told)})" if whole else ", ".join(told)


def _portion(portion: Portion, voice: Words, *, own: bool) -> str:
    share = voice.share(portion.share)
    if own:
        told = voice.text("portion.for", share=share, name=portion.name) if portion.name else share
    else:
        told = voice.text("portion.other", name=portion.name or voice.text("holder_unknown"), share=share)
    return (
        voice.text("portion.in", portion=told, territory=voice.phrase(portion.territory)) if portion.territory else told
    )


def _song(song: LetterSong, letter: LetterContent, voice: Words) -> Iterator[Part]:
    """The song with its uses, then what was accepted for them."""
    fees = _fee_label(letter)
    columns = ("cue", "scene", "how", "timing", *((fees,) if fees else ()))
    yield Part(
        name="song",
        title=song.title,
        facts=tuple(song_facts(song, letter.side, letter.language)),
        head=tuple(voice.text(f"label.{column}") for column in columns),
        rows=tuple(_row(use, voice, fees) for use in song.uses),
    )
    groups: dict[tuple[Fact, ...], list[str]] = {}
    for use in song.uses:
        if use.accepted:
            groups.setdefault(tuple(_terms(use, voice)), []).append(use.cue_number or "–")
    for facts, cues in groups.items():
        whole = len(groups) == 1
        title = voice.text("label.terms_all") if whole else voice.text("label.terms", cue=", ".join(cues))
        yield Part(name="terms", title=title, facts=facts)


def _fee_label(letter: LetterContent) -> str:
    """The label of the column of amounts; blank where the letter tells none."""
    if not letter.tells_fees:
        return ""
    return "fee" if letter.kind is LetterKind.CONFIRMATION else "offer"


def _row(use: SongUse, voice: Words, fees: str) -> tuple[str, ...]:
    timed = use.up_to_seconds is not None
    timing = voice.text("timing", time=clock(use.up_to_seconds or 0)) if timed else voice.text("timing_missing")
    cells = (use.cue_number or "–", use.scene or voice.text("scene_missing"), use.how, timing)
    if not fees:
        return cells
    told = [_accepted(terms, voice) for terms in use.accepted] if fees == "fee" else _offers(use, voice)
    return (*cells, "; ".join(told))


def _offers(use: SongUse, voice: Words) -> list[str]:
    return [_for(voice.money(offer.amount), offer.name, voice) for offer in use.offers] or [voice.text("offer_none")]


def _for(text: str, name: str, voice: Words) -> str:
    return voice.text("fee.offered_for", amount=text, name=name) if name else text


def _accepted(terms: AcceptedTerms, voice: Words) -> str:
    """What is payable, with the whole that it is a share of."""
    told = {
        "payable": voice.money(terms.payable),
        "share": voice.share(terms.share),
        "amount": voice.money(terms.amount),
    }
    if terms.share == 100 or terms.licence:
        key = "fee.accepted"
    else:
        key = "fee.accepted_share" if terms.basis is Basis.SHARE else "fee.accepted_part"
    return _for(voice.text(key, **told), terms.name, voice)


def _terms(use: SongUse, voice: Words) -> Iterator[Fact]:
    for terms in use.accepted:
        quoted = f"{voice.money(terms.amount)}, {voice.text('quoted_on', day=voice.day(terms.received))}"
        for key, text in (
            ("quoted", _for(quoted, terms.name, voice)),
            ("favoured", terms.favoured),
            ("conditions", "; ".join(terms.conditions)),
            ("options", "; ".join(_option(option, voice) for option in terms.options)),
            ("licence", terms.licence),
            ("granted", "; ".join(terms.granted)),
        ):
            if text:
                yield voice.text(f"label.{key}"), text


def _option(option: AcceptedOption, voice: Words) -> str:
    fee = voice.money(option.fee)
    told = voice.text("option_terms", option=option.name, media=option.media, territory=option.territory, fee=fee)
    if option.exercised:
        return voice.text("option_exercised", option=told, day=voice.day(option.exercised))
    return voice.text("option_until", option=told, day=voice.day(option.until)) if option.until else told
