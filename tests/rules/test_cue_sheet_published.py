"""A published sample, entered with its timings and shares under invented titles and names.

Source: "Cue Sheet Sample" at http://www.royalty-free.tv/rftv/cuesheetsample.htm, which restates what BMI asks of a sheet:
a programme of 15:00, an opening theme of 0:32 and a closing theme of 0:35, total music 1:07; in the first both sides are
split in halves, in the second each is split 50, 25, 25. The public guides of the societies themselves that were found
show an empty form or none; BMI's basis of 100 for each side is from its Work Registration Terms.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from supervision.rules.cue_sheet import Interest
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.cue_sheet_difference import credited_seconds
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.durations import clock
from supervision.rules.findings import Level
from supervision.rules.usage import Facets, Function, Origin, ThemePosition
from tests.factories.cue_sheets import facts, publisher, use, work, writer
from tests.rules.test_cue_sheet_profile import EUROPE, HOUSE, US

BRITISH = {"society": "PRS", "society_code": "052"}
ASCAP = {"society": "ASCAP", "society_code": "010"}
SESAC = {"society": "SESAC", "society_code": "071"}
OPENING = Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED)
CLOSING = Facets(Function.THEME, ThemePosition.CLOSING, origin=Origin.COMMISSIONED)

FIRST_THEME = work(
    "The Lock Keepers, opening",
    [
        writer("Ida Reed", 50, **BRITISH),
        writer("Bo Alder", 50, **ASCAP),
        publisher("Reed Harbour Music", 50, **BRITISH),
        publisher("Upper Lock Songs", 50, **ASCAP),
    ],
)
SECOND_THEME = work(
    "The Lock Keepers, closing",
    [
        writer("Ida Reed", 50, **BRITISH),
        writer("Bo Alder", 25, **ASCAP),
        writer("Cy Brook", 25, **SESAC),
        publisher("Reed Harbour Music", 50, **BRITISH),
        publisher("Upper Lock Songs", 25, **ASCAP),
        publisher("Brook Street Editions", 25, **SESAC),
    ],
)
SAMPLE = facts(
    use("001", start=0, seconds=32, works=[FIRST_THEME], facets=OPENING, elsewhere=True),
    use("002", start=865, seconds=35, works=[SECOND_THEME], facets=CLOSING, elsewhere=True),
    minutes=15,
)


@pytest.mark.parametrize("profile", HOUSE.values(), ids=HOUSE)
def test_times_and_total_are_those_published(profile):
    sheet = set_sheet(SAMPLE, profile)
    assert [clock(cue.seconds) for cue in sheet.cues] == ["0:32", "0:35"]
    assert (clock(sheet.music_seconds), clock(sheet.running_seconds)) == ("1:07", "15:00")


def test_shares_are_those_published_on_the_200_basis():
    sheet = set_sheet(SAMPLE, US)
    assert [cue.use.code for cue in sheet.cues] == ["MT", "ET"]
    for cue, shares in zip(sheet.cues, ([50, 50], [50, 25, 25]), strict=True):
        for interest in Interest:
            assert [party.share for party in cue.works[0].of(interest)] == shares
        assert sum(party.share for party in cue.works[0].parties) == 200


def test_shares_out_of_100_are_halves_of_those_published():
    first, second = set_sheet(SAMPLE, EUROPE).cues
    assert [party.share for party in first.works[0].parties] == [25] * 4
    assert [party.share for party in second.works[0].of(Interest.WRITER)] == [25, Decimal("12.50"), Decimal("12.50")]
    assert [cue.use.code for cue in (first, second)] == ["Signature", "Signature"]


def test_sample_has_no_error():
    assert [finding for finding in check_sheet(SAMPLE, set_sheet(SAMPLE, US)) if finding.level is Level.ERROR] == []


def test_credited_seconds_of_each_side_come_to_the_total():
    credited = credited_seconds(set_sheet(SAMPLE, US))
    assert {name: seconds for (side, name, _), seconds in credited.items() if side is Interest.WRITER} == {
        "Ida Reed": Fraction(67, 2),
        "Bo Alder": Fraction(99, 4),
        "Cy Brook": Fraction(35, 4),
    }
