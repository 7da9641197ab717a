"""The reckoner's answers: the examples of design.md, section 5, and published values through the same door.

Outside checks: SMPTE arithmetic by OpenTimelineIO's reference library; ISWC T-034.524.680-1 (CISAC's example); ISO
3166-1 by pycountry; 37 CFR 385 (Phonorecords IV) for mechanicals; MFN cases of "All Clear?" (Documentary.org).
"""

import json
from fractions import Fraction

import opentimelineio as otio
import pycountry
import pytest

from supervision.rules.errors import BadValue
from supervision.rules.reckoner import RULES, reckon

EVERY_COUNTRY = {country.alpha_2 for country in pycountry.countries}


def test_rules_are_those_of_the_design():
    assert list(RULES) == [
        "timecode",
        "duration",
        "identifier",
        "shares",
        "favoured",
        "coverage",
        "territory",
        "mechanical",
    ]


def test_unknown_rule_is_refused():
    with pytest.raises(BadValue) as caught:
        reckon("weather", {})
    assert (caught.value.code, caught.value.place) == ("rule-unknown", "rule")
    assert str(caught.value) == f"There is no such rule. Use one of {', '.join(RULES)}."


# timecode


def test_timecode_of_the_design():
    expected = {"frames": 17982, "timecode": "00:10:00;00", "seconds": "2999997/5000"}
    assert reckon("timecode", {"rate": "30000/1001", "drop": True, "timecode": "00:10:00;00"}) == expected
    assert reckon("timecode", {"rate": "30000/1001", "drop": True, "frames": 17982}) == expected


def test_timecode_agrees_with_the_reference_library():
    for frames in (0, 1799, 1800, 17981, 17982, 107892, 2589407):
        answer = reckon("timecode", {"rate": "29.97", "drop": True, "frames": frames})
        time = otio.opentime.RationalTime(frames, 30000 / 1001)
        assert answer["timecode"] == otio.opentime.to_timecode(time, 30000 / 1001, drop_frame=True)
        assert Fraction(answer["seconds"]) == Fraction(frames * 1001, 30000)


@pytest.mark.parametrize(
    ("given", "answer"),
    [
        ({"rate": 25, "timecode": "01:00:00:00"}, {"frames": 90000, "timecode": "01:00:00:00", "seconds": "3600"}),
        ({"rate": "24", "drop": False, "frames": 1}, {"frames": 1, "timecode": "00:00:00:01", "seconds": "1/24"}),
    ],
)
def test_timecode_without_drop(given, answer):
    assert reckon("timecode", given) == answer


# duration


def test_duration():
    given = {"rate": "24", "drop": False, "in": "01:00:10:00", "out": "01:00:43:11"}
    assert reckon("duration", given) == {"frames": 803, "seconds": "803/24", "rounded": 33, "text": "0:33"}


def test_duration_across_midnight_where_declared():
    given = {"rate": "25", "in": "23:59:59:00", "out": "00:00:01:00", "wraps": True}
    assert reckon("duration", given) == {"frames": 50, "seconds": "2", "rounded": 2, "text": "0:02"}


# identifier


def test_identifier():
    assert reckon("identifier", {"scheme": "iswc", "value": "t 034 524 680 1"}) == {
        "valid": True,
        "canonical": "T0345246801",
        "display": "T-034.524.680-1",
        "reason": None,
    }
    wrong = reckon("identifier", {"scheme": "iswc", "value": "T-034.524.680-2"})
    assert (wrong["valid"], wrong["canonical"], wrong["display"]) == (False, None, None)
    assert "check digit" in wrong["reason"]


def test_identifier_that_is_valid_but_odd_has_a_caution():
    plain = reckon("identifier", {"scheme": "isrc", "value": "US-S1Z-99-00001"})
    assert plain["valid"]
    assert "caution" not in plain


# shares


def test_shares():
    parties = [{"name": "Ann", "role": "CA", "share": "50"}, {"name": "Pub", "role": "E", "share": 50}]
    assert reckon("shares", {"convention": "100", "parties": parties}) == {
        "writers": "50",
        "publishers": "50",
        "ok": True,
        "findings": [],
        "converted": {
            "convention": "200",
            "parties": [
                {"name": "Ann", "role": "CA", "share": "100"},
                {"name": "Pub", "role": "E", "share": "100"},
            ],
        },
    }


def test_shares_keep_thirds_exact():
    parties = [{"name": name, "role": "C", "share": "33.33"} for name in "abc"]
    answer = reckon("shares", {"convention": 200, "parties": [*parties, {"name": "P", "role": "E", "share": "100"}]})
    assert [party["share"] for party in answer["converted"]["parties"]] == ["50/3", "50/3", "50/3", "50"]
    assert {found["level"] for found in answer["findings"]} <= {"error", "warning"}


