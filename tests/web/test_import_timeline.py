"""The timeline of an import: rows, places and moments; its geometry is our own."""

from fractions import Fraction

import pytest

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.web.marks.import_timeline import ROW, Clip, draw_timeline

PROGRAMME = Span(1000, 2000)


def clip(start, end, *tracks, label="Tide"):
    return Clip(Span(start, end), tracks, label, "taken")


def drawn(*clips, tracks=()):
    return draw_timeline(clips, PROGRAMME, Fraction(25), tracks)


def test_a_clip_stands_on_each_of_its_tracks():
    timeline = drawn(clip(1100, 1350, "A7", "A8"), clip(1500, 1600, "A8"), tracks=("A7", "A8"))
    assert [(each.x, each.width, each.y) for each in timeline.clips] == [
        ("10.000%", "25.000%", 8),
        ("10.000%", "25.000%", 8 + ROW),
        ("50.000%", "10.000%", 8 + ROW),
    ]
    assert [(row.name, row.y) for row in timeline.rows] == [("A7", 13), ("A8", 13 + ROW)]
    assert timeline.bottom == 13 + ROW


def test_rows_of_a_log_stand_on_as_many_lines_as_overlap():
    timeline = drawn(clip(1000, 1200), clip(1100, 1300), clip(1200, 1400))
    assert [each.y for each in timeline.clips] == [8, 8 + ROW, 8]
    assert [row.name for row in timeline.rows] == ["", ""]


def test_a_clip_on_a_track_that_is_not_drawn_stands_below_the_others():
    timeline = drawn(clip(1000, 1200, "A9"), tracks=("A7",))
    assert [(each.y, timeline.rows[1].name) for each in timeline.clips] == [(8 + ROW, "")]


def test_what_lies_outside_is_drawn_at_the_edge():
    timeline = drawn(clip(0, 500), clip(1900, 5000))
    assert [(each.x, each.width) for each in timeline.clips] == [("0.000%", "0.000%"), ("90.000%", "10.000%")]


def test_ticks_go_by_readable_steps_and_leave_room_for_the_end():
    timeline = drawn(clip(1000, 1100))
    assert [tick.label for tick in timeline.ticks] == ["0:05", "0:10", "0:15", "0:20", "0:25", "0:30", "", ""]
    assert timeline.end == "0:40"
    hours = draw_timeline([clip(0, 1)], Span(0, 25 * 3600 * 2), Fraction(25))
    assert (hours.ticks[1].label, hours.ticks[-1].label, hours.end) == ("30:00", "", "2:00:00")


def test_an_empty_timeline_has_one_row():
    assert len(drawn().rows) == 1
    assert drawn().bottom == 13


def test_a_programme_of_no_length_is_refused():
    with pytest.raises(BadValue, match="needs a running time"):
        draw_timeline([], Span(5, 5), Fraction(25))
