"""Quotes on the clearance's page: conditions, options, counter-offers, what acceptance does, and raises."""

import pytest
from django.urls import reverse
from django.utils import translation

from supervision.models import BudgetLine, Clearance, Option, QuoteCondition
from supervision.rules.clearance import Side, Stage
from supervision.rules.roles import Role
from supervision.web.forms.fields import MediaField, TerritoryField
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, OptionFactory, at_stage
from tests.factories.spotting import UsageFactory
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def today(time_machine):
    time_machine.move_to("2026-11-25T12:00Z")


@pytest.fixture
def clearance():
    usage = UsageFactory(episode__season__production__currency="USD")
    return ClearanceFactory(usage=usage, share=60, stage=Stage.REQUESTED, holder__name="Kotva Music")


def signed_in(client, clearance, role=Role.SUPERVISOR):
    user = MembershipFactory(production=clearance.usage.episode.season.production, role=role).user
    client.force_login(user)
    return user


def page_of(client, clearance):
    return client.get(reverse("clearance", args=[clearance.pk]))


def shown(client, clearance, name):
    """What a browser would send of a way's form as it stands on the page."""
    form = next(form for way, _, form in page_of(client, clearance).context["ways"] if way == name)
    return as_shown(form) | {"amount": "16,000"}


def step(client, clearance, name, told):
    return client.post(reverse("clearance-step", args=[clearance.pk, name]), told)


def refused_form(response, name):
    return next(form for way, _, form in response.context["ways"] if way == name)


CONDITION = {"condition_list-0-kind": "artist", "condition_list-0-text": "sees the scene"}
OPTION = {
    "options-0-kind": "theatrical",
    "options-0-granted_media": "cinema",
    "options-0-territory": "World excl. US",
    "options-0-starts_on": "2027-01-01",
    "options-0-amount": "2,500",
    "options-0-exercisable_until": "2027-06-30",
}


def test_quote_is_recorded_with_conditions_and_options(client, clearance):
    signed_in(client, clearance)
    told = shown(client, clearance, "quote") | CONDITION | OPTION | {"favoured_with": "song"}
    assert step(client, clearance, "quote", told).status_code == 302
    clearance.refresh_from_db()
    option, condition = Option.objects.get(), QuoteCondition.objects.get()
    assert (clearance.stage_now, clearance.standing_quote.favoured_with) == (Stage.QUOTED, "song")
    assert (condition.kind, condition.text) == ("artist", "sees the scene")
    # 60 % of 2,500.00 is 1,500.00
    assert (option.media, option.territory, option.payable_minor) == ("theatrical", "World excl. US", 150_000)
    page = page_of(client, clearance).content.decode()
    for said in ("Artist approval: sees the scene", "both sides of the song", "1,500.00", "30 Jun 2027"):
        assert said in page


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"options-0-territory": "Ruritania"}, "territory"),
        ({"options-0-granted_media": "telepathy"}, "granted_media"),
        ({"options-0-amount": "-1"}, "amount"),
        ({"options-0-amount": "much"}, "amount"),
        ({"options-0-ends_on": "2026-01-01"}, "ends_on"),
        ({"options-0-exercisable_until": "2020-01-01"}, "exercisable_until"),
    ],
)
def test_bad_option_is_422_beside_its_field_and_loses_nothing(client, clearance, wrong, field):
    signed_in(client, clearance)
    told = shown(client, clearance, "quote") | CONDITION | OPTION | wrong
    response = step(client, clearance, "quote", told)
    form = refused_form(response, "quote")
    assert (response.status_code, list(form.sets["options"].forms[0].errors)) == (422, [field])
    assert "sees the scene" in response.content.decode()
    assert clearance.quotes.count() == 0


def test_songs_used_similarly_without_a_clause_is_422_beside_the_tick(client, clearance):
    signed_in(client, clearance)
    response = step(client, clearance, "quote", shown(client, clearance, "quote") | {"similar": "on"})
    assert (response.status_code, list(refused_form(response, "quote").errors)) == (422, ["similar"])


def test_another_option_brings_an_empty_row_and_refuses_nothing(client, clearance):
    signed_in(client, clearance)
    told = shown(client, clearance, "quote") | OPTION | {"add_row": "options", "amount": ""}
    response = step(client, clearance, "quote", told)
    form = refused_form(response, "quote")
    assert (response.status_code, len(form.sets["options"].forms), form.errors) == (200, 2, {})
    assert "cinema" in response.content.decode()


