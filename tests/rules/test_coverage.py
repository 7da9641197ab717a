"""Coverage: gaps against brute force, the trade's cases, options, and the cost.

Outside checks: brute force over every medium, country and day of small worlds; brute force over every set of options;
NumPy bit arrays for the cost. The rounding allowance is CISAC CWR19-1070's (totals may miss 100 by 0.06). That a side
is cleared at 100 %, and what a grant's length and uses mean, is common practice, no published source.
"""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from functools import reduce
from itertools import chain, combinations
from operator import or_

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.rules.coverage import (
    Coverage,
    Gap,
    Grant,
    Holder,
    Option,
    PlanWindow,
    SideRights,
    TerritoryShare,
    cheapest_closing,
    find_gaps,
)
from supervision.rules.coverage_boxes import _along_days
from supervision.rules.errors import BadValue
from supervision.rules.findings import Level
from supervision.rules.media import ALL_MEDIA, Media, Medium
from supervision.rules.term import ALWAYS, Term
from supervision.rules.territory import NOWHERE, WORLD, Territory

TODAY = date(2026, 11, 25)
START = date(2027, 1, 1)
SVOD = Media.of(Medium.SVOD)
FIVE_YEARS = Term.parse("5 years from 2027-01-01")


def grant(media="all", territory="World", term="from 2027-01-01", **limits):
    return Grant(Media.parse(media), Territory.parse(territory), Term.parse(term), **limits)


def holder(name, share, *grants, options=(), territory="World"):
    return Holder(name, (TerritoryShare(Territory.parse(territory), Fraction(share)),), grants, tuple(options))


def option(name, fee, *, deadline=None, currency="EUR", **what):
    return Option(name, grant(**what), fee, currency, deadline)


def window(media="SVOD", territory="World", term="from 2027-01-01"):
    return PlanWindow(Media.parse(media), Territory.parse(territory), Term.parse(term))


def gaps(side, *plan, today=None):
    """The gaps in short: media, territory, term, granted, lacking."""
    return [
        (gap.media.text, gap.territory.text, gap.term.text, gap.granted, gap.lacking)
        for gap in find_gaps(plan or [window()], [side], today=today).gaps
    ]


# Cases of the trade


def test_side_with_all_shares_granted_is_covered():
    side = SideRights("sync", (holder("pub-a", 60, grant()), holder("pub-b", 40, grant(territory="World"))))
    assert find_gaps([window()], [side]) == Coverage(())
    assert find_gaps([window()], [side]).covered


def test_gap_of_the_design():
    """The example of design.md, section 5: a five-year grant against a plan without end."""
    side = SideRights(
        "sync",
        (holder("pub-a", 60, grant(term="2027-01-01 to 2031-12-31")), holder("pub-b", 40, grant())),
    )
    (gap,) = find_gaps([window(territory="World excl. US")], [side]).gaps
    expected = Gap(
        "sync", SVOD, Territory.parse("World excl. US"), Term(date(2032, 1, 1)), Fraction(40), ("pub-a",), Fraction(0)
    )
    assert gap == expected
    assert len(gap.countries) == 248
    assert gap.countries[:2] == ("AD", "AE")


def test_gap_names_everybody_who_lacks_there():
    side = SideRights("sync", (holder("a", 50, grant(territory="EU")), holder("b", 30), holder("c", 20, grant())))
    assert gaps(side) == [
        ("SVOD", "World excl. EU", "from 2027-01-01 in perpetuity", 20, ("a", "b")),
        ("SVOD", "EU", "from 2027-01-01 in perpetuity", 70, ("b",)),
    ]


def test_gap_by_media_territory_and_term_is_one_box():
    side = SideRights(
        "master", (holder("label", 100, grant("all excl. theatrical", "World", "5 years from 2027-01-01")),)
    )
    assert gaps(side, window("all", term="5 years from 2027-01-01")) == [
        ("theatrical", "World", "2027-01-01 to 2031-12-31", 0, ("label",))
    ]


