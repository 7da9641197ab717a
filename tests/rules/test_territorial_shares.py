"""Shares by territory. That each part of the world comes to 100 by itself is common practice, no published source.

The tolerance of 0.06 is CISAC CWR19-1070's, transaction edit 11.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.split import ShareEntry
from supervision.rules.territorial_shares import (
    Ownership,
    WorkInterest,
    check_recording,
    check_work,
    parts_of_world,
    sums_of_recording,
    sums_of_work,
)
from supervision.rules.territory import WORLD, Territory


def writer(name, share, control="0", territory="World", role=WriterRole.CA):
    return WorkInterest(ShareEntry(name, role, Fraction(share)), Fraction(control), Territory.parse(territory))


def publisher(name, share, control=None, territory="World", role=PublisherRole.E):
    control = share if control is None else control
    return WorkInterest(ShareEntry(name, role, Fraction(share)), Fraction(control), Territory.parse(territory))


def owner(share, territory="World"):
    return Ownership(Fraction(share), Territory.parse(territory))


def codes(findings):
    return [(finding.level.value, finding.code, finding.place) for finding in findings]


def told(sums):
    return [(found.label, found.territory.text, found.stated, found.unknown) for found in sums]


@pytest.mark.parametrize(
    ("territories", "parts"),
    [
        ([], ["World"]),
        (["World"], ["World"]),
        (["World", "DE"], ["DE", "World excl. DE"]),
        (["DE", "DE + AT"], ["DE", "AT", "World excl. AT, DE"]),
    ],
)
def test_parts_of_world_are_those_told_apart(territories, parts):
    assert [part.text for part in parts_of_world(map(Territory.parse, territories))] == parts


@given(st.lists(st.sampled_from(["World", "DE", "EU", "World excl. US", "US + CA", "FR"])))
def test_parts_of_world_are_the_whole_world_once(texts):
    territories = [Territory.parse(text) for text in texts]
    parts = parts_of_world(territories)
    assert sum(len(part.countries) for part in parts) == len(WORLD.countries)
    assert all((part - told).is_empty or not part.overlaps(told) for part in parts for told in territories)


def test_complete_work_has_no_findings():
    interests = [writer("Ada", "50"), writer("Ben", "50"), publisher("Tide", "100")]
    assert check_work(interests) == []
    assert told(sums_of_work(interests)) == [
        ("Writers", "World", 100, 0),
        ("Publishers", "World", 100, 0),
        ("Control", "World", 100, 0),
    ]


def test_missing_control_is_a_warning_and_shown_as_unknown():
    interests = [writer("Ada", "100"), publisher("Tide", "66.66")]
    assert codes(check_work(interests)) == [
        ("error", "total-short", "publishers"),
        ("warning", "control-short", "control"),
    ]
    assert told(sums_of_work(interests))[1:] == [
        ("Publishers", "World", Fraction("66.66"), Fraction("33.34")),
        ("Control", "World", Fraction("66.66"), Fraction("33.34")),
    ]


def test_control_over_100_is_an_error():
    findings = check_work([writer("Ada", "100", control="50"), publisher("Tide", "100")])
    assert [(finding.code, finding.text, finding.mend) for finding in findings] == [
        ("control-over", "The shares of control (sync) come to 150 %, more than 100 %.", "Take 50 % off.")
    ]


def test_thirds_within_the_tolerance_are_whole():
    """CISAC CWR19-1070, edit 11: a total may miss 100 by 0.06."""
    thirds = [owner("33.33"), owner("33.33"), owner("33.33")]
    assert check_recording(thirds) == []
    assert told(sums_of_recording(thirds)) == [("Owners", "World", Fraction("99.99"), 0)]


def test_total_just_beyond_the_tolerance_is_short():
    """CISAC CWR19-1070, edit 11: a total may miss 100 by 0.06."""
    assert codes(check_recording([owner("99.94")])) == []
    assert codes(check_recording([owner("99.93")])) == [("warning", "owners-short", "owners")]


def test_publishers_by_territory_are_each_whole_in_theirs():
    interests = [
        writer("Ada", "100"),
        publisher("Tide", "100", territory="World excl. US"),
        publisher("Ebb", "100", territory="US"),
    ]
    assert check_work(interests) == []


def test_finding_of_one_part_of_the_world_names_it():
    interests = [
        writer("Ada", "100"),
        publisher("Tide", "100", territory="World excl. US"),
        publisher("Ebb", "60", territory="US"),
    ]
    assert codes(check_work(interests)) == [
        ("error", "total-short", "publishers (US)"),
        ("warning", "control-short", "control (US)"),
    ]


def test_finding_of_every_part_is_told_once():
    interests = [
        writer("Ada", "90"),
        publisher("Tide", "100", territory="World excl. US"),
        publisher("Ebb", "100", territory="US"),
    ]
    assert codes(check_work(interests)) == [("error", "total-short", "writers")]


def test_work_in_the_public_domain_needs_no_control():
    composer = WorkInterest(
        ShareEntry("Trad.", WriterRole.C, Fraction(0), public_domain=True), Fraction(0), Territory.parse("World")
    )
    assert codes(check_work([composer], public_domain=True)) == [("note", "public-domain-work", "shares")]


def test_recording_without_owner_is_all_unknown():
    assert codes(check_recording([])) == [("warning", "owners-short", "owners")]
    assert told(sums_of_recording([])) == [("Owners", "World", 0, 100)]


def test_recording_in_the_public_domain_needs_no_owner():
    assert check_recording([], public_domain=True) == []


def test_owners_over_100_in_one_territory_are_named_there():
    assert codes(check_recording([owner("100"), owner("50", "DE")])) == [("error", "owners-over", "owners (DE)")]


def test_nothing_is_unknown_in_the_public_domain():
    assert [(found.stated, found.unknown) for found in sums_of_work([], public_domain=True)] == [(0, 0)] * 3
    assert [(found.stated, found.unknown) for found in sums_of_recording([], public_domain=True)] == [(0, 0)]
