"""Fees: what a holder is paid, on which basis, and what a side, a step deal, an option or a second use comes to.

A fee is quoted either for 100 % of a side (payable = fee times share) or for the holder's own share ("2,500 for our
50 %" is 5,000 on 100 %). Shares are exact percentages from 0 to 100. Rounding to the minor unit is half up; where
several holders are paid on one 100 % fee, their parts are split by largest remainder so that they add up to it.

All of this is common practice, no published source; the words follow practice articles on synchronisation licensing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, exact, half_up, split, total
from supervision.rules.percent import exact_total
from supervision.rules.sentence import figures, say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

WHOLE = Fraction(100)
MOST_USES = 10**6


class Basis(StrEnum):
    """What a quoted amount is for: 100 % of the side, or the holder's own share of it."""

    FULL = "100"
    SHARE = "share"

    @property
    def label(self) -> str:
        """The basis in words."""
        return say("For 100 % of the side") if self is Basis.FULL else say("For the holder's share")


@dataclass(frozen=True, slots=True)
class HolderFee:
    """What one holder of a side asks: ``share`` in percent of the side."""

    holder: str
    amount: Money
    basis: Basis
    share: Fraction


@dataclass(frozen=True, slots=True)
class SideFees:
    """A side's fees: ``payable`` by holder in the order given, ``totals`` by currency.

    ``share`` is how much of the side the holders have together, ``unassigned`` what nobody has quoted for (0 when
    the shares come to more than 100).
    """

    payable: tuple[tuple[str, Money], ...]
    totals: dict[str, Money]
    share: Fraction
    unassigned: Fraction


@dataclass(frozen=True, slots=True)
class Step:
    """A milestone of a step deal and the fee due each time it is reached, ``at_most`` times (None: no limit)."""

    milestone: str
    fee: Money
    at_most: int | None = 1


@dataclass(frozen=True, slots=True)
class StepFees:
    """``due`` for the milestones reached, ``ceiling`` if all are reached as often as they can be, ``ahead`` between.

    ``ceiling`` and ``ahead`` are None when a step has no limit.
    """

    due: Money
    ceiling: Money | None
    ahead: Money | None


@dataclass(frozen=True, slots=True)
class PricedOption:
    """A further grant with its own price: exercisable on days before ``until`` (None: as long as the licence runs)."""

    name: str
    fee: Money
    until: date | None
    exercised: bool = False


@dataclass(frozen=True, slots=True)
class OptionFees:
    """``committed`` is the main fee with the options exercised; ``open`` and ``lapsed`` are priced one by one."""

    committed: dict[str, Money]
    open: tuple[PricedOption, ...]
    lapsed: tuple[PricedOption, ...]
    exposure: dict[str, Money]


class Reach(StrEnum):
    """Which uses a discount for several uses applies to."""

    FURTHER = "further"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class Discount:
    """``percent_off`` the fee per use, from use number ``from_use`` on (2 or more)."""

    from_use: int
    percent_off: Fraction


@dataclass(frozen=True, slots=True)
class UseFees:
    """Uses ``first`` to ``last`` at one fee each, and what they come to."""

    first: int
    last: int
    each: Money
    total: Money


def check_share(share: Fraction, place: str = "share") -> Fraction:
    """The share as an exact percentage from 0 to 100, else ``BadValue`` at ``place``."""
    fraction = exact(share, place)
    if not 0 <= fraction <= WHOLE:
        raise BadValue(
            "share-out-of-range",
            say("A share is a percentage from 0 to 100."),
            place=place,
            mend=say("Correct the share; a third is 33.33 or 100/3."),
        )
    return fraction


def basis_of(basis: Basis | str) -> Basis:
    """The basis named ``"100"`` or ``"share"``, else ``BadValue``."""
    if basis in tuple(Basis):
        return Basis(basis)
    raise BadValue(
        "basis-unknown",
        say("A fee is on the basis of 100 % of the side or of the holder's share."),
        place="basis",
        mend=say('Use "100" or "share".'),
    )


def payable(amount: Money, basis: Basis, share: Fraction) -> Money:
    """What a holder of ``share`` percent is paid: the amount itself, or its share of it rounded half up."""
    percent = check_share(share)
    return amount if basis_of(basis) is Basis.SHARE else amount.times(percent / WHOLE)


