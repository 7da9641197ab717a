"""Shares out of the wrong total, put right from the fractions that were meant.

Worked figures: BMI, Work Registration Terms (100 for writers and 100 for publishers); three writers at 16.67, 16.67,
16.66 of 100 are thirds of their side, where doubling would print 33.34, 33.34, 33.32.
"""

from fractions import Fraction

import pytest

from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.share_basis import put_right, split_words
from supervision.rules.split import ShareEntry


def writers(*shares):
    return [ShareEntry(f"W{n}", WriterRole.CA, Fraction(share)) for n, share in enumerate(shares)]


def publishers(*shares):
    return [ShareEntry(f"P{n}", PublisherRole.E, Fraction(share)) for n, share in enumerate(shares)]


def shares(entries):
    return [entry.share for entry in entries]


def test_100_together_is_doubled():
    # C 25, A 25, E 25, E 25 out of 100 are 50, 50, 50, 50 out of 200.
    assert shares(put_right([*writers(25, 25), *publishers(25, 25)])) == [50, 50, 50, 50]


def test_rounded_thirds_become_thirds():
    found = put_right([*writers("16.67", "16.67", "16.66"), *publishers(50)])
    assert shares(found) == [Fraction(100, 3)] * 3 + [100]


def test_publishers_with_less_than_half_are_scaled_to_their_side():
    assert shares(put_right([*writers(60), *publishers(40)])) == [100, 100]


def test_writers_given_all_200_are_halved():
    assert shares(put_right(writers(100, 100))) == [50, 50]
    assert shares(put_right(writers("66.67", "66.67", "66.66"))) == [Fraction(100, 3)] * 3


@pytest.mark.parametrize(
    "entries",
    [
        [*writers(100), *publishers(100)],
        writers(100),
        [*writers(40), *publishers(60)],
        [*writers(50), *publishers(100)],
        [*writers(100, 100), *publishers(100)],
    ],
)
def test_what_looks_right_or_cannot_be_told_is_left(entries):
    assert put_right(entries) is None


def test_split_reads_as_a_line():
    unknown = ShareEntry("", PublisherRole.E, Fraction(100, 3))
    assert split_words([*writers(50), unknown]) == "W0 50 %, unknown 33.3333… %"
