"""The reckoner over the API: answers, refusals with place and mend, and its documentation.

The answers themselves are checked against the outside in tests/rules/test_reckoner.py; here it is the door.
"""

import json

import pytest
from drf_spectacular.generators import SchemaGenerator
from jsonschema import Draft202012Validator
from knox.models import AuthToken
from rest_framework.test import APIClient

from supervision.rules.reckoner import RULES, reckon
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.reckoner.reading import LONGEST_INPUT
from supervision.rules.reckoner.workings import workings
from tests.factories.accounts import UserFactory

pytestmark = pytest.mark.django_db

TERRITORY = "/api/v1/reckon/territory"


@pytest.fixture
def api():
    client = APIClient(raise_request_exception=True)
    client.credentials(HTTP_AUTHORIZATION=f"Token {AuthToken.objects.create(user=UserFactory())[1]}")
    return client


def sent(api, address, body):
    return api.generic("POST", address, body, content_type="application/json")


@pytest.mark.parametrize("slash", ["", "/"])
@pytest.mark.parametrize("rule", list(RULES))
def test_rule_answers_with_and_without_slash(api, rule, slash):
    answer = api.post(f"/api/v1/reckon/{rule}{slash}", GUIDES[rule].example)
    assert (answer.status_code, answer.json()) == (200, reckon(rule, GUIDES[rule].example))


def test_workings_come_when_asked_for(api):
    given = GUIDES["favoured"].example
    answer = api.post("/api/v1/reckon/favoured/?workings=true", given).json()
    told = answer.pop("workings")
    assert answer == reckon("favoured", given)
    assert told == workings("favoured", given, answer)
    assert "workings" not in api.post("/api/v1/reckon/favoured/?workings=false", given).json()


def test_workings_that_are_neither_true_nor_false_are_refused(api):
    assert api.post(f"{TERRITORY}?workings=perhaps", {"expression": "EU"}).status_code == 400


def test_list_has_every_rule_with_its_worked_example(api):
    listed = api.get("/api/v1/reckon/").json()
    assert [each["rule"] for each in listed] == list(RULES)
    for each in listed:
        answer = api.post(each["url"], each["example"]["in"])
        assert answer.json() == each["example"]["out"]
        assert each["example"]["workings"]


def test_bad_value_is_told_with_place_and_mend(api):
    given = {"convention": "100", "parties": [{"name": "A", "role": "CA", "share": "50"}, {"name": "B", "role": "CA"}]}
    answer = api.post("/api/v1/reckon/shares", given)
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json() == {
        "type": "about:blank",
        "title": "Bad value",
        "status": 400,
        "code": "field-missing",
        "detail": "This field is missing.",
        "place": "parties[1].share",
        "mend": "Add it.",
    }


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("rule", ["weather", "territory.json", "%00", "coverage%20"])
@pytest.mark.parametrize("slash", ["", "/"])
def test_unknown_rule_is_not_found_and_the_rules_are_named(api, method, rule, slash):
    answer = getattr(api, method)(f"/api/v1/reckon/{rule}{slash}")
    assert answer.status_code == 404
    assert answer.json()["mend"] == f"Use one of {', '.join(RULES)}."


def test_rule_is_asked_by_post_alone(api):
    answer = api.get("/api/v1/reckon/territory/")
    assert (answer.status_code, answer.json()["code"]) == (405, "method_not_allowed")


@pytest.mark.parametrize(
    ("body", "place", "detail"),
    [
        (b"", "expression", "This field is missing."),
        (b"{", "line 1, column 2", "This is not JSON."),
        (b"[" * 100_000, "input", "The input is nested too deeply."),
        (b'{"expression": NaN}', "input", "NaN is not a number."),
        (b'"\xe9"', "input", "This is not text in UTF-8."),
        (b'{"expression": "\\ud800"}', "input", "A text holds half a character."),
        (b"[]", "input", "This is not an object with fields."),
        (b" " * (LONGEST_INPUT + 1), "input", "The input is longer than 10,000,000 bytes."),
    ],
)
def test_body_that_cannot_be_read_is_refused(api, body, place, detail):
    answer = sent(api, TERRITORY, body)
    problem = answer.json()
    assert (answer.status_code, problem["place"], problem["detail"]) == (400, place, detail)


def test_body_that_is_not_json_by_its_type_is_refused(api):
    answer = api.generic("POST", TERRITORY, b"expression=EU", content_type="application/x-www-form-urlencoded")
    assert (answer.status_code, answer["Content-Type"]) == (415, "application/problem+json")


def test_names_in_every_script_come_back_as_they_were(api):
    given = {"convention": "100", "parties": [{"name": "Ólafur 作曲 \u0000", "role": "CA", "share": "100"}]}
    answer = api.post("/api/v1/reckon/shares", given)
    assert answer.json()["converted"]["parties"][0]["name"] == "Ólafur 作曲 \u0000"


def test_stranger_is_asked_for_a_token():
    answer = APIClient().post(TERRITORY, {"expression": "EU"})
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, "Token")


def test_session_is_taken_with_its_token_against_forgery():
    client = APIClient(enforce_csrf_checks=True)
    client.force_login(UserFactory())
    assert client.post(TERRITORY, {"expression": "EU"}).status_code == 403
    client.get("/")
    secret = client.get("/").cookies["csrftoken"].value
    answer = client.post(TERRITORY, {"expression": "EU"}, HTTP_X_CSRFTOKEN=secret)
    assert answer.json()["display"] == "EU"


# Documentation


@pytest.fixture(scope="module")
def schema():
    return SchemaGenerator().get_schema(public=True)


def described(schema, described_at):
    return Draft202012Validator(
        {
            "$ref": "#/components/schemas/_",
            "components": {"schemas": schema["components"]["schemas"] | {"_": described_at}},
        }
    )


def test_schema_has_one_path_per_rule(schema):
    paths = [path for path in schema["paths"] if path.startswith("/api/v1/reckon/")]
    assert paths == ["/api/v1/reckon/", *(f"/api/v1/reckon/{rule}/" for rule in sorted(RULES))]


@pytest.mark.parametrize("rule", list(RULES))
def test_schema_describes_the_question_and_the_answer(schema, rule):
    """The validator is jsonschema's, of the dialect that OpenAPI 3.1 prescribes."""
    post = schema["paths"][f"/api/v1/reckon/{rule}/"]["post"]
    given = json.loads(json.dumps(GUIDES[rule].example, default=dict))
    question = post["requestBody"]["content"]["application/json"]["schema"]
    answer = post["responses"]["200"]["content"]["application/json"]["schema"]
    assert list(described(schema, question).iter_errors(given)) == []
    assert list(described(schema, answer).iter_errors(reckon(rule, given))) == []


@pytest.mark.parametrize("rule", list(RULES))
def test_schema_names_the_fields_of_the_rule(schema, rule):
    """A field that the schema does not name is one that the rule refuses, and the other way round for answers."""
    components = schema["components"]["schemas"]
    answered = components[f"Reckon{rule.title()}Answer"]["properties"]
    assert set(reckon(rule, GUIDES[rule].example)) <= set(answered)
    question = components[f"Reckon{rule.title()}Question"]["properties"]
    assert set(GUIDES[rule].example) <= set(question)
