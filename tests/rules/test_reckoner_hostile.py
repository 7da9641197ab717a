"""Hostile input to the reckoner ends in a refusal of one line with its place, or in a right answer, within two seconds."""

import copy
import random
from datetime import date, timedelta

import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.reckoner import RULES, reckon
from supervision.rules.reckoner.reading import (
    LARGEST_NUMBER,
    LONGEST_INPUT,
    LONGEST_TEXT,
    MOST_ITEMS,
    Fields,
    read_json,
)
from tests.rules.test_reckoner import coverage_of_the_design, party

GOOD = {
    "timecode": {"rate": "25", "drop": False, "timecode": "01:00:00:00"},
    "duration": {"rate": "25", "drop": False, "in": "01:00:00:00", "out": "01:00:01:00", "wraps": False},
    "identifier": {"scheme": "iswc", "value": "T-034.524.680-1"},
    "shares": {"convention": "100", "parties": [{"name": "A", "role": "CA", "share": "100"}]},
    "favoured": {"currency": "USD", "parties": [party("a", "sync", "100", 5, "side")]},
    "coverage": coverage_of_the_design(),
    "territory": {"expression": "EU"},
    "mechanical": {"country": "US", "year": 2025, "seconds": 312, "copies": 1},
}
ODD = [None, True, -1, 0, 10**400, 1.5, float("nan"), "", "NaN", "١", "\x00\n", "9" * 9_999, [], {}, [[]], {"a": 1}]


def deep(levels):
    nested = []
    for _ in range(levels):
        nested = [nested]
    return nested


def places(value, path=()):
    """Every place in a value, the whole first."""
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield from places(inner, (*path, key))


def with_value(value, path, new):
    if not path:
        return new
    changed = copy.deepcopy(value)
    inner = changed
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = new
    return changed


def refusal(rule, given):
    with pytest.raises(BadValue) as caught:
        reckon(rule, given)
    one_line(caught.value)
    return caught.value


def one_line(refused):
    assert refused.place
    assert refused.text
    assert len(str(refused)) < 600
    assert "\n" not in str(refused).rstrip()


@pytest.mark.parametrize("rule", list(RULES))
def test_good_input_is_answered(rule):
    assert reckon(rule, GOOD[rule])


@pytest.mark.parametrize("rule", list(RULES))
def test_odd_value_at_any_place_is_refused_or_answered(rule):
    refused = 0
    for path in places(GOOD[rule]):
        for odd in [*ODD, deep(500)]:
            try:
                assert isinstance(reckon(rule, with_value(GOOD[rule], path, odd)), dict)
            except BadValue as caught:
                refused += 1
                one_line(caught)
    assert refused > len(ODD)


@pytest.mark.parametrize("rule", list(RULES))
@pytest.mark.parametrize("given", [None, 5, "text", [], deep(900), {1: 2}, {"rate": 1, 2: 3}])
def test_input_that_is_no_object_is_refused(rule, given):
    caught = refusal(rule, given)
    assert (caught.code, caught.place) == ("not-an-object", "input")


@pytest.mark.parametrize("rule", list(RULES))
def test_field_of_another_name_is_refused(rule):
    caught = refusal(rule, GOOD[rule] | {"favored\n_with": 1})
    assert (caught.code, caught.place) == ("field-unknown", "input")
    assert caught.text == "There is no field “favored?_with” here."
    with pytest.raises(BadValue) as cut:
        Fields({"x" * 41: 1}, "side").only("id", "holders")
    assert (cut.value.place, cut.value.mend) == ("side", "Use id, holders.")
    assert cut.value.text == f"There is no field “{'x' * 40}” here."


