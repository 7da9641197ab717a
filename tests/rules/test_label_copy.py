"""Label copy. Notices: Rome Convention 1961, article 11 (℗: year of first publication, owner); UCC, article III (©)."""

from dataclasses import replace

import pytest

from supervision.rules.credit_style import CreditStyle
from supervision.rules.credits import CreditMaster, CreditName, CreditWork
from supervision.rules.label_copy import (
    LabelCopy,
    LabelTrack,
    check_label_copy,
    gathered,
    notice,
    publishers_text,
    writers_text,
)

WORK = CreditWork(
    title="Evening Tide",
    writers=(CreditName(name="Ida Reed", role="CA"),),
    publishers=(CreditName(name="Reed Harbour Music", role="E", society="PRS"), CreditName(name="Lock", role="E")),
)
TRACK = LabelTrack(
    title="Evening Tide",
    version="Live",
    artist="The Lockkeepers",
    isrc="GBXYZ2600001",
    seconds=222,
    works=(WORK,),
    master=CreditMaster(title="Evening Tide"),
    episodes=("WEIR-101",),
    p_year=1999,
    p_owner="Weirside Records",
    c_year=2001,
    c_owner="Weirside Records",
)


def codes(**more):
    copy = LabelCopy(production="The Weir", season="Season 1", name="WEIR-1", tracks=(replace(TRACK, **more),))
    return [finding.code for finding in check_label_copy(copy)]


def test_notices_have_sign_year_and_owner():
    assert (TRACK.p_line, TRACK.c_line) == ("℗ 1999 Weirside Records", "© 2001 Weirside Records")
    assert notice("℗", None, "Weirside") == "℗ Weirside"
    assert notice("℗", None, "") == ""


def test_track_that_lacks_nothing_has_no_findings():
    assert codes() == []


@pytest.mark.parametrize(
    ("lacking", "code"),
    [
        ({"isrc": ""}, "isrc-missing"),
        ({"artist": ""}, "artist-missing"),
        ({"works": ()}, "writers-unknown"),
        ({"p_year": None}, "p-line-missing"),
        ({"p_owner": ""}, "p-line-missing"),
        ({"c_owner": ""}, "c-line-missing"),
        ({"seconds": None}, "length-missing"),
    ],
)
def test_what_a_track_lacks_is_told(lacking, code):
    assert codes(**lacking) == [code]


def test_recording_in_the_public_domain_needs_no_notices():
    free = CreditMaster(title="Evening Tide", public_domain=True)
    assert codes(master=free, p_year=None, c_year=None) == []


def test_names_of_a_medley_stand_by_their_works():
    both = replace(TRACK, works=(WORK, replace(WORK, title="Towpath", publishers=())), version="")
    assert writers_text(both, CreditStyle()) == "“Evening Tide”: Written by Ida Reed; “Towpath”: Written by Ida Reed"
    assert publishers_text(both) == "Reed Harbour Music (PRS) / Lock"
    assert (both.name, TRACK.name) == ("Evening Tide", "Evening Tide (Live)")


def test_what_several_recordings_lack_is_told_once():
    tracks = (replace(TRACK, title="Low", isrc="", c_year=None), replace(TRACK, title="High", isrc=""))
    copy = LabelCopy(production="The Weir", season="Season 1", name="WEIR-1", tracks=tracks)
    assert [(finding.code, finding.place, finding.text) for finding in gathered(check_label_copy(copy))] == [
        ("isrc-missing", "2 recordings", "Low (Live), High (Live): It has no ISRC."),
        ("c-line-missing", "Low (Live)", "The © line lacks its year or owner."),
    ]