def test_several_grants_of_one_holder_add_up():
    side = SideRights(
        "sync",
        (
            holder(
                "a",
                100,
                grant("SVOD", "EU", "2027-01-01 to 2028-12-31"),
                grant("VOD", "World excl. EU"),
                grant("all", "EU", "from 2028-06-01"),
            ),
        ),
    )
    assert gaps(side) == []


def test_shares_differ_by_territory():
    """A sub-publisher holds the share abroad; at home nobody asks it."""
    side = SideRights(
        "sync",
        (
            Holder("home", (TerritoryShare(Territory.parse("US"), Fraction(100)),), (grant(),)),
            Holder("abroad", (TerritoryShare(Territory.parse("World excl. US"), Fraction(100)),)),
        ),
    )
    assert gaps(side) == [("SVOD", "World excl. US", "from 2027-01-01 in perpetuity", 0, ("abroad",))]


def test_lines_of_one_holder_add_up_where_they_overlap():
    shares = (TerritoryShare(WORLD, Fraction(60)), TerritoryShare(Territory.parse("DE"), Fraction(40)))
    side = SideRights("sync", (Holder("a", shares, (grant(),)), holder("b", 40, territory="World excl. DE")))
    assert gaps(side) == [("SVOD", "World excl. DE", "from 2027-01-01 in perpetuity", 60, ("b",))]


def test_share_that_nobody_is_known_to_hold_is_shown():
    side = SideRights("sync", (holder("a", 60, grant()), holder("b", "20.5", grant(), territory="US")))
    first, second = find_gaps([window()], [side]).gaps
    assert (first.territory.text, first.granted, first.lacking, first.unknown) == ("World excl. US", 60, (), 40)
    assert (second.territory.text, second.unknown) == ("US", Fraction("19.5"))


def test_side_without_holders_is_a_gap():
    (gap,) = find_gaps([window()], [SideRights("sync", ())]).gaps
    assert (gap.granted, gap.lacking, gap.unknown) == (0, (), 100)


def test_holder_without_a_share_is_not_lacking():
    side = SideRights("sync", (holder("a", 100, grant()), holder("b", 0)))
    assert gaps(side) == []


@pytest.mark.parametrize(
    ("shares", "covered"),
    [
        (["33.33", "33.33", "33.33"], True),
        (["49.97", "49.97"], True),  # 99.94: misses by 0.06
        (["49.97", "49.96"], False),
        (["100/3", "100/3", "100/3"], True),
        (["60", "60"], True),
    ],
)
def test_rounded_shares_are_whole_within_the_published_tolerance(shares, covered):
    side = SideRights("sync", tuple(holder(str(at), Fraction(share), grant()) for at, share in enumerate(shares)))
    assert find_gaps([window()], [side]).covered == covered


def test_tolerance_does_not_stand_for_a_holder():
    """A holder of 0.05 % who has not granted stops a broadcast like any other."""
    side = SideRights("sync", (holder("a", "99.95", grant()), holder("b", "0.05")))
    assert gaps(side) == [("SVOD", "World", "from 2027-01-01 in perpetuity", Fraction("99.95"), ("b",))]


def test_granted_shares_over_100_cover_though_somebody_lacks():
    assert gaps(SideRights("sync", (holder("a", 100, grant()), holder("b", 50)))) == []
    over = SideRights("sync", (holder("a", 60, grant()), holder("b", 60)))
    assert gaps(over) == [("SVOD", "World", "from 2027-01-01 in perpetuity", 60, ("b",))]


def test_country_that_does_not_exist_yet_is_covered_by_world_only():
    listed = Territory.parse("World excl. future countries")
    side = SideRights(
        "sync", (Holder("a", (TerritoryShare(WORLD, Fraction(100)),), (Grant(ALL_MEDIA, listed, ALWAYS),)),)
    )
    assert gaps(side) == [("SVOD", "future countries", "from 2027-01-01 in perpetuity", 0, ("a",))]