@pytest.mark.parametrize(
    ("rule", "change", "place", "code", "words"),
    [
        (
            "timecode",
            {"frames": 5},
            "timecode",
            "timecode-or-frames",
            "Either a timecode or a number of frames is needed. Give one of the two.",
        ),
        (
            "timecode",
            {"drop": "yes"},
            "drop",
            "wrong-kind",
            "This is not true or false. Write true or false without quotation marks.",
        ),
        (
            "timecode",
            {"rate": 29.97},
            "rate",
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as text, as in “33.34” or “100/3”.",
        ),
        ("timecode", {"timecode": 5}, "timecode", "wrong-kind", "This is not text. Put it in quotation marks."),
        ("duration", {"out": "00:59:59:00"}, "out", "span-negative", None),
        ("duration", {"out": "01:00:00:25"}, "out", "timecode-field", None),
        ("duration", {"in": "01:00:00:25"}, "in", "timecode-field", None),
        ("identifier", {"scheme": "isbn"}, "scheme", "scheme-unknown", None),
        ("shares", {"convention": "300"}, "convention", "convention-unknown", None),
        ("shares", {"parties": {}}, "parties", "wrong-kind", "This is not a list. Write […]."),
        (
            "shares",
            {"parties": [5]},
            "parties[0]",
            "not-an-object",
            "This is not an object with fields. Write {…} with the rule's fields.",
        ),
        (
            "shares",
            {"parties": [{"name": "A", "role": "CA"}]},
            "parties[0].share",
            "field-missing",
            "This field is missing. Add it.",
        ),
        ("favoured", {"currency": "XXX"}, "currency", "currency-unknown", None),
        (
            "favoured",
            {"parties": [party("a", "both", "1", 1)]},
            "parties[0].side",
            "side-unknown",
            "There is no such side. Use sync or master.",
        ),
        (
            "favoured",
            {"parties": [party("a", "sync", "1", 1.0)]},
            "parties[0].rate",
            "wrong-kind",
            "This is not a whole number. Write it without decimals and without quotation marks.",
        ),
        ("favoured", {"parties": [party("a", "sync", "NaN", 1)]}, "parties[0].share", "share-unreadable", None),
        (
            "favoured",
            {"parties": [party("a", "sync", "1", 1, 7)]},
            "parties[0].favoured_with[0]",
            "wrong-kind",
            "This is not text. Put it in quotation marks.",
        ),
        (
            "territory",
            {"expression": "Wakanda"},
            "expression",
            "territory-unknown",
            "There is no territory “wakanda”. Did you mean Rwanda?",
        ),
        (
            "mechanical",
            {"seconds": "1e3"},
            "seconds",
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”.",
        ),
        (
            "mechanical",
            {"seconds": "1/0"},
            "seconds",
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”.",
        ),
        ("mechanical", {"year": 2099}, "year", "year-without-rate", None),
        (
            "mechanical",
            {"copies": True},
            "copies",
            "wrong-kind",
            "This is not a whole number. Write it without decimals and without quotation marks.",
        ),
    ],
)
def test_refusal_names_its_place(rule, change, place, code, words):
    caught = refusal(rule, GOOD[rule] | change)
    assert (caught.place, caught.code) == (place, code)
    assert words in (None, str(caught))


def changed_coverage(path, value):
    return with_value(coverage_of_the_design(), path, value)


HOLDER = ("sides", 0, "holders", 0)
GRANT = (*HOLDER, "grants", 0)
OPTION = {
    "id": "o", "media": ["all"], "territory": "World", "from": None, "to": None, "fee": 1, "currency": "USD"
}  # fmt: skip