def test_shares_that_miss_the_total_are_an_error():
    answer = reckon("shares", {"convention": "100", "parties": [{"name": "Ann", "role": "CA", "share": "150"}]})
    assert answer["ok"] is False
    assert answer["findings"][0]["level"] == "error"
    assert answer["findings"][0]["text"].endswith(".")


# favoured


def party(name, side, share, rate, *favoured_with):
    return {"id": name, "side": side, "share": share, "rate": rate, "favoured_with": list(favoured_with)}


def test_favoured_across_and_within():
    """trade.md 6.5, case 2: everybody with a clause rises to the highest rate, 12,000 in all."""
    given = {
        "currency": "USD",
        "parties": [
            party("a", "sync", "50", 500_000, "all"),
            party("b", "sync", "30", 600_000),
            party("c", "sync", "20", 500_000, "all"),
            party("m", "master", "100", 500_000, "all"),
        ],
    }
    answer = reckon("favoured", given)
    assert answer["parties"][0] == {"id": "a", "rate": 600_000, "fee": 300_000, "raised_by": "b"}
    assert [each["fee"] for each in answer["parties"]] == [300_000, 180_000, 120_000, 600_000]
    assert [each["raised_by"] for each in answer["parties"]][1:3] == [None, "b"]
    assert (answer["sides"], answer["total"]) == ({"sync": 600_000, "master": 600_000}, 1_200_000)
    assert "findings" not in answer


def test_favoured_with_a_named_party_of_one_side():
    """Documentary.org, "All Clear?": the master's clause raises it to what publishing insists on."""
    given = {"currency": "JPY", "parties": [party("m", "master", 100, 5000, "p"), party("p", "sync", 100, 7000)]}
    answer = reckon("favoured", given)
    assert (answer["total"], answer["parties"][0]["raised_by"]) == (14000, "p")
    del given["parties"][0]["favoured_with"]
    assert reckon("favoured", given)["total"] == 12000


def test_favoured_with_no_party():
    assert reckon("favoured", {"currency": "EUR", "parties": []}) == {
        "parties": [],
        "sides": {"sync": 0, "master": 0},
        "total": 0,
    }


def test_favoured_tells_of_shares_over_the_whole():
    answer = reckon("favoured", {"currency": "EUR", "parties": [party("a", "sync", 60, 1), party("b", "sync", 60, 1)]})
    text = "The sync side's shares come to 120 %, more than there is. Correct the shares."
    assert answer["findings"] == [{"level": "warning", "text": text}]


# coverage


def coverage_of_the_design():
    return {
        "plan": [{"media": ["svod"], "territory": "World excl. US", "from": "2027-01-01", "to": None}],
        "sides": [
            {
                "id": "sync",
                "holders": [
                    {
                        "id": "pub-a",
                        "shares": [{"territory": "World", "share": "60"}],
                        "grants": [{"media": ["all"], "territory": "World", "from": "2027-01-01", "to": "2032-01-01"}],
                    },
                    {
                        "id": "pub-b",
                        "shares": [{"territory": "World", "share": "40"}],
                        "grants": [{"media": ["all"], "territory": "World", "from": "2027-01-01", "to": None}],
                    },
                ],
            }
        ],
    }


def test_coverage_of_the_design():
    assert reckon("coverage", coverage_of_the_design()) == {
        "covered": False,
        "gaps": [
            {
                "side": "sync",
                "media": ["svod"],
                "territory": "World excl. US",
                "countries": sorted(EVERY_COUNTRY - {"US"}),
                "from": "2032-01-01",
                "to": None,
                "granted": "40",
                "lacking": ["pub-a"],
            }
        ],
    }


def test_coverage_without_gap():
    given = coverage_of_the_design()
    given["plan"][0]["to"] = "2032-01-01"
    assert reckon("coverage", given) == {"covered": True, "gaps": []}


def test_coverage_with_thirds_unknown_share_and_start():
    given = coverage_of_the_design()
    given["plan"] = [{"media": ["all", "soundtrack"], "territory": "DE", "from": None, "to": None}]
    given["sides"][0]["holders"] = [
        {"id": "a", "shares": [{"territory": "EU", "share": "100/3"}], "grants": [
            {"media": ["all excl. theatrical", "soundtrack"], "territory": "Europe", "from": None, "to": None}]},
    ]  # fmt: skip
    assert [list(gap.values()) for gap in reckon("coverage", given)["gaps"]] == [
        ["sync", ["theatrical"], "DE", ["DE"], None, None, "0", ["a"], "200/3"],
        ["sync", ["all excl. theatrical", "soundtrack"], "DE", ["DE"], None, None, "100/3", [], "200/3"],
    ]


