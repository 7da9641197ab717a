"""The reckoner's pages, and that page, API and command give the same answers to the worked examples of the design.

The answers themselves are checked against the outside in tests/rules/test_reckoner.py.
"""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from html import escape
from pathlib import Path

import pytest

from supervision.models import User
from supervision.rules.reckoner import RULES
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.reckoner.reading import Fields
from supervision.rules.reckoner.workings import workings
from supervision.web.views.reckoner import FORMS
from tests.factories.accounts import client_of
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db

ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def ida(client):
    client.force_login(User.objects.create_user("ida"))
    return client


def rows(name, *typed):
    """The rows of a set as a browser sends them."""
    sent = {f"{name}-TOTAL_FORMS": str(len(typed)), f"{name}-INITIAL_FORMS": "0"}
    return sent | {f"{name}-{at}-{field}": value for at, row in enumerate(typed) for field, value in row.items()}


def party(name, side, share, rate, scope="", by_name=""):
    return {"id": name, "side": side, "share": share, "rate": rate, "favoured_with": scope, "by_name": by_name}


def ask(client, rule, typed, **headers):
    return client.post(f"/reckoner/{rule}/", typed, headers=headers)


def question(page):
    return json.loads(page.context["question_json"])


def answer(page):
    return json.loads(page.context["answer_json"])


def text(page):
    return page.content.decode()


GRANT = {"side": "sync", "media_words": "all", "territory": "World", "from_day": "2027-01-01"}
TYPED = {
    "timecode": {"rate": "29.97 DF", "timecode": "00:10:00;00", "frames": ""},
    "frames": {"rate": "29.97 DF", "timecode": "", "frames": "17982"},
    "duration": {"rate": "25", "in_point": "01:00:10:00", "out_point": "01:00:43:12"},
    "identifier": {"scheme": "iswc", "value": "T-034.524.680-1"},
    "shares": {"convention": "100"}
    | rows(
        "parties",
        {"name": "Ada Weir", "role": "CA", "share": "50"},
        {"name": "Tide Music", "role": "E", "share": "50"},
    ),
    "favoured": {"currency": "USD"}
    | rows(
        "parties",
        party("pub-a", "sync", "60", "8,000.00", "side"),
        party("pub-b", "sync", "40", "USD 10000", "", "label"),
        party("label", "master", "100", "9,000", "all"),
    ),
    "coverage": {"currency": "USD"}
    | rows("plan", {"media_words": "SVOD", "territory": "World excl. US", "from_day": "2027-01-01", "last_day": ""})
    | rows(
        "shares",
        {"side": "sync", "holder": "pub-a", "territory": "World", "share": "60"},
        {"side": "sync", "holder": "pub-b", "territory": "World", "share": "40"},
    )
    | rows("grants", GRANT | {"holder": "pub-a", "last_day": "2031-12-31"}, GRANT | {"holder": "pub-b", "last_day": ""})
    | rows("options"),
    "territory": {"expression": "World excl. US, CA"},
    "mechanical": {"country": "US", "year": "2025", "length": "5:12", "copies": "1"},
}
ASKED = {
    "timecode": {"rate": "30000/1001", "drop": True, "timecode": "00:10:00;00"},
    "frames": {"rate": "30000/1001", "drop": True, "frames": 17982},
    "duration": {"rate": "25", "drop": False, "in": "01:00:10:00", "out": "01:00:43:12"},
    "identifier": {"scheme": "iswc", "value": "T-034.524.680-1"},
    "shares": {
        "convention": "100",
        "parties": [
            {"name": "Ada Weir", "role": "CA", "share": "50"},
            {"name": "Tide Music", "role": "E", "share": "50"},
        ],
    },
    "favoured": {
        "currency": "USD",
        "parties": [
            {"id": "pub-a", "side": "sync", "share": "60", "rate": 800_000, "favoured_with": ["side"]},
            {"id": "pub-b", "side": "sync", "share": "40", "rate": 1_000_000, "favoured_with": ["label"]},
            {"id": "label", "side": "master", "share": "100", "rate": 900_000, "favoured_with": ["all"]},
        ],
    },
    "coverage": GUIDES["coverage"].example,
    "territory": {"expression": "World excl. US, CA"},
    "mechanical": {"country": "US", "year": 2025, "seconds": 312, "copies": 1},
}
#: What a person sees of each answer.
SEEN = {
    "timecode": "00:10:00;00 is frame 17,982.",
    "frames": "00:10:00;00 is frame 17,982.",
    "duration": "It lasts 0:33.",
    "identifier": "It can be right.",
    "shares": "The split adds up.",
    "favoured": "2 parties are raised; both sides come to USD 20,000.00.",
    "coverage": "Not covered: 1 gap.",
    "territory": "It means World excl. CA, US.",
    "mechanical": "USD 0.147 for 1 copy of this work in 2025.",
}