@pytest.mark.parametrize(
    ("path", "value", "place", "code", "words"),
    [
        (
            ("plan", 0, "territory"),
            "Atlantis",
            "plan[0].territory",
            "territory-unknown",
            "There is no territory “atlantis”. Use a known territory name or code.",
        ),
        (
            ("plan", 0, "territory"),
            "US excl. US",
            "plan[0].territory",
            "territory-empty",
            "No country is left in it. Name a country, or exclude less.",
        ),
        (("plan", 0, "media"), [], "plan[0].media", "media-missing", "No medium is named. Name one, as in “all”."),
        (
            ("plan", 0, "media"),
            ["svod", "smoke"],
            "plan[0].media[1]",
            "medium-unknown",
            "There is no medium “smoke”. Use a known medium name or code.",
        ),
        (("plan", 0, "media"), "svod", "plan[0].media", "wrong-kind", "This is not a list. Write […]."),
        (
            ("plan", 0, "from"),
            "2027-02-30",
            "plan[0].from",
            "wrong-kind",
            "This is not a day of the calendar. Check day and month.",
        ),
        (
            ("plan", 0, "from"),
            "2027",
            "plan[0].from",
            "wrong-kind",
            "This is not a day. Write it like “2027-01-31”, or null for none.",
        ),
        (
            ("plan", 0, "from"),
            2027,
            "plan[0].from",
            "wrong-kind",
            "This is not a day. Write it like “2027-01-31”, or null for none.",
        ),
        (
            ("plan", 0, "to"),
            "2027-01-01",
            "plan[0].to",
            "term-empty",
            "The end is not after the start. “to” is the first day that is no longer in it.",
        ),
        (
            (*GRANT, "to"),
            "2026-01-01",
            "sides[0].holders[0].grants[0].to",
            "term-empty",
            "The end is not after the start. “to” is the first day that is no longer in it.",
        ),
        ((*GRANT, "uses"), 0, "sides[0].holders[0].grants[0].uses", "count", "This is less than 1. Give 1 or more."),
        (
            (*GRANT, "max_seconds"),
            0,
            "sides[0].holders[0].grants[0].max_seconds",
            "grant-length",
            "This length is 0. Give more than 0 seconds, or leave it out.",
        ),
        (
            (*GRANT, "max_seconds"),
            "-5",
            "sides[0].holders[0].grants[0].max_seconds",
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”.",
        ),
        (
            (*HOLDER, "shares", 0, "share"),
            "101",
            "sides[0].holders[0].shares[0].share",
            "share-over",
            "A share is more than 100. Give 100 or less.",
        ),
        ((*HOLDER, "shares", 0, "share"), "-1", "sides[0].holders[0].shares[0].share", "share-unreadable", None),
        (
            (*HOLDER, "shares", 0, "share"),
            33.3,
            "sides[0].holders[0].shares[0].share",
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as text, as in “33.34” or “100/3”.",
        ),
        (
            (*HOLDER, "id"),
            "pub-b",
            "sides[0].holders[1].id",
            "id-twice",
            "This id stands here twice. Give each an id of its own.",
        ),
        (
            (*HOLDER, "options"),
            [OPTION | {"fee": -1}],
            "sides[0].holders[0].options[0].fee",
            "option-fee",
            "A fee is below 0. Give 0 or more.",
        ),
        (
            (*HOLDER, "options"),
            [OPTION | {"currency": "EURO"}],
            "sides[0].holders[0].options[0].currency",
            "currency-unknown",
            None,
        ),
        (
            (*HOLDER, "options"),
            [OPTION, OPTION | {"fee": 2}],
            "o",
            "option-twice",
            "There are two different options “o”. Give each option an id of its own.",
        ),
        (
            (*HOLDER, "options"),
            [OPTION, OPTION | {"id": "p", "currency": "JPY"}],
            "options",
            "option-currencies",
            "Fees of options are in JPY and USD, which cannot be compared. Convert the fees to one currency first.",
        ),
        (("sides", 0, "uses"), 0, "sides[0].uses", "count", "This is less than 1. Give 1 or more."),
    ],
)
def test_coverage_refusal_names_its_place(path, value, place, code, words):
    caught = refusal("coverage", changed_coverage(path, value))
    assert (caught.place, caught.code) == (place, code)
    assert words in (None, str(caught))


def test_coverage_days_are_never_open_by_oversight():
    given = coverage_of_the_design()
    del given["sides"][0]["holders"][0]["grants"][0]["to"]
    caught = refusal("coverage", given)
    assert (caught.place, caught.text) == ("sides[0].holders[0].grants[0].to", "This field is missing.")


def test_coverage_sides_have_ids_of_their_own():
    given = coverage_of_the_design()
    given["sides"].append(given["sides"][0])
    assert refusal("coverage", given).place == "sides[1].id"


# Size


def answered(rule, given):
    """The answer, or the refusal in one line; nothing else comes of any size."""
    try:
        return reckon(rule, given)
    except BadValue as caught:
        one_line(caught)
        return caught