def test_all_media_does_not_cover_the_soundtrack():
    side = SideRights("sync", (holder("a", 100, grant("all")),))
    assert gaps(side, window("all, soundtrack")) == [
        ("soundtrack album", "World", "from 2027-01-01 in perpetuity", 0, ("a",))
    ]


def test_windows_that_overlap_are_one_gap():
    side = SideRights("sync", (holder("a", 100),))
    plan = [
        window("SVOD", "World", "2027-01-01 to 2027-12-31"),
        window("SVOD, AVOD", "World", "2027-07-01 to 2028-12-31"),
        window("AVOD", "World", "2027-01-01 to 2027-06-30"),
    ]
    assert gaps(side, *plan) == [
        ("SVOD + AVOD", "World", "2027-01-01 to 2028-12-31", 0, ("a",)),
    ]


def test_plan_without_extent_has_no_gap():
    side = SideRights("sync", (holder("a", 100),))
    nothing = [PlanWindow(Media(0), WORLD, ALWAYS), PlanWindow(SVOD, Territory(0), ALWAYS)]
    assert find_gaps(nothing, [side]).covered
    assert find_gaps([], [side]).covered
    assert find_gaps([window()], []).covered


def test_gaps_come_by_side_and_then_by_day():
    sides = [
        SideRights(name, (holder("a", 100, grant("all", "EU", "from 2028-01-01")),)) for name in ("sync", "master")
    ]
    found = find_gaps([window(territory="EU"), window("AVOD", "US")], sides).gaps
    assert [(gap.side, gap.media.text, gap.territory.text) for gap in found] == [
        ("sync", "SVOD", "EU"),
        ("sync", "AVOD", "US"),
        ("master", "SVOD", "EU"),
        ("master", "AVOD", "US"),
    ]


def test_same_holder_twice_is_named_once():
    side = SideRights("sync", (holder("a", 50), holder("a", 30), holder("b", 20, grant())))
    assert gaps(side) == [("SVOD", "World", "from 2027-01-01 in perpetuity", 20, ("a",))]


# Length and uses


def test_grant_shorter_than_the_usage_does_not_count():
    side = SideRights("2M14 sync", (holder("a", 100, grant(max_seconds=Fraction(30))),), seconds=Fraction(61, 2))
    coverage = find_gaps([window()], [side])
    assert [gap.lacking for gap in coverage.gaps] == [("a",)]
    (finding,) = coverage.findings
    assert (finding.level, finding.code, finding.place) == (Level.WARNING, "grant-too-short", "a")
    assert finding.text == "a grants 30 s; 2M14 sync uses 30 1/2 s."
    assert finding.mend == "Ask for the longer use, or shorten the usage."


@pytest.mark.parametrize(("seconds", "covered"), [(Fraction(30), True), (Fraction(30001, 1000), False), (None, True)])
def test_grant_covers_up_to_its_length(seconds, covered):
    side = SideRights("sync", (holder("a", 100, grant(max_seconds=Fraction(30))),), seconds=seconds)
    assert find_gaps([window()], [side]).covered == covered


@pytest.mark.parametrize(("uses", "covered"), [(1, True), (2, True), (3, False)])
def test_grant_covers_its_number_of_uses(uses, covered):
    side = SideRights("sync", (holder("a", 100, grant(uses=2)),), uses=uses)
    assert find_gaps([window()], [side]).covered == covered


def test_uses_of_one_grant_are_spent_in_the_order_of_usages():
    shared = grant(uses=3, id="L-17")
    sides = [SideRights(f"u{number}", (holder("a", 100, shared),), uses=number) for number in (1, 2, 1)]
    coverage = find_gaps([window()], sides)
    assert [gap.side for gap in coverage.gaps] == ["u1"]
    (finding,) = coverage.findings
    assert finding.text == "a grants 3 uses; 3 are spent and u1 needs 1."
    assert (finding.level, finding.code, finding.place) == (Level.WARNING, "grant-uses-spent", "a")
    assert finding.mend == "Ask for more uses, or use it less often."


