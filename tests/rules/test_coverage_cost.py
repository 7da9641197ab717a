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


def test_cost_of_a_season_is_told(record_property, capsys):
    """Aims of issue 3: under one second, and under 50 times the cost of bit arrays; told, since machines differ."""
    plan, season = world_plan(), usual_season()
    ours, coverage = seconds(lambda: find_gaps(plan, season))
    arrays, _ = seconds(lambda: bit_arrays(plan, season))
    quarter, _ = seconds(lambda: find_gaps(plan, season[: SIDES // 4]))
    record_property("seconds", ours)
    told = f"{ours:.3f} s, {ours / arrays:.1f} x bit arrays, {ours / quarter:.1f} x a quarter of it"
    with capsys.disabled():
        print(f"\ncoverage of a season: {told}")  # noqa: T201 - the cost is told, not judged
    assert coverage.gaps