def test_counter_offer_stands_in_the_thread_and_not_in_place_of_the_quote(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.QUOTED)
    told = {
        "version": clearance.version,
        "amount": "3,000",
        "currency": "USD",
        "basis": "100",
        "made_on": "2026-11-20",
        "note": "All we have",
    }
    assert step(client, clearance, "counter", told).status_code == 302
    response = page_of(client, clearance)
    assert [quote.kind for quote in response.context["thread"]] == ["quote", "counter"]
    assert response.context["standing"].kind == "quote"
    assert "All we have" in response.content.decode()


def asked_by(clearance, name, share, rate, stage, **quote):
    song = {"work": None, "recording": RecordingFactory()} if quote.pop("master", False) else {}
    other = ClearanceFactory(
        usage=clearance.usage, side=Side.MASTER if song else Side.SYNC, share=share, holder__name=name, **song
    )
    return at_stage(other, stage, amount_minor=rate, payable_minor=rate * share // 100, **quote)


def test_page_says_what_acceptance_does_before_the_approval(client, clearance):
    # as in tests/queries/test_favoured.py: 9,600 + 2,400 + 6,000 = 18,000; 14,000 of 40,000 is approved
    signed_in(client, clearance)
    at_stage(clearance, Stage.QUOTED, amount_minor=1_600_000, payable_minor=960_000)
    clause = {"favoured": True, "favoured_with": "all"}
    asked_by(clearance, "Copperline", 40, 1_000_000, Stage.APPROVED, **clause)
    asked_by(clearance, "Skala Records", 100, 1_000_000, Stage.APPROVED, master=True, **clause)
    episode = clearance.usage.episode
    BudgetLine.objects.create(season=episode.season, episode=episode, category="sync", amount_minor=4_000_000)
    page = page_of(client, clearance).content.decode()
    assert (
        "raises Copperline (sync) by USD 2,400.00 and Skala Records (master) by USD 6,000.00; total USD 18,000.00"
        in page
    )
    for figure in ("40,000.00", "14,000.00", "26,000.00", "8,000.00"):
        assert figure in page


def test_missing_rate_is_told_on_the_page(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.QUOTED, currency="EUR")
    asked_by(clearance, "Copperline", 40, 1_000_000, Stage.APPROVED, favoured=True, favoured_with="all")
    page = page_of(client, clearance).content.decode()
    assert "There is no rate from EUR to USD" in page
    assert "Who is entitled to a raise cannot be worked out" in page


def test_raise_is_offered_to_the_entitled_and_flagged_to_the_signed(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.APPROVED, amount_minor=1_600_000, payable_minor=960_000)
    clause = {"favoured": True, "favoured_with": "all"}
    quoted = asked_by(clearance, "Copperline", 40, 1_000_000, Stage.QUOTED, **clause)
    signed = asked_by(clearance, "Skala Records", 100, 1_000_000, Stage.LICENSED, master=True, **clause)
    LicenceFactory(clearance=signed, fee_minor=1_000_000)
    raised = page_of(client, clearance).context["raised"]
    assert [(each.clearance, each.is_signed) for each in raised] == [(quoted, False), (signed, True)]
    assert "Amend the licence with the holder" in page_of(client, signed).content.decode()
    assert client.post(reverse("clearance-raise", args=[quoted.pk])).status_code == 302
    quoted.refresh_from_db()
    assert (quoted.standing_quote.amount_minor, quoted.quotes.count()) == (1_600_000, 2)
    refused = client.post(reverse("clearance-raise", args=[signed.pk]))
    assert refused.status_code == 422
    assert "its clause now gives USD 16,000.00" in refused.content.decode()


def test_licence_waits_for_approvals_and_the_page_says_why(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.APPROVED)
    condition = QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist")
    response = page_of(client, clearance)
    assert "licence" not in [name for name, *_ in response.context["ways"]]
    assert response.context["blocked"] == [
        (
            "Record the licence",
            True,
            ["Approvals are open (Artist approval). Get them from the holder and note the day each was given."],
        )
    ]
    met = client.post(reverse("condition", args=[condition.pk]), {"met_on": "2026-11-20"})
    assert met.status_code == 302
    response = page_of(client, clearance)
    assert (response.context["blocked"], response.context["ways"][0][0]) == ([], "licence")
    assert "given" in response.content.decode()


def test_approval_given_in_the_future_is_422_beside_the_day(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.APPROVED)
    condition = QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist")
    response = client.post(reverse("condition", args=[condition.pk]), {"met_on": "2126-11-20"})
    [(_, form)] = response.context["conditions"]
    assert (response.status_code, list(form.errors)) == (422, ["met_on"])


def test_expired_quote_is_not_offered_for_approval_and_the_page_says_why(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.QUOTED, valid_until="2026-11-03")
    response = page_of(client, clearance)
    assert "approve" not in [name for name, *_ in response.context["ways"]]
    assert [words for words, *_ in response.context["blocked"]] == ["Approve the quote"]
    refused = step(client, clearance, "approve", {"version": "1"})
    assert refused.status_code == 422
    assert "the quote has ended (it was valid until 3 Nov 2026)" in refused.content.decode()


def test_coordinator_reads_who_may_approve(client, clearance):
    signed_in(client, clearance, Role.COORDINATOR)
    at_stage(clearance, Stage.QUOTED)
    assert page_of(client, clearance).context["blocked"] == [
        ("Approve the quote", False, ["A supervisor may do this."])
    ]


def test_option_is_exercised_from_the_page_once(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.LICENSED)
    licence = LicenceFactory(clearance=clearance)
    option = OptionFactory(quote=clearance.standing_quote)
    assert client.post(reverse("option-exercise", args=[option.pk])).status_code == 302
    assert [grant.media for grant in licence.grants.all()] == ["theatrical"]
    again = client.post(reverse("option-exercise", args=[option.pk]))
    assert again.status_code == 422
    assert "was exercised on" in again.content.decode()


def test_lapsed_option_cannot_be_exercised(client, clearance):
    signed_in(client, clearance)
    at_stage(clearance, Stage.LICENSED)
    LicenceFactory(clearance=clearance)
    option = OptionFactory(quote=clearance.standing_quote, exercisable_until="2026-11-03")
    assert "lapsed" in page_of(client, clearance).content.decode()
    assert client.post(reverse("option-exercise", args=[option.pk])).status_code == 422


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
def test_composer_and_viewer_see_neither_fees_nor_thread(client, clearance, role):
    signed_in(client, clearance, role)
    at_stage(clearance, Stage.QUOTED, amount_minor=1_600_000, conditions="Not a word")
    OptionFactory(quote=clearance.standing_quote)
    response = page_of(client, clearance)
    assert [name for name in ("thread", "preview", "conditions") if name in response.context] == []
    for hidden in ("16,000.00", "2,000.00", "Not a word"):
        assert hidden not in response.content.decode()


@pytest.mark.parametrize("kind", ["condition", "option-exercise", "clearance-raise"])
def test_stranger_gets_404_of_everything(client, clearance, kind):
    at_stage(clearance, Stage.QUOTED)
    of = {
        "condition": QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist"),
        "option-exercise": OptionFactory(quote=clearance.standing_quote),
        "clearance-raise": clearance,
    }
    client.force_login(UserFactory())
    assert client.post(reverse(kind, args=[of[kind].pk])).status_code == 404


@pytest.mark.parametrize("count", [1, 20])
def test_queries_of_the_page_do_not_grow(client, clearance, django_assert_num_queries, count):
    signed_in(client, clearance)
    at_stage(clearance, Stage.QUOTED)
    episode = clearance.usage.episode
    BudgetLine.objects.create(season=episode.season, episode=episode, category="sync", amount_minor=4_000_000)
    for number in range(count):
        asked_by(
            clearance, f"Holder {number}", 1, 1_000_000 + number, Stage.APPROVED, favoured=True, favoured_with="all"
        )
        QuoteCondition.objects.create(quote=clearance.standing_quote, kind="artist", text=str(number))
        OptionFactory(quote=clearance.standing_quote)
    page_of(client, clearance)
    with django_assert_num_queries(21):
        assert page_of(client, clearance).status_code == 200
    assert Clearance.objects.count() == count + 1


@pytest.mark.parametrize(
    ("field", "kept", "shown"),
    [(TerritoryField(), "World excl. US", "Monde sauf US"), (MediaField(), "all media", "tous médias")],
)
def test_trade_language_is_shown_and_typed_as_the_page_says_it(field, kept, shown):
    assert field.prepare_value(kept) == kept
    with translation.override("fr"):
        assert field.prepare_value(kept) == shown
        assert field.clean(shown) == field.clean(kept) == kept
        assert not field.has_changed(kept, shown)
        assert field.prepare_value("Ruritania") == "Ruritania"
