"""The reckoner's workings: every figure of an answer can be followed from what was given.

Outside checks: SMPTE frame counts by OpenTimelineIO's reference library; check digits by python-stdnum's ISO 7064
and by the published examples ISWC T-034.524.680-1 (CISAC) and ISNI 0000 0001 2103 2683; 37 CFR 385.11(a).
"""

import re

import opentimelineio as otio
import pytest
from stdnum.iso7064 import mod_11_2, mod_37_36

from supervision.rules.reckoner import RULES, reckon
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.reckoner.workings import MOST_SENTENCES, workings
from tests.rules.test_reckoner import coverage_of_the_design, party


def told(rule, given):
    return workings(rule, given, reckon(rule, given))


def test_every_rule_has_a_guide_with_an_example_it_takes():
    assert list(GUIDES) == list(RULES)
    for rule, guide in GUIDES.items():
        assert guide.title
        assert guide.answers.endswith(".")
        assert reckon(rule, guide.example)


@pytest.mark.parametrize("rule", list(RULES))
def test_workings_are_sentences_in_one_line(rule):
    sentences = told(rule, GUIDES[rule].example)
    assert sentences
    for sentence in sentences:
        assert sentence.endswith(".")
        assert sentence.isprintable()


# timecode, duration


def test_workings_of_drop_frame_timecode():
    """The count that the sentence shows is the reference library's."""
    reference = otio.opentime.from_timecode("00:10:00;00", 30000 / 1001).to_frames()
    assert told("timecode", {"rate": "29.97", "drop": True, "timecode": "00:10:00;00"}) == [
        (
            "At 29.97 DF each second of timecode has 30 frame numbers; the first 2 of every minute are left out, but for "
            "every tenth minute (SMPTE ST 12-1)."
        ),
        f"00:10:00;00 is 600 s × 30 + 0 − 2 × 9 numbers left out = frame {reference:,}, counted from 0.",
        f"{reference:,} frames ÷ 30000/1001 a second = 2999997/5000 s, 599.9994 s.",
    ]


@pytest.mark.parametrize("frames", [0, 1799, 1800, 107_892, 2_589_407])
def test_sum_of_a_timecode_comes_to_its_frame(frames):
    sentence = told("timecode", {"rate": "29.97", "drop": True, "frames": frames})[1]
    seconds, nominal, frame, dropped, minutes, shown = map(
        int, re.findall(r"[0-9]+", sentence.split(" is ")[1].split(", counted")[0].replace(",", ""))
    )
    assert seconds * nominal + frame - dropped * minutes == shown == frames


@pytest.mark.parametrize(
    ("rate", "counting", "lasting"),
    [
        ("25", "At 25 each second of timecode has 25 frames.", "25 frames ÷ 25 a second = 1 s."),
        (
            "23.976",
            "At 23.976 each second of timecode has 24 frames and lasts 1001/1000 s.",
            "25 frames ÷ 24000/1001 a second = 1001/960 s, about 1.0427 s.",
        ),
    ],
)
def test_workings_without_drop(rate, counting, lasting):
    first, _, last = told("timecode", {"rate": rate, "frames": 25})
    assert (first, last) == (counting, lasting)


def test_workings_of_a_duration():
    assert told("duration", {"rate": "25", "in": "01:00:10:00", "out": "01:00:43:12"})[1:] == [
        "In at 01:00:10:00 is frame 90,250; out at 01:00:43:12 is frame 91,087, the first without the music.",
        "91,087 − 90,250 = 837 frames.",
        "837 frames ÷ 25 a second = 837/25 s, 33.48 s.",
        (
            "To the nearest second, half up, and at least 0:01, that is 33 s, written 0:33 "
            "(common practice, no published source)."
        ),
    ]


def test_workings_of_a_duration_across_midnight():
    sentences = told("duration", {"rate": "25", "in": "23:59:59:00", "out": "00:00:01:00", "wraps": True})
    assert sentences[2] == "Midnight comes after frame 2,159,999: 25 frames before it and 25 after it are 50."


# identifier


