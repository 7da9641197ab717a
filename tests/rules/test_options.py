"""Options: the cheapest set that meets every need, against brute force over all sets of options."""

import random
from datetime import date
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.rules.coverage_boxes import Effort
from supervision.rules.errors import BadValue
from supervision.rules.media import ALL_MEDIA, Media, Medium
from supervision.rules.options import MOST_EXACT, Choice, _greedy, cheapest, fees_of, needs_of, usable_options
from supervision.rules.rights import Grant, Holder, Option, SideRights
from supervision.rules.term import ALWAYS, Term
from supervision.rules.territory import WORLD, Territory


def brute_force(needs, fees):
    """The least fee, then the fewest options, of all sets that meet every need: 2^n sets in one array."""
    names = sorted(fees)
    sets = np.arange(2 ** len(names), dtype=np.int64)
    meets = np.ones(len(sets), dtype=bool)
    for need in needs:
        meets &= (sets & sum(1 << names.index(name) for name in need)) != 0
    fee = sum((((sets >> at) & 1) * fees[name] for at, name in enumerate(names)), np.zeros(len(sets), dtype=np.int64))
    count = sum(((sets >> at) & 1 for at in range(len(names))), np.zeros(len(sets), dtype=np.int64))
    return min(zip(fee[meets].tolist(), count[meets].tolist(), strict=True))


def needs(*words):
    return {frozenset(word) for word in words}


@pytest.mark.parametrize(
    ("wanted", "fees", "ids", "fee"),
    [
        ((), {"a": 1}, (), 0),
        (("a",), {"a": 1, "b": 0}, ("a",), 1),
        (("ab",), {"a": 2, "b": 1}, ("b",), 1),
        (("ab", "bc"), {"a": 1, "b": 3, "c": 1}, ("a", "c"), 2),
        (("ab", "bc"), {"a": 1, "b": 2, "c": 1}, ("b",), 2),
        (("ab", "bc"), {"a": 1, "b": 1, "c": 1}, ("b",), 1),
        (("ab", "a"), {"a": 9, "b": 1}, ("a",), 9),
        (("ab", "cd"), {"a": 1, "b": 1, "c": 1, "d": 1}, ("a", "c"), 2),
        (("ab", "bc", "ca"), {"a": 0, "b": 0, "c": 0}, ("a", "b"), 0),
    ],
)
def test_cheapest(wanted, fees, ids, fee):
    assert cheapest(needs(*wanted), fees) == Choice(ids, fee, exact=True)


letters = st.sets(st.sampled_from("abcdefgh"), min_size=1, max_size=4).map(frozenset)


@settings(max_examples=300)
@given(st.sets(letters, max_size=8), st.lists(st.integers(0, 5), min_size=8, max_size=8))
def test_cheapest_is_that_of_brute_force(wanted, prices):
    fees = dict(zip("abcdefgh", prices, strict=True))
    choice = cheapest(wanted, fees)
    assert (choice.fee, len(choice.ids)) == brute_force(wanted, fees)
    assert choice.exact
    assert choice.fee == sum(fees[name] for name in choice.ids)
    assert all(need & set(choice.ids) for need in wanted)


@pytest.mark.parametrize("seed", range(6))
def test_cheapest_of_twenty_options_is_exact(seed):
    """2^20 sets by brute force; half of the seeds give fees that hardly differ, which bounds prune least."""
    chance = random.Random(seed)  # noqa: S311 - invents figures
    names = "abcdefghijklmnopqrst"
    fees = {name: chance.randint(1, 10_000) if seed % 2 else 100 + chance.randint(0, 1) for name in names}
    wanted = {frozenset(chance.sample(names, chance.randint(2, 4))) for _ in range(40)}
    choice = cheapest(wanted, fees)
    assert (choice.fee, len(choice.ids)) == brute_force(wanted, fees)
    assert choice.exact


def test_cheapest_of_more_options_that_hang_together_is_good_but_not_exact():
    """A chain of 21 options: alternate ones would do; the answer meets every need and wastes no option."""
    names = [f"o{number:02}" for number in range(MOST_EXACT + 1)]
    wanted = {frozenset(pair) for pair in pairwise(names)}
    choice = cheapest(wanted, dict.fromkeys(names, 1))
    assert not choice.exact
    assert all(need & set(choice.ids) for need in wanted)
    for spare in choice.ids:
        assert not all(need & set(choice.ids) - {spare} for need in wanted)
    assert cheapest([pair for pair in wanted if names[0] not in pair], dict.fromkeys(names, 1)).exact