def test_use_is_spent_once_where_two_grants_of_the_same_extent_allow_it():
    first, second = grant(uses=1, id="L-1"), grant(uses=1, id="L-2")
    sides = [SideRights(name, (holder("a", 100, first, second),)) for name in ("u1", "u2", "u3")]
    assert [gap.side for gap in find_gaps([window()], sides).gaps] == ["u3"]


def test_use_is_spent_of_each_grant_where_both_are_needed():
    here, there = grant(territory="EU", uses=1, id="L-1"), grant(territory="World excl. EU", uses=1, id="L-2")
    sides = [SideRights(name, (holder("a", 100, here, there),)) for name in ("u1", "u2")]
    assert [gap.side for gap in find_gaps([window()], sides).gaps] == ["u2"]


def test_grants_without_id_have_their_uses_for_each_side():
    sides = [SideRights(name, (holder("a", 100, grant(uses=1)),)) for name in ("u1", "u2")]
    assert find_gaps([window()], sides).covered


# Brute force on small worlds

DAYS = [START + timedelta(days=number) for number in range(5)]
COUNTRIES = ["DE", "FR", "US"]
MEDIA = [Medium.THEATRICAL, Medium.SVOD, Medium.AVOD]
FUTURE = WORLD - Territory.parse("World excl. future countries")

some_media = st.sets(st.sampled_from(MEDIA), min_size=1).map(lambda media: Media.of(*media))
some_countries = st.one_of(
    st.sets(st.sampled_from(COUNTRIES), min_size=1).map(lambda codes: Territory.of(*codes)),
    st.sets(st.sampled_from(COUNTRIES)).map(lambda codes: WORLD - Territory.of(*codes)),
)


@st.composite
def some_terms(draw):
    start = draw(st.sampled_from([None, *DAYS]))
    return Term(start, draw(st.sampled_from([None, *(day for day in DAYS if start is None or day > start)])))


boxes = st.tuples(some_media, some_countries, some_terms())
plans = st.lists(boxes.map(lambda box: PlanWindow(*box)), min_size=1, max_size=3)
some_grants = st.lists(boxes.map(lambda box: Grant(*box)), max_size=3).map(tuple)
share_lines = st.lists(
    st.builds(TerritoryShare, some_countries, st.sampled_from([0, 20, 30, 50, Fraction(100, 3), 100]).map(Fraction)),
    min_size=1,
    max_size=2,
).map(tuple)
rights = st.lists(st.tuples(share_lines, some_grants), max_size=3).map(
    lambda held: SideRights("s", tuple(Holder(f"h{at}", *each) for at, each in enumerate(held)))
)

# Points: the days and one before and after, each country and one that does not exist yet.
POINT_DAYS = [START - timedelta(days=1), *DAYS, DAYS[-1] + timedelta(days=1)]
POINT_COUNTRIES = [*(Territory.of(code) for code in COUNTRIES), FUTURE]


def holds(box, medium, country, day):
    return box.media.contains(medium) and box.territory.contains(country) and box.term.contains(day)


def brute_force(plan, side):
    """Granted, lacking and unknown at every point of the plan that is below 100 %."""
    found = {}
    for medium in MEDIA:
        for country in POINT_COUNTRIES:
            for day in POINT_DAYS:
                if not any(holds(each, medium, country, day) for each in plan):
                    continue
                share = {
                    each.id: sum((line.share for line in each.shares if line.territory.contains(country)), Fraction(0))
                    for each in side.holders
                }
                giving = {
                    each.id for each in side.holders if any(holds(one, medium, country, day) for one in each.grants)
                }
                granted = sum((share[name] for name in giving), Fraction(0))
                lacking = tuple(name for name in share if share[name] and name not in giving)
                total = sum(share.values(), Fraction(0))
                unknown = 100 - total if total < Fraction("99.94") else Fraction(0)
                if granted < 100 and (lacking or unknown):
                    found[medium, country, day] = (granted, lacking, unknown)
    return found


