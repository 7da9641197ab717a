"""Rights: what is refused, and whom to ask after administration: common practice, no published source."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.media import ALL_MEDIA, Media
from supervision.rules.rights import Administration, Grant, Option, TerritoryShare, controlled_shares
from supervision.rules.term import ALWAYS, Term
from supervision.rules.territory import WORLD, Territory


def line(share, territory="World"):
    return TerritoryShare(Territory.parse(territory), Fraction(share))


def admin(owner, administrator, territory="World"):
    return Administration(owner, administrator, Territory.parse(territory))


def short(controlled):
    return {party: [(each.territory.text, each.share) for each in lines] for party, lines in controlled.items()}


@pytest.mark.parametrize(
    ("build", "code", "place", "words"),
    [
        (
            lambda: TerritoryShare(WORLD, Fraction(-1, 100)),
            "share-negative",
            "share",
            "A share is below 0. Give 0 or more.",
        ),
        (
            lambda: Grant(ALL_MEDIA, WORLD, ALWAYS, uses=0),
            "grant-uses",
            "uses",
            "A grant has no use. Give 1 or more, or leave it out.",
        ),
        (
            lambda: Grant(ALL_MEDIA, WORLD, ALWAYS, max_seconds=Fraction(0)),
            "grant-length",
            "max_seconds",
            "A grant has no length. Give more than 0 seconds, or leave it out.",
        ),
        (
            lambda: Option("o", Grant(ALL_MEDIA, WORLD, ALWAYS), -1, "EUR"),
            "option-fee",
            "fee",
            "The fee of option o is below 0. Give 0 or more.",
        ),
    ],
)
def test_values_that_cannot_be_are_refused(build, code, place, words):
    with pytest.raises(BadValue) as caught:
        build()
    assert (caught.value.code, caught.value.place, str(caught.value)) == (code, place, words)


def test_least_values_are_taken():
    assert TerritoryShare(WORLD, Fraction(0)).share == 0
    assert Grant(ALL_MEDIA, WORLD, ALWAYS, max_seconds=Fraction(1, 24), uses=1).uses == 1
    assert Option("o", Grant(ALL_MEDIA, WORLD, ALWAYS), 0, "EUR").fee == 0


def test_grant_contains_what_lies_in_all_three():
    wide = Grant(ALL_MEDIA, WORLD, ALWAYS)
    year = Term(date(2027, 1, 1), date(2028, 1, 1))
    assert wide.contains(Grant(Media.parse("SVOD"), Territory.of("DE"), year))
    assert wide.contains(wide)
    assert not Grant(Media.parse("SVOD"), WORLD, ALWAYS).contains(wide)
    assert not Grant(ALL_MEDIA, Territory.of("DE"), ALWAYS).contains(wide)
    assert not Grant(ALL_MEDIA, WORLD, year).contains(wide)


@pytest.mark.parametrize(
    ("deadline", "today", "is_open"),
    [
        (None, date(2026, 11, 25), True),
        (date(2026, 11, 25), date(2026, 11, 25), True),
        (date(2026, 11, 24), date(2026, 11, 25), False),
        (date(2026, 11, 24), None, True),
    ],
)
def test_option_is_open_until_its_deadline(deadline, today, is_open):
    assert Option("o", Grant(ALL_MEDIA, WORLD, ALWAYS), 1, "EUR", deadline).is_open(today) == is_open


def test_owner_without_administrator_is_asked():
    assert short(controlled_shares({"a": [line(60)], "b": [line(40)]}, [])) == {
        "a": [("World", 60)],
        "b": [("World", 40)],
    }


def test_administrator_is_asked_in_its_territory():
    found = controlled_shares({"a": [line(60)]}, [admin("a", "sub", "World excl. US")])
    assert short(found) == {"a": [("US", 60)], "sub": [("World excl. US", 60)]}


def test_administrator_of_an_administrator_is_asked():
    chain = [admin("a", "b"), admin("b", "c", "EU"), admin("c", "d", "DE")]
    assert short(controlled_shares({"a": [line(100)]}, chain)) == {
        "b": [("World excl. EU", 100)],
        "c": [("EU excl. DE", 100)],
        "d": [("DE", 100)],
    }


def test_administrator_of_two_owners_holds_their_sum():
    found = controlled_shares({"a": [line(30)], "b": [line(20)]}, [admin("a", "x"), admin("b", "x")])
    assert short(found) == {"x": [("World", 50)]}


def test_first_of_two_administrators_is_asked():
    found = controlled_shares({"a": [line(100)]}, [admin("a", "x", "EU"), admin("a", "y", "Europe")])
    assert short(found)["x"] == [("EU", 100)]
    assert not any(each.territory.overlaps(Territory.parse("EU")) for each in found["y"])


@pytest.mark.parametrize("length", [1, 2, 5])
def test_administration_in_a_circle_is_refused(length):
    parties = [f"p{number}" for number in range(length)]
    circle = [admin(one, other) for one, other in zip(parties, parties[1:] + parties[:1], strict=True)]
    with pytest.raises(BadValue) as caught:
        controlled_shares({"p0": [line(100)]}, circle)
    assert caught.value.code == "administration-circle"
    assert str(caught.value) == (
        "The administration of p0 in World leads back to p0. Remove one of the administrations."
    )
    assert caught.value.place == "p0"


def test_circle_in_separate_territories_is_none():
    """a is administered by b in the EU, and b by a in the US: neither leads back."""
    found = controlled_shares({"a": [line(100)]}, [admin("a", "b", "EU"), admin("b", "a", "US")])
    assert short(found) == {"a": [("World excl. EU", 100)], "b": [("EU", 100)]}


PARTIES = ["a", "b", "c", "d"]
territories = st.sampled_from(["World", "EU", "DE", "World excl. US", "US, DE", "Europe"])
owned = st.dictionaries(
    st.sampled_from(PARTIES),
    st.lists(st.builds(line, st.sampled_from(["50", "100/3", "20"]), territories), min_size=1, max_size=2),
    max_size=3,
)
# Links lead from a party to a later one, so that there is no circle.
links = st.lists(
    st.tuples(st.sampled_from([(a, b) for a in PARTIES for b in PARTIES if a < b]), territories).map(
        lambda link: admin(*link[0], link[1])
    ),
    max_size=4,
)


@given(owned, links)
def test_controlled_shares_add_up_to_what_is_owned(shares, administrations):
    controlled = controlled_shares(shares, administrations)
    for code in ("DE", "FR", "US", "JP", "CH"):
        owned_there = sum(each.share for lines in shares.values() for each in lines if each.territory.contains(code))
        asked = sum(each.share for lines in controlled.values() for each in lines if each.territory.contains(code))
        assert asked == owned_there


@given(owned, links)
def test_nobody_is_asked_where_another_administers(shares, administrations):
    controlled = controlled_shares(shares, administrations)
    for link in administrations:
        for each in controlled.get(link.owner, ()):
            assert not each.territory.overlaps(link.territory)