def test_cheapest_of_many_options_apart_is_exact():
    names = [f"o{number:03}" for number in range(400)]
    wanted = {frozenset(names[at : at + 4]) for at in range(0, 400, 4)}
    choice = cheapest(wanted, {name: 7 - number % 4 for number, name in enumerate(names)})
    assert choice == Choice(tuple(names[3::4]), 400, exact=True)


@pytest.mark.parametrize(
    ("wanted", "prices", "chosen"),
    [
        # The cheap option 0 is taken first for two needs; 1 and 2, taken for the others, meet those as well.
        ([{0, 1}, {0, 2}, {1, 3}, {2, 4}], [10, 30, 30, 90, 90], {1, 2}),
        # 0, 3 and 4 are taken; without 3 the rest still does, and 3 is dearer than 0.
        ([{3, 4}, {0, 3}, {4}], [10, 80, 50, 20, 40], {0, 4}),
        # 1 meets three needs for 24 and beats 0, which meets one for 9.
        ([{0, 1}, {1, 2}, {1, 3}], [9, 24, 9, 9], {1}),
        ([{0, 1}, {1, 2}, {1, 3}], [7, 24, 7, 7], {0, 2, 3}),
        ([{0, 1}], [5, 5], {0}),
        ([{7}], [1] * 8, {7}),
    ],
)
def test_greedy_choice(wanted, prices, chosen):
    """What is taken beyond 20 options that hang together, on cases small enough to follow."""
    needs = [sum(1 << at for at in need) for need in wanted]
    assert _greedy(needs, prices) == sum(1 << at for at in chosen)


def test_greedy_choice_prefers_what_meets_most_for_its_fee():
    names = [f"o{number:02}" for number in range(25)]
    wanted = [frozenset({names[0], name}) for name in names[1:]]
    fees = dict.fromkeys(names, 10)
    assert cheapest(wanted, fees) == Choice((names[0],), 10, exact=False)
    assert cheapest(wanted, fees | {names[0]: 10_000}).ids == tuple(names[1:])


def option(name, fee=1, *, media=ALL_MEDIA, territory=WORLD, term=ALWAYS, currency="EUR", deadline=None, **limits):
    return Option(name, Grant(media, territory, term, **limits), fee, currency, deadline)


def test_needs_are_told_apart_where_the_options_are():
    box = (ALL_MEDIA.mask, WORLD.mask, 10, 20)
    eu, rest = Territory.parse("EU"), Territory.parse("World excl. EU")
    svod = Media.of(Medium.SVOD)
    found = needs_of(box, [[option("eu", territory=eu), option("rest", territory=rest)]], Effort(1000))
    assert found == {(frozenset({"eu"}),), (frozenset({"rest"}),)}
    assert needs_of(box, [[option("a", media=svod)], [option("b")]], Effort(1000)) == {
        (frozenset({"a"}), frozenset({"b"})),
        (frozenset(), frozenset({"b"})),
    }
    outside = option("c", term=Term(None, date.fromordinal(10)))
    assert needs_of(box, [[outside]], Effort(1000)) == {(frozenset(),)}
    late = option("d", term=Term(date.fromordinal(15)))
    assert needs_of(box, [[late]], Effort(1000)) == {(frozenset(),), (frozenset({"d"}),)}


def test_needs_take_effort():
    with pytest.raises(BadValue, match="too many different dates"):
        needs_of((1, 1, 0, 9), [[option("a")]], Effort(1))


def test_usable_options_are_open_and_suffice():
    today = date(2026, 11, 25)
    offers = (
        option("open"),
        option("today", deadline=today),
        option("past", deadline=date(2026, 11, 24)),
        option("short", max_seconds=Fraction(29)),
        option("long", max_seconds=Fraction(30)),
        option("once", uses=1),
        option("twice", uses=2),
    )
    holder = Holder("a", (), (), offers)
    side = SideRights("s", (holder,), seconds=Fraction(30), uses=2)
    assert [each.id for each in usable_options(side, holder, today)] == ["open", "today", "long", "twice"]
    assert [each.id for each in usable_options(side, holder, None)] == ["open", "today", "past", "long", "twice"]
    unmeasured = SideRights("s", (holder,))
    assert len(usable_options(unmeasured, holder, None)) == 7


def test_fees_of_options():
    assert fees_of([option("a", 5), option("b", 7), option("a", 5)]) == ({"a": 5, "b": 7}, "EUR")
    assert fees_of([]) == ({}, "")