def holder(name, share, *, territory="World", grants=()):
    return {"id": name, "shares": [{"territory": territory, "share": share}], "grants": list(grants)}


def grant(start=None, end=None, media="all", territory="World"):
    return {"media": [media], "territory": territory, "from": start, "to": end}


def coverage(holders, *, plan=None):
    return {"plan": plan or [grant("2027-01-01")], "sides": [{"id": "s", "holders": holders}]}


def test_coverage_of_ten_thousand_holders():
    given = coverage([holder(str(number), "0.01", grants=[grant()]) for number in range(10_000)])
    assert answered("coverage", given) == {"covered": True, "gaps": []}
    given["sides"][0]["holders"][77]["grants"] = []
    (gap,) = answered("coverage", given)["gaps"]
    assert (gap["granted"], gap["lacking"]) == ("99.99", ["77"])


def test_coverage_of_ten_thousand_holders_with_dates_of_their_own():
    days = [date(2027, 1, 1) + timedelta(days=number) for number in range(10_000)]
    given = coverage([holder(str(day), "0.01", grants=[grant(day.isoformat())]) for day in days])
    assert isinstance(answered("coverage", given), BadValue)


def test_coverage_of_many_grants_that_overlap():
    days = [date(2027, 1, 1) + timedelta(days=number) for number in range(19_000)]
    grants = [grant(day.isoformat(), (day + timedelta(days=9_000)).isoformat(), territory="EU") for day in days]
    assert isinstance(answered("coverage", coverage([holder("a", "100", grants=grants)])), BadValue)


def test_coverage_of_many_middling_sides():
    chance = random.Random(3)  # noqa: S311 - invents figures
    words = ["EU", "World excl. US", "LATAM", "Europe", "APAC", "US & Canada", "MENA excl. EG"]

    def one():
        start = date(2027, 1, 1) + timedelta(days=chance.randrange(900))
        end = start + timedelta(days=chance.randrange(1, 900))
        return grant(start.isoformat(), end.isoformat(), chance.choice(["svod", "all", "tv"]), chance.choice(words))

    sides = [
        {"id": str(number), "holders": [holder("a", "100", grants=[one() for _ in range(100)])]}
        for number in range(120)
    ]
    answered("coverage", {"plan": [grant("2027-01-01")], "sides": sides})


def test_coverage_of_scattered_countries():
    chance = random.Random(4)  # noqa: S311 - invents figures
    codes = reckon("territory", {"expression": "World"})["countries"]
    holders = [
        holder(str(at), "1", territory=", ".join(chance.sample(codes, 120)), grants=[grant(territory=code)])
        for at, code in enumerate(codes)
    ]
    answered("coverage", coverage(holders))


def test_coverage_with_gaps_in_too_many_territories_is_refused():
    """Grants in thousands of different sets of countries, day after day, so that each day lacks others."""
    chance = random.Random(5)  # noqa: S311 - invents figures
    codes = reckon("territory", {"expression": "World"})["countries"]
    days = [date(2027, 1, 1) + timedelta(days=number) for number in range(12_000)]
    grants = [
        grant(day.isoformat(), (day + timedelta(days=8)).isoformat(), territory=", ".join(chance.sample(codes, 3)))
        for day in days
    ]
    caught = answered("coverage", coverage([holder("a", "100", grants=grants)]))
    assert caught.text == "The gaps differ in too many territories to be told in words."


@pytest.mark.parametrize(("grants", "told"), [(245, True), (255, False), (1_500, False)])
def test_coverage_with_gaps_in_as_many_territories_as_can_be_told_answered(grants, told):
    """Each grant leaves out countries of its own, and so does each overlap of two: two territories a grant."""
    chance = random.Random(6)  # noqa: S311 - invents figures
    codes = reckon("territory", {"expression": "World"})["countries"]
    days = [date(2027, 1, 1) + timedelta(days=3 * number) for number in range(grants)]
    scattered = [
        grant(day.isoformat(), (day + timedelta(days=8)).isoformat(), territory=", ".join(chance.sample(codes, 3)))
        for day in days
    ]
    result = answered("coverage", coverage([holder("a", "100", grants=scattered)]))
    assert isinstance(result, dict) is told