def by_command(rule, given):
    """What the command writes, run as people run it, where no database answers."""
    done = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "manage.py", "reckon", rule, "--workings"],
        cwd=ROOT,
        input=json.dumps(given).encode(),
        capture_output=True,
        check=True,
        env=os.environ | {"DATABASE_URL": "postgres://nobody@127.0.0.1:9/nothing"},
    )
    return json.loads(done.stdout)


@pytest.mark.parametrize("case", list(TYPED))
def test_page_api_and_command_give_the_same_answer_with_the_same_workings(ida, case):
    rule = "timecode" if case == "frames" else case
    page = ask(ida, rule, TYPED[case])
    assert page.status_code == 200
    assert question(page) == ASKED[case]
    api = client_of(User.objects.get())
    by_api = api.post(f"/api/v1/reckon/{rule}?workings=true", ASKED[case]).json()
    assert by_api == by_command(rule, ASKED[case])
    assert by_api == answer(page) | {"workings": page.context["workings"]}
    assert SEEN[case] in text(page)


@pytest.mark.parametrize("rule", list(RULES))
def test_example_as_it_is_filled_in_is_the_guide_s(ida, rule):
    page = ask(ida, rule, as_shown(ida.get(f"/reckoner/{rule}/?example").context["form"]))
    assert question(page) == GUIDES[rule].example
    assert page.context["workings"] == workings(rule, GUIDES[rule].example, answer(page))


def test_every_rule_has_a_form():
    assert list(FORMS) == list(RULES)


@pytest.mark.parametrize("address", ["/reckoner/", "/reckoner/coverage/"])
def test_stranger_is_sent_to_sign_in(client, address):
    assert client.get(address).status_code == 302


def test_index_leads_to_every_rule(ida):
    page = text(ida.get("/reckoner/"))
    for rule in RULES:
        assert f'href="/reckoner/{rule}/"' in page
        assert GUIDES[rule].answers in page


def test_running_head_leads_to_the_reckoner(ida):
    assert '<a href="/reckoner/">Reckoner</a>' in text(ida.get("/"))
    assert '<a href="/reckoner/" aria-current="true">Reckoner</a>' in text(ida.get("/reckoner/duration/"))


def test_unknown_rule_is_not_found_and_the_rules_are_named(ida):
    page = ida.get("/reckoner/weather/")
    assert page.status_code == 404
    assert f"Use one of {', '.join(RULES)}." in text(page)


@pytest.mark.parametrize("rule", list(RULES))
def test_empty_form_is_refused_and_nothing_is_answered(ida, rule):
    page = ask(ida, rule, {name: value for name, value in TYPED[rule].items() if name.endswith("_FORMS")})
    assert page.status_code == 422
    assert "shown" not in page.context
    assert "Not reckoned yet: please mend this" in text(page)


@pytest.mark.parametrize("rule", ["shares", "favoured", "coverage"])
def test_form_without_rows_asks_for_one(ida, rule):
    empty = {name: "0" for name in TYPED[rule] if name.endswith("_FORMS")}
    page = ask(ida, rule, {"currency": "USD", "convention": "100"} | empty)
    assert page.status_code == 422
    (sentence,) = page.context["form"].non_field_errors()
    assert sentence.endswith("Fill in at least one row.")


def test_coverage_without_shares_asks_for_one(ida):
    page = ask(ida, "coverage", TYPED["coverage"] | rows("shares") | rows("grants"))
    assert page.context["form"].non_field_errors() == ["There is no share yet. Fill in at least one row."]


