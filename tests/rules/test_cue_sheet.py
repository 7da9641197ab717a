"""The sheet made from the facts of a log.

Outside checks: BMI, Work Registration Terms (200 % basis) and "U.S. Television Royalties – Types of Uses" (BI, BV, VI,
VV); CISAC CWR08-3615R1 (BLTVR) and CWR19-1070, transaction edit 24; the durations of SMPTE ST 12-1 positions as
cross-checked in the notes of the trade. Rounding, minimum and totals of durations: common practice, no published source.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from supervision.rules.cue_sheet import CueRecording, CueSheet, Interest
from supervision.rules.cue_sheet_setting import issued, parties_in, set_sheet
from supervision.rules.cue_sheet_use import cue_use
from supervision.rules.frozen import digest, from_plain, to_plain
from supervision.rules.timecode import FrameRate, parse_timecode
from supervision.rules.usage import Facets, Function, Origin, ThemePosition, Vocal
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer

FILM = FrameRate(Fraction(24))
NTSC_FILM = FrameRate(Fraction(24000, 1001))
DROP = FrameRate(Fraction(30000, 1001), drop=True)
FAST_DROP = FrameRate(Fraction(60000, 1001), drop=True)


def shares(cue, interest, work_number=0):
    return [party.share for party in cue.works[work_number].of(interest)]


@pytest.mark.parametrize(
    ("rate", "start", "end", "seconds"),
    [
        # Cross-checked cue durations; out exclusive, nearest second half up: common practice, no published source.
        (DROP, "01:02:03;04", "01:03:33;10", 90),
        (NTSC_FILM, "01:02:03:04", "01:03:33:10", 90),
        (FrameRate(Fraction(25)), "10:00:30:00", "10:01:14:12", 44),
        (FILM, "01:00:00:00", "01:00:29:23", 30),
        (DROP, "00:00:59;29", "00:01:00;02", 1),
        (FAST_DROP, "00:09:59;59", "00:10:00;00", 1),
        (NTSC_FILM, "01:00:00:00", "02:00:00:00", 3604),
        (FrameRate(Fraction(30000, 1001)), "01:00:00:00", "02:00:00:00", 3604),
    ],
)
def test_cue_shows_real_seconds(rate, start, end, seconds):
    first, last = parse_timecode(start, rate), parse_timecode(end, rate)
    base = facts(replace(use(), in_frame=first, out_frame=last))
    sheet = set_sheet(replace(base, rate=rate, start_frame=first, running_frames=last - first))
    cue = sheet.cues[0]
    assert (cue.timecode_in, cue.timecode_out, cue.seconds) == (start, end, seconds)
    assert (sheet.rate, sheet.drop) == (str(rate.fps), rate.drop)


def test_total_adds_the_seconds_that_are_shown():
    # Three cues of 0.6 s show as 1 s each; the column must add up. Common practice, no published source.
    blips = [replace(use(f"1M{n}", start=10 * n), out_frame=use(start=10 * n).in_frame + 15) for n in (1, 2, 3)]
    sheet = set_sheet(facts(*blips))
    assert [cue.seconds for cue in sheet.cues] == [1, 1, 1]
    assert sheet.music_seconds == 3
    assert sheet.running_seconds == 2700
    assert sheet.music_share == Fraction(1, 900)


def test_cues_stand_in_the_order_of_the_picture():
    sheet = set_sheet(facts(use("1M2", start=90), use("1M1", start=5)))
    assert [(cue.sequence, cue.number, cue.start) for cue in sheet.cues] == [(1, "1M1", 5), (2, "1M2", 90)]


def test_cue_after_midnight_has_the_label_of_the_next_day():
    day = 24 * 3600 * 25
    sheet = set_sheet(facts(replace(use(), in_frame=day - 25, out_frame=day + 25)))
    assert (sheet.cues[0].timecode_in, sheet.cues[0].timecode_out) == ("23:59:59:00", "00:00:01:00")


def test_thirds_print_to_exactly_100_on_each_side():
    # BMI: 100 for the writers and 100 for the publishers, together 200. Largest remainder: common practice.
    thirds = [writer("A", "33.33"), writer("B", "33.33"), writer("C", "33.33"), publisher(share="33.34")]
    rest = [publisher("D", "33.33"), publisher("E", "33.33")]
    cue = set_sheet(facts(use(works=[work(parties=thirds + rest)]))).cues[0]
    assert shares(cue, Interest.WRITER) == [Decimal("33.34"), Decimal("33.33"), Decimal("33.33")]
    assert shares(cue, Interest.PUBLISHER) == [Decimal("33.34"), Decimal("33.33"), Decimal("33.33")]
    assert sum(party.share for party in cue.works[0].parties) == 200


def test_shares_that_miss_100_are_printed_as_they_are():
    cue = set_sheet(facts(use(works=[work(parties=[writer(share=50), publisher(share="99.93")])]))).cues[0]
    assert [party.share for party in cue.works[0].parties] == [Decimal("50.00"), Decimal("99.93")]


def test_work_in_public_domain_is_listed_with_shares_of_0():
    # CISAC CWR19-1070 edit 24: ownership of a public-domain work totals 0. The cue's time still counts.
    free = work(parties=[writer("Traditional", 0, public_domain=True)], public_domain=True)
    sheet = set_sheet(facts(use(works=[free], seconds=40)))
    assert shares(sheet.cues[0], Interest.WRITER) == [Decimal("0.00")]
    assert sheet.cues[0].works[0].public_domain
    assert sheet.music_seconds == 40


def test_medley_is_one_cue_with_two_works_each_with_its_own_parties():
    works = [work("Sluice Gate", [writer("A"), publisher("B")]), work("Towpath Girl", [writer("C"), publisher("D")])]
    heard = CueRecording(title="Boatmen's Medley")
    sheet = set_sheet(facts(use(works=works, recording=heard, seconds=12)))
    assert len(sheet.cues) == 1
    assert sheet.cues[0].title == "Boatmen's Medley"
    assert [[party.name for party in one.parties] for one in sheet.cues[0].works] == [["A", "B"], ["C", "D"]]
    assert sheet.music_seconds == 12


def test_cue_is_called_by_its_work_before_its_recording_and_what_was_logged():
    heard = CueRecording(title="Evening Tide (Radio Edit)")
    titles = [
        cue.title
        for cue in set_sheet(
            facts(
                use("1", start=1, recording=heard, title="car radio"),
                use("2", start=2, works=[], recording=heard, title="car radio"),
                use("3", start=3, works=[], title="car radio"),
            )
        ).cues
    ]
    assert titles == ["Evening Tide", "Evening Tide (Radio Edit)", "car radio"]


def test_shares_are_those_that_hold_in_the_country_of_origin():
    parties = [
        writer(),
        publisher("Abroad", territory="World excl. GB"),
        publisher("At home", territory="GB"),
    ]
    assert [party.name for party in parties_in(parties, "GB")] == ["Ida Reed", "At home"]
    assert [party.name for party in parties_in(parties, "DE")] == ["Ida Reed", "Abroad"]
    assert [party.name for party in parties_in(parties, "")] == ["Ida Reed", "Abroad"]
    cue = set_sheet(facts(use(works=[work(parties=parties)]), country="GB")).cues[0]
    assert [party.name for party in cue.works[0].parties] == ["Ida Reed", "At home"]


@pytest.mark.parametrize(
    ("facets", "code", "letter", "ddex"),
    [
        # Code: BMI types of uses (BI, BV, VI, VV). Letter: CISAC BLTVR. Then DDEX CueUseType, ThemeType, VocalType,
        # VisualPerceptionType and CueOrigin of the DDEX allowed-value sets.
        (Facets(), "BI", "B", ("Background", "", "Instrumental", "Background", "PreexistingMusic")),
        (
            Facets(vocal=Vocal.VOCAL, origin=Origin.LIBRARY),
            "BV",
            "B",
            ("Background", "", "Vocal", "Background", "LibraryMusic"),
        ),
        (
            Facets(Function.ON_SCREEN, seen=True),
            "VI",
            "V",
            ("OnScreenMusic", "", "Instrumental", "Visual", "PreexistingMusic"),
        ),
        (
            Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL),
            "VV",
            "V",
            ("OnScreenMusic", "", "Vocal", "Visual", "PreexistingMusic"),
        ),
        (
            Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED),
            "MT",
            "T",
            ("Theme", "OpeningTheme", "Instrumental", "Background", "SpeciallyCommissionedMusic"),
        ),
        (
            Facets(Function.THEME, ThemePosition.CLOSING),
            "ET",
            "T",
            ("Theme", "ClosingTheme", "Instrumental", "Background", "PreexistingMusic"),
        ),
        (
            Facets(Function.LOGO, origin=Origin.OWNED),
            "L",
            "L",
            ("AudioLogo", "", "Instrumental", "Background", "Unknown"),
        ),
        (Facets(Function.BUMPER), "BU", "B", ("Bumper", "", "Instrumental", "Background", "PreexistingMusic")),
        (Facets(Function.ROLLED_UP), "R", "R", ("RolledUpCue", "", "Instrumental", "Background", "PreexistingMusic")),
    ],
)
def test_use_is_told_in_every_vocabulary(facets, code, letter, ddex):
    told = cue_use(facets)
    terms = (
        told.cue_use_type,
        told.cue_theme_type,
        told.cue_vocal_type,
        told.cue_visual_perception_type,
        told.cue_origin,
    )
    assert (told.code, told.bltvr, terms) == (code, letter, ddex)


def test_sheet_is_the_same_after_it_was_frozen():
    sheet = issued(set_sheet(long_sheet(21)), revision=3, by="Ida Person", on=date(2026, 11, 25))
    assert from_plain(CueSheet, to_plain(sheet)) == sheet


def test_digest_tells_a_share_of_a_hundredth():
    sheet = set_sheet(facts(use()))
    other = set_sheet(facts(use(works=[work(parties=[writer(share="99.99"), writer("B", "0.01"), publisher()])])))
    assert digest(to_plain(sheet)) == digest(to_plain(set_sheet(facts(use()))))
    assert digest(to_plain(sheet)) != digest(to_plain(other))
