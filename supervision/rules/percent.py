"""Shares in per cent: exact text in and out, printing that adds up, and the fraction that a rounded figure stands for.

A share is a ``Fraction`` of per cent: ``Fraction(50)`` is half, ``Fraction(100, 3)`` a third. It travels as text
(``"33.34"``, ``"100/3"``) and is rounded only on paper, by the largest remainder: every figure is cut off, and what
is then missing from the total goes in hundredths to those that lost most, the first of equals first.

``TOLERANCE`` is published for works registration: CISAC CWR19-1070 lets a total miss 100 by 0.06, since thirds, sixths
and sevenths do not round to two decimals. It belongs to totals, never to one share, and it is an allowance for data in
transit: paper still adds up to 100.00.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm

from supervision.rules.errors import BadValue
from supervision.rules.sentence import figures, say

#: CISAC CWR19-1070, transaction edits 4, 9, 11, 14, 27: totals may miss by this many per cent.
TOLERANCE = Fraction(6, 100)
#: No share is larger: 200 is a writer's alone where the two sides are 100 each and both are the writer's.
LARGEST = Fraction(200)
#: Shares added together may need no larger common denominator: room for every decimal with 12 places and all
#: fractions up to 1/600, and a bound on the work that a hostile list can cause.
FINEST = 2**1024
#: Denominators of the splits that people mean by a rounded figure: up to 24 writers in equal parts.
SIMPLEST = 24

_LONGEST = 40
_DECIMAL = re.compile(r"([0-9]{1,3})(?:[.,]([0-9]{1,12}))?", re.ASCII)
_RATIO = re.compile(r"(?:([0-9]{1,3}) +)?([0-9]{1,12}) ?/ ?([0-9]{1,12})", re.ASCII)


def parse_share(text: str, *, place: str = "share") -> Fraction:
    """The share written as ``33.34``, ``33,34``, ``50 %``, ``100/3`` or ``33 1/3``, exactly.

    Raises ``BadValue`` for anything else, for more than 12 decimals, and for more than 200.
    """
    written = text.strip() if _short_text(text) else ""
    share = _exact(written.removesuffix("%").rstrip())
    if share is None:
        raise BadValue(
            "share-unreadable",
            say("“{text}” is not a share.", text=written) if written else say("There is no share to read."),
            place=place,
            mend=say("Write per cent from 0 to 100, such as 50, 33.34 or 100/3."),
        )
    if share > LARGEST:
        text = say("A share of {share} is more than there is.", share=written)
        raise BadValue("share-out-of-range", text, place=place, mend=say("Give 100 or less."))
    return share


def _short_text(text: object) -> bool:
    return isinstance(text, str) and len(text) <= _LONGEST


def _exact(written: str) -> Fraction | None:
    decimal = _DECIMAL.fullmatch(written)
    if decimal:
        return Fraction(f"{decimal[1]}.{decimal[2] or 0}")
    ratio = _RATIO.fullmatch(written)
    if ratio and int(ratio[3]):
        return int(ratio[1] or 0) + Fraction(int(ratio[2]), int(ratio[3]))
    return None


def share_text(share: Fraction) -> str:
    """The share exactly, as short as it goes: ``50``, ``33.34``, else a fraction: ``100/3``. ``parse_share`` reads it."""
    places = _decimals(share)
    if places is None:
        return f"{share.numerator}/{share.denominator}"
    whole, rest = divmod(share.numerator * (10**places // share.denominator), 10**places)
    return f"{whole}.{rest:0{places}}" if places else str(whole)


def share_words(share: Fraction) -> str:
    """The share for a sentence, with its sign: ``50 %``, ``33.34 %``; cut to ``33.3333… %`` where it does not end."""
    places = _decimals(share)
    if places is not None and places <= 4:
        return figures(f"{share_text(share)} %")
    return figures(f"{Decimal(share.numerator * 10_000 // share.denominator).scaleb(-4)}… %")


def _decimals(share: Fraction) -> int | None:
    """Decimals that write the share exactly, or None when more than 12 would be needed."""
    return next((places for places in range(13) if 10**places % share.denominator == 0), None)


def exact_total(shares: Iterable[Fraction]) -> Fraction:
    """The sum. Raises ``BadValue`` when the shares have too many different denominators (``FINEST``)."""
    listed = list(shares)
    common = common_denominator(listed)
    return Fraction(sum(share.numerator * (common // share.denominator) for share in listed), common)


def common_denominator(shares: Iterable[Fraction]) -> int:
    """The smallest number that makes whole numbers of all shares. Raises ``BadValue`` above ``FINEST``."""
    common = 1
    for denominator in {share.denominator for share in shares}:
        common = lcm(common, denominator)
        if common > FINEST:
            raise BadValue(
                "shares-too-fine",
                say("The shares are fractions too different from one another to be added exactly."),
                place="shares",
                mend=say("Write them with decimals."),
            )
    return common


def printed_shares(
    shares: Sequence[Fraction], total: Fraction | Decimal | int | None = 100, decimals: int = 2
) -> list[Decimal]:
    """The shares with so many decimals, adding up to exactly ``total``; None means to their own sum.

    Shares that add up are only rounded, by the largest remainder; shares that miss the total by no more than
    ``TOLERANCE`` are first scaled to it. Shares of 0 stay 0, and nothing but zeros stays so whatever the total (the
    public domain has no shares). Raises ``BadValue`` for shares that miss the total by more, or below 0.
    """
    whole = exact_total(shares)
    if any(share < 0 for share in shares):
        raise BadValue("share-negative", say("A share is below 0."), place="shares", mend=say("Give 0 or more."))
    if not whole:
        return [Decimal(0).scaleb(-decimals)] * len(shares)
    aim = whole if total is None else Fraction(total)
    if abs(whole - aim) > TOLERANCE:
        raise BadValue(
            "shares-off-total",
            say("The shares come to {whole} and not to {aim}.", whole=share_words(whole), aim=share_words(aim)),
            place="shares",
            mend=say("Put them right, or show the rest as unknown."),
        )
    units = int(aim * 10**decimals + Fraction(1, 2))
    return [Decimal(part).scaleb(-decimals) for part in _largest_remainder([share / whole for share in shares], units)]


def _largest_remainder(parts_of_one: Sequence[Fraction], units: int) -> list[int]:
    """Split the units over parts that add up to 1; of equal remainders the larger part's counts, then the earlier."""
    split = [divmod(part.numerator * units, part.denominator) for part in parts_of_one]
    counts = [count for count, _ in split]
    lost = [Fraction(rest, part.denominator) for (_, rest), part in zip(split, parts_of_one, strict=True)]
    for position in sorted(range(len(lost)), key=lambda at: (-lost[at], -parts_of_one[at]))[: units - sum(counts)]:
        counts[position] += 1
    return counts


