"""How countries stand in a plan, against a reckoning point by point."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.rules.coverage import Grant, Holder, PlanWindow, SideRights, TerritoryShare, find_gaps
from supervision.rules.media import Media, Medium
from supervision.rules.proof_places import Place, Standing, places_of
from supervision.rules.term import Term
from supervision.rules.territory import WORLD, Territory

LATE = date(2030, 1, 1)


def window(territory, media="SVOD", start=date(2027, 1, 1), end=None):
    return PlanWindow(Media.parse(media), Territory.parse(territory), Term(start, end))


def side(name, *grants):
    return SideRights(name, (Holder("pub", (TerritoryShare(WORLD, 100),), grants),))


def grant(territory, media="SVOD", start=date(2027, 1, 1), end=None):
    each = window(territory, media, start, end)
    return Grant(each.media, each.territory, each.term)


def standing(plan, sides):
    return places_of(plan, find_gaps(plan, sides).gaps)


def test_country_stands_by_all_points_of_the_plan_there():
    plan = [window("UK, DE, JP"), window("UK", media="theatrical")]
    found = standing(plan, [side("sync", grant("UK, DE", end=LATE), grant("UK", start=LATE))])
    assert found == {
        "DE": Place(Standing.PART, ("sync",)),
        "GB": Place(Standing.PART, ("sync",)),
        "JP": Place(Standing.OPEN, ("sync",)),
    }


def test_two_sides_that_lack_in_turn_leave_nothing_covered():
    found = standing([window("DE")], [side("sync", grant("DE", end=LATE)), side("master", grant("DE", start=LATE))])
    assert found == {"DE": Place(Standing.OPEN, ("sync", "master"))}


def test_plan_of_the_world_lists_every_country_of_iso_3166_1():
    # ISO 3166-1 lists 249 countries and areas.
    found = standing([window("World")], [side("sync", grant("World"))])
    assert (len(found), set(found.values())) == (249, {Place(Standing.COVERED)})


def test_no_plan_has_no_countries():
    assert places_of([], []) == {}


COUNTRIES, DAYS = ("DE", "FR", "JP", "US"), [date(2027, month, 1) for month in (1, 3, 5, 7, 9)]
territories = st.sets(st.sampled_from(COUNTRIES), min_size=1).map(", ".join)
terms = st.tuples(st.sampled_from(range(4)), st.integers(1, 4)).map(lambda at: (DAYS[at[0]], DAYS[min(sum(at), 4)]))
media = st.sampled_from(["SVOD", "AVOD", "VOD"])
boxes = st.tuples(territories, media, terms)


@given(st.lists(boxes, min_size=1, max_size=3), st.lists(st.lists(boxes, max_size=3), min_size=1, max_size=2))
@settings(max_examples=100)
def test_standing_is_that_of_each_point(plan, granted):
    windows = [window(territory, medium, *term) for territory, medium, term in plan]
    sides = [
        side(str(at), *(grant(territory, medium, *term) for territory, medium, term in own))
        for at, own in enumerate(granted)
    ]
    found = standing(windows, sides)
    for country in COUNTRIES:
        points = [
            (medium, day)
            for medium in (Medium.SVOD, Medium.AVOD, Medium.DOWNLOAD)
            for day in DAYS[:4]
            if any(_holds(each, country, medium, day) for each in windows)
        ]
        clear = [
            all(any(_holds(each, country, medium, day) for each in one.holders[0].grants) for one in sides)
            for medium, day in points
        ]
        expected = Standing.COVERED if all(clear) else Standing.PART if any(clear) else Standing.OPEN
        assert (found[country].standing if country in found else None) == (expected if points else None)


def _holds(each, country, medium, day):
    return each.territory.contains(country) and each.media.contains(medium) and each.term.contains(day)