def test_coverage_of_too_many_entries_is_refused():
    lines = [{"territory": "World", "share": "1"}] * 17_000
    holders = [{"id": name, "shares": lines, "grants": []} for name in "abc"]
    assert answered("coverage", coverage(holders)).code == "coverage-too-large"


def test_coverage_of_many_options():
    options = [
        OPTION | {"id": f"o{number}", "fee": number % 7, "from": f"20{27 + number % 9}-01-01"}
        for number in range(3_000)
    ]
    given = coverage([holder("a", "100") | {"options": options}])
    answered("coverage", given)


def test_ten_thousand_parties_of_a_split():
    parties = [{"name": f"w{number}", "role": "CA", "share": "1/100"} for number in range(10_000)]
    answer = answered("shares", {"convention": "100", "parties": parties})
    assert answer["writers"] == "100"
    finest = [{"name": "w", "role": "CA", "share": f"1/{number}"} for number in range(990_000, 1_000_000)]
    assert isinstance(answered("shares", {"convention": "100", "parties": finest}), BadValue)


def test_ten_thousand_favoured_parties_in_a_circle():
    """Each is favoured with the next and the last with the first: all end at the highest rate."""
    parties = [
        party(f"p{number}", "sync", "1/100", 100 + number, f"p{(number + 1) % 10_000}") for number in range(10_000)
    ]
    answer = answered("favoured", {"currency": "USD", "parties": parties})
    assert {each["rate"] for each in answer["parties"]} == {10_099}


def test_ten_thousand_parties_favoured_with_everybody():
    parties = [party(f"p{number}", "master", "0.01", number, "all", "side") for number in range(10_000)]
    answer = answered("favoured", {"currency": "USD", "parties": parties})
    assert {each["rate"] for each in answer["parties"]} == {9_999}


@pytest.mark.parametrize(
    "expression",
    ["(" * 9_999, "US," * 3_000, "World excl. " * 800, "+".join(["EU"] * 2_000), "x" * 10_000, "é̈" * 5_000],
)
def test_territory_of_odd_length(expression):
    answered("territory", {"expression": expression})


@pytest.mark.parametrize("rule", ["shares", "favoured"])
def test_list_of_too_many_entries_is_refused(rule):
    given = GOOD[rule] | {"parties": GOOD[rule]["parties"] * (MOST_ITEMS + 1)}
    assert answered(rule, given).code == "list-too-long"


@pytest.mark.parametrize("rule", list(RULES))
def test_input_with_too_much_text_is_refused(rule):
    given = GOOD[rule] | {"parties": {"deep": [["x" * 9_999] * 101]}}
    assert answered(rule, given).code == "input-too-long"


@pytest.mark.parametrize("half", ["\ud800", "a\udfffb"])
def test_half_a_character_is_refused(half):
    """RFC 8259, section 8.2: JSON can write a lone surrogate, and what software then does is unpredictable."""
    caught = refusal("shares", {"convention": "100", "parties": [{"name": half, "role": "CA", "share": "100"}]})
    assert (caught.code, caught.place, str(caught)) == (
        "text-broken",
        "input",
        "A text holds half a character. Write the whole character.",
    )


# Fields


def test_fields_read_up_to_their_limits():
    fields = Fields({"n": LARGEST_NUMBER, "t": "x" * LONGEST_TEXT, "l": [1] * MOST_ITEMS, "e": "0.5", "z": "0"}, "side")
    assert fields.whole("n") == LARGEST_NUMBER
    assert fields.number_text("n") == str(LARGEST_NUMBER)
    assert len(fields.text("t")) == LONGEST_TEXT
    assert len(fields.items("l")) == MOST_ITEMS
    assert (fields.exact("e"), fields.exact("z")) == (0.5, 0)
    assert fields.at("n") == "side.n"