def points_of(gap):
    return [
        (medium, country, day)
        for medium in MEDIA
        for country in POINT_COUNTRIES
        for day in POINT_DAYS
        if holds(gap, medium, country, day)
    ]


@settings(max_examples=300)
@given(plans, rights)
def test_gaps_are_those_of_brute_force(plan, side):
    found = find_gaps(plan, [side]).gaps
    points = Counter(point for gap in found for point in points_of(gap))
    assert set(points.values()) <= {1}
    assert {point: (gap.granted, gap.lacking, gap.unknown) for gap in found for point in points_of(gap)} == brute_force(
        plan, side
    )


@given(plans, rights)
def test_gaps_cannot_be_joined_any_further(plan, side):
    for one, other in combinations(find_gaps(plan, [side]).gaps, 2):
        if (one.granted, one.lacking, one.unknown) != (other.granted, other.lacking, other.unknown):
            continue
        same = [one.media == other.media, one.territory == other.territory, one.term == other.term]
        assert sum(same) < 2 or (same == [True, True, False] and one.term.end != other.term.start)


@given(plans, rights, st.randoms())
def test_gaps_do_not_depend_on_the_order_of_what_is_given(plan, side, random):
    found = find_gaps(plan, [side]).gaps
    shuffled_plan = random.sample(plan, len(plan))
    holders = [
        replace(each, grants=tuple(random.sample(each.grants, len(each.grants))), shares=each.shares[::-1])
        for each in side.holders
    ]
    assert find_gaps(shuffled_plan, [replace(side, holders=tuple(holders))]).gaps == found


@given(plans, rights, boxes)
def test_further_grant_never_opens_a_gap(plan, side, box):
    before = media_points(find_gaps(plan, [side]).gaps)
    more = tuple(replace(each, grants=(*each.grants, Grant(*box))) for each in side.holders)
    assert media_points(find_gaps(plan, [replace(side, holders=more)]).gaps) <= before


def media_points(found):
    return {point for gap in found for point in points_of(gap)}


def fewest_by_brute_force(region, most):
    """The least number of disjoint boxes that fill a region of points, up to ``most``; all boxes of the grid are tried."""
    if not region:
        return 0
    if most == 0:
        return 1
    first = min(region)
    best = most + 1
    for box in grid_boxes():
        if first in box and box <= region:
            best = min(best, 1 + fewest_by_brute_force(region - box, min(most, best) - 1))
    return best


def grid_boxes():
    media = [frozenset(each) for size in (1, 2) for each in combinations(range(2), size)]
    countries = [frozenset(each) for size in (1, 2, 3) for each in combinations(range(3), size)]
    days = [range(start, end) for start in range(3) for end in range(start + 1, 4)]
    return [frozenset((m, c, d) for m in ms for c in cs for d in ds) for ms in media for cs in countries for ds in days]


@settings(max_examples=60)
@given(st.lists(st.tuples(st.sampled_from([{0}, {1}, {0, 1}]), st.sets(st.integers(0, 2), min_size=1), st.integers(0, 2),
                          st.integers(1, 3)), min_size=1, max_size=3))  # fmt: skip
def test_boxes_are_nearly_the_fewest(pieces):
    """At most one box more than the best of all divisions, on a grid of 2 media, 3 countries and 3 days."""
    plan = [
        PlanWindow(
            Media.of(*(MEDIA[at] for at in media)),
            Territory.of(*(COUNTRIES[at] for at in codes)),
            Term(DAYS[start], DAYS[min(start + length, 3)]),
        )
        for media, codes, start, length in pieces
    ]
    region = frozenset(
        (medium, code, day)
        for medium in range(2)
        for code in range(3)
        for day in range(3)
        if any(holds(each, MEDIA[medium], Territory.of(COUNTRIES[code]), DAYS[day]) for each in plan)
    )
    found = len(find_gaps(plan, [SideRights("s", ())]).gaps)
    best = fewest_by_brute_force(region, found)
    assert best <= found <= best + 1


