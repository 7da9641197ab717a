"""The proof of an episode on paper: the verdict, the plan, the gaps with what closes them, what blocks the broadcast.

It is a paper of the house, so it is in its reader's language, its dates and figures too.

Countries are listed at the end, once a territory, so that a gap names them in its shortest text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.template.loader import render_to_string
from django.utils.translation import get_language

from supervision.documents.paper import PageSize, day_in_words, to_pdf
from supervision.rules.findings import worst_first
from supervision.rules.money import money_text
from supervision.rules.percent import share_words
from supervision.rules.proof import Offer, Proof, ProofGap, ProofSide
from supervision.rules.sentence import counted, joined, say, say_as
from supervision.rules.term import Term
from supervision.rules.territory import Territory

_KEPT_TOGETHER = 6


@dataclass(frozen=True, slots=True)
class GapRow:
    """A gap in words: where it is, how much is granted, who lacks (name, and the rest), what closes it."""

    media: str
    territory: str
    days: str
    granted: str
    lacking: tuple[tuple[str, str], ...]
    closed_by: tuple[str, ...]

    @property
    def tall(self) -> bool:
        """Whether it may be broken over two pages."""
        return max(len(self.lacking), len(self.closed_by)) > _KEPT_TOGETHER


@dataclass(frozen=True, slots=True)
class GapBlock:
    """The gaps of one side, kept together where they fit."""

    side: ProofSide
    rows: tuple[GapRow, ...]


def coverage_pdf(proof: Proof, *, page: PageSize = PageSize.A4) -> bytes:
    """The proof as PDF."""
    return to_pdf(coverage_html(proof, page=page))


def coverage_html(proof: Proof, *, page: PageSize = PageSize.A4) -> str:
    """The proof as HTML for ``paper.to_pdf``, its style included."""
    episode = proof.episode
    return render_to_string(
        "documents/coverage.html",
        {
            "proof": proof,
            "page": page.css,
            "language": get_language() or "en",
            "episode": joined((episode.season, episode.name), between=" · "),
            "proven": say("proof of {day}", day=proof.on),
            "facts": _facts(proof),
            "plan": [
                (line.window.media.text, line.window.territory.text, days_text(line.window.term), line.note)
                for line in proof.plan.lines
            ],
            "blocks": _blocks(proof),
            "closing": _closing(proof),
            "findings": worst_first(proof.findings),
            "territories": _territories(proof),
        },
    )


def _facts(proof: Proof) -> list[tuple[str, str]]:
    episode = proof.episode
    return [
        (say("Episode"), episode.code),
        (say("Production company"), episode.company or say("not known")),
        (say("First broadcast or release"), _day(episode.air_date) or say("not known")),
        (say("Proven on"), _day(proof.on)),
        (say("Usages checked"), str(proof.usages)),
        (say("Usages with a gap"), str(proof.short_usages)),
    ]


def days_text(term: Term) -> str:
    """Days as people say them, the last one included: "2 December 2026 to 1 December 2031"."""
    first, last = _day(term.start), _day(term.last_day)
    if not last:
        return say("from {first}, open end", first=first) if first else say("always")
    return say_as("of days", "{first} to {last}", first=first, last=last) if first else say("until {last}", last=last)


def _day(day: date | None) -> str:
    """The day in the words of the paper's language: "2 December 2026"."""
    return day_in_words(day) if day else ""


def _blocks(proof: Proof) -> list[GapBlock]:
    rows: dict[str, list[GapRow]] = {}
    for found in proof.gaps:
        rows.setdefault(found.side.name, []).append(_row(found))
    return [GapBlock(side, tuple(rows[side.name])) for side in proof.sides if side.name in rows]


def _row(found: ProofGap) -> GapRow:
    gap = found.gap
    lacking: list[tuple[str, str]] = [
        (holder.name, joined([share_words(holder.share), holder.lack], between=", ")) for holder in found.lacking
    ]
    if gap.unknown:
        lacking.append(("", say("nobody known for {share}", share=share_words(gap.unknown))))
    return GapRow(
        gap.media.text,
        gap.territory.text,
        days_text(gap.term),
        share_words(gap.granted),
        tuple(lacking),
        tuple(offer_text(offer) for offer in found.offers),
    )


def offer_text(offer: Offer) -> str:
    """An option in words, with its fee where it is known to the reader, and its last day."""
    words: list[str] = [say("{option} of {holder}", option=offer.label, holder=offer.holder)]
    if offer.fee:
        words.append(money_text(offer.fee))
    if offer.deadline:
        words.append(say("open until {day}", day=_day(offer.deadline)))
    return joined(words, between=", ")


def _closing(proof: Proof) -> tuple[str, Sequence[str]] | None:
    """A sentence about the cheapest options, and the options."""
    closing = proof.closing
    if closing is None:
        return None
    words = [
        counted(
            closing.left,
            "Options close a part of it; {number} gap would stay.",
            "Options close a part of it; {number} gaps would stay.",
        )
        if closing.left
        else say("These options close every gap.")
    ]
    if closing.fee:
        words.append(say("Together they cost {amount}.", amount=money_text(closing.fee)))
    if not closing.exact:
        words.append(say("There may be a cheaper choice: there are too many options to compare them all."))
    return joined(words), [offer_text(offer) for offer in closing.offers]


def _territories(proof: Proof) -> list[Territory]:
    named = [line.window.territory for line in proof.plan.lines] + [found.gap.territory for found in proof.gaps]
    return list(dict.fromkeys(named))
