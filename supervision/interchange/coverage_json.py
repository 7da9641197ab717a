"""The proof of an episode as JSON: what the API answers and ``manage.py coverage --json`` prints.

The gaps have the shape of the reckoner's ``coverage``, with usages and names: days are ISO 8601 and ``to`` is the first
day that is no longer in it, shares are exact texts ("33.34", "100/3"), money is ``{"minor", "currency"}`` and null for
readers who see no fees.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from supervision.rules.coverage import PlanWindow
from supervision.rules.findings import Finding
from supervision.rules.media import Media
from supervision.rules.money import Money
from supervision.rules.percent import share_text
from supervision.rules.proof import Block, Closing, Offer, Proof, ProofGap, ProofHolder, ProofSide
from supervision.rules.term import Term
from supervision.rules.territory import Territory

Plain = dict[str, Any]


def write_coverage(proof: Proof) -> Plain:
    """The proof as plain values."""
    return {
        "episode": proof.episode.code,
        "air_date": _day(proof.episode.air_date),
        "on": _day(proof.on),
        "covered": proof.covered,
        "verdict": proof.verdict,
        "plan_of": ("episode" if proof.plan.own else "season") if proof.plan.lines else None,
        "plan": [_window(line.window) | {"note": line.note} for line in proof.plan.lines],
        "gaps": [_gap(gap) for gap in proof.gaps],
        "cheapest": _closing(proof.closing) if proof.closing else None,
        "blocks": [_block(block) for block in proof.blocks],
        "findings": [_finding(finding) for finding in proof.findings],
    }


def _extent(media: Media, territory: Territory, term: Term) -> Plain:
    return {
        "media": list(media.codes),
        "territory": territory.text,
        "from": _day(term.start),
        "to": _day(term.end),
    }


def _window(window: PlanWindow) -> Plain:
    return _extent(window.media, window.territory, window.term)


def _gap(found: ProofGap) -> Plain:
    gap = found.gap
    return {
        **_side(found.side),
        **_extent(gap.media, gap.territory, gap.term),
        "countries": list(gap.countries),
        "granted": share_text(gap.granted),
        "unknown": share_text(gap.unknown),
        "lacking": [_holder(holder) for holder in found.lacking],
        "closable_by": _offers(found.offers),
    }


def _side(side: ProofSide) -> Plain:
    return {
        "usage": {"id": side.usage, "cue_number": side.cue, "title": side.title},
        "side": side.side.value,
        "song": side.song,
    }


def _holder(holder: ProofHolder) -> Plain:
    return {
        "holder": holder.name,
        "clearance": holder.clearance,
        "share": share_text(holder.share),
        "stage": holder.stage.code,
    }


def _offers(offers: Iterable[Offer]) -> list[Plain]:
    return [
        {
            "option": offer.id,
            "label": offer.label,
            "holder": offer.holder,
            "fee": _money(offer.fee),
            "until": _day(offer.deadline),
        }
        for offer in offers
    ]


def _closing(closing: Closing) -> Plain:
    return {
        "options": _offers(closing.offers),
        "fee": _money(closing.fee),
        "exact": closing.exact,
        "covered": closing.left == 0,
    }


def _block(block: Block) -> Plain:
    return {"usage": None, "side": None, "text": block.text} | (
        {"usage": block.side.usage, "side": block.side.side.value} if block.side else {}
    )


def _finding(finding: Finding) -> Plain:
    return {
        "level": finding.level.value,
        "code": finding.code,
        "place": finding.place,
        "text": finding.text,
        "mend": finding.mend,
    }


def _money(money: Money | None) -> Plain | None:
    return None if money is None else {"minor": money.minor, "currency": money.currency}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
