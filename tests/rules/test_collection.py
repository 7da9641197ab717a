"""Who collects what where: sums are kept, ownership is not touched. Source: CISAC CWR19-1070, edits 14, 27 and 44."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.collection import Collection, Mandate, check_collected, check_mandates, collected_in, collections
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.split import Convention, ShareEntry, read_entry, totals
from supervision.rules.territory import WORLD, Territory

AM, SE = PublisherRole.AM, PublisherRole.SE
GERMANY = Territory.of("DE")
SPLIT = [read_entry("Wren", "CA", "50"), read_entry("Oak", "E", "30"), read_entry("Elm", "E", "20")]


def amounts(parties):
    return [(party.name, str(party.role), party.share) for party in parties]


def test_without_mandates_everyone_collects_what_is_owned():
    assert collections(SPLIT, []) == [Collection(WORLD, tuple(SPLIT))]


def test_sub_publisher_collects_in_its_territory_only():
    there, elsewhere = collections(SPLIT, [Mandate("Oak", "Linde", SE, GERMANY)])
    assert (there.territory.text, elsewhere.territory.text) == ("DE", "World excl. DE")
    assert amounts(there.parties) == [("Wren", "CA", 50), ("Oak", "E", 0), ("Elm", "E", 20), ("Linde", "SE", 30)]
    assert elsewhere.parties == tuple(SPLIT)


def test_sub_publisher_may_collect_a_part():
    found = collected_in(GERMANY, SPLIT, [Mandate("Oak", "Linde", SE, GERMANY, Fraction(100, 3))])
    assert amounts(found) == [("Wren", "CA", 50), ("Oak", "E", 20), ("Elm", "E", 20), ("Linde", "SE", 10)]


def test_what_is_collected_for_another_may_be_passed_on():
    mandates = [
        Mandate("Ash", "Linde", SE, GERMANY, Fraction(75)),
        Mandate("Oak", "Ash", AM, WORLD),
        Mandate("Elm", "Ash", AM, WORLD, Fraction(50)),
    ]
    there, elsewhere = collections(SPLIT, mandates)
    assert amounts(there.parties) == [
        ("Wren", "CA", 50), ("Oak", "E", 0), ("Elm", "E", 10), ("Linde", "SE", 30), ("Ash", "AM", 10),
    ]  # fmt: skip
    assert amounts(elsewhere.parties)[3:] == [("Ash", "AM", 40)]


def test_publisher_may_own_and_collect_for_another():
    found = collected_in(WORLD, SPLIT, [Mandate("Oak", "Elm", AM, WORLD)])
    assert amounts(found)[1:] == [("Oak", "E", 0), ("Elm", "E", 20), ("Elm", "AM", 30)]
    both = collected_in(
        WORLD, SPLIT, [Mandate("Oak", "Elm", AM, WORLD), Mandate("Elm", "Ash", SE, WORLD, Fraction(50))]
    )
    assert amounts(both)[1:] == [("Oak", "E", 0), ("Elm", "E", 10), ("Elm", "AM", 15), ("Ash", "SE", 25)]


def test_publisher_listed_twice_leaves_both_its_shares():
    twice = [*SPLIT, read_entry("Oak", "ES", "6")]
    found = collected_in(WORLD, twice, [Mandate("Oak", "Ash", AM, WORLD, Fraction(50))])
    assert amounts(found)[1:] == [("Oak", "E", 15), ("Elm", "E", 20), ("Oak", "ES", 3), ("Ash", "AM", 18)]


def test_writer_of_the_same_name_is_not_the_publisher():
    own = [read_entry("Wren", "CA", "50"), read_entry("Wren", "E", "50")]
    found = collected_in(WORLD, own, [Mandate("Wren", "Ash", AM, WORLD)])
    assert amounts(found) == [("Wren", "CA", 50), ("Wren", "E", 0), ("Ash", "AM", 50)]


@pytest.mark.parametrize("role", [PublisherRole.E, PublisherRole.AQ, PublisherRole.ES, PublisherRole.PA])
def test_mandate_of_another_role_is_refused(role):
    with pytest.raises(BadValue) as caught:
        Mandate("Oak", "Ash", role, WORLD)
    error = caught.value
    assert (error.code, error.place) == ("mandate-role", "Ash")
    assert error.text == f"Ash collects for another as {role.label}."
    assert error.mend == "Make it an administrator (AM) or a sub-publisher (SE)."


@pytest.mark.parametrize(("part", "words"), [(Fraction(0), "0 %"), (Fraction(10001, 100), "100.01 %")])
def test_mandate_for_nothing_or_too_much_is_refused(part, words):
    with pytest.raises(BadValue) as caught:
        Mandate("Oak", "Ash", AM, WORLD, part)
    error = caught.value
    assert (error.code, error.place) == ("mandate-part", "Ash")
    assert (error.text, error.mend) == (
        f"Ash collects {words} of what Oak has.",
        "Give a part above 0 and at most 100.",
    )


def test_mandates_beyond_the_whole_are_refused_and_found_where_they_are():
    mandates = [
        Mandate("Oak", "Ash", AM, WORLD, Fraction(60)),
        Mandate("Oak", "Linde", SE, Territory.of("DE", "AT"), Fraction(50)),
    ]
    with pytest.raises(BadValue) as caught:
        collections(SPLIT, mandates)
    assert (caught.value.code, caught.value.place) == ("collection-over", "Oak")
    assert caught.value.text == "Oak leaves 110 % of its share to others."
    assert check_mandates(SPLIT, mandates) == [
        Finding(
            Level.ERROR, "collection-over", "Oak", "Oak leaves 110 % of its share to others in AT + DE.",
            "Bring the parts to 100 or less.",
        )
    ]  # fmt: skip
    assert check_mandates(SPLIT, [mandates[0], Mandate("Oak", "Linde", SE, GERMANY, Fraction(40))]) == []


def test_mandates_that_go_round_are_refused_and_found_where_they_do():
    mandates = [
        Mandate("Elm", "Ash", AM, WORLD),
        Mandate("Oak", "Birch", AM, WORLD),
        Mandate("Ash", "Elm", SE, GERMANY),
    ]
    with pytest.raises(BadValue) as caught:
        collections(SPLIT, mandates)
    assert (caught.value.code, caught.value.place) == ("collection-circle", "Ash")
    assert check_mandates(SPLIT, mandates) == [
        Finding(
            Level.ERROR, "collection-circle", "Ash",
            "Ash leaves its share to others who leave it to Ash again in DE.", "Take out one of the mandates.",
        )
    ]  # fmt: skip
    assert check_mandates(SPLIT, [Mandate("Oak", "Oak", AM, WORLD)])[0].code == "collection-circle"


def test_circle_is_named_by_one_who_is_in_it():
    mandates = [
        Mandate("Oak", "Birch", AM, WORLD, Fraction(99)),
        Mandate("Birch", "Oak", AM, WORLD, Fraction(50)),
        Mandate("Oak", "Ash", AM, WORLD, Fraction(1)),
        Mandate("Ash", "Alder", SE, WORLD),
        Mandate("Acer", "Oak", SE, WORLD),
    ]
    with pytest.raises(BadValue) as caught:
        collections(SPLIT, mandates)
    assert caught.value.place == "Birch"


def test_the_same_fault_in_several_parts_is_told_once():
    mandates = [
        Mandate("Oak", "Oak", AM, Territory.of("DE", "AT")),
        Mandate("Elm", "Linde", SE, GERMANY),
    ]
    assert [finding.text for finding in check_mandates(SPLIT, mandates)] == [
        "Oak leaves its share to others who leave it to Oak again in AT + DE."
    ]


def test_mandate_of_somebody_who_is_no_publisher_is_found():
    assert check_mandates(SPLIT, [Mandate("Wren", "Ash", AM, WORLD), Mandate("Wren", "Birch", SE, GERMANY)]) == [
        Finding(
            Level.ERROR, "mandate-owner-unknown", "Wren",
            "Wren leaves its share to others and is no publisher of the work.",
            "Name it among the publishers, or take its mandates out.",
        ),
        Finding(
            Level.ERROR, "collection-over", "Wren", "Wren leaves 200 % of its share to others in DE.",
            "Bring the parts to 100 or less.",
        ),
    ]  # fmt: skip
    assert check_mandates(SPLIT, [Mandate("Oak", "Ash", AM, WORLD), Mandate("Ash", "Birch", SE, GERMANY)]) == []


# --- collected against owned -----------------------------------------------------------------------------------------


def collecting(*shares):
    return [ShareEntry(f"P{at}", role, Fraction(share)) for at, (role, share) in enumerate(shares)]


def test_collected_as_owned_has_no_findings():
    stated = collecting((WriterRole.CA, "50"), (SE, "49.94"))
    assert check_collected(SPLIT, stated, Convention.HUNDRED, "DE") == []
    assert check_collected(SPLIT, collecting((WriterRole.CA, "50.06"), (SE, "50")), Convention.HUNDRED, "DE") == []


# Edit 27: per chain, publishers' collection equals their ownership, give or take 0.06.
def test_collected_share_that_is_not_the_owned_one_is_told():
    assert check_collected(SPLIT, collecting((WriterRole.CA, "50"), (SE, "49.93")), Convention.HUNDRED, "DE") == [
        Finding(
            Level.WARNING, "collected-differs", "DE", "Publishers own 50 % and collect 49.93 % in DE.",
            "Name who collects the rest.",
        )
    ]  # fmt: skip
    assert check_collected(SPLIT, collecting((WriterRole.CA, "45"), (SE, "50.07")), Convention.HUNDRED, "DE") == [
        Finding(
            Level.WARNING, "collected-differs", "DE", "Writers own 50 % and collect 45 % in DE.",
            "Name who collects the rest.",
        ),
        Finding(
            Level.WARNING, "collected-differs", "DE", "Publishers own 50 % and collect 50.07 % in DE.",
            "Take off what is not owned.",
        ),
    ]  # fmt: skip


# Edits 14 and 44: collection per territory is 100 at most, plus 0.06 and never minus.
def test_collected_shares_above_the_whole_are_errors():
    stated = collecting((WriterRole.CA, "50"), (SE, "50.07"))
    assert check_collected(SPLIT, stated, Convention.HUNDRED, "DE")[0] == Finding(
        Level.ERROR, "collected-over", "DE", "100.07 % is collected in DE, more than 100 %.",
        "Take off what is collected twice.",
    )  # fmt: skip
    doubled = [ShareEntry(party.name, party.role, 2 * party.share) for party in SPLIT]
    twice = collecting((WriterRole.CA, "100"), (SE, "100.06"))
    assert check_collected(doubled, twice, Convention.TWO_HUNDRED, "DE") == []
    over = check_collected(doubled, collecting((WriterRole.CA, "100.01"), (SE, "100.06")), Convention.TWO_HUNDRED, "DE")
    assert [(finding.code, finding.text) for finding in over] == [
        ("collected-over", "200.07 % is collected in DE, more than 200 %.")
    ]


# --- laws ------------------------------------------------------------------------------------------------------------

NAMES = ["Ash", "Birch", "Elm", "Linde", "Oak"]
publishers = st.lists(st.tuples(st.sampled_from(NAMES), st.integers(0, 20)), max_size=4)
# From one name to a later one only, so that nothing goes round.
chains = st.lists(
    st.tuples(st.integers(0, 4), st.integers(0, 4), st.sampled_from([AM, SE]), st.integers(1, 25)).filter(
        lambda at: at[0] < at[1]
    ),
    max_size=4,
).map(lambda listed: [Mandate(NAMES[one], NAMES[two], role, WORLD, Fraction(part)) for one, two, role, part in listed])


def by_hand(parties, mandates):
    """Each amount moved on by itself until nothing moves: what each name collects in the end."""
    collected: dict[str, Fraction] = {}
    moving = [(party.name, party.share) for party in parties]
    while moving:
        name, amount = moving.pop()
        given = [mandate for mandate in mandates if mandate.owner == name]
        moving += [(mandate.collector, amount * mandate.part / 100) for mandate in given]
        collected[name] = (
            collected.get(name, Fraction(0)) + amount * (100 - sum(mandate.part for mandate in given)) / 100
        )
    return {name: amount for name, amount in collected.items() if amount}


@given(publishers, chains, st.randoms())
def test_collection_keeps_the_sum_and_equals_moving_it_by_hand(listed, mandates, random):
    parties = [ShareEntry(name, PublisherRole.E, Fraction(share)) for name, share in listed]
    found = collected_in(WORLD, parties, mandates)
    assert totals(found) == totals(parties)
    sums: dict[str, Fraction] = {}
    for party in found:
        sums[party.name] = sums.get(party.name, Fraction(0)) + party.share
    assert {name: amount for name, amount in sums.items() if amount} == by_hand(parties, mandates)
    shuffled = list(mandates)
    random.shuffle(shuffled)
    assert sorted(amounts(collected_in(WORLD, parties, shuffled))) == sorted(amounts(found))


def test_ten_thousand_mandates_in_a_chain_are_followed():
    mandates = [Mandate(f"P{number}", f"P{number + 1}", AM, WORLD) for number in range(10_000)]
    found = collected_in(WORLD, [ShareEntry("P0", PublisherRole.E, Fraction(50))], mandates)
    assert (found[-1].name, found[-1].share) == ("P10000", 50)