def intended(share: Decimal | Fraction, total: Fraction | int = 100) -> Fraction:
    """The simple part of the total that a rounded figure stands for: 100/3 for 33.33 or 33.34, 50/3 for 16.67.

    It is the one with the smallest denominator, up to ``SIMPLEST``, that is cut off or rounded up to this figure at two
    decimals or as many as are written; the figure itself when there is none. Only a whole side tells whether a fraction
    was really meant: see ``intended_shares``.
    """
    exact = Fraction(share)
    places = _written_places(exact)
    if places is None:
        return exact
    # The part of one that was written, and how far from it a part may be: less than one unit of its last place.
    written = exact / total
    unit = Fraction(1, 10**places) / total
    for parts in range(1, SIMPLEST + 1):
        nearest = (2 * written.numerator * parts + written.denominator) // (2 * written.denominator)
        miss = abs(nearest * written.denominator - written.numerator * parts)
        # miss / (parts * denominator) < unit, in whole numbers since this runs for each of many parties
        if miss * unit.denominator < unit.numerator * parts * written.denominator:
            return Fraction(nearest * total, parts)
    return exact


def _written_places(share: Fraction) -> int | None:
    places = _decimals(share)
    return None if places is None else max(2, places)


def intended_shares(shares: Sequence[Fraction], total: Fraction | int = 100) -> list[Fraction]:
    """The fractions meant by the rounded shares of a side, when those come to exactly the total; else as written.

    33.34, 33.33, 33.33 are thirds. 33.34 and 66.66 are themselves: nobody rounds a third up and two thirds down.
    """
    meant = [intended(share, total) for share in shares]
    if exact_total(meant) == total and _rounded_alike(shares, meant):
        return meant
    return list(shares)


def _rounded_alike(shares: Sequence[Fraction], meant: Sequence[Fraction]) -> bool:
    """Whether those rounded up lost more by cutting off than those cut off, as every way of rounding has it."""
    rounded = [
        (exact * 10 ** (_written_places(share) or 0) % 1, share > exact)
        for share, exact in zip(shares, meant, strict=True)
        if share != exact
    ]
    up = [lost for lost, was_raised in rounded if was_raised]
    cut = [lost for lost, was_raised in rounded if not was_raised]
    return not up or not cut or min(up) >= max(cut)


def percent_text(share: Fraction) -> str:
    """A part of 1 in per cent with one decimal, half up: ``47.9 %``."""
    tenths = (2000 * share.numerator + share.denominator) // (2 * share.denominator)
    return figures(f"{tenths // 10}.{tenths % 10}\N{NARROW NO-BREAK SPACE}%")