def test_region_of_very_many_pieces_is_still_filled_exactly():
    """More pieces than are joined in several orders: every day lacks other countries."""
    codes = sorted(WORLD.countries)
    days = [START + timedelta(days=number) for number in range(120)]
    grants = [
        Grant(
            SVOD, Territory.of(*codes[number : number + 40 : 3], codes[-number - 1]), Term(day, day + timedelta(days=3))
        )
        for number, day in enumerate(days)
    ]
    found = find_gaps([window(term=f"2027-01-01 to {days[-1]}")], [SideRights("s", (holder("a", 100, *grants),))]).gaps
    for day in days:
        granted = reduce(or_, [each.territory for each in grants if each.term.contains(day)])
        lacking = [gap.territory for gap in found if gap.term.contains(day)]
        assert sum(len(each.countries) for each in lacking) == len((WORLD - granted).countries)
        assert reduce(or_, lacking, NOWHERE) == WORLD - granted


def test_boxes_are_joined_along_days_where_they_touch():
    one = (0b01, 0b11, 5, 7)
    assert _along_days([one, (0b01, 0b11, 7, 9)]) == [(0b01, 0b11, 5, 9)]
    assert _along_days([(0b01, 0b11, 7, 9), one, (0b01, 0b11, 9, 12)]) == [(0b01, 0b11, 5, 12)]
    apart = [(0b01, 0b11, 8, 9), (0b10, 0b11, 7, 9), (0b01, 0b01, 7, 9), (0b11, 0b11, 6, 7)]
    for other in apart:
        assert _along_days([one, other]) == sorted([one, other])
    assert _along_days([]) == []


# Options


def test_gap_names_the_cheapest_options_that_close_it():
    offers = [
        option("late", 100, territory="World", deadline=date(2026, 11, 24)),
        option("dear", 900),
        option("cheap", 500, deadline=TODAY),
        option("part", 10, territory="EU"),
    ]
    side = SideRights("sync", (holder("a", 100, options=offers),))
    (gap,) = find_gaps([window()], [side], today=TODAY).gaps
    assert [(found.id, found.fee, found.deadline) for found in gap.closable_by] == [("cheap", 500, TODAY)]
    (undated,) = find_gaps([window()], [side]).gaps
    assert [found.id for found in undated.closable_by] == ["late"]


def test_gap_is_closed_by_several_options_together():
    a = holder("a", 60, options=[option("a-eu", 100, territory="EU"), option("a-row", 300, territory="World excl. EU")])
    b = holder("b", 40, options=[option("b-all", 50)])
    (gap,) = find_gaps([window()], [SideRights("sync", (a, b))]).gaps
    assert [found.id for found in gap.closable_by] == ["a-eu", "a-row", "b-all"]


@pytest.mark.parametrize(
    "offers",
    [
        [],
        [option("o", 5, territory="EU")],
        [option("o", 5, media="AVOD")],
        [option("o", 5, term="from 2027-01-02")],
        [option("o", 5, max_seconds=Fraction(10))],
        [option("o", 5, uses=1)],
        [option("o", 5, deadline=date(2026, 11, 24))],
    ],
)
def test_gap_that_options_do_not_close_names_none(offers):
    side = SideRights("sync", (holder("a", 100, options=offers),), seconds=Fraction(11), uses=2)
    (gap,) = find_gaps([window()], [side], today=TODAY).gaps
    assert gap.closable_by == ()


def test_unknown_share_is_closed_by_no_option():
    side = SideRights("sync", (holder("a", 60, options=[option("o", 5)]),))
    (gap,) = find_gaps([window()], [side]).gaps
    assert (gap.unknown, gap.closable_by) == (40, ())
    closing = cheapest_closing([window()], [side])
    assert (closing.options, closing.fee, closing.currency, closing.left) == ((), 0, "EUR", (gap,))


