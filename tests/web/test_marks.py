"""The marks' geometry. The order of stages and the drawing are our own; timecode arithmetic is tested in rules."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.clearance import Stage
from supervision.rules.errors import BadValue
from supervision.rules.money import Money
from supervision.web.marks import (
    Bar,
    Lane,
    draw_budget,
    draw_density,
    draw_season_stave,
    draw_stave,
    half_of,
    split_halves,
)
from supervision.web.marks.scale import percent

MINUTE = 25 * 60


def bar(start, end, lane=Lane.SOURCE, **more):
    return Bar(start, end, lane, "1M1 Evening Tide", **more)


def stave(*bars, running=60 * MINUTE, **more):
    return draw_stave(bars, running_frames=running, rate="25", **more)


@pytest.mark.parametrize(
    ("part", "whole", "text"),
    [(1, 3, "33.333%"), (2, 3, "66.667%"), (0, 7, "0.000%"), (7, 7, "100.000%"), (-1, 7, "0.000%"), (8, 7, "100.000%")],
)
def test_percent_of_a_part_is_exact_to_three_decimals_and_stays_inside(part, whole, text):
    assert percent(part, whole) == text


def test_half_fills_a_step_more_with_each_stage_of_the_usual_way():
    way = [Stage.DRAFT, Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED, Stage.LICENSED]
    assert [half_of(stage.code).level for stage in way] == [1, 2, 3, 4, 5]


def test_half_is_told_apart_without_colour_for_every_stage():
    halves = [half_of(stage.code) for stage in Stage] + [half_of("")]
    assert len({(half.level, half.stroke, half.code == "none") for half in halves}) == len(Stage) + 1


def test_half_filled_half_way_stands_on_the_bottom_of_its_edge():
    half = half_of("quoted")
    assert (half.fill_y + half.fill_height, half.edge) == (22, "M1 2H13V22H1Z")


def test_split_puts_sync_left_and_master_right():
    sync, master = split_halves(sync="quoted", master="not_needed")
    assert (sync.name, master.name) == ("Sync quoted", "Master not needed")
    assert sync.x + sync.width < master.x


@pytest.mark.parametrize("nobody", ["", None])
def test_split_says_that_nobody_was_asked(nobody):
    assert [half.name for half in split_halves(sync=nobody, master="draft")] == [
        "Sync nobody asked yet",
        "Master draft",
    ]


def test_half_of_an_unknown_stage_is_refused_with_the_known_ones():
    with pytest.raises(BadValue, match=r"“signed” is no stage\. Stages are denied, withdrawn, draft"):
        half_of("signed")


def test_stave_places_a_bar_by_its_in_and_out():
    drawn = stave(bar(15 * MINUTE, 45 * MINUTE)).bars[0]
    assert (drawn.x, drawn.width) == ("25.000%", "50.000%")


def test_stave_counts_frames_from_the_start_of_the_cut():
    hour = 3600 * 25
    drawn = stave(bar(hour, hour + 30 * MINUTE), start_frame=hour).bars[0]
    assert (drawn.x, drawn.width) == ("0.000%", "50.000%")


def test_stave_names_a_bar_by_label_times_lane_and_problem():
    drawn = stave(bar(62 * 25, 95 * 25, Lane.SCORE, problem="Overlaps 1M2.")).bars[0]
    assert drawn.name == "1M1 Evening Tide, 1:02 to 1:35, score. Overlaps 1M2."


def test_stave_tells_the_time_in_real_seconds_at_a_slowed_rate():
    # ST 12-1: at 30000/1001 frames a second 1800 frames last 60.06 seconds, not 60.
    drawn = draw_stave([bar(1800, 3600)], running_frames=107_892, rate=Fraction(30000, 1001)).bars[0]
    assert drawn.name == "1M1 Evening Tide, 1:00 to 2:00, source"


def test_stave_has_five_lines_with_lanes_in_order():
    drawn = stave()
    assert len(drawn.lines) == 5
    assert [words for words, _ in drawn.lanes] == ["Source", "Themes", "Score"]
    assert [y for _, y in drawn.lanes] == sorted(y for _, y in drawn.lanes)
    assert {later - earlier for earlier, later in pairwise(drawn.lines)} == {16}


def test_stave_puts_bars_that_touch_on_one_line():
    first, second = stave(bar(0, 100), bar(100, 200)).bars
    assert first.y == second.y


def test_stave_gives_a_third_overlap_a_ledger_line_above_source():
    drawn = stave(bar(0, 300), bar(100, 400), bar(200, 500))
    assert [line.y for line in drawn.ledgers] == [drawn.top - 16]
    assert drawn.bars[2].y < drawn.top


def test_stave_puts_overlapping_score_below_the_lines():
    drawn = stave(*(bar(start, 500, Lane.SCORE) for start in (0, 1, 2, 3)))
    assert [line.y for line in drawn.ledgers] == [drawn.bottom + 16, drawn.bottom + 16, drawn.bottom + 32]
    assert drawn.height > drawn.bottom + 32


def test_stave_makes_room_for_a_second_theme_between_themes_and_score():
    drawn = stave(bar(0, 300, Lane.THEME), bar(100, 400, Lane.THEME))
    gaps = [later - earlier for earlier, later in pairwise(drawn.lines)]
    assert gaps == [16, 16, 32, 16]


def test_stave_keeps_a_bar_outside_the_running_time_at_its_edge():
    before, after = stave(bar(-500, -100), bar(61 * MINUTE, 62 * MINUTE)).bars
    assert (before.x, before.width) == ("0.000%", "0.000%")
    assert (after.x, after.width) == ("100.000%", "0.000%")
    assert before.name == "1M1 Evening Tide, -0:20 to -0:04, source"


def test_stave_ticks_at_a_readable_step_and_leaves_room_for_the_end():
    drawn = stave(running=43 * MINUTE)
    assert [tick.label for tick in drawn.ticks] == ["5:00", "10:00", "15:00", "20:00", "25:00", "30:00", "35:00", ""]
    assert drawn.running == "43:00"


def test_stave_of_a_long_feature_ticks_by_the_quarter_of_an_hour():
    assert [tick.label for tick in stave(running=130 * MINUTE).ticks][3:5] == ["1:00:00", "1:15:00"]


def test_stave_says_its_running_time_as_figures_show_it():
    # 64800 frames at 23.976 are 2702.7 s: common practice, no published source, shows them half up.
    assert draw_stave([], running_frames=64_800, rate=Fraction(24000, 1001)).running == "45:03"


def test_stave_without_running_time_is_refused():
    with pytest.raises(BadValue, match="A stave needs a running time"):
        stave(running=0)


def test_stave_of_an_unknown_lane_is_an_error_of_the_caller():
    with pytest.raises(ValueError, match="dance"):
        stave(bar(0, 1, "dance"))


spans = st.tuples(st.integers(0, 5000), st.integers(1, 800), st.sampled_from(list(Lane)))


@given(st.lists(spans, max_size=30))
def test_no_two_bars_of_a_stave_lie_on_each_other(pieces):
    drawn = stave(*(bar(start, start + length, lane) for start, length, lane in pieces), running=6000)
    assert len(drawn.bars) == len(pieces)
    for one in drawn.bars:
        for other in drawn.bars:
            if one is not other and one.y == other.y:
                assert one.bar.end <= other.bar.start or other.bar.end <= one.bar.start


def test_budget_bars_run_to_the_budget_and_over_it():
    chart = draw_budget([("Estimated", Money(50, "USD")), ("Quoted", Money(200, "USD"))], budget=Money(100, "USD"))
    within, over = chart.bars
    assert (within.width, within.exceeds) == ("25.000%", False)
    assert (over.width, over.over_x, over.over, over.exceeds) == ("50.000%", "50.000%", "50.000%", True)
    assert chart.budget_x == "50.000%"
    assert chart.name == "Estimated USD 0.50; Quoted USD 2.00; budget USD 1.00"


def test_budget_bars_without_a_budget_show_the_amounts_alone():
    chart = draw_budget([("Licensed", Money(7, "JPY"))], budget=None)
    assert (chart.bars[0].width, chart.budget_x) == ("100.000%", "")
    assert chart.name == "Licensed JPY 7; no budget set"


def test_budget_bars_of_nothing_are_empty():
    assert draw_budget([("Licensed", Money(0, "USD"))], budget=Money(0, "USD")).bars[0].width == "0.000%"


def test_budget_bars_of_two_currencies_are_refused():
    with pytest.raises(BadValue, match="one currency"):
        draw_budget([("Quoted", Money(1, "EUR"))], budget=Money(1, "USD"))


def test_season_stave_is_as_long_as_its_part_of_the_longest_episode():
    drawn = draw_season_stave([], start_frame=0, running_frames=30 * MINUTE, rate=Fraction(25), longest=Fraction(3600))
    assert (drawn.width, drawn.paths) == ("50.000%", ())


def test_season_stave_has_a_path_for_each_origin_and_a_level_for_each_lane():
    bars = [
        bar(0, 6 * MINUTE, Lane.SOURCE),
        bar(30 * MINUTE, 36 * MINUTE, Lane.SCORE),
        bar(54 * MINUTE, 60 * MINUTE, Lane.THEME, kind="owned"),
    ]
    drawn = draw_season_stave(
        bars, start_frame=0, running_frames=60 * MINUTE, rate=Fraction(25), longest=Fraction(3600)
    )
    assert drawn.paths == (
        ("pre_existing", "M0 2h200v4h-200zM1000 14h200v4h-200z"),
        ("owned", "M1800 8h200v4h-200z"),
    )


def test_season_stave_keeps_a_short_bar_visible_and_one_outside_at_the_edge():
    drawn = draw_season_stave(
        [bar(10, 11), bar(-50, -25)],
        start_frame=0,
        running_frames=60 * MINUTE,
        rate=Fraction(25),
        longest=Fraction(3600),
    )
    assert drawn.paths == (("pre_existing", "M0 2h4v4h-4zM0 2h4v4h-4z"),)


def test_density_stacks_score_themes_and_source_on_one_scale():
    chart = draw_density([("101", 1000, {Lane.SCORE: 150, Lane.THEME: 50, Lane.SOURCE: 100}), ("102", 1000, {})])
    # 30 % is the highest, so that each 10 % is a third of the height of 120.
    assert chart.lines == (
        (120, "0\N{NO-BREAK SPACE}%"),
        (80, "10\N{NO-BREAK SPACE}%"),
        (40, "20\N{NO-BREAK SPACE}%"),
        (0, "30\N{NO-BREAK SPACE}%"),
    )
    first, second = chart.columns
    assert first.parts == (("score", 60, 60), ("theme", 40, 20), ("source", 0, 40))
    assert first.name == "101: music in 30\N{NO-BREAK SPACE}% of the running time; source 1:40, themes 0:50, score 2:30"
    assert (second.parts, second.share, second.x) == ((), "0\N{NO-BREAK SPACE}%", "60.000%")


def test_density_keeps_the_place_of_an_episode_without_a_cut():
    [_, without] = draw_density([("101", 1000, {Lane.SCORE: 150}), ("102", 0, {})]).columns
    assert (without.parts, without.share, without.name) == ((), "\N{EN DASH}", "102: no cut yet")


@pytest.mark.parametrize(("labels", "least"), [(["101", "102"], 68), (["101", "S01E02"], 108), ([], 0)])
def test_density_is_never_so_narrow_that_its_labels_touch(labels, least):
    assert draw_density([(label, 1000, {}) for label in labels]).least == least


def test_density_of_much_music_has_lines_at_quarters_and_of_none_at_all_one():
    assert [words for _, words in draw_density([("1", 100, {Lane.SCORE: 110})]).lines] == [
        f"{part}\N{NO-BREAK SPACE}%" for part in (0, 25, 50, 75, 100, 125)
    ]
    assert len(draw_density([]).lines) == 2
