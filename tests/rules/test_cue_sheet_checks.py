"""What is wrong with a sheet before it leaves.

Outside checks: CISAC CWR19-1070, transaction edits 4, 9 and 11 (a total may miss by 0.06; to each side of 100 by our
policy); APRA AMCOS, "Cue Sheets" (label, catalogue and track number of production music); BMI, "Types of Uses" (a theme
is used in multiple episodes). What a header needs: APRA AMCOS and ASCAP guidance.
"""

from dataclasses import replace

import pytest

from supervision.rules.cue_sheet import CueRecording
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.findings import Level
from supervision.rules.usage import Facets, Function, Origin, ThemePosition
from tests.factories.cue_sheets import facts, publisher, use, work, writer


def told(*uses, **header):
    return [(finding.level, finding.code, finding.place) for finding in check_sheet(facts(*uses, **header))]


def shared(*parties):
    return use(works=[work(parties=parties)])


def test_sheet_that_lacks_nothing_has_no_findings():
    assert told(use("1M1"), use("1M2", start=60)) == []


@pytest.mark.parametrize(
    ("total", "found"),
    [
        # CWR19-1070: 99.94 and 100.06 are within 0.06 of 100, 99.93 and 100.07 are not.
        ("99.94", (Level.NOTE, "total-rounded")),
        ("100.06", (Level.NOTE, "total-rounded")),
        ("99.93", (Level.ERROR, "total-short")),
        ("100.07", (Level.ERROR, "total-over")),
    ],
)
@pytest.mark.parametrize("side", ["writers", "publishers"])
def test_total_of_a_side_is_checked_with_the_published_tolerance(total, found, side):
    parties = [writer(share=total), publisher()] if side == "writers" else [writer(), publisher(share=total)]
    assert told(shared(*parties)) == [(*found, f"1M1 Evening Tide, {side}")]


def test_fifteen_rounded_fifteenths_miss_by_more_than_the_tolerance():
    # 15 × 6.66 = 99.90: not acceptable under CWR19-1070, unlike 3 × 33.33 or 13 × 7.69.
    crowd = [writer(f"W{n}", "6.66") for n in range(15)]
    assert told(shared(*crowd, publisher())) == [(Level.ERROR, "total-short", "1M1 Evening Tide, writers")]
    dozen = [writer(f"W{n}", "7.69") for n in range(13)]
    assert told(shared(*dozen, publisher())) == [(Level.NOTE, "total-rounded", "1M1 Evening Tide, writers")]


def test_shares_stated_out_of_100_together_are_told_apart():
    halves = shared(writer(share=50), publisher(share=50))
    assert told(halves) == [(Level.ERROR, "looks-like-100", "1M1 Evening Tide, convention")]


def test_cue_without_song_is_an_error():
    bare = use(works=[], title="something slow", facets=Facets(origin=Origin.COMMISSIONED))
    assert told(bare) == [(Level.ERROR, "work-missing", "1M1 something slow")]


def test_recording_without_work_is_an_error():
    heard = use(works=[], recording=CueRecording(title="Evening Tide"))
    assert told(heard) == [(Level.ERROR, "work-missing", "1M1 Evening Tide")]


def test_work_without_writer_is_an_error():
    assert (Level.ERROR, "no-writer", "1M1 Evening Tide, writers") in told(shared(publisher()))


def test_work_without_parties_is_an_error():
    assert told(shared()) == [(Level.ERROR, "no-parties", "1M1 Evening Tide, writers")]


def test_work_in_public_domain_without_parties_is_a_warning():
    free = use(works=[work(parties=(), public_domain=True)])
    assert told(free) == [(Level.WARNING, "no-parties", "1M1 Evening Tide, writers")]


def test_work_in_public_domain_needs_neither_society_nor_ipi():
    old = writer("Traditional", 0, ipi="", society="", society_code="")
    free = use(works=[work(parties=[old], public_domain=True)])
    assert told(free) == [(Level.NOTE, "public-domain-work", "1M1 Evening Tide, shares")]


def test_unpublished_work_is_a_warning():
    assert told(shared(writer())) == [(Level.WARNING, "no-publisher", "1M1 Evening Tide, publishers")]