def test_cheapest_closing_of_a_season():
    """A season-wide option is paid once and beats two single ones; what nothing closes is left."""
    season = option("season", 150)
    sides = [
        SideRights("e1", (holder("a", 100, options=[option("a1", 100), season]),)),
        SideRights("e2", (holder("a", 100, options=[option("a2", 100), season]),)),
        SideRights("e3", (holder("b", 100),)),
    ]
    closing = cheapest_closing([window()], sides)
    assert [found.id for found in closing.options] == ["season"]
    assert (closing.fee, closing.currency, closing.exact) == (150, "EUR", True)
    assert [gap.side for gap in closing.left] == ["e3"]


def test_cheapest_closing_closes_what_can_be_closed_of_a_gap():
    side = SideRights("s", (holder("a", 50, options=[option("eu", 7, territory="EU")]), holder("b", 50, grant())))
    closing = cheapest_closing([window()], [side])
    assert [found.id for found in closing.options] == ["eu"]
    assert [gap.territory.text for gap in closing.left] == ["World excl. EU"]


def test_cheapest_closing_pays_nothing_where_another_holder_cannot_give():
    side = SideRights("s", (holder("a", 50, options=[option("o", 7)]), holder("b", 50)))
    closing = cheapest_closing([window()], [side])
    assert (closing.options, closing.fee, len(closing.left)) == ((), 0, 1)


def test_cheapest_closing_leaves_past_deadlines_out():
    offers = [option("late", 1, territory="EU", deadline=date(2026, 11, 24)), option("eu", 7, territory="EU")]
    rest = option("rest", 9, territory="World excl. EU", deadline=date(2026, 11, 24))
    closing = cheapest_closing([window()], [SideRights("s", (holder("a", 100, options=[*offers, rest]),))], today=TODAY)
    assert ([found.id for found in closing.options], closing.fee) == (["eu"], 7)
    assert [(gap.territory.text, gap.closable_by) for gap in closing.left] == [("World excl. EU", ())]


def test_cheapest_closing_asks_whether_an_option_is_long_enough():
    offers = [option("short", 1, max_seconds=Fraction(10)), option("long", 5, max_seconds=Fraction(30))]
    side = SideRights("s", (holder("a", 100, options=offers),), seconds=Fraction(20))
    assert [found.id for found in cheapest_closing([window()], [side]).options] == ["long"]


def test_fees_in_two_currencies_are_not_added():
    side = SideRights("s", (holder("a", 100, options=[option("o", 7), option("p", 5, currency="USD")]),))
    with pytest.raises(BadValue) as caught:
        cheapest_closing([window()], [side])
    assert str(caught.value) == (
        "Fees of options are in EUR and USD, which cannot be compared. Convert the fees to one currency first."
    )
    assert (caught.value.code, caught.value.place) == ("option-currencies", "options")
    (gap,) = find_gaps([window()], [side]).gaps
    assert [found.id for found in gap.closable_by] == ["o"]


def test_two_options_of_one_id_are_refused():
    sides = [SideRights(name, (holder("a", 100, options=[option("o", fee)]),)) for name, fee in (("s", 1), ("t", 2))]
    with pytest.raises(BadValue) as caught:
        cheapest_closing([window()], sides)
    assert (caught.value.code, caught.value.place) == ("option-twice", "o")
    assert str(caught.value) == "There are two different options “o”. Give each option an id of its own."


def subsets(items):
    return chain.from_iterable(combinations(items, size) for size in range(len(items) + 1))


some_options = st.lists(st.tuples(boxes, st.integers(0, 9)), max_size=3)


