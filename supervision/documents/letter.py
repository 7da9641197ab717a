"""Quote-request letters on paper. Everything they say stands in ``LetterContent``; here it is only laid out.

Several letters make one file for printing: each is set by itself, so that "page 1 of 2" counts its own pages, and the
pages are then put together.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from django.template.loader import render_to_string

from supervision.documents.cue_sheet import day_text, isrc_text, iswc_text
from supervision.documents.paper import PageSize, to_pdf
from supervision.rules.clearance import Side
from supervision.rules.durations import clock
from supervision.rules.letter import LetterContent, LetterSong, Portion, SongUse
from supervision.rules.shares import share_words

Fact = tuple[str, str]


def letter_pdf(letters: Sequence[LetterContent], *, page: PageSize = PageSize.A4) -> bytes:
    """One PDF of one or more letters; one without a reference is marked as a draft."""
    return to_pdf(*(letter_html(letter, page=page) for letter in letters))


def letter_html(letter: LetterContent, *, page: PageSize = PageSize.A4) -> str:
    """A letter as HTML for ``paper.to_pdf``, its style included."""
    programme = letter.programme
    return render_to_string(
        "documents/letter.html",
        {
            "letter": letter,
            "page": page.css,
            "draft": not letter.reference,
            "dated": day_text(letter.dated),
            "programme": [
                fact
                for fact in (
                    ("Production", programme.production),
                    ("Type", programme.kind),
                    ("Episode", programme.episode),
                    ("Production company", programme.company),
                    ("Network or platform", programme.network),
                    ("First broadcast or release", day_text(programme.first_broadcast)),
                    ("Synopsis", programme.synopsis),
                )
                if fact[1]
            ],
            "songs": [
                {
                    "title": song.title,
                    "facts": song_facts(song, letter.side),
                    "uses": [use_texts(use) for use in song.uses],
                }
                for song in letter.songs
            ],
            "rights": rights_facts(letter),
        },
    )


def song_facts(song: LetterSong, side: Side) -> list[Fact]:
    """What identifies the song, and whose share is meant, as terms and texts."""
    if side is Side.SYNC:
        known = [
            ("Written by", ", ".join(song.writers)),
            ("ISWC", iswc_text(song.iswc) if song.iswc else ""),
            ("Your share", portions_text(song.portions, song)),
            ("Other publishers", portions_text(song.others)),
        ]
    else:
        label = " · ".join(filter(None, (song.label, str(song.year or ""))))
        known = [
            ("Performed by", song.artist),
            ("Version", song.version),
            ("Label", label),
            ("ISRC", isrc_text(song.isrc) if song.isrc else ""),
            ("Your share", portions_text(song.portions, song)),
            ("Other owners", portions_text(song.others)),
        ]
    return [fact for fact in known if fact[1]]


def portions_text(portions: Sequence[Portion], of: LetterSong | None = None) -> str:
    """Portions in words: ``50 % (30 % for A, 20 % for B)`` for the addressee, else ``A 30 %, B 20 %``."""
    told = [_portion(portion, own=of is not None) for portion in portions]
    if of is None:
        return ", ".join(told)
    if len(portions) == 1:
        return told[0]
    whole = f"{share_words(Fraction(of.share))} " if not any(portion.territory for portion in portions) else ""
    return f"{whole}({', '.join(told)})" if whole else ", ".join(told)


def _portion(portion: Portion, *, own: bool) -> str:
    share, where = share_words(Fraction(portion.share)), f" in {portion.territory}" if portion.territory else ""
    if own:
        return share + (f" for {portion.name}" if portion.name else "") + where
    return f"{portion.name or 'holder not known'} {share}{where}"


def rights_facts(letter: LetterContent) -> list[Fact]:
    """The rights requested, as terms and texts."""
    rights = letter.rights
    return [
        ("Media", rights.media),
        ("Territory", rights.territory),
        ("Term", rights.term),
        ("Promotion", rights.promotion),
    ]


def use_texts(use: SongUse) -> dict[str, str]:
    """A use as the texts of its cells: cue, scene, how, timing."""
    timing = "to be confirmed" if use.up_to_seconds is None else f"up to {clock(use.up_to_seconds)}"
    return {"cue": use.cue_number, "scene": use.scene, "how": use.how, "timing": timing}