@pytest.mark.parametrize(
    ("rule", "change", "field", "sentence"),
    [
        ("timecode", {"frames": "5"}, "timecode", "Either a timecode or a number of frames is needed. Give one of the two."),
        ("timecode", {"rate": "25"}, "timecode", ("“00:10:00;00” has the “;” of drop-frame timecode, and the rate is 25. "
         "Write “:” before the frames, or put the cut's counting right.")),
        ("timecode", {"timecode": "", "frames": "-1"}, "frames", "A count of frames is never below 0. Count from 0."),
        ("timecode", {"timecode": "", "frames": "9" * 30}, "frames", ("Ensure this value is less than or equal to "
         "1000000000000000.")),
        ("timecode", {"rate": "26"}, "rate", "Select a valid choice. 26 is not one of the available choices."),
        ("duration", {"out_point": "00:59:00:00"}, "out_point", ("The out point is before the in point. Swap the two, or "
         "declare that the picture runs across midnight.")),
        ("duration", {"in_point": "01:00:10:25"}, "in_point", ("“01:00:10:25” has frame 25, which does not exist at 25. "
         "The last frame is 24.")),
        ("territory", {"expression": "Atlantis"}, "expression", ("There is no territory “atlantis”. Did you mean "
         "Atlantis?")),
        ("mechanical", {"year": "2099"}, "year", ("The statutory rates are known for 2004 to 2026. Give a year from 2004 "
         "to 2026; later rates follow the price index and are published each December.")),
        ("mechanical", {"length": "312"}, "length", ("“312” is not a duration. Write minutes and seconds, such as 0:33, or "
         "hours too, such as 1:02:03.")),
        ("mechanical", {"length": "0:00"}, "length", ("A playing time is more than 0 seconds and at most a day. Give the "
         "work's playing time in seconds.")),
        ("mechanical", {"copies": "0"}, "copies", ("Copies are a whole number from 1 to 1,000,000,000. Count the copies "
         "again.")),
    ],
)  # fmt: skip
def test_refusal_stands_beside_its_field_and_what_was_typed_stays(ida, rule, change, field, sentence):
    typed = TYPED[rule] | change
    page = ask(ida, rule, typed)
    form = page.context["form"]
    assert page.status_code == 422
    if change == {"expression": "Atlantis"}:
        assert form.errors[field][0].startswith("There is no territory “atlantis”.")
    else:
        assert form.errors[field] == [sentence]
    assert {name: form[name].value() for name in typed} == typed


@pytest.mark.parametrize(
    ("rule", "change", "row", "field", "sentence"),
    [
        ("shares", {"parties-1-share": "half"}, 1, "share", ("“half” is not a share. Write per cent from 0 to 100, such as "
         "50, 33.34 or 100/3.")),
        ("shares", {"parties-0-role": "X"}, 0, "role", "Select a valid choice. X is not one of the available choices."),
        ("favoured", {"parties-1-rate": "ten"}, 1, "rate", ("The amount cannot be read. Write it like 1,234.50: a comma "
         "between thousands, a dot before decimals.")),
        ("favoured", {"parties-1-rate": "EUR 10"}, 1, "rate", ("The amount says EUR where USD is expected. Change the "
         "currency, or write the amount in USD.")),
        ("favoured", {"parties-2-id": "a, b"}, 2, "id", ("A party's name has a comma. Leave it out: commas stand between the "
         "names of a clause.")),
        ("favoured", {"parties-2-id": "pub-a", "parties-1-by_name": ""}, 0, "id", ("The id pub-a is used twice, or is a word "
         "of the clauses. Give each party an id of its own.")),
        ("favoured", {"parties-1-by_name": "nobody"}, 1, "by_name", ("The clause of pub-b names a party that is not there. "
         "Name one of the parties' ids, or side, song, episode-side, all.")),
        ("favoured", {"parties-2-share": "150"}, 2, "share", None),
    ],
)  # fmt: skip
def test_refusal_stands_beside_the_field_of_its_row(ida, rule, change, row, field, sentence):
    page = ask(ida, rule, TYPED[rule] | change)
    form = page.context["form"]
    assert page.status_code == 422
    errors = form.sets["parties"].forms[row].errors
    assert list(errors) == [field]
    if sentence:
        assert errors[field] == [sentence]
    name = next(iter(change))
    assert f'value="{change[name]}"' in text(page) or name.endswith("role")


def test_refusal_that_names_no_row_stands_on_top(ida):
    page = ask(ida, "favoured", TYPED["favoured"] | {"parties-0-id": "pub\u200ba"})
    assert page.context["form"].non_field_errors() == [
        "A party's id is text of 1 to 200 characters in one line. Give each party a short id."
    ]


def coverage_with(name, at, **change):
    return TYPED["coverage"] | {f"{name}-{at}-{field}": value for field, value in change.items()}


