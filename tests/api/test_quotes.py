"""Quotes over the API: conditions, options, counter-offers, acceptance, raises; every refusal in its place."""

import pytest

from supervision.models import QuoteCondition
from supervision.rules.clearance import Side, Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import RecordingFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, OptionFactory, at_stage
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
QUOTE = {"amount": {"minor": 1_600_000, "currency": "USD"}, "basis": "100", "received_on": "2026-11-20"}
OPTION = {
    "kind": "theatrical",
    "media": "cinema",
    "territory": "World excl. US",
    "starts_on": "2027-01-01",
    "ends_on": None,
    "amount": {"minor": 250_000, "currency": "USD"},
    "basis": "100",
    "exercisable_until": "2027-06-30",
}


@pytest.fixture(autouse=True)
def today(time_machine):
    time_machine.move_to("2026-11-25T12:00Z")


@pytest.fixture
def clearance():
    usage = UsageFactory(episode__season__production__currency="USD")
    return ClearanceFactory(usage=usage, share=60, stage=Stage.REQUESTED, holder__name="Kotva Music")


def caller(clearance, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=clearance.usage.episode.season.production, role=role).user)


def path(clearance, step):
    return f"/api/v1/clearances/{clearance.pk}/{step}/"


def other(clearance, name, share, stage, *, master=False):
    song = {"work": None, "recording": RecordingFactory(), "side": Side.MASTER} if master else {}
    made = ClearanceFactory(usage=clearance.usage, share=share, holder__name=name, **song)
    return at_stage(
        made, stage, amount_minor=1_000_000, payable_minor=10_000 * share, favoured=True, favoured_with="all"
    )


def test_quote_is_told_back_with_conditions_and_options(clearance):
    api = caller(clearance)
    told = QUOTE | {
        "favoured_with": "episode-side",
        "similar": True,
        "condition_list": [{"kind": "artist", "text": "sees the scene"}],
        "options": [OPTION],
    }
    made = api.post(path(clearance, "quotes"), told).json()
    assert (made["favoured"], made["favoured_with"], made["similar"], made["kind"]) == (
        True,
        "episode-side",
        True,
        "quote",
    )
    assert [(each["kind"], each["text"], each["met_on"]) for each in made["condition_list"]] == [
        ("artist", "sees the scene", None)
    ]
    # 60 % of 2,500.00 is 1,500.00
    [option] = made["options"]
    assert (option["media"], option["payable"]) == ("theatrical", {"minor": 150_000, "currency": "USD"})
    assert api.get(path(clearance, "quotes")).json() == [made]


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ({"options": [OPTION | {"territory": "Ruritania"}]}, "options.0.territory"),
        ({"options": [OPTION, OPTION | {"exercisable_until": "2020-01-01"}]}, "options.1.exercisable_until"),
        ({"similar": True}, "similar"),
        ({"condition_list": [{"kind": "edit"}, {"kind": "edit"}]}, "condition_list.1"),
    ],
)
def test_quote_that_cannot_stand_is_400_and_names_the_place(clearance, told, place):
    response = caller(clearance).post(path(clearance, "quotes"), QUOTE | told)
    assert (response.status_code, response.json()["place"]) == (400, place)
    assert clearance.quotes.count() == 0


@pytest.mark.parametrize(
    "told",
    [
        {"options": [OPTION | {"amount": {"minor": -1, "currency": "USD"}}]},
        {"options": [OPTION | {"ends_on": "2026-01-01"}]},
        {"options": [OPTION | {"kind": "barter"}]},
        {"condition_list": [{"kind": "weather"}]},
        {"favoured_with": "friends"},
    ],
)
def test_unreadable_quote_is_400_and_names_its_field(clearance, told):
    response = caller(clearance).post(path(clearance, "quotes"), QUOTE | told)
    assert (response.status_code, list(response.json()["fields"])) == (400, list(told))


def test_counter_offer_joins_the_thread_and_does_not_stand(clearance):
    api = caller(clearance)
    api.post(path(clearance, "quotes"), QUOTE)
    told = {"amount": {"minor": 500_000, "currency": "USD"}, "basis": "100", "made_on": "2026-11-21", "note": "Five"}
    assert api.post(path(clearance, "counters"), told).status_code == 201
    thread = api.get(path(clearance, "quotes")).json()
    assert [(each["kind"], each["received_on"], each["conditions"]) for each in thread] == [
        ("quote", "2026-11-20", ""),
        ("counter", "2026-11-21", "Five"),
    ]
    clearance.refresh_from_db()
    assert clearance.standing_quote.pk == thread[0]["id"]


