"""Shares that hold for a territory: what they come to in each part of the world, and what is wrong there.

Shares are stated for territories ("World excl. US", "DE"), which may overlap. They tell the world apart into parts in
each of which the same shares hold; every side must come to 100 in every part. *Control* is what a party licenses for
synchronisation, all parties together 100; *performance* is stated out of 100 for each side (see ``split``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from supervision.rules.findings import Finding, Level
from supervision.rules.percent import TOLERANCE, exact_total, share_words
from supervision.rules.sentence import Sentence, joined, say
from supervision.rules.shares import check_shares
from supervision.rules.split import WHOLE, Convention, ShareEntry, totals, unknown
from supervision.rules.territory import WORLD, Territory


@dataclass(frozen=True, slots=True)
class WorkInterest:
    """A party's performance share and control of a work, in per cent, for a territory."""

    entry: ShareEntry
    control: Fraction
    territory: Territory


@dataclass(frozen=True, slots=True)
class Ownership:
    """A party's share of a recording in per cent, for a territory."""

    share: Fraction
    territory: Territory


@dataclass(frozen=True, slots=True)
class Sum:
    """What a side comes to in a part of the world, and what of it nobody is named for; both in per cent."""

    label: str
    territory: Territory
    stated: Fraction
    unknown: Fraction


def parts_of_world(territories: Iterable[Territory]) -> list[Territory]:
    """The parts of the world that the territories tell apart, in the order in which these first name them.

    "World" and "DE" give "DE" and "World excl. DE"; no territory, or the world alone, gives the world.
    """
    parts = [WORLD]
    for territory in dict.fromkeys(territories):
        parts = [piece for part in parts for piece in (part & territory, part - territory) if not piece.is_empty]
    return parts


def sums_of_work(interests: Sequence[WorkInterest], *, public_domain: bool = False) -> list[Sum]:
    """What writers, publishers and control come to, in each part of the world.

    Nothing is unknown about a work in the public domain: it has no holders.
    """
    sums = []
    for part in parts_of_world(interest.territory for interest in interests):
        holding = _holding(interests, part)
        entries = [interest.entry for interest in holding]
        stated, lacking = totals(entries), unknown(entries, Convention.TWO_HUNDRED)
        control = exact_total(interest.control for interest in holding)
        sums += [
            Sum(say("Writers"), part, stated.writers, lacking.writers),
            Sum(say("Publishers"), part, stated.publishers, lacking.publishers),
            Sum(say("Control"), part, control, _short(control)),
        ]
    return _all_known(sums) if public_domain else sums


def sums_of_recording(owners: Sequence[Ownership], *, public_domain: bool = False) -> list[Sum]:
    """What the owners come to, in each part of the world; nothing is unknown about one in the public domain."""
    sums = [
        Sum(say("Owners"), part, stated, _short(stated))
        for part in parts_of_world(owner.territory for owner in owners)
        for stated in [exact_total(owner.share for owner in owners if (part - owner.territory).is_empty)]
    ]
    return _all_known(sums) if public_domain else sums


def check_work(interests: Sequence[WorkInterest], *, public_domain: bool = False) -> list[Finding]:
    """What is wrong with a work's shares, performance before control; ``place`` names the part of the world if several.

    Nobody's control is needed of a work in the public domain.
    """
    parts = parts_of_world(interest.territory for interest in interests)
    found: dict[Finding, list[Territory]] = {}
    for part in parts:
        holding = _holding(interests, part)
        control = exact_total(interest.control for interest in holding)
        told = check_shares([interest.entry for interest in holding], Convention.TWO_HUNDRED)
        if not public_domain:
            told += _check_total(control, "control", say("control"), say("The shares of control (sync)"))
        for finding in told:
            found.setdefault(finding, []).append(part)
    return [_placed(finding, where, parts) for finding, where in found.items()]


def check_recording(owners: Sequence[Ownership], *, public_domain: bool = False) -> list[Finding]:
    """What is wrong with the shares of a recording's owners. A recording in the public domain has no owner to name."""
    if public_domain:
        return []
    sums = sums_of_recording(owners)
    parts = [found.territory for found in sums]
    return [
        _placed(finding, [found.territory], parts)
        for found in sums
        for finding in _check_total(found.stated, "owners", say("owners"), say("The owners' shares"))
    ]


def _all_known(sums: Sequence[Sum]) -> list[Sum]:
    return [replace(found, unknown=Fraction(0)) for found in sums]


def _holding(interests: Sequence[WorkInterest], part: Territory) -> list[WorkInterest]:
    return [interest for interest in interests if (part - interest.territory).is_empty]


def _short(stated: Fraction) -> Fraction:
    return Fraction(0) if abs(WHOLE - stated) <= TOLERANCE else max(Fraction(0), WHOLE - stated)


def _check_total(stated: Fraction, code: str, place: str, subject: Sentence) -> list[Finding]:
    """Common practice, no published source; the tolerance is that of performance shares."""
    if abs(stated - WHOLE) <= TOLERANCE:
        return []
    if stated > WHOLE:
        text = say(
            "{subject} come to {stated}, more than {aim}.",
            subject=subject,
            stated=share_words(stated),
            aim=share_words(WHOLE),
        )
        mend = say("Take {share} off.", share=share_words(stated - WHOLE))
        return [Finding(Level.ERROR, f"{code}-over", place, text, mend)]
    text = say(
        "{subject} come to {stated}: {missing} is unknown.",
        subject=subject,
        stated=share_words(stated),
        missing=share_words(WHOLE - stated),
    )
    mend = say("Name who holds the rest, so that they can be asked.")
    return [Finding(Level.WARNING, f"{code}-short", place, text, mend)]


def _placed(finding: Finding, where: Sequence[Territory], parts: Sequence[Territory]) -> Finding:
    """The finding with the parts of the world it is about, unless it is about all of them."""
    if len(where) == len(parts):
        return finding
    told = say("{place} ({where})", place=finding.place, where=joined((part.text for part in where), between="; "))
    return replace(finding, place=told)