def rate_on_full(amount: Money, basis: Basis, share: Fraction) -> Fraction:
    """The amount restated for 100 % of the side, exact, in minor units of its currency.

    ``BadValue`` (place ``share``) when the amount is for a share of nothing, which says nothing about the whole.
    """
    percent = check_share(share)
    if basis_of(basis) is Basis.FULL:
        return Fraction(amount.minor)
    if percent == 0:
        raise BadValue(
            "share-zero",
            say("A fee for a share of 0 cannot be restated for 100 %."),
            place="share",
            mend=say("Enter the holder's share, or quote on the 100 % basis."),
        )
    return amount.minor * WHOLE / percent


def side_fees(fees: Sequence[HolderFee]) -> SideFees:
    """What each holder of one side is paid and what the side comes to.

    Holders who ask the same amount on the 100 % basis are paid out of one sum: that amount for their shares together,
    rounded half up once and split by largest remainder (ties to the earlier). So three thirds of 100.00 are
    33.34 + 33.33 + 33.33 and the side is 100.00, not 99.99.
    """
    full = [fee for fee in fees if basis_of(fee.basis) is Basis.FULL]
    divided = iter(divide_rates([(Fraction(fee.amount.minor), fee.amount.currency, fee.share) for fee in full]))
    parts = [next(divided) if basis_of(fee.basis) is Basis.FULL else fee.amount for fee in fees]
    share = exact_total(check_share(fee.share, fee.holder) for fee in fees)
    return SideFees(
        payable=tuple((fee.holder, part) for fee, part in zip(fees, parts, strict=True)),
        totals=total(parts),
        share=share,
        unassigned=max(WHOLE - share, Fraction(0)),
    )


def divide_rates(rates: Sequence[tuple[Fraction, str, Fraction]]) -> list[Money]:
    """The amounts payable at ``(100 % rate in minor units, currency, share in percent)``, in the order given.

    Equal rates in one currency are one sum, split by largest remainder as in ``side_fees``. Linear in the number of
    rates but for one sort.
    """
    groups: dict[tuple[Fraction, str], list[int]] = {}
    for index, (rate, currency, _) in enumerate(rates):
        groups.setdefault((rate, currency), []).append(index)
    parts: dict[int, Money] = {}
    for (rate, currency), members in groups.items():
        shares = [check_share(rates[index][2]) for index in members]
        together = exact_total(shares)
        whole = Money(half_up(rate * together / WHOLE), currency)
        # A group of zero shares has nothing to divide, and split() refuses it.
        divided = split(whole, shares) if together else [whole] * len(members)
        parts.update(zip(members, divided, strict=True))
    return [parts[index] for index in range(len(rates))]


def divide_side(fee: Money, shares: Sequence[Fraction]) -> tuple[list[Money], Money]:
    """A side's 100 % fee over the holders' shares, and the part that belongs to nobody named; all add up to the fee.

    ``BadValue`` (place ``shares``) when the shares come to more than 100.
    """
    percents = [check_share(share, "shares") for share in shares]
    left = WHOLE - exact_total(percents)
    if left < 0:
        raise BadValue(
            "shares-over-100",
            say("The shares of the side come to more than 100."),
            place="shares",
            mend=say("Correct the shares before dividing a fee over them."),
        )
    *parts, unassigned = split(fee, [*percents, left])
    return parts, unassigned


def split_all_in(amount: Money, sync_percent: Fraction = Fraction(50)) -> tuple[Money, Money]:
    """An all-in fee as (sync, master): half each unless said otherwise; an odd minor unit goes to the sync side."""
    percent = check_share(sync_percent, "sync_percent")
    sync, master = split(amount, [percent, WHOLE - percent])
    return sync, master


