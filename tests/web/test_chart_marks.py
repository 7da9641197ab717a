"""The geometry of the territory chart and the term chart."""

from datetime import date
from fractions import Fraction

from supervision.rules.clearance import Side, Stage
from supervision.rules.coverage import Grant, PlanWindow
from supervision.rules.exchange import Rates
from supervision.rules.media import Media
from supervision.rules.money import Money
from supervision.rules.proof import Offer, Plan, PlanLine, ProofEpisode, ProofHolder, ProofSide, prove
from supervision.rules.proof_places import Place, Standing
from supervision.rules.term import Term
from supervision.rules.territory import WORLD
from supervision.web.marks import draw_terms, draw_territories

TODAY, AIR = date(2026, 11, 25), date(2027, 1, 1)
EPISODE = ProofEpisode("WEIR-101", "The Weir", "", "101", "Weir Pictures", "USD", AIR)
SVOD = Media.parse("SVOD")


def test_every_country_has_one_tile_in_its_continent():
    chart = draw_territories({})
    tiles = [tile.code for continent in chart.continents for tile in continent.tiles]
    assert (len(tiles), len(set(tiles))) == (250, 250)
    assert [continent.label for continent in chart.continents] == [
        "Europe", "Americas", "Africa", "Asia", "Oceania", "Elsewhere",
    ]  # fmt: skip


def test_tiles_do_not_overlap_and_stay_within_their_continent():
    for continent in draw_territories({}).continents:
        places = [(tile.x, tile.y) for tile in continent.tiles]
        assert len(set(places)) == len(places)
        assert all(x % 28 == 0 and x + 26 <= continent.width for x, _ in places)
        assert all(y % 28 == 0 and y + 26 <= continent.height for _, y in places)


def test_tiles_say_in_words_and_lines_how_a_country_stands():
    places = {
        "DE": Place(Standing.PART, ("1M1 Tide, sync",)),
        "FR": Place(Standing.OPEN),
        "GB": Place(Standing.COVERED),
    }
    europe = draw_territories(places).continents[0]
    tiles = {tile.code: tile for tile in europe.tiles}
    assert tiles["DE"].name == "Germany: covered in part (1M1 Tide, sync)"
    assert tiles["IE"].name == "Ireland: not in the plan"
    assert [tiles[code].cross.count("M") for code in ("DE", "FR", "GB", "IE")] == [1, 2, 0, 0]
    assert europe.name == "Europe: 1 covered, 1 covered in part, 1 not covered, 48 not in the plan"


def test_tile_names_few_sides_and_counts_many():
    sides = tuple(f"1M{at} Tide, sync" for at in range(4))
    places = {"DE": Place(Standing.OPEN, sides[:3]), "FR": Place(Standing.OPEN, sides)}
    names = {tile.code: tile.name for tile in draw_territories(places).continents[0].tiles}
    assert names["DE"] == "Germany: not covered (1M0 Tide, sync, 1M1 Tide, sync, 1M2 Tide, sync)"
    assert names["FR"] == "France: not covered (4 sides lack something)"


def holder(name, *grants, stage=Stage.LICENSED, offers=()):
    return ProofHolder(name, 1, Fraction(100), WORLD, stage, "", grants, tuple(offers))


def granted(start, end=None):
    return Grant(SVOD, WORLD, Term(start, end))


def chart_of(*holders, plan=None):
    lines = (PlanLine(PlanWindow(SVOD, WORLD, plan or Term(AIR))),)
    sides = [
        ProofSide(f"1M{at} Tide, sync", at, f"1M{at}", "Tide", Side.SYNC, "Tide", None, (each,))
        for at, each in enumerate(holders, start=1)
    ]
    return draw_terms(prove(EPISODE, Plan(lines), sides, today=TODAY, rates=Rates([])))