def test_party_without_society_or_ipi_is_told_once_with_its_cues():
    nobody = {"ipi": "", "society": "", "society_code": ""}
    uses = [
        use(f"1M{n}", start=40 * n, works=[work(parties=[writer("Bo Alder", **nobody), publisher()])])
        for n in range(1, 6)
    ]
    found = check_sheet(facts(*uses))
    assert [(finding.code, finding.place, finding.text) for finding in found] == [
        ("society-missing", "Bo Alder", "No society is known (1M1, 1M2, 1M3 and 2 more)."),
        ("ipi-missing", "Bo Alder", "No IPI name number is known (1M1, 1M2, 1M3 and 2 more)."),
    ]


def test_cues_that_overlap_are_told_at_both():
    assert told(use("1M1", seconds=30), use("1M2", start=20)) == [
        (Level.WARNING, "overlap", "1M1 Evening Tide"),
        (Level.WARNING, "overlap", "1M2 Evening Tide"),
    ]


def test_cue_past_the_end_of_the_programme_is_an_error():
    assert told(use(start=45 * 60 - 10, seconds=30)) == [(Level.ERROR, "after-programme", "1M1 Evening Tide")]


def test_more_music_than_programme_is_an_error():
    uses = [use(f"1M{n}", seconds=40) for n in (1, 2)]
    found = [finding.code for finding in check_sheet(facts(*uses, minutes=1))]
    assert found == ["music-over-programme", "overlap", "overlap"]


def test_theme_of_one_episode_is_a_note():
    theme = Facets(Function.THEME, ThemePosition.OPENING)
    assert told(use(facets=theme)) == [(Level.NOTE, "theme-once", "1M1 Evening Tide")]
    assert told(use(facets=theme, elsewhere=True)) == []
    assert told(use(facets=theme), season=None) == []


def test_facets_that_contradict_one_another_are_an_error():
    assert told(use(facets=Facets(Function.ON_SCREEN))) == [(Level.ERROR, "on-screen-unseen", "1M1 Evening Tide")]


def test_library_music_without_catalogue_number_is_a_warning():
    heard = CueRecording(title="Tense Pulse", library=True, label="Millrace Library", track_number="17")
    found = check_sheet(facts(use(recording=heard)))
    assert [(finding.code, finding.text) for finding in found] == [
        ("library-unidentified", "Library music without catalogue number.")
    ]


def test_library_music_that_is_identified_has_no_finding():
    heard = CueRecording(
        title="Tense Pulse", library=True, label="Millrace Library", catalogue_number="MLR 204", track_number="17"
    )
    assert told(use(recording=heard)) == []


def test_usages_without_a_place_in_the_cut_are_named():
    waiting = replace(facts(use()), missing_from_cut=("2M1", "3M1", "4M1", "5M1"))
    found = check_sheet(waiting)
    assert [(finding.level, finding.code, finding.text) for finding in found] == [
        (Level.WARNING, "not-in-cut", "Not in this cut and so not on the sheet: 2M1, 3M1, 4M1 and 1 more.")
    ]


def test_uncleared_usage_is_a_warning():
    found = check_sheet(facts(use(uncleared=("sync requested", "master draft"))))
    assert [(finding.code, finding.text) for finding in found] == [
        ("uncleared", "Not cleared: sync requested, master draft, and the cut is final.")
    ]


def test_header_names_what_is_not_known():
    blank = {"first_broadcast": None, "network": "", "country": "", "year": None, "cut_locked": False}
    assert told(use(), **blank) == [
        (Level.WARNING, "first-broadcast-missing", "Header"),
        (Level.WARNING, "network-missing", "Header"),
        (Level.WARNING, "cut-not-locked", "Header"),
        (Level.NOTE, "country-missing", "Header"),
        (Level.NOTE, "year-missing", "Header"),
    ]


def test_sheet_without_cues_is_an_error():
    assert told() == [(Level.ERROR, "no-cues", "Cues")]


def test_errors_come_first():
    found = check_sheet(facts(use("1M1", uncleared=("sync draft",)), use("1M2", start=60, works=[])))
    assert [finding.level for finding in found] == [Level.ERROR, Level.WARNING]