def test_workings_of_an_iswc_show_the_sum():
    assert told("identifier", {"scheme": "iswc", "value": "T-034.524.680-1"}) == [
        "It is stored and compared as T0345246801.",
        (
            "ISO 15707: 1 + 1×0 + 2×3 + 3×4 + 4×5 + 5×2 + 6×4 + 7×6 + 8×8 + 9×0 = 179. "
            "The check digit 1 brings it to 180, a multiple of 10."
        ),
        "A check can show that an identifier is wrong. It cannot show that it is the right one.",
    ]


@pytest.mark.parametrize(
    ("scheme", "value", "sentence"),
    [
        ("ipi", "00000000199", ("CISAC: 10×0 + 9×0 + 8×0 + 7×0 + 6×0 + 5×0 + 4×0 + 3×0 + 2×1 = 2, which leaves 2 modulo "
         "101; its check number is 99.")),
        ("ipi_base", "I-000000001-9", ("CISAC: 2 + 1×0 + 2×0 + 3×0 + 4×0 + 5×0 + 6×0 + 7×0 + 8×0 + 9×1 = 11. The check "
         "digit 9 brings it to 20, a multiple of 10.")),
        ("isrc", "US-S1Z-99-00001", ("ISO 3901 has no check digit; the form and the prefix US are all that can be "
         "checked.")),
        ("isni", "0000 0001 2103 2683", ("ISO 27729: ISO 7064 MOD 11-2 over the characters before it gives "
         f"{mod_11_2.calc_check_digit('000000012103268')} at the end.")),
        ("isan", "0000-0001-8947-0000-8", ("ISO 15706: ISO 7064 MOD 37,36 over the characters before it gives "
         f"{mod_37_36.calc_check_digit('0000000189470000')} at the end.")),
        ("eidr", "10.5240/7791-8534-2C23-9030-8610-5", ("ISO 26324: ISO 7064 MOD 37,36 over the characters before it "
         f"gives {mod_37_36.calc_check_digit('779185342C2390308610')} at the end.")),
    ],
)  # fmt: skip
def test_workings_name_the_check_of_each_scheme(scheme, value, sentence):
    assert told("identifier", {"scheme": scheme, "value": value})[1] == sentence


def test_workings_of_a_wrong_identifier_say_what_to_do():
    mend = "Compare it with the source: a character is mistyped, or two are swapped."
    assert told("identifier", {"scheme": "iswc", "value": "T-034.524.680-2"}) == [mend]


def test_workings_of_an_odd_identifier_say_what_to_do():
    mend = "Compare the first two letters with the source."
    assert told("identifier", {"scheme": "isrc", "value": "XX-S1Z-99-00001"})[-1] == mend


# shares


def test_workings_of_thirds_name_the_fraction_that_was_meant():
    writers = [{"name": name, "role": "C", "share": "33.33"} for name in ("Ann", "Bo", "")]
    given = {"convention": "200", "parties": [*writers, {"name": "Pub", "role": "E", "share": "100"}]}
    assert told("shares", given) == [
        "Writers: 33.33 + 33.33 + 33.33 = 99.99.",
        "Publishers: 100.",
        (
            "Together 199.99; writers 100, publishers 100 is asked for, and a total may miss that by 0.06 "
            "(CISAC CWR19-1070)."
        ),
        "Rounded figures are read as the fractions they stand for: 33.33 as 100/3.",
        (
            "For writers and publishers together 100, writers' shares are taken × 1/2 and publishers' × 1/2: Ann 50/3, "
            "Bo 50/3, unknown 50/3, Pub 50."
        ),
    ]


def test_workings_of_a_split_without_parties():
    sentences = told("shares", {"convention": "100", "parties": []})
    assert sentences[:2] == ["Writers: nobody, 0.", "Publishers: nobody, 0."]
    assert sentences[-1].endswith(": nobody.")


def test_workings_of_a_long_split_name_the_first_of_it():
    parties = [{"name": f"w{number}", "role": "CA", "share": "1"} for number in range(14)]
    sentences = told("shares", {"convention": "200", "parties": parties})
    assert sentences[0] == f"Writers: {' + '.join('1' * 12)} + 2 more = 14."
    assert sentences[-1].endswith("w11 1, ….")