@pytest.mark.parametrize(
    ("name", "change", "field", "sentence"),
    [
        ("plan", {"territory": "Atlantis"}, "territory", None),
        ("plan", {"territory": "US excl. US"}, "territory", "No country is left in it. Name a country, or exclude less."),
        ("plan", {"media_words": "smoke signals"}, "media_words", None),
        ("plan", {"media_words": "SVOD excl. SVOD"}, "media_words", "No medium is named. Name one, as in “all”."),
        ("plan", {"last_day": "2026-12-31"}, "last_day", ("The term ends on 2026-12-31, before it starts on 2027-01-01. Swap "
         "or correct the dates.")),
        ("plan", {"last_day": "9999-12-31"}, "last_day", "The last day is too late. Write “in perpetuity”."),
        ("plan", {"from_day": "2027-02-30"}, "from_day", "Enter a valid date."),
        ("shares", {"share": "101"}, "share", "A share is more than 100. Give 100 or less."),
        ("grants", {"holder": "pub-c"}, "holder", ("pub-c has no share of the sync side above. Write the holder as there, or "
         "add the share.")),
        ("grants", {"side": "master"}, "holder", ("pub-b has no share of the master side above. Write the holder as there, "
         "or add the share.")),
        ("grants", {"territory": "US excl. US"}, "territory", "No country is left in it. Name a country, or exclude less."),
    ],
)  # fmt: skip
def test_refusal_of_coverage_stands_beside_the_field_of_its_row(ida, name, change, field, sentence):
    at = 0 if name == "plan" else 1
    page = ask(ida, "coverage", coverage_with(name, at, **change))
    assert page.status_code == 422
    errors = page.context["form"].sets[name].forms[at].errors
    assert list(errors) == [field]
    if sentence:
        assert errors[field] == [sentence]


OPTION = GRANT | {
    "holder": "pub-a",
    "from_day": "2032-01-01",
    "option": "ext",
    "fee": "2,500",
    "deadline": "2031-06-30",
}


def test_options_that_close_a_gap_are_named_with_fee_and_day(ida, time_machine):
    time_machine.move_to(datetime(2026, 11, 25, 12, tzinfo=UTC))
    page = ask(ida, "coverage", TYPED["coverage"] | rows("options", OPTION))
    assert question(page)["today"] == "2026-11-25"
    assert answer(page)["cheapest"]["options"] == [
        {"option": "ext", "fee": 250_000, "currency": "USD", "deadline": "2031-06-30"}
    ]
    assert page.context["shown"].tables[0].rows[0][-1] == "ext, USD 2,500.00"
    assert "ext for USD 2,500.00 close every gap; no cheaper set would do." in page.context["workings"]


def test_options_whose_day_is_past_are_left_out(client, time_machine):
    time_machine.move_to(datetime(2031, 7, 1, 12, tzinfo=UTC))
    client.force_login(User.objects.create_user("ida"))
    page = ask(client, "coverage", TYPED["coverage"] | rows("options", OPTION))
    assert page.context["shown"].tables[0].rows[0][-1] == ""


@pytest.mark.parametrize(
    ("change", "field"),
    [({"fee": "a lot"}, "fee"), ({"fee": "-5"}, "fee"), ({"holder": "pub-c"}, "holder"), ({"option": ""}, "option")],
)
def test_refusal_of_an_option_stands_beside_its_field(ida, change, field):
    page = ask(ida, "coverage", TYPED["coverage"] | rows("options", OPTION | change))
    assert page.status_code == 422
    assert list(page.context["form"].sets["options"].forms[0].errors) == [field]
    assert "<details open>" in text(page)


def test_two_different_options_of_one_name_are_refused_on_top(ida):
    page = ask(ida, "coverage", TYPED["coverage"] | rows("options", OPTION, OPTION | {"fee": "3,000"}))
    assert page.context["form"].non_field_errors() == [
        "There are two different options “ext”. Give each option an id of its own."
    ]


def test_both_sides_are_checked_in_the_order_of_their_shares(ida):
    label = {"side": "master", "holder": "label", "territory": "World", "share": "100/3"}
    sync = [
        {"side": "sync", "holder": "pub-a", "territory": "EU", "share": "60"},
        {"side": "sync", "holder": "pub-a", "territory": "World excl. EU", "share": "100"},
    ]
    page = ask(ida, "coverage", TYPED["coverage"] | rows("shares", label, *sync) | rows("grants"))
    holders = [(side["id"], [holder["id"] for holder in side["holders"]]) for side in question(page)["sides"]]
    assert holders == [("master", ["label"]), ("sync", ["pub-a"])]
    assert question(page)["sides"][1]["holders"][0]["shares"] == [
        {"territory": "EU", "share": "60"},
        {"territory": "World excl. EU", "share": "100"},
    ]
    assert [row[6] for row in page.context["shown"].tables[0].rows] == [
        "label, nobody known for 200/3 %",
        "pub-a",
        "pub-a, nobody known for 40 %",
    ]


