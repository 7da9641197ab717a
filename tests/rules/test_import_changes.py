"""From proposals to steps: who keeps their identity in a re-cut, who comes back, who is new. Common practice, no published source."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.durations import Span
from supervision.rules.import_changes import (
    Add,
    Logged,
    Place,
    change_id,
    changes_of,
    number_cues,
    state_token,
    staying,
    steps_of,
    unplaced,
    wanted,
    with_returning,
)
from supervision.rules.import_setup import Target
from supervision.rules.proposal import Proposal
from supervision.rules.recut import Change, Kind

PROGRAMME = Span(0, 100_000)


def logged(usage, song, start, end, title="", **rest):
    return Logged(usage=usage, cue_number=f"1M{usage}", title=title or song, song=song, span=Span(start, end), **rest)


def proposal(key, song, start, end, **rest):
    is_song = song.startswith(("R", "W")) and song[1:].isdigit()
    fields = {"decision": "song", "song": song} if is_song else {}
    return Proposal(key=key, name=song, title=song, record_in=start, record_out=end, **fields | rest)


def changes(before, after, shift=0):
    return changes_of(before, after, shift, programmes=(PROGRAMME, PROGRAMME))


def steps(before, after, target=Target.NEW, ticks=None):
    made = [change for change in changes(before, after) if wanted(change, ticks or {}, target)]
    return steps_of(made, {each.key: each.placed(0) for each in after})


def test_kept_moved_and_longer_usages_go_on():
    before = [logged(1, "R1", 0, 100), logged(2, "R2", 1000, 1100), logged(3, "R3", 2000, 2100)]
    after = [proposal(1, "R1", 0, 100), proposal(2, "R2", 1000, 1200), proposal(3, "R3", 2000, 2050)]
    assert [change.kind for change in changes(before, after)] == [Kind.KEPT, Kind.LONGER, Kind.SHORTER]
    assert steps(before, after) == [Place(1, 1), Place(2, 2), Place(3, 3)]


def test_the_first_piece_of_a_split_goes_on_and_the_others_are_new_of_its_kind():
    before = [logged(1, "R1", 0, 1000)]
    after = [proposal(5, "R1", 600, 1000), proposal(4, "R1", 0, 400)]
    assert [change.kind for change in changes(before, after)] == [Kind.SPLIT]
    assert steps(before, after) == [Place(1, 4), Add(5, like=1)]


def test_the_first_of_what_was_joined_goes_on_and_the_others_lose_their_place():
    before = [logged(1, "R1", 0, 400), logged(2, "R1", 600, 1000)]
    after = [proposal(4, "R1", 0, 1000)]
    assert [change.kind for change in changes(before, after)] == [Kind.JOINED]
    assert steps(before, after) == [Place(1, 4), Place(2, None)]


def test_new_and_gone():
    before, after = [logged(1, "R1", 0, 100)], [proposal(4, "R2", 5000, 5100)]
    assert set(steps(before, after)) == {Place(1, None), Add(4)}


def test_nothing_is_taken_out_of_a_cut_that_is_added_to_unless_somebody_says_so():
    before, after = [logged(1, "R1", 0, 100)], [proposal(4, "R2", 5000, 5100)]
    assert steps(before, after, Target.CURRENT) == [Add(4)]
    assert set(steps(before, after, Target.CURRENT, {"1-": True})) == {Place(1, None), Add(4)}


def test_a_change_without_its_tick_is_not_made():
    before = [logged(1, "R1", 0, 100)]
    after = [proposal(4, "R1", 0, 200), proposal(5, "R2", 5000, 5100)]
    assert steps(before, after, ticks={"1-4": False}) == [Add(5)]


def test_a_usage_is_known_by_its_song_its_title_and_the_name_in_the_file_it_came_from():
    before = [
        logged(1, "R1", 0, 100, title="Evening"),
        logged(2, "", 1000, 1100, title="Ebb"),
        logged(3, "", 2000, 2100, title="To be found", called="temp jazz"),
        logged(4, "R9", 3000, 3100, title="Other", called="Weir"),
    ]
    after = [
        proposal(1, "R1", 0, 100),
        proposal(2, "ebb", 1000, 1100),
        proposal(3, "Temp Jazz", 2000, 2100),
        proposal(4, "Weir", 3000, 3100),
    ]
    assert [(change.kind, change.before, change.after) for change in changes(before, after)] == [
        (Kind.KEPT, (number,), (number,)) for number in (1, 2, 3, 4)
    ]


def test_a_working_title_is_the_song_that_the_file_has_under_that_name():
    before = [logged(1, "", 0, 100, title="Harbour Lights")]
    after = [replace(proposal(1, "R1", 0, 100), title="Harbour Lights", name="HARBOUR lights")]
    assert [change.kind for change in changes(before, after)] == [Kind.KEPT]


def test_skipped_and_unplaced_rows_are_in_no_change():
    rows = [
        replace(proposal(1, "R1", 0, 100), decision="skip", song=""),
        proposal(2, "R2", None, None),
        proposal(3, "R3", 10, 20),
    ]
    assert changes([], rows, shift=-11) == []
    assert [row.key for row in unplaced(rows, -11)] == [2, 3]


def test_music_that_comes_back_takes_its_usage_up_again():
    after = {1: proposal(1, "R1", 0, 100), 2: proposal(2, "R1", 500, 600), 3: proposal(3, "", 700, 800)}
    resting = [logged(8, "R2", 0, 0), logged(9, "R1", 0, 0), logged(7, "", 0, 0)]
    found = with_returning([Add(1), Add(2), Add(3), Place(4, None), Add(2, like=4)], after, resting)
    assert found == [Place(9, 1), Add(2), Add(3), Place(4, None), Add(2, like=4)]


def test_a_usage_is_called_by_its_number_and_title():
    assert logged(4, "R1", 0, 1, title="Evening Tide").name == "1M4 Evening Tide"
    assert replace(logged(4, "", 0, 1), cue_number="", title="").name == "Unnamed usage"


def test_rows_without_a_time_are_the_usages_that_no_row_with_a_time_is():
    before = [logged(1, "R1", 0, 100), logged(2, "R1", 500, 600), logged(3, "", 900, 950, title="Ebb")]
    after = [
        proposal(1, "R1", None, None),
        proposal(2, "R1", 0, 100),
        proposal(3, "ebb", None, None),
        proposal(4, "", None, None),
        proposal(5, "R1", None, None),
    ]
    assert staying(before, after, 0) == {1: 2, 3: 3}
    assert staying([], after, 0) == {}


def test_change_id_names_both_sides():
    assert change_id(Change(kind=Kind.JOINED, song="", before=(12, 13), after=(4,))) == "12+13-4"
    assert change_id(Change(kind=Kind.NEW, song="", after=(4,))) == "-4"


def test_the_token_changes_with_the_log_and_with_what_happens_to_it_but_not_with_new_music():
    before, after = [logged(1, "R1", 0, 100)], [proposal(4, "R1", 0, 100)]
    token = state_token(before, changes(before, after))
    assert token == state_token(before, changes(before, [*after, proposal(5, "R2", 5000, 5100)]))
    moved = [logged(1, "R1", 0, 101)]
    assert token != state_token(moved, changes(moved, after))
    assert token != state_token(before, changes(before, []))


def test_cue_numbers_are_the_files_while_they_are_free():
    added = [(1, "2M1", ""), (2, "2M1", ""), (3, "", ""), (4, "", "1M1"), (5, "", "")]
    assert number_cues(added, {"1M1", "2M2"}) == {1: "2M1", 2: "2M3", 3: "2M4", 4: "1M2", 5: "2M5"}
    assert number_cues([(1, "", "")], set()) == {1: "1M1"}
    assert number_cues([(1, "", "A")], {"A"}) == {1: ""}


cuts = st.lists(st.tuples(st.sampled_from(["R1", "R2", "R3"]), st.integers(0, 40)), max_size=8)


@given(cuts, cuts)
def test_every_usage_and_every_proposal_has_exactly_one_step(old, new):
    before = [logged(number, song, at * 500, at * 500 + 300) for number, (song, at) in enumerate(old, 1)]
    after = [proposal(number, song, at * 500, at * 500 + 300) for number, (song, at) in enumerate(new, 1)]
    made = steps(before, after)
    placed = [step for step in made if isinstance(step, Place)]
    assert sorted(step.usage for step in placed) == [usage.usage for usage in before]
    taken = [step.proposal for step in placed if step.proposal] + [
        step.proposal for step in made if isinstance(step, Add)
    ]
    assert sorted(taken) == [each.key for each in after]
