"""Stages and their steps. common practice, no published source."""

import pytest

from supervision.rules.clearance import (
    APPROVALS_MET,
    GUARDS,
    NEEDS_REASON,
    QUOTE_VALID,
    SIGNED_FILE,
    STEPS,
    Reason,
    Stage,
    check_guards,
    check_step,
    lacking,
    weakest,
)
from supervision.rules.errors import Conflict


def test_weakest_is_the_least_of_the_stages():
    assert weakest([Stage.LICENSED, Stage.REQUESTED, Stage.NOT_NEEDED]) is Stage.REQUESTED


def test_denied_is_weaker_than_any_stage_on_the_way():
    assert weakest(Stage) is Stage.DENIED


def test_weakest_of_nobody_is_none():
    assert weakest([]) is None


def test_every_stage_has_a_way_on():
    assert {stage for stage in Stage if not STEPS.get(stage)} == set()


@pytest.mark.parametrize("stage", Stage)
def test_code_and_stage_round_trip(stage):
    assert Stage.from_code(stage.code) is stage


@pytest.mark.parametrize(("now", "to"), [(Stage.DRAFT, Stage.LICENSED), (Stage.REQUESTED, Stage.APPROVED)])
def test_step_that_skips_a_stage_is_refused_with_the_ways_open(now, to):
    with pytest.raises(Conflict) as refused:
        check_step(now, to, reason="x")
    assert refused.value.code == "step-unknown"
    assert refused.value.mend.startswith("From here it can become:")


@pytest.mark.parametrize("to", sorted(NEEDS_REASON))
def test_step_that_needs_a_reason_is_refused_without(to):
    now = next(stage for stage in Stage if to in STEPS[stage])
    with pytest.raises(Conflict) as refused:
        check_step(now, to, reason="  ")
    assert refused.value.code == "reason-missing"


def test_step_with_reason_is_taken():
    assert check_step(Stage.REQUESTED, Stage.DENIED, reason="Too violent") is None


def test_reasons_are_worded():
    assert [reason.label for reason in Reason if not reason.label] == []


def test_licence_without_file_says_so():
    with pytest.raises(Conflict) as refused:
        check_guards(Stage.LICENSED, {SIGNED_FILE: ""})
    assert refused.value.text == "Can't be licensed: no signed file."
    assert (refused.value.code, refused.value.place) == ("signed-file-missing", "file")


def test_all_that_a_stage_lacks_is_told_in_the_guards_order():
    with pytest.raises(Conflict) as refused:
        check_guards(Stage.LICENSED, {SIGNED_FILE: "", APPROVALS_MET: "Artist approval"})
    assert refused.value.text == "Can't be licensed: approvals are open (Artist approval); no signed file."
    assert refused.value.code == "approvals-open"


def test_facts_that_a_stage_does_not_need_do_not_hold_it_up():
    assert lacking(Stage.APPROVED, {SIGNED_FILE: "", APPROVALS_MET: "Artist approval"}) == []
    assert check_guards(Stage.WITHDRAWN, dict.fromkeys((SIGNED_FILE, APPROVALS_MET, QUOTE_VALID), "")) is None


def test_guards_are_of_stages_that_some_step_leads_to():
    reached = {to for steps in STEPS.values() for to in steps}
    assert set(GUARDS) - reached == set()
