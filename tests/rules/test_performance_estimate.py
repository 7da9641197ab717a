"""What a broadcast might pay: ``common practice, no published source``; sums are checked against plain arithmetic."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.errors import BadValue
from supervision.rules.money import Money
from supervision.rules.performance_estimate import KINDS, NO_SOCIETY, estimate
from supervision.rules.sentence import Sentence
from supervision.rules.usage import Facets, Function
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer


def told(sheet, **rates):
    return estimate(sheet, {Function(kind): rate for kind, rate in rates.items()}, "GBP")


def amounts(found):
    return {party.name: party.amount.minor for party in found.parties}


def test_writers_and_publishers_have_half_each():
    # 6000 pence a minute × 30 s = 3000: half to the writer, half to the publisher.
    found = told(set_sheet(facts(use(seconds=30))), background=6000)
    assert amounts(found) == {"Ida Reed": 1500, "Reed Harbour Music": 1500}
    assert (found.total, found.nobody) == (Money(3000, "GBP"), Money(0, "GBP"))
    assert found.societies == (("PRS", Money(3000, "GBP")),)
    assert found.parties[0].earnings[0].working == "6000 × 30/60 × 1/2 × 100/100"


def test_writers_have_all_where_nobody_publishes():
    sheet = set_sheet(facts(use(seconds=60, works=[work(parties=[writer(society="", society_code="")])])))
    found = told(sheet, background=100)
    assert amounts(found) == {"Ida Reed": 100}
    assert found.societies == ((NO_SOCIETY, Money(100, "GBP")),)
    assert found.parties[0].earnings[0].working == "100 × 60/60 × 100/100"


def test_who_is_with_no_society_stands_under_words_that_pages_tell():
    sheet = set_sheet(facts(use(seconds=60, works=[work(parties=[writer(society="No society", society_code="099")])])))
    ((name, _amount),) = told(sheet, background=100).societies
    assert (name, type(name)) == ("No society", Sentence)


def test_thirds_add_up_to_the_cent():
    thirds = [writer(name, "100/3") for name in ("A", "B", "C")]
    found = told(set_sheet(facts(use(seconds=60, works=[work(parties=thirds)]))), background=100)
    assert sorted(amounts(found).values()) == [33, 33, 34]
    assert {party.exact for party in found.parties} == {Fraction(100, 3)}


def test_each_kind_has_its_rate_and_one_without_a_rate_earns_nothing():
    theme = use("1M2", 60, 30, facets=Facets(Function.THEME), elsewhere=True)
    sheet = set_sheet(facts(use(seconds=30), theme))
    assert told(sheet, theme=600).total == Money(300, "GBP")
    assert told(sheet, theme=600, background=60).total == Money(330, "GBP")
    assert told(sheet).parties == ()


def test_works_of_a_medley_have_equal_parts():
    medley = [work("One", [writer("A")]), work("Two", [writer("B")])]
    found = told(set_sheet(facts(use(seconds=60, works=medley))), background=100)
    assert amounts(found) == {"A": 50, "B": 50}
    assert "÷ 2 works" in found.parties[0].earnings[0].working


def test_what_nobody_is_named_for_stays_apart():
    half = work(parties=[writer(share=50), publisher()])
    found = told(set_sheet(facts(use(seconds=60, works=[half]), use("1M2", 90, 60, []))), background=100)
    assert amounts(found) == {"Ida Reed": 25, "Reed Harbour Music": 50}
    assert found.nobody == Money(125, "GBP")


def test_more_than_the_whole_is_shared_in_proportion():
    found = told(
        set_sheet(facts(use(seconds=60, works=[work(parties=[writer("A", 100), writer("B", 100)])]))), background=100
    )
    assert amounts(found) == {"A": 50, "B": 50}


def test_work_in_the_public_domain_pays_nobody():
    free = work(parties=[writer("Traditional", 0, public_domain=True)], public_domain=True)
    found = told(set_sheet(facts(use(seconds=60, works=[free]))), background=100)
    assert (found.parties, found.nobody) == ((), Money(100, "GBP"))


@settings(max_examples=25)
@given(st.integers(1, 40), st.lists(st.integers(0, 500_000), min_size=len(KINDS), max_size=len(KINDS)))
def test_parties_and_nobody_add_up_to_the_total(cues, rates):
    found = estimate(set_sheet(long_sheet(cues)), dict(zip(KINDS, rates, strict=True)), "EUR")
    shown = sum(party.amount.minor for party in found.parties)
    assert shown + found.nobody.minor == found.total.minor
    assert sum(money.minor for _, money in found.societies) == shown
    for party in found.parties:
        assert sum(earning.exact for earning in party.earnings) == party.exact
        assert abs(party.amount.minor - party.exact) < 2


@pytest.mark.parametrize(("rate", "currency"), [(-1, "GBP"), (10**20, "GBP"), (100, "XXQ")])
def test_what_is_no_rate_is_refused(rate, currency):
    with pytest.raises(BadValue):
        estimate(set_sheet(facts(use())), {Function.BACKGROUND: rate}, currency)