def test_acceptance_tells_raises_total_and_budget(clearance):
    # as in tests/queries/test_favoured.py: 9,600 + 2,400 + 6,000
    api = caller(clearance)
    at_stage(clearance, Stage.QUOTED, amount_minor=1_600_000, payable_minor=960_000)
    copperline = other(clearance, "Copperline", 40, Stage.APPROVED)
    skala = other(clearance, "Skala Records", 100, Stage.APPROVED, master=True)
    told = api.get(path(clearance, "acceptance")).json()
    assert (told["known"], told["change"], told["budget"]) == (True, [{"minor": 1_800_000, "currency": "USD"}], None)
    assert [(each["clearance"], each["more"]["minor"]) for each in told["raises"]] == [
        (copperline.pk, 240_000),
        (skala.pk, 600_000),
    ]
    assert len(told["steps"]) == 2


def test_acceptance_without_a_quote_is_409(clearance):
    response = caller(clearance).get(path(clearance, "acceptance"))
    assert (response.status_code, response.json()["code"]) == (409, "quote-missing")


def test_acceptance_is_not_told_to_viewers(clearance):
    at_stage(clearance, Stage.QUOTED)
    assert caller(clearance, Role.VIEWER).get(path(clearance, "acceptance")).status_code == 403


def test_raises_are_listed_and_recorded(clearance):
    api = caller(clearance)
    at_stage(clearance, Stage.APPROVED, amount_minor=1_600_000, payable_minor=960_000)
    copperline = other(clearance, "Copperline", 40, Stage.QUOTED)
    [told] = api.get(path(clearance, "raises")).json()
    assert told == {
        "clearance": copperline.pk,
        "raised_by": clearance.pk,
        "now": {"minor": 1_000_000, "currency": "USD"},
        "due": {"minor": 1_600_000, "currency": "USD"},
        "more": {"minor": 240_000, "currency": "USD"},
        "signed": False,
    }
    made = api.post(path(copperline, "raise"), {"version": copperline.version})
    assert (made.status_code, made.json()["payable"]["minor"]) == (201, 640_000)
    assert api.post(path(copperline, "raise")).status_code == 409


def test_approval_is_noted_before_the_licence(clearance):
    at_stage(clearance, Stage.APPROVED)
    condition = QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist")
    url = f"/api/v1/conditions/{condition.pk}/met/"
    api = caller(clearance)
    assert api.post(url, {"met_on": "2026-11-20"}).json()["met_on"] == "2026-11-20"
    assert api.post(url, {"met_on": "2026-11-26"}).status_code == 400
    assert api.post(url, {}).status_code == 400


def test_option_is_exercised_once_and_in_time(clearance):
    at_stage(clearance, Stage.LICENSED)
    licence = LicenceFactory(clearance=clearance)
    option = OptionFactory(quote=clearance.standing_quote)
    late = OptionFactory(quote=clearance.standing_quote, media="clips", exercisable_until="2026-11-24")
    api = caller(clearance)
    assert api.post(f"/api/v1/options/{option.pk}/exercise/", {"version": 1}).json()["exercised_on"] == "2026-11-25"
    again = api.post(f"/api/v1/options/{option.pk}/exercise/")
    lapsed = api.post(f"/api/v1/options/{late.pk}/exercise/")
    assert [(each.status_code, each.json()["code"]) for each in (again, lapsed)] == [
        (409, "option-exercised"),
        (409, "option-lapsed"),
    ]
    assert licence.grants.count() == 1


def test_strangers_get_404(clearance):
    at_stage(clearance, Stage.QUOTED)
    condition = QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist")
    option = OptionFactory(quote=clearance.standing_quote)
    api = client_of(UserFactory())
    for url in (f"/api/v1/conditions/{condition.pk}/met/", f"/api/v1/options/{option.pk}/exercise/"):
        assert api.post(url, {"met_on": None}).status_code == 404
    for step in ("acceptance", "raises"):
        assert api.get(path(clearance, step)).status_code == 404
    assert api.post(path(clearance, "counters"), {**QUOTE, "made_on": "2026-11-20"}).status_code == 404


def test_coordinator_may_not_exercise(clearance):
    at_stage(clearance, Stage.LICENSED)
    option = OptionFactory(quote=clearance.standing_quote)
    assert caller(clearance, Role.COORDINATOR).post(f"/api/v1/options/{option.pk}/exercise/").status_code == 403