@settings(max_examples=150)
@given(plans, st.lists(st.tuples(some_grants, some_options), min_size=1, max_size=2), st.booleans())
def test_cheapest_closing_is_that_of_brute_force(plan, held, season):
    """Every set of options is tried: the fee is the least that leaves no more open than all options together."""
    holders = tuple(
        Holder(
            f"h{at}",
            (TerritoryShare(WORLD, Fraction(100, len(held))),),
            grants,
            tuple(Option(f"o{at}{number}", Grant(*box), fee, "EUR") for number, (box, fee) in enumerate(offers)),
        )
        for at, (grants, offers) in enumerate(held)
    )
    sides = [SideRights("s", holders), *([SideRights("t", holders[:1])] if season and len(held) == 1 else [])]
    offered = [each for one in holders for each in one.options]

    def open_points(taken):
        exercised = [
            replace(one, grants=(*one.grants, *(each.grant for each in one.options if each in taken)))
            for one in holders
        ]
        now = [replace(side, holders=tuple(exercised[: len(side.holders)])) for side in sides]
        return media_points(find_gaps(plan, now).gaps)

    least_open = open_points(offered)
    best = min(
        (sum(each.fee for each in taken), len(taken)) for taken in subsets(offered) if open_points(taken) == least_open
    )
    closing = cheapest_closing(plan, sides)
    assert (closing.fee, len(closing.options)) == best
    assert closing.exact
    assert media_points(closing.left) == least_open


@given(plans, rights, some_options)
def test_gap_is_closed_by_the_options_it_names(plan, side, offers):
    options = tuple(Option(f"o{at}", Grant(*box), fee, "EUR") for at, (box, fee) in enumerate(offers))
    side = replace(side, holders=tuple(replace(each, options=options) for each in side.holders))
    for gap in find_gaps(plan, [side]).gaps:
        if not gap.closable_by:
            continue
        granted = tuple(each.grant for each in gap.closable_by)
        closed = replace(
            side,
            holders=tuple(
                replace(each, grants=(*each.grants, *granted)) if each.id in gap.lacking else each
                for each in side.holders
            ),
        )
        assert find_gaps([PlanWindow(gap.media, gap.territory, gap.term)], [closed]).covered


# Bounds


def test_ten_thousand_holders_are_reckoned():
    side = SideRights("s", tuple(holder(str(number), Fraction(1, 100), grant()) for number in range(10_000)))
    assert find_gaps([window()], [side]).covered
    lacking = replace(side, holders=(*side.holders[:-1], replace(side.holders[-1], grants=())))
    (gap,) = find_gaps([window()], [lacking]).gaps
    assert (gap.granted, gap.lacking) == (Fraction("99.99"), ("9999",))


def test_too_many_dates_to_tell_apart_are_refused():
    days = [START + timedelta(days=number) for number in range(3_000)]
    holders = tuple(
        Holder(str(number), (TerritoryShare(WORLD, Fraction(1, 30)),), (Grant(ALL_MEDIA, WORLD, Term(day)),))
        for number, day in enumerate(days)
    )
    with pytest.raises(BadValue) as caught:
        find_gaps([window()], [SideRights("s", holders)])
    assert (caught.value.code, caught.value.place) == ("coverage-too-large", "sides")
    assert str(caught.value) == (
        "There are too many different dates, territories and media to reckon at once. Check fewer sides at a time."
    )


def test_many_grants_one_after_the_other_are_reckoned():
    days = [START + timedelta(days=number) for number in range(5_000)]
    grants = tuple(Grant(ALL_MEDIA, WORLD, Term(day, day + timedelta(days=1))) for day in days)
    side = SideRights("s", (holder("a", 100, *grants),))
    assert gaps(side, window(term=f"2027-01-01 to {days[-1]}")) == []


def test_shares_too_fine_to_be_added_are_refused():
    primes = [number for number in range(1_000, 6_000) if all(number % factor for factor in range(2, 78))]
    side = SideRights("s", tuple(holder(str(prime), Fraction(1, prime)) for prime in primes))
    with pytest.raises(BadValue, match="too different from one another"):
        find_gaps([window()], [side])