def test_covered_plan_says_so(ida):
    page = ask(ida, "coverage", coverage_with("plan", 0, last_day="2031-12-31"))
    assert page.context["shown"].verdict == "Covered."
    assert not page.context["shown"].wrong
    assert page.context["shown"].tables == ()


def test_window_of_all_media_alone_is_the_world_for_ever(ida):
    page = ask(
        ida, "coverage", TYPED["coverage"] | rows("plan", {"media_words": "all media", "territory": "", "from_day": ""})
    )
    assert question(page)["plan"] == [{"media": ["all"], "territory": "World", "from": None, "to": None}]


def test_several_gaps_are_counted(ida):
    page = ask(
        ida, "coverage", TYPED["coverage"] | rows("grants", GRANT | {"holder": "pub-a", "last_day": "2031-12-31"})
    )
    assert page.context["shown"].verdict == "Not covered: 2 gaps."


def test_split_that_is_wrong_says_so_with_its_findings(ida):
    page = ask(ida, "shares", TYPED["shares"] | {"parties-0-share": "80"})
    shown = page.context["shown"]
    assert (shown.verdict, shown.wrong) == ("Something is wrong with the split.", True)
    assert [finding.text for finding in shown.findings] == [each["text"] for each in answer(page)["findings"]]


def test_party_without_name_is_unknown(ida):
    page = ask(ida, "shares", TYPED["shares"] | {"parties-0-name": ""})
    assert page.context["shown"].tables[0].rows[0] == ("unknown", "CA composer and author", "50", "100")


def test_identifier_that_is_wrong_says_why(ida):
    page = ask(ida, "identifier", {"scheme": "iswc", "value": "T-034.524.680-2"})
    assert page.status_code == 200
    assert page.context["shown"].verdict == f"It is wrong: {answer(page)['reason']}"
    assert page.context["shown"].wrong


def test_identifier_that_is_odd_says_what_is(ida):
    shown = ask(ida, "identifier", {"scheme": "isrc", "value": "XX-S1Z-99-00001"}).context["shown"]
    assert shown.verdict == "It can be right, but: No agency is known for the prefix XX."
    assert shown.wrong


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [
        ([party("a", "sync", "100", "5,000")], "Nobody is raised; both sides come to JPY 5,000."),
        (
            [party("a", "sync", "100", "5,000", "all"), party("b", "master", "100", "6,000")],
            "1 party is raised; both sides come to JPY 12,000.",
        ),
    ],
)
def test_raised_parties_are_counted(ida, typed, verdict):
    shown = ask(ida, "favoured", {"currency": "JPY"} | rows("parties", *typed)).context["shown"]
    assert shown.verdict == verdict


def test_territory_names_its_countries_open_where_they_are_few(ida):
    (few,) = ask(ida, "territory", {"expression": "Benelux"}).context["shown"].names
    assert (few.heading, few.is_open) == ("The countries: 3", True)
    assert few.names == ["Belgium (BE)", "Luxembourg (LU)", "Netherlands (NL)"]
    (many,) = ask(ida, "territory", {"expression": "World"}).context["shown"].names
    assert not many.is_open
    assert ask(ida, "territory", {"expression": "US excl. US"}).context["shown"].names == []


def test_copies_are_counted(ida):
    shown = ask(ida, "mechanical", TYPED["mechanical"] | {"copies": "1000"}).context["shown"]
    assert [(figure["label"], figure["value"]) for figure in shown.figures] == [
        ("For a copy", "USD 0.147"),
        ("For 1,000 copies", "USD 147"),
    ]


def test_picture_across_midnight(ida):
    typed = {"rate": "25", "in_point": "23:59:59:00", "out_point": "00:00:01:00", "wraps": "on"}
    page = ask(ida, "duration", typed)
    assert (question(page)["wraps"], answer(page)["text"]) == (True, "0:02")