def test_bars_are_as_long_as_their_days():
    # From 1 October 2026 (the quarter of today) to a year after 2031: 2 100 days are 457 + 1 643.
    chart = chart_of(holder("Mole", granted(AIR, date(2031, 1, 1))), plan=Term(AIR, date(2031, 1, 1)))
    plan, sides = chart.groups
    first, last = date(2026, 10, 1).toordinal(), date(2031, 1, 1).toordinal()
    whole = (last - TODAY.toordinal()) + 366
    x = Fraction(AIR.toordinal() - first, whole) * 100
    width = Fraction(last - AIR.toordinal(), whole) * 100
    bar = sides[0].bars[0]
    assert (bar.kind, bar.open_end, bar.name) == ("grant", False, "granted 2027-01-01 to 2030-12-31 (Mole)")
    assert abs(Fraction(bar.x.rstrip("%")) - x) < Fraction(1, 1000)
    assert abs(Fraction(bar.width.rstrip("%")) - width) < Fraction(1, 1000)
    assert [each.kind for each in plan[0].bars] == ["plan"]


def test_gap_stands_above_the_grant_and_an_open_end_reaches_the_edge():
    chart = chart_of(holder("Mole", granted(AIR, date(2029, 1, 1))))
    gap, grant = chart.groups[1][0].bars
    assert (gap.kind, gap.open_end, gap.end, gap.name) == (
        "gap", True, "100.000%", "gap from 2029-01-01 in perpetuity (SVOD in World)",
    )  # fmt: skip
    assert (grant.y - gap.y, gap.x) == (13, grant.end)
    assert chart.groups[1][0].number == 1


def test_option_has_its_last_day():
    offer = Offer(7, "Extension", "Mole", granted(date(2029, 1, 1)), Money(100, "USD"), date(2028, 6, 30))
    row = chart_of(holder("Mole", granted(AIR, date(2029, 1, 1)), offers=[offer])).groups[1][0]
    assert [bar.kind for bar in row.bars] == ["gap", "grant", "option"]
    assert [flag.name for flag in row.flags] == ["extension of Mole open until 2028-06-30"]
    assert row.flags[0].y == row.bars[2].y


def test_side_that_needs_nobody_is_left_out_and_counted():
    chart = chart_of(holder("nobody", granted(None), stage=Stage.NOT_NEEDED), holder("Mole", granted(AIR)))
    assert ([row.label for row in chart.groups[1]], chart.hidden) == (["1M2 Tide, sync"], 1)


def test_side_without_grant_says_so():
    row = chart_of(holder("Mole", stage=Stage.DRAFT), plan=Term(AIR, date(2027, 2, 1))).groups[1][0]
    assert row.name == "gap 2027-01-01 to 2027-01-31 (SVOD in World)"


def test_years_are_written_at_the_first_of_january():
    labels = [label for _, label in chart_of(holder("Mole", granted(AIR))).ticks]
    assert [label for label in labels if label] == ["2027", "2028", "2029", "2030"]


def test_plan_of_centuries_has_a_bounded_number_of_ticks():
    chart = chart_of(holder("Mole", granted(AIR)), plan=Term(AIR, date(9999, 12, 31)))
    assert len(chart.ticks) <= 90


def test_every_bar_keeps_what_its_table_says():
    offer = Offer(
        7, "Extension", "Mole", Grant(SVOD, WORLD, Term(date(2029, 1, 1))), Money(1, "USD"), date(2028, 6, 30)
    )
    holder = ProofHolder("Mole", 1, Fraction(100), WORLD, Stage.APPROVED, offers=(offer,))
    side = ProofSide("1M1 Tide, sync", 1, "1M1", "Tide", Side.SYNC, "Tide", None, (holder,))
    window = PlanLine(PlanWindow(SVOD, WORLD, Term(AIR)))
    chart = draw_terms(prove(EPISODE, Plan((window,)), [side], today=TODAY, rates=Rates([])))
    told = [
        (bar.heading, bar.term.start, bar.words, bar.until) for rows in chart.groups for row in rows for bar in row.bars
    ]
    assert told == [
        ("Planned", AIR, "", None),
        ("Gap", AIR, "SVOD in World", None),
        ("Option", date(2029, 1, 1), "extension of Mole", date(2028, 6, 30)),
    ]
