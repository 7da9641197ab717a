"""Proofs from values: the verdict, what blocks, and how a choice among currencies is made."""

from datetime import date
from fractions import Fraction

import pytest

from supervision.interchange.coverage_json import write_coverage
from supervision.rules.clearance import Side, Stage
from supervision.rules.coverage import Grant, PlanWindow
from supervision.rules.exchange import Rates
from supervision.rules.findings import Finding, Level
from supervision.rules.media import Media
from supervision.rules.proof import Plan, PlanLine, ProofEpisode, ProofHolder, ProofSide, prove
from supervision.rules.term import Term
from supervision.rules.territory import WORLD, Territory

TODAY, AIR = date(2026, 11, 25), date(2026, 12, 2)


def window(media="SVOD", territory="World", start=AIR, end=None):
    return PlanWindow(Media.parse(media), Territory.parse(territory), Term(start, end))


def grant(**told):
    each = window(**told)
    return Grant(each.media, each.territory, each.term)


def holder(name="Mole", share=100, stage=Stage.LICENSED, grants=()):
    return ProofHolder(name, 7, Fraction(share), WORLD, stage, "", tuple(grants))


def side(*holders, usage=1):
    return ProofSide(f"1M{usage} Tide, sync", usage, f"1M{usage}", "Tide", Side.SYNC, "Tide", None, holders)


ALL_YEARS = (window(),)


def proven(*sides, windows=ALL_YEARS, air=AIR, **more):
    episode = ProofEpisode("WEIR-101", "The Weir", "Season 1", "101", "Weir Pictures", "USD", air)
    plan = Plan(tuple(PlanLine(each) for each in windows))
    return prove(episode, plan, sides, today=TODAY, rates=Rates([]), **more)


@pytest.mark.parametrize(
    ("sides", "verdict"),
    [
        ([], "Covered: 0 usages checked against the whole release plan, no gap found."),
        ([side(holder(grants=[grant()]))], "Covered: 1 usage checked against the whole release plan, no gap found."),
        ([side(holder())], "Not covered: 1 gap in 1 of 1 usage."),
        (
            [side(holder()), side(holder(), usage=2), side(holder(grants=[grant()]), usage=3)],
            "Not covered: 2 gaps in 2 of 3 usages.",
        ),
    ],
)
def test_verdict_counts_gaps_and_usages(sides, verdict):
    assert proven(*sides).verdict == verdict


def test_share_granted_in_part_blocks_with_what_is_granted():
    found = proven(side(holder(share=60, grants=[grant()]), holder("Weir", 40)))
    assert [block.sentence for block in found.blocks] == [
        "1M1 Tide, sync: SVOD in World is granted to 60 % only on 2026-12-02."
    ]


def test_without_air_date_the_first_planned_day_counts():
    late = grant(start=date(2027, 1, 1))
    found = proven(side(holder(grants=[late])), windows=[window(start=date(2026, 12, 24))], air=None)
    assert [block.text for block in found.blocks] == ["SVOD in World is not granted on 2026-12-24."]


def test_plan_without_any_day_blocks_by_licences_alone():
    sides = side(holder(grants=[grant()])), side(holder(stage=Stage.DRAFT), usage=2)
    found = proven(*sides, windows=[window(start=None)], air=None)
    assert [block.sentence for block in found.blocks] == ["1M2 Tide, sync: not licensed by Mole (draft)."]


def test_side_whose_holders_are_cleared_but_short_of_a_hundred_blocks():
    found = proven(side(holder(share=90, grants=[grant()])))
    assert (found.gaps[0].gap.unknown, found.blocks[0].text) == (
        10,
        "SVOD in World is granted to 90 % only on 2026-12-02.",
    )


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        (Stage.LICENSED, "licensed for less"),
        (Stage.NOT_NEEDED, "covered by agreement for less"),
        (Stage.QUOTED, "quoted"),
    ],
)
def test_who_lacks_is_said_in_words(stage, words):
    assert holder(stage=stage).lack == words


def test_nothing_to_close_has_no_choice():
    assert (proven(side(holder())).closing, proven(closing=False).closing) == (None, None)


def test_findings_and_unknown_shares_are_in_the_json():
    found = Finding(Level.NOTE, "odd", "1M1", "Odd.", "Look.")
    told = write_coverage(proven(side(holder(share=90, grants=[grant()])), findings=[found]))
    assert told["findings"] == [{"level": "note", "code": "odd", "place": "1M1", "text": "Odd.", "mend": "Look."}]
    assert (told["gaps"][0]["granted"], told["gaps"][0]["unknown"]) == ("90", "10")
