"""What a new cut does to the music: common practice, no published source; brute force stands beside the step function."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.recut import Change, Heard, Kind, reconcile
from supervision.rules.recut_surroundings import ASTRAY, ONE_END, STEP, Slides, prevailing

BEFORE = (("Opening", 0, 100), ("Tide", 200, 300), ("Harbour", 400, 500), ("Gulls", 600, 700), ("Tide", 800, 900))


def cut(*usages: tuple[str, int, int]) -> list[Heard]:
    return [Heard(key, song, Span(start, end)) for key, (song, start, end) in enumerate(usages)]


def recut(*after: tuple[str, int, int], end: int = 1000, before: object = BEFORE, **known: object) -> list[Change]:
    programmes = (Span(0, 1000), Span(0, end))
    return reconcile(cut(*before), cut(*after), programmes=programmes, **known)  # type: ignore[arg-type,misc]


def changed(changes: list[Change]) -> list[Change]:
    return [change for change in changes if change.kind is not Kind.KEPT]


class TestInStep:
    def test_the_same_cut_keeps_everything(self):
        assert [(change.kind, change.slid) for change in recut(*BEFORE)] == [(Kind.KEPT, 0)] * 5

    def test_all_that_slid_behind_a_scene_cut_out_is_kept(self):
        after = [
            ("Opening", 0, 100),
            ("Tide", 200, 300),
            ("Harbour", 310, 410),
            ("Gulls", 510, 610),
            ("Tide", 710, 810),
        ]
        assert [(change.kind, change.slid) for change in recut(*after, end=910)] == [
            (Kind.KEPT, 0),
            (Kind.KEPT, 0),
            (Kind.KEPT, -90),
            (Kind.KEPT, -90),
            (Kind.KEPT, -90),
        ]

    def test_a_scene_put_in_before_each_usage_moves_none_of_them(self):
        after = [(song, start + 7 * at, end + 7 * at) for at, (song, start, end) in enumerate(BEFORE)]
        assert [change.slid for change in recut(*after, end=1028)] == [0, 7, 14, 21, 28]
        assert changed(recut(*after, end=1028)) == []

    def test_a_scene_cut_out_with_its_music_is_named(self):
        after = [("Opening", 0, 100), ("Harbour", 300, 400), ("Gulls", 500, 600), ("Tide", 700, 800)]
        assert changed(recut(*after, end=900)) == [Change(kind=Kind.GONE, song="Tide", before=(1,), longer=-100)]

    def test_picture_cut_out_inside_a_usage_shortens_neither_end(self):
        after = [
            ("Opening", 0, 100),
            ("Tide", 200, 300),
            ("Harbour", 400, 470),
            ("Gulls", 570, 670),
            ("Tide", 770, 870),
        ]
        assert changed(recut(*after, end=970)) == [
            Change(kind=Kind.SHORTER, song="Harbour", before=(2,), after=(2,), longer=-30, inside=-30)
        ]

    def test_the_last_usage_slid_where_the_programme_ends_as_much_later(self):
        after = [*BEFORE[:4], ("Tide", 820, 920)]
        assert [change.kind for change in recut(*after, end=1020)] == [Kind.KEPT] * 5
        assert changed(recut(*after, end=1000)) == [
            Change(kind=Kind.MOVED, song="Tide", before=(4,), after=(4,), slid=20, astray=20)
        ]

    def test_the_first_usage_slid_where_the_programme_begins_otherwise(self):
        later = [Heard(key, song, Span(start + 86400, end + 86400)) for key, (song, start, end) in enumerate(BEFORE)]
        changes = reconcile(cut(*BEFORE), later, programmes=(Span(0, 1000), Span(86400, 87400)))
        assert {(change.kind, change.slid) for change in changes} == {(Kind.KEPT, 86400)}
        assert {change.kind for change in reconcile(cut(*BEFORE), later)} == {Kind.KEPT}


class TestEnds:
    @pytest.mark.parametrize(
        ("start", "end", "kind", "won"),
        [
            (400, 480, Kind.SHORTER, (0, -20)),
            (420, 500, Kind.SHORTER, (-20, 0)),
            (410, 470, Kind.SHORTER, (-10, -30)),
            (400, 560, Kind.LONGER, (0, 60)),
            (370, 500, Kind.LONGER, (30, 0)),
            (390, 505, Kind.LONGER, (10, 5)),
        ],
    )
    def test_the_end_that_changed_is_named(self, start: int, end: int, kind: Kind, won: tuple[int, int]):
        after = [*BEFORE[:2], ("Harbour", start, end), *BEFORE[3:]]
        expected = Change(kind=kind, song="Harbour", before=(2,), after=(2,), longer=sum(won), head=won[0], tail=won[1])
        assert changed(recut(*after)) == [expected]

    def test_what_moved_and_was_trimmed_is_shorter_and_astray(self):
        after = [*BEFORE[:2], ("Harbour", 430, 510), *BEFORE[3:]]
        assert changed(recut(*after)) == [
            Change(kind=Kind.SHORTER, song="Harbour", before=(2,), after=(2,), slid=10, longer=-20, astray=10, head=-20)
        ]

    def test_frames_within_the_tolerance_are_no_difference(self):
        after = [(song, start + at % 2, end + at % 3) for at, (song, start, end) in enumerate(BEFORE)]
        assert changed(recut(*after, tolerance=2)) == []
        assert changed(recut(*after, tolerance=0)) != []

    def test_a_difference_beyond_the_tolerance_is_told_to_the_frame(self):
        after = [*BEFORE[:2], ("Harbour", 399, 520), *BEFORE[3:]]
        (change,) = changed(recut(*after, tolerance=2))
        assert (change.kind, change.longer, change.head, change.tail) == (Kind.LONGER, 21, 1, 20)


class TestOrder:
    def test_two_that_changed_places_have_both_moved(self):
        after = [*BEFORE[:2], ("Gulls", 400, 500), ("Harbour", 600, 700), BEFORE[4]]
        assert [(change.kind, change.song, change.slid, change.reordered) for change in changed(recut(*after))] == [
            (Kind.MOVED, "Gulls", -200, True),
            (Kind.MOVED, "Harbour", 200, False),
        ]

    def test_one_that_went_to_the_end_moved_alone(self):
        before = (BEFORE[0], ("Bells", 200, 270), *BEFORE[2:])
        assert changed(recut(BEFORE[0], *BEFORE[2:], ("Bells", 920, 990), before=before)) == [
            Change(kind=Kind.MOVED, song="Bells", before=(1,), after=(4,), slid=720, astray=720, reordered=True)
        ]

    def test_one_that_went_elsewhere_and_lost_music_is_shorter(self):
        before = (BEFORE[0], ("Bells", 200, 300), *BEFORE[2:])
        (change,) = changed(recut(BEFORE[0], *BEFORE[2:], ("Bells", 920, 990), before=before))
        assert (change.kind, change.longer, change.inside, change.reordered) == (Kind.SHORTER, -30, -30, True)

    def test_what_is_gone_stands_where_it_was(self):
        changes = recut(BEFORE[0], *BEFORE[3:], ("Bells", 920, 990))
        assert [(change.kind, change.song) for change in changes] == [
            (Kind.KEPT, "Opening"),
            (Kind.GONE, "Tide"),
            (Kind.GONE, "Harbour"),
            (Kind.KEPT, "Gulls"),
            (Kind.KEPT, "Tide"),
            (Kind.NEW, "Bells"),
        ]

    def test_nothing_before_is_all_new_and_nothing_after_all_gone(self):
        assert [change.kind for change in reconcile([], cut(*BEFORE))] == [Kind.NEW] * 5
        assert [change.kind for change in reconcile(cut(*BEFORE), [])] == [Kind.GONE] * 5
        assert reconcile([], []) == []


class TestPieces:
    def test_one_with_a_hole_in_it_is_split(self):
        after = [*BEFORE[:2], ("Harbour", 400, 440), ("Harbour", 450, 500), *BEFORE[3:]]
        assert changed(recut(*after)) == [
            Change(kind=Kind.SPLIT, song="Harbour", before=(2,), after=(2, 3), longer=-10, inside=-10)
        ]

    def test_a_scene_put_in_the_middle_splits_what_ran_through(self):
        after = [*BEFORE[:2], ("Harbour", 400, 450), ("Harbour", 650, 700), ("Gulls", 800, 900), ("Tide", 1000, 1100)]
        assert changed(recut(*after, end=1200)) == [Change(kind=Kind.SPLIT, song="Harbour", before=(2,), after=(2, 3))]

    def test_two_with_their_hole_filled_are_joined(self):
        before = [*BEFORE[:2], ("Harbour", 400, 440), ("Harbour", 450, 500), *BEFORE[3:]]
        assert changed(recut(*BEFORE, before=before)) == [
            Change(kind=Kind.JOINED, song="Harbour", before=(2, 3), after=(2,), longer=10, inside=10)
        ]

    def test_a_second_use_beside_the_first_is_new(self):
        after = [*BEFORE[:3], ("Harbour", 510, 540), *BEFORE[3:]]
        assert changed(recut(*after)) == [Change(kind=Kind.NEW, song="Harbour", after=(3,), longer=30)]

    def test_another_layer_of_the_same_song_is_new(self):
        after = [*BEFORE[:2], ("Harbour", 400, 480), ("Harbour", 400, 480), *BEFORE[3:]]
        assert [change.kind for change in changed(recut(*after))] == [Kind.SHORTER, Kind.NEW]


class TestKnown:
    def test_a_usage_known_in_both_cuts_is_paired_whatever_speaks_against_it(self):
        before, after = (("Tide", 0, 100), ("Tide", 200, 300)), (("Tide", 0, 100),)
        assert [change.kind for change in recut(*after, before=before)] == [Kind.KEPT, Kind.GONE]
        assert [(change.kind, change.before) for change in recut(*after, before=before, same={1: 0})] == [
            (Kind.GONE, (0,)),
            (Kind.MOVED, (1,)),
        ]

    def test_known_usages_that_passed_each_other_stay_paired(self):
        before, after = (("Tide", 0, 100), ("Tide", 200, 300)), (("Tide", 0, 100), ("Tide", 200, 300))
        assert [change.before for change in recut(*after, before=before, same={0: 1, 1: 0})] == [(1,), (0,)]

    def test_music_without_a_name_is_like_no_other(self):
        assert [change.kind for change in recut(("", 0, 100), before=[("", 0, 100)])] == [Kind.GONE, Kind.NEW]
        assert [change.kind for change in recut(("", 0, 100), before=[("", 0, 100)], same={0: 0})] == [Kind.KEPT]

    def test_a_usage_with_another_song_is_gone_and_new(self):
        changes = recut(("Bells", 0, 100), before=[("Tide", 0, 100)], same={0: 0, 7: 8})
        assert [(change.kind, change.song) for change in changes] == [(Kind.GONE, "Tide"), (Kind.NEW, "Bells")]

    def test_a_key_that_comes_twice_is_refused(self):
        twice = [Heard(1, "Tide", Span(0, 10)), Heard(1, "Tide", Span(20, 30))]
        with pytest.raises(BadValue, match="twice") as refusal:
            reconcile([], twice)
        assert (refusal.value.code, refusal.value.place) == ("key-twice", "after")


def test_music_used_hundreds_of_times_is_told_apart_by_its_place():
    before = [("Tide", 100 * at, 100 * at + 50) for at in range(300)]
    after = [("Tide", 100 * at, 100 * at + 50) for at in range(250)]
    programmes = Span(0, 30_000), Span(0, 25_000)
    changes = reconcile(cut(*before), cut(*after), programmes=programmes, same={at + 50: at for at in range(250)})
    assert [change.kind for change in changes] == [Kind.GONE] * 50 + [Kind.KEPT] * 250
    assert {change.slid for change in changes} == {0, -5000}
    changes = reconcile(cut(*before), cut(*before[:120]), programmes=(programmes[0], Span(0, 12_000)))
    assert sorted(change.kind for change in changes) == [Kind.GONE] * 180 + [Kind.KEPT] * 120


SLIDES = st.lists(st.builds(Slides, st.integers(-2, 2), st.integers(-2, 2)), max_size=5)
ENDS = st.none() | st.tuples(st.integers(-2, 2), st.integers(-2, 2))


@given(usages=SLIDES, ends=ENDS)
def test_no_other_step_function_is_cheaper(usages: list[Slides], ends: tuple[int, int] | None):
    found = prevailing(usages, ends=ends)
    assert len(found) == len(usages)
    least = min(_cost(path, usages, ends) for path in product(range(-2, 3), repeat=len(usages)))
    assert _cost(found, usages, ends) == least


def _cost(path: Sequence[int], usages: list[Slides], ends: tuple[int, int] | None) -> int:
    apart = ((usage.start != slide) + (usage.end != slide) for slide, usage in zip(path, usages, strict=True))
    steps = pairwise([*ends[:1], *path, *ends[1:]] if ends and path else path)
    return sum((0, ONE_END, ASTRAY)[ends] for ends in apart) + sum(STEP for one, other in steps if one != other)


def test_slides_within_the_tolerance_are_one_slide():
    assert prevailing([Slides(0, 1), Slides(1, 0), Slides(2, 2)], ends=(0, 0), tolerance=2) == [0, 0, 0]
    assert prevailing([]) == []