def test_workings_of_writers_without_share():
    sentences = told("shares", {"convention": "200", "parties": [{"name": "Ann", "role": "CA", "share": "0"}]})
    assert sentences[0] == "Writers: 0."


# favoured


def test_workings_of_favoured_parties_follow_each_raise():
    """trade.md 6.5, case 2 (common practice, no published source): everybody with a clause rises to 6,000."""
    parties = [
        party("a", "sync", "50", 500_000, "all"),
        party("b", "sync", "30", 600_000),
        party("c", "sync", "20", 500_000, "side"),
        party("m", "master", "100", 500_000, "a"),
    ]
    assert told("favoured", {"currency": "USD", "parties": parties}) == [
        (
            "c rises from USD 5,000.00 to USD 6,000.00 on 100 %: it is favoured with this side of the song, and b gets "
            "that rate."
        ),
        "a rises from USD 5,000.00 to USD 6,000.00 on 100 %: it is favoured with every party, and b gets that rate.",
        "m rises from USD 5,000.00 to USD 6,000.00 on 100 %: it is favoured with a by name, and a gets that rate.",
        "a has 50 % of the sync side at USD 6,000.00 on 100 %: USD 3,000.00.",
        "b has 30 % of the sync side at USD 6,000.00 on 100 %: USD 1,800.00.",
        "c has 20 % of the sync side at USD 6,000.00 on 100 %: USD 1,200.00.",
        "The sync side comes to USD 6,000.00.",
        "m has 100 % of the master side at USD 6,000.00 on 100 %: USD 6,000.00.",
        "The clauses cost USD 1,700.00 on top of what was asked.",
    ]


def test_workings_when_nobody_is_raised():
    sentences = told("favoured", {"currency": "JPY", "parties": [party("a", "sync", "100", 5000, "all")]})
    assert sentences[0] == "Nobody is raised: no clause reaches a higher rate than its own party asks."
    assert sentences[-1] == "The clauses cost JPY 0 on top of what was asked."


def test_workings_without_parties():
    assert told("favoured", {"currency": "JPY", "parties": []}) == [
        "Nobody is raised: no clause reaches a higher rate than its own party asks."
    ]


def test_workings_of_ten_thousand_parties_end_at_what_can_be_read():
    parties = [party(f"p{number}", "sync", "1/100", 100 + number, "side") for number in range(10_000)]
    sentences = told("favoured", {"currency": "USD", "parties": parties})
    assert len(sentences) == MOST_SENTENCES + 1
    assert sentences[-1] == f"There is more: these are the first {MOST_SENTENCES} steps."


# coverage


def test_workings_of_a_gap_name_who_granted_and_who_lacks():
    assert told("coverage", coverage_of_the_design()) == [
        "sync: pub-a (60 % in World); pub-b (40 % in World).",
        (
            "Gap 1: sync, SVOD in World excl. US, from 2032-01-01 in perpetuity. Granted there: 40 % by pub-b (40 % in "
            "World)."
        ),
        "Gap 1: pub-a (60 % in World) lacks. It has granted all media in World, 2027-01-01 to 2031-12-31.",
    ]


def test_workings_of_a_covered_plan():
    given = coverage_of_the_design()
    given["plan"][0]["to"] = "2032-01-01"
    assert told("coverage", given)[1:] == [
        "In every medium, country and day of the plan the granted shares reach 100 %."
    ]


def test_workings_of_an_unknown_share_and_of_holders_elsewhere():
    given = coverage_of_the_design()
    given["plan"] = [{"media": ["svod"], "territory": "DE", "from": None, "to": None}]
    limited = given["sides"][0]["holders"][0]["grants"][0] | {"max_seconds": 30, "uses": 2, "territory": "FR"}
    given["sides"][0]["holders"] = [
        {"id": "a", "shares": [{"territory": "DE", "share": "50"}], "grants": [limited]},
        {"id": "b", "shares": [{"territory": "FR", "share": "50"}], "grants": []},
        {"id": "c", "shares": [{"territory": "DE", "share": "25"}], "grants": []},
        {"id": "d", "shares": [], "grants": []},
    ]
    assert told("coverage", given) == [
        "sync: a (50 % in DE); b (50 % in FR); c (25 % in DE); d (no share).",
        "Gap 1: sync, SVOD in DE, in perpetuity. Granted there: 0 % by nobody.",
        "Gap 1: a (50 % in DE) lacks. It has granted all media in FR, 2027-01-01 to 2031-12-31, up to 30 s, 2 uses.",
        "Gap 1: c (25 % in DE) lacks. It has granted nothing.",
        "Gap 1: nobody is known to hold 25 %. Find out who does.",
    ]