def step_fees(steps: Sequence[Step], reached: Mapping[str, int]) -> StepFees:
    """What a step deal comes to when each milestone has been reached as many times as ``reached`` says.

    Times beyond a step's ``at_most`` cost nothing more. ``BadValue`` for no steps, two steps of one name, a milestone
    that the deal does not name, or a negative count; all fees must be in one currency.
    """
    _check_steps(steps, reached)
    nothing = Money(0, steps[0].fee.currency)
    due, ceiling = nothing, nothing
    for step in steps:
        times = reached.get(step.milestone, 0)
        due += step.fee.times(times if step.at_most is None else min(times, step.at_most))
        ceiling += step.fee.times(step.at_most or 0)
    if any(step.at_most is None for step in steps):
        return StepFees(due, None, None)
    return StepFees(due, ceiling, ceiling - due)


def _check_steps(steps: Sequence[Step], reached: Mapping[str, int]) -> None:
    names = {step.milestone for step in steps}
    if not steps or len(names) < len(steps):
        raise BadValue(
            "steps-unclear",
            say("A step deal needs at least one step, each with a name of its own."),
            place="steps",
            mend=say("Name each milestone once."),
        )
    for milestone, times in reached.items():
        if milestone not in names or type(times) is not int or times < 0:
            raise BadValue(
                "milestone-unknown",
                say("A milestone was counted that the deal does not have, or not with a whole number from 0."),
                place="reached",
                mend=say("Count only the milestones that the steps name."),
            )


def option_fees(main: Money, options: Sequence[PricedOption], today: date) -> OptionFees:
    """The main fee with what has been exercised, and each option still open or lapsed, priced separately.

    An option can be exercised on every day before ``until``. ``exposure`` is what the grant comes to by currency if
    every open option is exercised too; lapsed ones are in neither sum.
    """
    unexercised = [option for option in options if not option.exercised]
    still_open = tuple(option for option in unexercised if option.until is None or today < option.until)
    lapsed = tuple(option for option in unexercised if option.until is not None and option.until <= today)
    paid = [main, *(option.fee for option in options if option.exercised)]
    return OptionFees(total(paid), still_open, lapsed, total([*paid, *(option.fee for option in still_open)]))


def fees_for_uses(
    per_use: Money, uses: int, discounts: Sequence[Discount], reach: Reach = Reach.FURTHER
) -> list[UseFees]:
    """What ``uses`` of one song cost at ``per_use`` each with a discount for several uses, as runs of equal fees.

    ``Reach.FURTHER``: each use pays its own number's discount, the first pays in full. ``Reach.ALL``: the discount
    that the last use earns applies to every use. Each use's fee is rounded half up, so the runs' totals add up.
    ``BadValue`` for a number of uses below 1 or above ``MOST_USES``, and for discounts that do not start at use 2 or
    later in rising order.
    """
    _check_uses(uses, discounts)
    earned = [discount for discount in discounts if discount.from_use <= uses]
    if reach is Reach.ALL:
        percent = earned[-1].percent_off if earned else Fraction(0)
        return [_run(per_use, 1, uses, percent)]
    starts = [(1, Fraction(0)), *((discount.from_use, discount.percent_off) for discount in earned)]
    ends = [first - 1 for first, _ in starts[1:]] + [uses]
    return [_run(per_use, first, last, percent) for (first, percent), last in zip(starts, ends, strict=True)]


def _run(per_use: Money, first: int, last: int, percent_off: Fraction) -> UseFees:
    each = per_use.times((WHOLE - check_share(percent_off, "percent_off")) / WHOLE)
    return UseFees(first, last, each, each.times(last - first + 1))


def _check_uses(uses: int, discounts: Sequence[Discount]) -> None:
    if type(uses) is not int or not 1 <= uses <= MOST_USES:
        raise BadValue(
            "uses-out-of-range",
            say("The number of uses is a whole number from 1 to {most}.", most=figures(f"{MOST_USES:,}")),
            place="uses",
            mend=say("Count the uses again."),
        )
    starts = [1, *(discount.from_use for discount in discounts)]
    if any(earlier >= later for earlier, later in pairwise(starts)):
        raise BadValue(
            "discounts-out-of-order",
            say("Discounts start at use 2 or later, each at a later use than the one before."),
            place="discounts",
            mend=say("Put the discounts in the order of their first use."),
        )


def uses_charged(seconds: int, *, per_minute: bool) -> int:
    """How often a library's agreement charges for one use: once, or for each minute begun, and at least for one."""
    return max(1, -(-seconds // 60)) if per_minute else 1
