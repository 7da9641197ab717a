"""The two conventions, converted exactly and printed so that sides add up."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.percent import exact_total, printed_shares
from supervision.rules.split import (
    Convention,
    ShareEntry,
    Totals,
    Unknown,
    converted,
    in_public_domain,
    printed,
    read_convention,
    read_entry,
    totals,
    unknown,
)

HUNDRED, TWO_HUNDRED = Convention.HUNDRED, Convention.TWO_HUNDRED


def split(**sides):
    """Entries from ``C=["25", …]``, named after role and number."""
    return [
        read_entry(f"{role}{number}", role, share)
        for role, listed in sides.items()
        for number, share in enumerate(listed)
    ]


def shares(parties):
    return [party.share for party in parties]


def figures(parties, convention):
    return [str(figure) for figure in printed(parties, convention)]


def test_convention_is_read_and_has_another():
    assert [read_convention("100"), read_convention("200")] == [HUNDRED, TWO_HUNDRED]
    assert (HUNDRED.other, TWO_HUNDRED.other) == (TWO_HUNDRED, HUNDRED)
    assert HUNDRED.label == "writers and publishers together 100"
    assert TWO_HUNDRED.label == "writers 100, publishers 100"


@pytest.mark.parametrize("text", ["", "300", "1", 100, None, ["100"]])
def test_convention_that_is_not_known_is_refused(text):
    with pytest.raises(BadValue) as caught:
        read_convention(text)
    error = caught.value
    assert (error.code, error.place, error.text, error.mend) == (
        "convention-unknown", "convention", "The convention is not known.", "Give 100 or 200.",
    )  # fmt: skip


def test_entry_is_read_from_text():
    assert read_entry("Ada", "ca", "100/3") == ShareEntry("Ada", WriterRole.CA, Fraction(100, 3))
    assert read_entry("Ada", "PA", "5", writer=True).is_writer
    assert not read_entry("Ada", "PA", "5").is_writer


def test_entry_refusal_names_its_place():
    for role, share, place, expected in (
        ("x", "5", "parties[3]", "parties[3].role"),
        ("C", "x", "parties[3]", "parties[3].share"),
        ("x", "5", "", "role"),
        ("C", "x", "", "share"),
    ):
        with pytest.raises(BadValue) as caught:
            read_entry("Ada", role, share, place=place)
        assert caught.value.place == expected
    with pytest.raises(BadValue) as caught:
        read_entry("Ada", "x", "5")
    assert caught.value.place == "role"


@pytest.mark.parametrize("share", [Fraction(-1, 100), 5, 0.5, Decimal(5), "5", None])
def test_entry_takes_only_exact_shares_from_zero(share):
    with pytest.raises(BadValue) as caught:
        ShareEntry("Ada", WriterRole.C, share)
    error = caught.value
    assert (error.code, error.place, error.text, error.mend) == (
        "share-out-of-range", "Ada", "A share is an exact number, 0 or more.", "Give per cent from 0 to 100.",
    )  # fmt: skip
    with pytest.raises(BadValue) as caught:
        ShareEntry("", WriterRole.C, share)
    assert caught.value.place == "share"


def test_totals_are_of_the_two_sides():
    parties = [*split(C=["25", "10"], E=["20"], SE=["5"]), ShareEntry("Eve", WriterRole.PA, Fraction(15))]
    assert totals(parties) == Totals(writers=Fraction(50), publishers=Fraction(25))
    assert totals(parties).together == 75
    assert totals([]) == Totals(Fraction(0), Fraction(0))


def test_work_is_in_the_public_domain_when_every_writer_is():
    old = ShareEntry("Old", WriterRole.C, Fraction(0), public_domain=True)
    assert in_public_domain([old, *split(E=["0"])])
    assert not in_public_domain([old, *split(AR=["50"])])
    assert not in_public_domain(split(E=["0"]))
    assert not in_public_domain([])


# --- what is unknown -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("convention", "parties", "writers", "publishers"),
    [
        (HUNDRED, split(C=["50"], E=["50"]), 0, 0),
        (HUNDRED, split(C=["50"], E=["30"]), 0, 20),
        (HUNDRED, split(C=["20"], E=["50"]), 30, 0),
        (HUNDRED, split(C=["20"], E=["20"]), 30, 30),
        (HUNDRED, split(C=["75"]), 0, 25),
        (HUNDRED, split(C=["100"]), 0, 0),
        (HUNDRED, split(C=["80"], E=["50"]), 0, 0),
        (HUNDRED, split(C=["0"], E=["0"]), 50, 50),
        (HUNDRED, [], 50, 50),
        (HUNDRED, split(C=["33.33"], E=["66.61"]), 0, 0),
        (HUNDRED, split(C=["50"], E=["49.93"]), 0, Fraction(7, 100)),
        (HUNDRED, split(C=["49.95"], E=["40"]), 0, Fraction(1005, 100)),
        (TWO_HUNDRED, split(C=["100"], E=["100"]), 0, 0),
        (TWO_HUNDRED, split(C=["99.94"], E=["99.93"]), 0, Fraction(7, 100)),
        (TWO_HUNDRED, split(C=["60"], E=["30"]), 40, 70),
        (TWO_HUNDRED, split(C=["100"]), 0, 100),
        (TWO_HUNDRED, split(C=["120"], E=["100"]), 0, 0),
    ],
)  # fmt: skip
def test_missing_shares_are_told_by_side(convention, parties, writers, publishers):
    assert unknown(parties, convention) == Unknown(Fraction(writers), Fraction(publishers))
    assert unknown(parties, convention).together == writers + publishers


def test_shares_of_nameless_parties_are_unknown():
    parties = [
        *split(C=["40"], E=["50"]),
        ShareEntry("", WriterRole.C, Fraction(5)),
        ShareEntry("", PublisherRole.E, Fraction(2)),
    ]
    assert unknown(parties, HUNDRED) == Unknown(Fraction(5 + 3), Fraction(2))


def test_nothing_is_missing_in_the_public_domain():
    old = ShareEntry("Old", WriterRole.C, Fraction(0), public_domain=True)
    for convention in Convention:
        assert unknown([old], convention).together == 0
    assert unknown([old, *split(AR=["30"])], TWO_HUNDRED).writers == 70


# --- conversion ------------------------------------------------------------------------------------------------------


def test_standard_split_converts_by_doubling():
    # The pair of statements by which the two systems are commonly explained; BMI's limits are 100 and 100.
    hundred = split(C=["25"], A=["25"], E=["25", "25"])
    there = converted(hundred, HUNDRED)
    assert shares(there.parties) == [50, 50, 50, 50]
    assert (there.convention, there.writers_factor, there.publishers_factor) == (TWO_HUNDRED, 2, 2)
    back = converted(there.parties, TWO_HUNDRED)
    assert list(back.parties) == hundred
    assert (back.convention, back.writers_factor, back.publishers_factor) == (HUNDRED, Fraction(1, 2), Fraction(1, 2))


def test_thirds_convert_as_thirds_and_not_as_doubled_roundings():
    third = Fraction(100, 3)
    for typed in (["16.67", "16.67", "16.66"], ["16.67", "16.67", "16.67"], ["50/3", "50/3", "50/3"]):
        there = converted(split(C=typed, E=["50"]), HUNDRED)
        assert shares(there.parties) == [third, third, third, 100]
        assert figures(there.parties, TWO_HUNDRED) == ["33.34", "33.33", "33.33", "100.00"]


def test_thirds_typed_out_of_200_convert_to_thirds_of_a_half():
    there = converted(split(C=["33.34", "33.33", "33.33"], E=["100"]), TWO_HUNDRED)
    assert shares(there.parties) == [Fraction(50, 3)] * 3 + [50]
    assert figures(there.parties, HUNDRED) == ["16.67", "16.67", "16.66", "50.00"]


def test_publishers_with_less_than_half_are_scaled_with_their_own_factor():
    there = converted(split(C=["75"], E=["25"]), HUNDRED)
    assert shares(there.parties) == [100, 100]
    assert (there.writers_factor, there.publishers_factor) == (Fraction(4, 3), 4)
    back = converted(there.parties, TWO_HUNDRED, writers_part=Fraction(75))
    assert shares(back.parties) == [75, 25]


def test_split_into_thirds_over_both_sides_is_recognised():
    there = converted(split(C=["33.33", "33.33"], E=["33.34"]), HUNDRED)
    assert shares(there.parties) == [50, 50, 100]
    assert (there.writers_factor, there.publishers_factor) == (Fraction(3, 2), 3)


def test_sides_of_half_each_tell_before_the_whole_split_does():
    # Thirteenths of 50 are 26ths of the whole, which nobody would look for there; the thirds alone would be found.
    there = converted(split(C=["16.67", "33.33"], E=["3.85", "19.23", "26.92"]), HUNDRED)
    assert shares(there.parties) == [
        Fraction(100, 3),
        Fraction(200, 3),
        *(Fraction(100 * part, 13) for part in (1, 5, 7)),
    ]


def test_unpublished_work_stays_the_writers():
    there = converted(split(C=["50", "50"]), HUNDRED)
    assert shares(there.parties) == [50, 50]
    assert (there.writers_factor, there.publishers_factor) == (1, 1)
    back = converted(there.parties, TWO_HUNDRED)
    assert shares(back.parties) == [50, 50]


def test_incomplete_split_keeps_what_is_unknown():
    there = converted(split(C=["25"], E=["40"]), HUNDRED)
    assert shares(there.parties) == [50, 80]
    assert (there.writers_factor, there.publishers_factor) == (2, 2)
    assert unknown(there.parties, TWO_HUNDRED) == Unknown(Fraction(50), Fraction(20))
    assert shares(converted(there.parties, TWO_HUNDRED).parties) == [25, 40]


def test_split_complete_within_the_tolerance_becomes_exactly_complete():
    there = converted(split(C=["49.99"], E=["49.98"]), HUNDRED)
    assert shares(there.parties) == [100, 100]
    back = converted(split(C=["99.94"], E=["100.06"]), TWO_HUNDRED)
    assert shares(back.parties) == [50, 50]
    assert shares(converted(split(C=["99.93"], E=["100"]), TWO_HUNDRED).parties) == [Fraction(9993, 200), 50]
    assert shares(converted(split(C=["50"], E=["49.93"]), HUNDRED).parties) == [100, Fraction(9986, 100)]


def test_one_recognised_side_stays_so_beside_another_that_is_not():
    there = converted(split(C=["16.66", "33.33"], E=["12.34", "37.65"]), HUNDRED)
    assert shares(there.parties)[:2] == [Fraction(100, 3), Fraction(200, 3)]


def test_publisher_without_share_still_leaves_writers_half():
    assert shares(converted(split(C=["100"], E=["0"]), TWO_HUNDRED).parties) == [50, 0]


def test_public_domain_converts_to_nothing():
    old = ShareEntry("Old", WriterRole.C, Fraction(0), public_domain=True)
    for convention in Convention:
        assert converted([old], convention).parties == (old,)


weights = st.lists(st.integers(1, 8), min_size=1, max_size=4)


@given(weights, weights, st.integers(50, 99))
def test_exact_split_converts_there_and_back(writer_weights, publisher_weights, writers_part):
    part = Fraction(writers_part)
    exact = [
        *(
            ShareEntry(f"W{at}", WriterRole.CA, part * one / sum(writer_weights))
            for at, one in enumerate(writer_weights)
        ),
        *(
            ShareEntry(f"P{at}", PublisherRole.E, (100 - part) * one / sum(publisher_weights))
            for at, one in enumerate(publisher_weights)
        ),
    ]
    there = converted(exact, HUNDRED)
    assert totals(there.parties) == Totals(Fraction(100), Fraction(100))
    back = converted(there.parties, TWO_HUNDRED, writers_part=part)
    assert totals(back.parties) == Totals(part, 100 - part)
    assert all(
        abs(one - other) < Fraction(1, 100) for one, other in zip(shares(back.parties), shares(exact), strict=True)
    )


@given(weights, weights)
def test_rounded_split_converts_as_the_split_that_was_rounded(writer_weights, publisher_weights):
    sides = [
        (WriterRole.CA, [Fraction(50 * one, sum(writer_weights)) for one in writer_weights]),
        (PublisherRole.E, [Fraction(50 * one, sum(publisher_weights)) for one in publisher_weights]),
    ]
    typed = [
        ShareEntry(f"{role}{at}", role, Fraction(figure))
        for role, exact in sides
        for at, figure in enumerate(printed_shares(exact, 50))
    ]
    there = converted(typed, HUNDRED)
    small = all(sum(one) <= 24 for one in (writer_weights, publisher_weights))
    meant = [2 * share for _, exact in sides for share in exact]
    assert shares(there.parties) == meant if small else totals(there.parties) == Totals(Fraction(100), Fraction(100))


@given(weights, weights, st.integers(50, 99), st.sampled_from(Convention))
def test_printed_sides_add_up(writer_weights, publisher_weights, writers_part, convention):
    part = Fraction(writers_part) if convention is HUNDRED else Fraction(100)
    rest = 100 - part if convention is HUNDRED else Fraction(100)
    parties = [
        *(ShareEntry(f"W{at}", WriterRole.CA, part * one / sum(writer_weights)) for at, one in enumerate(writer_weights)),
        *(ShareEntry(f"P{at}", PublisherRole.E, rest * one / sum(publisher_weights)) for at, one in enumerate(publisher_weights)),
    ]  # fmt: skip
    figured = printed(parties, convention)
    assert sum(figured[: len(writer_weights)]) == part
    assert sum(figured[len(writer_weights) :]) == rest


# --- printing --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("convention", "parties", "expected"),
    [
        (HUNDRED, split(C=["16.67", "16.67", "16.66"], E=["50"]), ["16.67", "16.67", "16.66", "50.00"]),
        (HUNDRED, split(C=["16.67", "16.67", "16.67"], E=["50"]), ["16.67", "16.67", "16.66", "50.00"]),
        (HUNDRED, split(C=["50"], E=["16.66", "16.66", "16.66"]), ["50.00", "16.67", "16.67", "16.66"]),
        (HUNDRED, split(C=["50.02"], E=["49.98"]), ["50.02", "49.98"]),
        (HUNDRED, split(C=["200/3"], E=["100/3"]), ["66.67", "33.33"]),
        (HUNDRED, split(C=["33.33", "33.33"], E=["33.33"]), ["33.34", "33.33", "33.33"]),
        (HUNDRED, split(C=["50"], E=["30"]), ["50.00", "30.00"]),
        (HUNDRED, split(C=["50"], E=["10.005"]), ["50.00", "10.01"]),
        (TWO_HUNDRED, split(C=["33.33"] * 3, E=["100"]), ["33.34", "33.33", "33.33", "100.00"]),
        (TWO_HUNDRED, split(C=["100"], E=["50"]), ["100.00", "50.00"]),
        (TWO_HUNDRED, split(E=["99.95"], C=["60"]), ["100.00", "60.00"]),
        (TWO_HUNDRED, [], []),
    ],
)  # fmt: skip
def test_split_prints_so_that_complete_sides_add_up(convention, parties, expected):
    assert figures(parties, convention) == expected


def test_split_of_ten_thousand_parties_is_converted_and_printed():
    parties = [
        ShareEntry(f"P{number}", (WriterRole.CA, PublisherRole.E)[number % 2], Fraction(number, 10**10))
        for number in range(10_000)
    ]
    there = converted(parties, HUNDRED)
    printed(there.parties, TWO_HUNDRED)
    assert exact_total(shares(there.parties)) == 2 * exact_total(shares(parties))


def test_shares_too_different_to_add_are_refused():
    parties = [ShareEntry("", WriterRole.C, Fraction(1, 10**9 + number)) for number in range(1000)]
    for deed in (totals, lambda listed: converted(listed, HUNDRED), lambda listed: printed(listed, HUNDRED)):
        with pytest.raises(BadValue) as caught:
            deed(parties)
        assert caught.value.code == "shares-too-fine"