def test_workings_of_a_side_without_holders():
    given = coverage_of_the_design()
    given["sides"][0]["holders"] = []
    assert told("coverage", given)[0] == "sync: no holder."


def test_workings_of_many_holders_name_the_first_of_them():
    given = coverage_of_the_design()
    given["sides"][0]["holders"] = [
        {"id": f"h{number}", "shares": [{"territory": "World", "share": "10"}], "grants": []} for number in range(10)
    ]
    assert told("coverage", given)[0].endswith("h7 (10 % in World); 2 more.")


def option(**changes):
    given = {"id": "ext", "media": ["all"], "territory": "World", "from": "2032-01-01", "to": None}
    return given | {"fee": 250_000, "currency": "USD", "deadline": "2031-06-30"} | changes


@pytest.mark.parametrize(
    ("options", "sentences"),
    [
        (
            [option()],
            [
                "Gap 1: option ext for USD 2,500.00 would close it, to be taken up by 2031-06-30.",
                "ext for USD 2,500.00 close every gap; no cheaper set would do.",
            ],
        ),
        (
            [option(deadline=None)],
            [
                "Gap 1: option ext for USD 2,500.00 would close it.",
                "ext for USD 2,500.00 close every gap; no cheaper set would do.",
            ],
        ),
        ([option(territory="US")], ["No option closes a gap."]),
        ([option(territory="EU")], ["ext for USD 2,500.00 close every gap that options can close; no cheaper set would do."]),
    ],
)  # fmt: skip
def test_workings_of_options(options, sentences):
    given = coverage_of_the_design()
    given["sides"][0]["holders"][0]["options"] = options
    assert told("coverage", given)[3:] == sentences


def test_workings_of_more_options_than_are_searched_exactly():
    """Each of 24 options closes a year of its own but for overlaps, so that all have to do with one another."""
    given = coverage_of_the_design()
    given["plan"][0]["to"] = "2056-01-01"
    given["sides"][0]["holders"][0]["options"] = [
        option(id=f"o{year}", **{"from": f"{year}-01-01", "to": f"{year + 2}-01-01"}) for year in range(2032, 2056)
    ]
    assert told("coverage", given)[-1].endswith("close every gap; a cheaper set may exist.")


# territory, mechanical


def test_workings_of_a_territory_name_groups_and_sources():
    assert told("territory", {"expression": "Benelux + UK"}) == [
        (
            "Benelux: 3 countries. Source: Benelux Treaty; CISAC Territory Information System (music-metadata-territories "
            "24.12), 2110."
        ),
        "It means Benelux and United Kingdom: 4 countries today.",
    ]
    assert told("territory", {"expression": "DE"}) == ["It means Germany: 1 country today."]
    world = told("territory", {"expression": "World"})[-1]
    assert world == "It means World: 249 countries today, and those that do not exist yet."


def test_workings_of_a_mechanical():
    """37 CFR 385.11(a), Phonorecords IV: 12.7 cents or 2.45 cents a minute or fraction, the larger."""
    assert told("mechanical", {"country": "US", "year": 2025, "seconds": 312, "copies": 1000}) == [
        "6 minutes begun at 0.0245 is 0.147, more than 0.127 for the work; 1,000 x 0.147 = USD 147.",
        "To the cent, half up, USD 147.00 is payable (common practice, no published source).",
        (
            "Rates for copies made in 2025: Copyright Royalty Board, cost of living notice of December 2024. "
            "The rule: 37 CFR 385.11(a)."
        ),
    ]
    assert told("mechanical", {"country": "US", "year": 2025, "seconds": 312})[1].startswith(
        "To the cent, half up, USD 0.15"
    )
