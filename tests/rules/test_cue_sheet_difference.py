"""What a revision says that another does not; how cues are matched is common practice, no published source."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.cue_sheet import Interest
from supervision.rules.cue_sheet_difference import Change, Kind, credited_seconds, difference
from supervision.rules.cue_sheet_profile import FIRST
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.programme import AlternativeTitle, CutVersion
from supervision.rules.split import Convention
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer

ROLLED = replace(FIRST, roll_up=True)
HUNDRED = replace(FIRST, share_basis=Convention.HUNDRED)


def sheet(*uses, profile=FIRST, **header):
    return set_sheet(facts(*uses, **header), profile)


def cues(before, after):
    return [(change.kind, change.cue, change.seconds) for change in difference(before, after).cues]


def test_kinds_are_worded():
    assert [kind.label for kind in Kind] == ["Added", "Removed", "Changed"]


def test_same_sheet_has_no_difference():
    one = set_sheet(long_sheet(21))
    assert not difference(one, one)


def test_longer_cue_is_told_in_seconds_and_for_whom():
    found = difference(sheet(use(seconds=30)), sheet(use(seconds=65)))
    assert [(change.kind, change.cue, change.seconds, change.changes) for change in found.cues] == [
        (Kind.CHANGED, "1M1 Evening Tide", 35, (Change("Time", "0:30", "1:05"),))
    ]
    assert [(party.interest, party.name, party.text, party.seconds) for party in found.parties] == [
        (Interest.WRITER, "Ida Reed", "0:30 → 1:05 (+0:35)", 35),
        (Interest.PUBLISHER, "Reed Harbour Music", "0:30 → 1:05 (+0:35)", 35),
    ]
    assert found.header == (Change("Total music", "0:30", "1:05"),)


def test_other_shares_are_told_for_both_parties():
    halves = work(parties=[writer(share=50), writer("Bo Alder", 50), publisher()])
    found = difference(sheet(use(seconds=60)), sheet(use(seconds=60, works=[halves])))
    assert found.cues[0].changes == (
        Change("Ida Reed (writer, CA) in Evening Tide", "100 %", "50 %"),
        Change("Bo Alder (writer, CA) in Evening Tide", "", "50 %"),
    )
    assert [(party.name, party.text, party.shares) for party in found.parties] == [
        ("Ida Reed", "1:00 → 0:30 (−0:30)", (Change("Evening Tide", "100 %", "50 %"),)),
        ("Bo Alder", "0:00 → 0:30 (+0:30)", (Change("Evening Tide", "0 %", "50 %"),)),
    ]


def test_cues_that_came_and_went_are_told_with_their_seconds():
    before = sheet(use("1M1"), use("1M2", start=60, works=[work("Sluice")], seconds=10))
    after = sheet(use("1M1"), use("1M3", start=90, works=[work("Bells")], seconds=20))
    assert cues(before, after) == [(Kind.ADDED, "1M3 Bells", 20), (Kind.REMOVED, "1M2 Sluice", -10)]


def test_cues_without_numbers_are_matched_by_their_titles_in_order():
    before = sheet(use("", start=0), use("", start=60, seconds=10))
    after = sheet(use("", start=0), use("", start=60, seconds=20))
    assert cues(before, after) == [(Kind.CHANGED, "Evening Tide", 10)]


def test_renumbered_cue_is_the_same_cue():
    found = difference(sheet(use("1M1")), sheet(use("1M2")))
    assert [change.changes for change in found.cues] == [(Change("Number", "1M1", "1M2"),)]
    assert found.parties == ()


def test_every_field_of_a_cue_that_changed_is_told():
    opening = Facets(Function.THEME, ThemePosition.OPENING, vocal=Vocal.VOCAL, part=ProgrammePart.PROMO)
    free = work("Evening Tide, new", iswc="", public_domain=True, arrangement_of="Bells")
    changed = use(start=1, works=[free, work("Bells")], facets=replace(opening, origin=Origin.LIBRARY))
    told = {
        change.what: (change.before, change.after)
        for change in difference(sheet(use()), sheet(changed)).cues[0].changes
    }
    assert told["Use"] == ("Background, instrumental", "Theme (opening), vocal, promo")
    assert told["Origin"] == ("Pre-existing", "Library")
    assert told["In"] == ("10:00:00:00", "10:00:01:00")
    assert told["Work"] == ("", "Bells")
    assert told["Title of Evening Tide, new"] == ("Evening Tide", "Evening Tide, new")
    assert told["ISWC of Evening Tide, new"] == ("T0345246801", "")
    assert told["Copyright of Evening Tide, new"] == ("protected", "public domain")
    assert told["Arrangement of Evening Tide, new"] == ("", "Bells")


def test_cue_without_words_is_called_something():
    found = difference(sheet(use("", works=[])), sheet(use("", works=[], seconds=40)))
    assert found.cues[0].cue == "Cue without a title"


def test_unnamed_party_is_told():
    unnamed = work(parties=[writer("", 100), publisher()])
    changes = difference(sheet(use()), sheet(use(works=[unnamed]))).cues[0].changes
    assert Change("Unnamed (writer, CA) in Evening Tide", "", "100 %") in changes


def test_rolling_up_changes_nothing_cue_by_cue():
    score = [
        use(f"1M{n}", start=40 * n, works=[work(f"Cue {n}")], facets=Facets(origin=Origin.COMMISSIONED)) for n in (1, 2)
    ]
    found = difference(sheet(*score), sheet(*score, profile=ROLLED))
    assert (found.cues, found.parties) == ((), ())


def test_another_basis_changes_no_share():
    found = difference(sheet(use()), sheet(use(), profile=HUNDRED))
    assert (found.cues, found.parties) == ((), ())
    assert found.header == (Change("Shares out of", "200", "100"),)


def test_head_is_compared_field_by_field():
    after = sheet(
        use(),
        production_titles=(AlternativeTitle("Le Déversoir", "fr"),),
        country="XX",
        broadcast_country="FR",
        version=CutVersion.DOMESTIC,
        first_broadcast=date(2027, 2, 9),
        year=None,
        directors="Ida Person",
        partial="Act three is missing.",
    )
    told = {change.what: (change.before, change.after) for change in difference(sheet(use()), after).header}
    assert told == {
        "Also known as": ("", "Le Déversoir [fr]"),
        "Country of origin": ("United Kingdom", "XX"),
        "Country of the first broadcast": ("", "France"),
        "First broadcast": ("2027-01-09", "2027-02-09"),
        "Version": ("", "Domestic version"),
        "Year of production": ("2026", ""),
        "Director": ("", "Ida Person"),
        "Partial, since": ("", "Act three is missing."),
    }


@given(st.lists(st.integers(1, 90), min_size=1, max_size=6))
def test_credited_seconds_of_a_side_come_to_the_music(lengths):
    thirds = [writer(name, "100/3") for name in "ABC"]
    uses = [
        use(f"1M{n}", start=100 * n, seconds=length, works=[work(f"Cue {n}", [*thirds, publisher()])])
        for n, length in enumerate(lengths)
    ]
    found = sheet(*uses)
    credited = credited_seconds(found)
    for interest in Interest:
        assert sum(seconds for (side, _, _), seconds in credited.items() if side is interest) == found.music_seconds
    assert credited[Interest.WRITER, "A", "00014107338"] == Fraction(found.music_seconds, 3)