@pytest.mark.parametrize(
    ("method", "value", "code", "words"),
    [
        (
            "whole",
            LARGEST_NUMBER + 1,
            "wrong-kind",
            "This is not a whole number. Write it without decimals and without quotation marks.",
        ),
        (
            "whole",
            -LARGEST_NUMBER - 1,
            "wrong-kind",
            "This is not a whole number. Write it without decimals and without quotation marks.",
        ),
        (
            "number_text",
            LARGEST_NUMBER + 1,
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as text, as in “33.34” or “100/3”.",
        ),
        (
            "number_text",
            -1,
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as text, as in “33.34” or “100/3”.",
        ),
        (
            "number_text",
            True,
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as text, as in “33.34” or “100/3”.",
        ),
        ("number_text", "1" * (LONGEST_TEXT + 1), "text-too-long", "This is longer than 10000 characters. Shorten it."),
        ("text", "x" * (LONGEST_TEXT + 1), "text-too-long", "This is longer than 10000 characters. Shorten it."),
        (
            "exact",
            "1" * 16,
            "wrong-kind",
            "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”.",
        ),
        ("exact", "1.", "wrong-kind", "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”."),
        ("exact", "5/00", "wrong-kind", "This is not an exact number of 0 or more. Write it as in “312.5” or “625/2”."),
        ("items", [1] * (MOST_ITEMS + 1), "list-too-long", "There are more than 20000 entries. Give fewer at a time."),
        ("items", {"a": 1}, "wrong-kind", "This is not a list. Write […]."),
        ("flag", None, "wrong-kind", "This is not true or false. Write true or false without quotation marks."),
        ("day", "2027-1-1", "wrong-kind", "This is not a day. Write it like “2027-01-31”, or null for none."),
        ("day", True, "wrong-kind", "This is not a day. Write it like “2027-01-31”, or null for none."),
    ],
)
def test_fields_refuse(method, value, code, words):
    with pytest.raises(BadValue) as caught:
        getattr(Fields({"f": value}, "side"), method)("f")
    assert (caught.value.code, caught.value.place, str(caught.value)) == (code, "side.f", words)


def test_fields_that_may_be_left_out():
    assert Fields({}).flag("drop") is False
    assert not Fields({}).has("drop")
    assert Fields({"to": None}).day("to") is None
    assert Fields({"to": "2027-01-31"}).day("to") == date(2027, 1, 31)


# JSON


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        (b"", "line 1, column 1", "This is not JSON. Expecting value."),
        (b'{"a" 1}', "line 1, column 6", "This is not JSON. Expecting ':' delimiter."),
        (b'{"a":\n]', "line 2, column 1", "This is not JSON. Expecting value."),
        (b'{"a": NaN}', "input", "NaN is not a number. Write exact numbers as text."),
        (b'{"a": -Infinity}', "input", "-Infinity is not a number. Write exact numbers as text."),
        (b'{"a": ' + b"9" * 5_000 + b"}", "input", "A number has too many digits. Write exact numbers as text."),
        (b"[" * 200_000, "input", "The input is nested too deeply. Flatten it."),
        (b"\xff\xfe\x00", "input", "This is not text in UTF-8. Save it as UTF-8."),
        (b'"\xe9"', "input", "This is not text in UTF-8. Save it as UTF-8."),
        (b" " * (LONGEST_INPUT + 1), "input", "The input is longer than 10,000,000 bytes."),
    ],
)
def test_read_json_refuses(text, place, words):
    with pytest.raises(BadValue) as caught:
        read_json(text)
    assert (caught.value.place, str(caught.value)) == (place, words)
    assert caught.value.code.startswith("json-")


def test_read_json():
    assert read_json('{"é": [1, "x", null]}'.encode()) == {"é": [1, "x", None]}
    assert read_json(b"\xef\xbb\xbf5") == 5
    assert read_json(b"5".ljust(LONGEST_INPUT)) == 5


json_values = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from(["plan", "sides", "parties", "rate", "share", "id", "media"]), inner, max_size=4
        ),
    ),
    max_leaves=12,
)


@for_all(st.sampled_from(list(RULES)), json_values)
def test_any_json_is_answered_or_refused(rule, value):
    try:
        answer = reckon(rule, value)
    except BadValue as caught:
        one_line(caught)
        answer = {}
    assert isinstance(answer, dict)
