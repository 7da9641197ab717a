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
from supervision.rules.sentence import counted, figures, joined, say, say_as
from supervision.rules.term import Term
from supervision.rules.territory import Territory

_MOST_LISTED = 8


def coverage_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """What each side's holders have, each gap with who grants and who lacks, and the options that would close it."""
    sides = {side.id: side for side in read_sides(given)}
    for side in sides.values():
        holders = _listed(_holding(holder.id, holder.shares) for holder in side.holders) or say("no holder")
        yield say("{side}: {holders}.", side=side_text(side.id), holders=holders)
    if answer["covered"]:
        yield say("In every medium, country and day of the plan the granted shares reach 100 %.")
    for number, gap in enumerate(answer["gaps"], start=1):
        yield from _gap(number, gap, sides[gap["side"]])
    if "cheapest" in answer:
        yield _cheapest(answer["cheapest"])


def _gap(number: int, gap: Answer, side: SideRights) -> Iterator[str]:
    territory = Territory.parse(gap["territory"])
    there = [(holder, _shares_in(holder, territory)) for holder in side.holders]
    granting = [_holding(holder.id, held) for holder, held in there if held and holder.id not in gap["lacking"]]
    granted = parse_share(gap["granted"])
    yield say(
        "Gap {number}: {gap}. Granted there: {share} by {holders}.",
        number=number,
        gap=_words(gap),
        share=share_words(granted),
        holders=_listed(granting) or say_as("by whom", "nobody"),
    )
    for holder, held in there:
        if holder.id in gap["lacking"]:
            lacking, grants = _holding(holder.id, held), _grants(holder)
            yield say(
                "Gap {number}: {holder} lacks. It has granted {grants}.", number=number, holder=lacking, grants=grants
            )
    if "unknown" in gap:
        share = share_words(parse_share(gap["unknown"]))
        yield say("Gap {number}: nobody is known to hold {share}. Find out who does.", number=number, share=share)
    for offer in gap.get("closable_by", ()):
        yield _closing(number, offer)


def _closing(number: int, offer: Answer) -> str:
    told = {"number": number, "option": offer["option"], "fee": _fee(offer)}
    if not offer["deadline"]:
        return say("Gap {number}: option {option} for {fee} would close it.", **told)
    day = date.fromisoformat(offer["deadline"])
    return say("Gap {number}: option {option} for {fee} would close it, to be taken up by {day}.", **told, day=day)


def _words(gap: Answer) -> str:
    media = media_union(map(Media.parse, gap["media"]))
    term = Term(*(date.fromisoformat(day) if day else None for day in (gap["from"], gap["to"])))
    return say(
        "{side}, {media} in {territory}, {term}",
        side=side_text(gap["side"]),
        media=media.text,
        territory=gap["territory"],
        term=term.text,
    )


def _shares_in(holder: Holder, territory: Territory) -> list[TerritoryShare]:
    return [line for line in holder.shares if line.share and line.territory.overlaps(territory)]


def _holding(name: str, lines: Sequence[TerritoryShare]) -> str:
    """``pub-a (60 % in World)``."""
    held = _listed(
        say("{share} in {territory}", share=share_words(Fraction(line.share)), territory=line.territory.text)
        for line in lines
    )
    return say("{holder} ({shares})", holder=name, shares=held or say("no share"))


def _grants(holder: Holder) -> str:
    return _listed(map(_granted, holder.grants)) or say_as("granted", "nothing")


def _granted(grant: Grant) -> str:
    length = figures(f"{grant.max_seconds}")
    what = say("{media} in {territory}", media=grant.media.text, territory=grant.territory.text)
    limits = [say("up to {seconds} s", seconds=length)] if grant.max_seconds is not None else []
    limits += [counted(grant.uses, "{number} uses", "{number} uses")] if grant.uses is not None else []
    return joined([what, grant.term.text, *limits], between=", ")


def _cheapest(choice: Answer) -> str:
    if not choice["options"]:
        return say("No option closes a gap.")
    told = {"options": _listed(offer["option"] for offer in choice["options"]), "fee": _fee(choice)}
    match choice["covered"], choice["exact"]:
        case True, True:
            return say("{options} for {fee} close every gap; no cheaper set would do.", **told)
        case True, False:
            return say("{options} for {fee} close every gap; a cheaper set may exist.", **told)
        case False, True:
            return say("{options} for {fee} close every gap that options can close; no cheaper set would do.", **told)
    return say("{options} for {fee} close every gap that options can close; a cheaper set may exist.", **told)


def _fee(offer: Answer) -> str:
    return money_text(Money(offer["fee"], offer["currency"]))


def _listed(parts: Iterable[str]) -> str:
    """The parts with semicolons between them; of many only the first."""
    listed = list(parts)
    left = len(listed) - _MOST_LISTED
    more = [counted(left, "{number} more", "{number} more")] if left > 0 else []
    return joined([*listed[:_MOST_LISTED], *more], between="; ")


def side_text(side: str) -> str:
    """A side of the question as its reader calls it; sides may have any name."""
    return _SIDES.get(side, side)


_SIDES = {"sync": say_as("a side in a list", "sync"), "master": say_as("a side in a list", "master")}
