"""Stages and their steps. common practice, no published source."""

import pytest

from supervision.rules.clearance import NEEDS_REASON, STEPS, Reason, Stage, check_step, weakest
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