@pytest.mark.parametrize(("rule", "name"), [("shares", "parties"), ("coverage", "grants"), ("coverage", "options")])
def test_another_row_keeps_what_was_typed_and_refuses_nothing(ida, rule, name):
    typed = TYPED[rule] | {"add_row": name, f"{name}-0-share": "nonsense"}
    page = ask(ida, rule, typed)
    form = page.context["form"]
    assert page.status_code == 200
    assert not form.errors
    assert "shown" not in page.context
    assert len(form.sets[name].forms) == int(TYPED[rule][f"{name}-TOTAL_FORMS"]) + 1
    shown = as_shown(form)
    kept = {field: value for field, value in typed.items() if value and field in shown and field.count("-") == 2}
    assert kept
    assert kept.items() <= shown.items()
    assert ("<details open>" in text(page)) is (name == "options")


def test_row_marked_for_removal_is_left_out(ida):
    typed = as_shown(ida.get("/reckoner/favoured/?example").context["form"]) | {"parties-1-DELETE": "on"}
    assert [each["id"] for each in question(ask(ida, "favoured", typed))["parties"]] == ["pub-a", "label"]


def test_htmx_gets_the_part_that_changes(ida):
    page = ask(ida, "timecode", TYPED["timecode"], HX_Request="true")
    assert text(page).strip().startswith('<div class="reckoning')
    assert "<html" not in text(page)
    refused = ask(ida, "timecode", {"rate": "25"}, HX_Request="true")
    assert refused.status_code == 422
    assert text(refused).strip().startswith('<div class="reckoning')


def test_question_and_answer_are_there_as_json(ida):
    page = text(ask(ida, "territory", {"expression": "DE"}))
    assert "POST /api/v1/reckon/territory" in page
    assert "manage.py reckon territory &lt; question.json" in page
    assert "&quot;expression&quot;: &quot;DE&quot;" in page


def test_what_was_typed_is_shown_as_text_only(ida):
    page = text(ask(ida, "shares", TYPED["shares"] | {"parties-0-name": "<script>alert(1)</script>"}))
    assert "<script>alert" not in page
    assert page.count("&lt;script&gt;alert(1)&lt;/script&gt;") > 3


def test_page_asks_the_database_only_who_is_there(ida, django_assert_num_queries):
    with django_assert_num_queries(2):  # session and user
        ask(ida, "coverage", TYPED["coverage"])


@pytest.mark.parametrize("total", ["x", "-1", "", "999999999", "1" * 400])
def test_tampered_count_of_rows_is_refused(ida, total):
    page = ask(ida, "favoured", TYPED["favoured"] | {"parties-TOTAL_FORMS": total})
    assert page.status_code == 422


def test_more_rows_than_a_page_takes_are_refused(ida):
    typed = rows("parties", *({"name": f"w{number}", "role": "CA", "share": "0.1"} for number in range(201)))
    page = ask(ida, "shares", {"convention": "100"} | typed)
    assert page.status_code == 422
    assert "Please submit at most 200 forms." in text(page)


# --- in French ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rule", list(RULES))
def test_example_asks_the_same_in_french_and_its_answer_is_told_in_french(ida, rule):
    french = {"accept-language": "fr"}
    typed = as_shown(ida.get(f"/reckoner/{rule}/?example", headers=french).context["form"])
    page = ida.post(f"/reckoner/{rule}/", typed, headers=french)
    plain = ask(ida, rule, as_shown(ida.get(f"/reckoner/{rule}/?example").context["form"]))
    assert page.status_code == 200
    assert answer(page) == answer(plain)
    assert page.context["workings"] == plain.context["workings"]
    assert "Détail du calcul" in text(page)
    for sentence in plain.context["workings"]:
        assert f"<bdi>{escape(str(sentence))}</bdi>" not in text(page)


def test_figures_are_typed_and_told_as_the_readers_country_writes_them(ida):
    typed = TYPED["favoured"] | {"parties-0-rate": "8 000,00", "parties-0-share": "60,00", "parties-2-rate": "9 000"}
    page = ida.post("/reckoner/favoured/", typed, headers={"accept-language": "fr"})
    assert question(page)["parties"][0]["rate"] == 800_000
    assert "Demandé (100\N{NARROW NO-BREAK SPACE}%)" in text(page)
    assert "<bdi>10\N{NARROW NO-BREAK SPACE}000,00</bdi>" in text(page)


@pytest.mark.parametrize("rule", list(RULES))
def test_other_doors_speak_english_whatever_the_browser_reads(rule):
    api = client_of(User.objects.create_user("ida"))
    given = GUIDES[rule].example
    said = api.post(
        f"/api/v1/reckon/{rule}?workings=true", given, format="json", headers={"accept-language": "fr"}
    ).json()
    assert said["workings"] == workings(rule, given, RULES[rule](Fields.of(given)))
