"""How a release plan came to be covered or not: who holds what in each gap, and what was granted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction

from supervision.rules.media import Media, media_union
from supervision.rules.money import Money, money_text
from supervision.rules.percent import parse_share, share_words
from supervision.rules.reckoner.coverage import read_sides
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.rights import Grant, Holder, SideRights, TerritoryShare
from supervision.rules.term import Term
from supervision.rules.territory import Territory

_MOST_LISTED = 8


def coverage_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """What each side's holders have, each gap with who grants and who lacks, and the options that would close it."""
    sides = {side.id: side for side in read_sides(given)}
    for side in sides.values():
        yield f"{side.id}: {_listed(_holding(holder.id, holder.shares) for holder in side.holders) or 'no holder'}."
    if answer["covered"]:
        yield "In every medium, country and day of the plan the granted shares reach 100 %."
    for number, gap in enumerate(answer["gaps"], start=1):
        yield from _gap(number, gap, sides[gap["side"]])
    if "cheapest" in answer:
        yield _cheapest(answer["cheapest"])


def _gap(number: int, gap: Answer, side: SideRights) -> Iterator[str]:
    territory = Territory.parse(gap["territory"])
    there = [(holder, _shares_in(holder, territory)) for holder in side.holders]
    granting = [_holding(holder.id, held) for holder, held in there if held and holder.id not in gap["lacking"]]
    granted = parse_share(gap["granted"])
    yield f"Gap {number}: {_words(gap)}. Granted there: {share_words(granted)} by {_listed(granting) or 'nobody'}."
    for holder, held in there:
        if holder.id in gap["lacking"]:
            yield f"Gap {number}: {_holding(holder.id, held)} lacks. It has granted {_grants(holder)}."
    if "unknown" in gap:
        yield f"Gap {number}: nobody is known to hold {share_words(parse_share(gap['unknown']))}. Find out who does."
    for offer in gap.get("closable_by", ()):
        until = f", to be taken up by {offer['deadline']}" if offer["deadline"] else ""
        yield f"Gap {number}: option {offer['option']} for {_fee(offer)} would close it{until}."


def _words(gap: Answer) -> str:
    media = media_union(map(Media.parse, gap["media"]))
    term = Term(*(date.fromisoformat(day) if day else None for day in (gap["from"], gap["to"])))
    return f"{gap['side']}, {media.text} in {gap['territory']}, {term.text}"


def _shares_in(holder: Holder, territory: Territory) -> list[TerritoryShare]:
    return [line for line in holder.shares if line.share and line.territory.overlaps(territory)]


def _holding(name: str, lines: Sequence[TerritoryShare]) -> str:
    """``pub-a (60 % in World)``."""
    held = _listed(f"{share_words(Fraction(line.share))} in {line.territory.text}" for line in lines)
    return f"{name} ({held or 'no share'})"


def _grants(holder: Holder) -> str:
    return _listed(map(_granted, holder.grants)) or "nothing"


def _granted(grant: Grant) -> str:
    limits = [f"up to {grant.max_seconds} s"] if grant.max_seconds is not None else []
    limits += [f"{grant.uses} uses"] if grant.uses is not None else []
    return ", ".join([f"{grant.media.text} in {grant.territory.text}", grant.term.text, *limits])


def _cheapest(choice: Answer) -> str:
    if not choice["options"]:
        return "No option closes a gap."
    names = _listed(offer["option"] for offer in choice["options"])
    what = "every gap" if choice["covered"] else "every gap that options can close"
    surely = "no cheaper set would do" if choice["exact"] else "a cheaper set may exist"
    return f"{names} for {_fee(choice)} close {what}; {surely}."


def _fee(offer: Answer) -> str:
    return money_text(Money(offer["fee"], offer["currency"]))


def _listed(parts: Iterable[str]) -> str:
    """The parts with semicolons between them; of many only the first."""
    listed = list(parts)
    more = [f"{len(listed) - _MOST_LISTED} more"] if len(listed) > _MOST_LISTED else []
    return "; ".join([*listed[:_MOST_LISTED], *more])