def test_coverage_with_options():
    given = coverage_of_the_design()
    option = {
        "id": "ext",
        "media": ["all"],
        "territory": "World",
        "from": "2032-01-01",
        "to": None,
        "fee": 250000,
        "currency": "USD",
        "deadline": "2031-06-30",
    }
    given["sides"][0]["holders"][0]["options"] = [option]
    offer = {"option": "ext", "fee": 250000, "currency": "USD", "deadline": "2031-06-30"}
    answer = reckon("coverage", given)
    assert answer["gaps"][0]["closable_by"] == [offer]
    assert answer["cheapest"] == {
        "options": [offer],
        "fee": 250000,
        "currency": "USD",
        "exact": True,
        "covered": True,
    }
    late = reckon("coverage", given | {"today": "2031-07-01"})
    assert "closable_by" not in late["gaps"][0]
    assert late["cheapest"] == {"options": [], "fee": 0, "currency": None, "exact": True, "covered": False}
    option["fee"] = 0
    assert reckon("coverage", given)["cheapest"]["fee"] == 0
    del option["deadline"]
    assert reckon("coverage", given | {"today": "2031-07-01"})["gaps"][0]["closable_by"][0]["deadline"] is None


def test_coverage_with_length_and_uses():
    given = coverage_of_the_design()
    given["plan"][0]["to"] = "2030-01-01"
    side = given["sides"][0]
    side["holders"][0]["grants"][0] |= {"max_seconds": "30", "uses": 2, "id": "L-17"}
    assert reckon("coverage", given)["covered"]
    side |= {"seconds": "61/2", "uses": 1}
    answer = reckon("coverage", given)
    assert answer["findings"] == [
        {
            "level": "warning",
            "text": "pub-a grants 30 s; sync uses 30 1/2 s. Ask for the longer use, or shorten the usage.",
        }
    ]
    side |= {"seconds": 30, "uses": 3}
    assert reckon("coverage", given)["findings"][0]["text"].startswith("pub-a grants 2 uses; 0 are spent")


def test_coverage_spends_the_uses_of_a_grant_over_the_sides():
    given = coverage_of_the_design()
    given["plan"][0]["to"] = "2030-01-01"
    given["sides"][0]["holders"][0]["grants"][0] |= {"uses": 1, "id": "L-17"}
    given["sides"].append(given["sides"][0] | {"id": "second use"})
    assert [gap["side"] for gap in reckon("coverage", given)["gaps"]] == ["second use"]
    del given["sides"][0]["holders"][0]["grants"][0]["id"]
    assert reckon("coverage", given)["covered"]


# territory


@pytest.mark.parametrize(
    ("expression", "countries", "display"),
    [
        ("World excl. US, CA", EVERY_COUNTRY - {"US", "CA"}, "World excl. CA, US"),
        ("World", EVERY_COUNTRY, "World"),
        ("UK & Ireland", {"GB", "IE"}, "IE + UK"),
        ("US excl. US", set(), "nowhere"),
    ],
)
def test_territory(expression, countries, display):
    assert reckon("territory", {"expression": expression}) == {"countries": sorted(countries), "display": display}


# mechanical


@pytest.mark.parametrize(
    ("given", "per_copy", "total"),
    [
        ({"year": 2025, "seconds": 312, "copies": 1}, "0.147", "0.147"),
        ({"year": 2025, "seconds": "300.5", "copies": 1000}, "0.147", "147"),
        ({"year": 2025, "seconds": 300}, "0.127", "0.127"),
        ({"year": 2024, "seconds": "721/2", "copies": 10}, "0.1666", "1.666"),
    ],
)
def test_mechanical(given, per_copy, total):
    answer = reckon("mechanical", given | {"country": "US"})
    assert (answer["per_copy"], answer["total"]) == (per_copy, total)
    assert set(answer) == {"per_copy", "total", "working", "source"}


@pytest.mark.parametrize(
    ("rule", "given"),
    [
        ("timecode", {"rate": "25", "frames": 1}),
        ("duration", {"rate": "25", "in": "00:00:00:00", "out": "00:00:00:01"}),
        ("identifier", {"scheme": "isni", "value": "0000 0001 2103 2683"}),
        ("shares", {"convention": "100", "parties": []}),
        ("favoured", {"currency": "EUR", "parties": [party("a", "sync", "100/3", 100)]}),
        ("coverage", coverage_of_the_design()),
        ("territory", {"expression": "EU"}),
        ("mechanical", {"country": "US", "year": 2026, "seconds": 60}),
    ],
)
def test_answers_are_plain_json(rule, given):
    answer = reckon(rule, given)
    assert json.loads(json.dumps(answer)) == answer
