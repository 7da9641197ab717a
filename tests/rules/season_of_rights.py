"""A season of rights for measuring the cost of coverage, and the same set operations in NumPy bit arrays.

    >>> season, plan = usual_season(), world_plan()
    >>> find_gaps(plan, season); bit_arrays(plan, season)

10 episodes × 60 usages × 2 sides × 3 holders × 5 grants. ``usual_season`` is as licences are; ``wild_season`` draws
every grant by itself, so that each side falls into some forty gaps.
"""

import random
from datetime import date
from fractions import Fraction

import numpy as np

from supervision.rules.coverage import Grant, Holder, PlanWindow, SideRights, TerritoryShare
from supervision.rules.media import Media, Medium
from supervision.rules.term import Term
from supervision.rules.territory import WORLD, Territory
from supervision.rules.territory_atlas import FUTURE

SIDES = 10 * 60 * 2
SHARES = (Fraction(50), Fraction(30), Fraction(20))

MEDIA = [Media.parse(text) for text in ("all", "all excl. theatrical", "all TV", "VOD", "SVOD", "festival", "VOD + TV")]
TERRITORIES = [
    Territory.parse(text)
    for text in (
        "World",
        "World excl. US, CA",
        "US & Canada",
        "EU",
        "Europe",
        "LATAM",
        "World excl. EU",
        "APAC",
        "MENA",
    )
]


def world_plan():
    """SVOD everywhere from the autumn, all media everywhere from the new year without end."""
    return [
        PlanWindow(Media.parse("SVOD"), WORLD, Term.parse("2026-10-01 to 2027-12-31")),
        PlanWindow(Media.parse("all"), WORLD, Term.parse("from 2027-01-01")),
    ]


def usual_season(seed=1):
    """Festival, five years of all but theatrical, theatrical at home and abroad, and perpetuity, of which some lack one."""
    chance = random.Random(seed)  # noqa: S311 - invents figures
    usual = [
        ("festival", "World", "2026-09-01 to 2027-08-31"),
        ("all excl. theatrical", "World", "5 years from 2026-09-01"),
        ("theatrical", "US & Canada", "from 2026-09-01"),
        ("theatrical", "World excl. US, CA", "from 2026-09-01"),
        ("all", "World", "from 2031-09-01"),
    ]
    grants = [Grant(Media.parse(media), Territory.parse(where), Term.parse(term)) for media, where, term in usual]
    lesser = Grant(Media.parse("SVOD"), Territory.parse("EU + UK"), Term.parse("3 years from 2026-09-01"))

    def granted():
        if chance.random() < 0.8:
            return tuple(grants)
        lost = chance.randrange(5)
        return (*grants[:lost], lesser, *grants[lost + 1 :])

    return _season(granted)


def wild_season(seed=7):
    """Media, territory and term of each of the 18,000 grants drawn by themselves."""
    chance = random.Random(seed)  # noqa: S311 - invents figures

    def term():
        start = date(chance.choice([2026, 2027, 2028]), chance.choice([1, 4, 7]), 1)
        return Term(start, None if chance.random() < 0.3 else date(start.year + chance.choice([1, 2, 5, 10]), 1, 1))

    return _season(lambda: tuple(Grant(chance.choice(MEDIA), chance.choice(TERRITORIES), term()) for _ in range(5)))


def _season(granted):
    return [
        SideRights(
            f"usage {number // 2} {'master' if number % 2 else 'sync'}",
            tuple(
                Holder(f"holder {at}", (TerritoryShare(WORLD, share),), granted()) for at, share in enumerate(SHARES)
            ),
        )
        for number in range(SIDES)
    ]


def bit_arrays(plan, season):
    """Uncovered (medium, country) cells of each stretch between two dates of a side, counted over the season."""
    return sum(_uncovered(plan, side) for side in season)


def _uncovered(plan, side):
    given = [each for holder in side.holders for each in holder.grants]
    days = np.unique([day for each in (*plan, *given) for day in (each.term.first_number, each.term.end_number)])
    planned = _bits(plan, days)
    covered = planned.copy()
    for holder in side.holders:
        covered &= _bits(holder.grants, days)
    return int(np.bitwise_count(planned & ~covered).sum())


def _bits(boxes, days):
    """The union of boxes as an array of stretches × media × packed countries."""
    bits = np.zeros((len(days) - 1, len(Medium), COUNTRY_BYTES), dtype=np.uint8)
    for each in boxes:
        start, stop = np.searchsorted(days, (each.term.first_number, each.term.end_number))
        bits[start:stop] |= _media_bytes(each.media)[:, None] & _country_bytes(each.territory)[None, :]
    return bits


COUNTRY_BYTES = (FUTURE.bit_length() + 7) // 8


def _media_bytes(media):
    return np.array([255 if media.mask >> at & 1 else 0 for at in range(len(Medium))], dtype=np.uint8)


def _country_bytes(territory):
    return np.frombuffer(territory.mask.to_bytes(COUNTRY_BYTES, "little"), dtype=np.uint8)


def cells_of(gaps, plan, season):
    """The same count from the gaps of ``find_gaps``: each gap's media × countries × stretches of its side."""
    days = {
        side.id: sorted(
            {
                day
                for each in (*plan, *(grant for holder in side.holders for grant in holder.grants))
                for day in (each.term.first_number, each.term.end_number)
            }
        )
        for side in season
    }
    return sum(
        gap.media.mask.bit_count()
        * gap.territory.mask.bit_count()
        * sum(gap.term.first_number <= day < gap.term.end_number for day in days[gap.side])
        for gap in gaps
    )
