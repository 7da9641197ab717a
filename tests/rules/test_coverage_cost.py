"""The cost of coverage: a season against a World plan, beside the same set operations in NumPy bit arrays."""

from time import process_time

import pytest

from supervision.rules.coverage import find_gaps
from tests.rules.season_of_rights import SIDES, bit_arrays, cells_of, usual_season, wild_season, world_plan


def seconds(work):
    """Processor time of the fastest of three runs, and what the work gave."""
    times = []
    for _ in range(3):
        start = process_time()
        result = work()
        times.append(process_time() - start)
    return min(times), result


@pytest.mark.parametrize("season", [usual_season(), wild_season()], ids=["usual", "wild"])
def test_gaps_of_a_season_are_those_of_bit_arrays(season):
    plan = world_plan()
    gaps = find_gaps(plan, season).gaps
    assert len(gaps) > SIDES / 4
    assert cells_of(gaps, plan, season) == bit_arrays(plan, season)


def test_season_takes_less_than_a_second(record_property):
    """Target of issue 3: under one second, and under 50 times the cost of bit arrays in the same run."""
    plan, season = world_plan(), usual_season()
    ours, coverage = seconds(lambda: find_gaps(plan, season))
    arrays, _ = seconds(lambda: bit_arrays(plan, season))
    record_property("seconds", ours)
    record_property("times_bit_arrays", ours / arrays)
    assert coverage.gaps
    assert ours < 1
    assert ours < 50 * arrays


def test_cost_grows_near_linearly_with_the_season():
    """Four times the sides take less than eight times as long, even with grants drawn by themselves."""
    plan, season = world_plan(), wild_season()
    quarter, _ = seconds(lambda: find_gaps(plan, season[: SIDES // 16]))
    whole, _ = seconds(lambda: find_gaps(plan, season[: SIDES // 4]))
    assert whole < 8 * quarter
