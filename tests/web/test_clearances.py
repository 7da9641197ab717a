"""The clearance desk, a clearance's page and its steps, and the board's page."""

import pytest
from django.urls import reverse

from supervision.models import Clearance, Placement, Quote, Usage
from supervision.rules.clearance import Stage
from supervision.rules.money import amount_text
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory, signed_file
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
NO_ROWS = {"TOTAL_FORMS": "0", "INITIAL_FORMS": "0"}
QUOTE = {
    "amount": "10,000",
    "currency": "USD",
    "basis": "100",
    "received_on": "2026-11-20",
    "version": "2",
    **{f"{name}-{field}": value for name in ("condition_list", "options") for field, value in NO_ROWS.items()},
}
LICENCE = {
    "number": "L-1",
    "executed_on": "2026-11-25",
    "amount": "3,334.00",
    "currency": "USD",
    "grants-TOTAL_FORMS": "1",
    "grants-INITIAL_FORMS": "1",
    "grants-0-granted_media": "all media excl. theatrical",
    "grants-0-territory": "World excl. US",
    "grants-0-starts_on": "2027-01-01",
    "grants-0-ends_on": "",
    "version": "4",
}


@pytest.fixture
def clearance():
    return ClearanceFactory(share="33.34", usage__title="Harbour")


@pytest.fixture
def supervisor(clearance, client):
    user = MembershipFactory(production=clearance.usage.episode.season.production).user
    client.force_login(user)
    return user


def step(client, clearance, name, **told):
    return client.post(reverse("clearance-step", args=[clearance.pk, name]), {"version": "1"} | told)


def at(clearance, stage):
    quote = QuoteFactory(clearance=clearance)
    Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote, version=4)


def test_clearance_goes_all_the_way_by_its_page(client, clearance, supervisor):
    for name, told in (
        ("request", {"answer_due": "2026-12-09"}),
        ("quote", QUOTE),
        ("approve", {"version": "3"}),
        ("licence", LICENCE | {"file": signed_file()}),
    ):
        assert step(client, clearance, name, **told).status_code == 302
    clearance.refresh_from_db()
    grant = clearance.licences.get().grants.get()
    assert (clearance.stage_now, grant.media, grant.territory) == (
        Stage.LICENSED,
        "all media excl. theatrical",
        "World excl. US",
    )
    page = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "in perpetuity" in page


def test_page_offers_only_the_steps_that_stage_and_role_allow(client, clearance, supervisor):
    at(clearance, Stage.QUOTED)
    ways = [name for name, *_ in client.get(reverse("clearance", args=[clearance.pk])).context["ways"]]
    assert ways == ["approve", "quote", "counter", "request", "deny", "withdraw"]
    client.force_login(MembershipFactory(production=clearance.usage.episode.season.production, role=Role.VIEWER).user)
    assert client.get(reverse("clearance", args=[clearance.pk])).context["ways"] == []


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"amount": "-5"}, "amount"),
        ({"amount": "ten"}, "amount"),
        ({"amount": "1.234"}, "amount"),
        ({"received_on": "soon"}, "received_on"),
        ({"valid_until": "2026-11-01"}, "valid_until"),
    ],
)
def test_bad_quote_is_422_beside_its_field_and_loses_nothing(client, clearance, supervisor, told, field):
    step(client, clearance, "request")
    response = step(client, clearance, "quote", **QUOTE | {"conditions": "No violence"} | told)
    form = next(form for name, _, form in response.context["ways"] if name == "quote")
    assert (response.status_code, list(form.errors)) == (422, [field])
    assert "No violence" in response.content.decode()


def test_licence_in_unknown_territory_is_422_beside_the_field(client, clearance, supervisor):
    at(clearance, Stage.APPROVED)
    response = step(
        client, clearance, "licence", **LICENCE | {"grants-0-territory": "Ruritania", "file": signed_file()}
    )
    form = next(form for name, _, form in response.context["ways"] if name == "licence")
    assert (response.status_code, list(form.sets["grants"].forms[0].errors)) == (422, ["territory"])
    assert "Choose the signed file again" in response.content.decode()


def test_stale_step_is_409(client, clearance, supervisor):
    Clearance.objects.update(version=7)
    assert step(client, clearance, "request").status_code == 409


def test_denial_without_reason_is_422(client, clearance, supervisor):
    step(client, clearance, "request")
    assert step(client, clearance, "deny", version="2", note="").status_code == 422


def test_step_of_coordinator_beyond_the_role_is_403(client, clearance):
    client.force_login(
        MembershipFactory(production=clearance.usage.episode.season.production, role=Role.COORDINATOR).user
    )
    at(clearance, Stage.QUOTED)
    assert step(client, clearance, "approve", version="4").status_code == 403


def test_unknown_step_is_404(client, clearance, supervisor):
    assert step(client, clearance, "bless").status_code == 404


def test_stranger_gets_404(client, clearance):
    client.force_login(UserFactory())
    assert client.get(reverse("clearance", args=[clearance.pk])).status_code == 404
    assert step(client, clearance, "request").status_code == 404
    assert client.get(reverse("episode-clearances", args=[clearance.usage.episode.code])).status_code == 404


def test_quotes_are_not_told_to_who_may_not_see_money(client, clearance):
    at(clearance, Stage.QUOTED)
    client.force_login(MembershipFactory(production=clearance.usage.episode.season.production, role=Role.COMPOSER).user)
    for page in (
        reverse("clearance", args=[clearance.pk]),
        reverse("episode-clearances", args=[clearance.usage.episode.code]),
    ):
        assert "5,000.00" not in client.get(page).content.decode()


@pytest.mark.parametrize("usages", [10, 200])
def test_desk_queries_do_not_grow_with_usages(client, django_assert_num_queries, usages):
    season = season_of(usages, episodes=1)
    client.force_login(MembershipFactory(production=season.production).user)
    page = reverse("episode-clearances", args=[season.episodes.get().code])
    client.get(page)
    with django_assert_num_queries(7):
        assert client.get(page).status_code == 200


@pytest.mark.parametrize("usages", [10, 200])
@pytest.mark.parametrize(("page", "queries"), [("season-board", 19), ("season-money", 14)])
def test_season_pages_queries_do_not_grow_with_usages(client, django_assert_num_queries, usages, page, queries):
    season = season_of(usages)
    client.force_login(MembershipFactory(production=season.production).user)
    path = reverse(page, args=[season.production.code, season.number])
    client.get(path)
    with django_assert_num_queries(queries):
        assert client.get(path).status_code == 200


def test_board_answers_htmx_with_its_part(client):
    season = season_of(1)
    client.force_login(MembershipFactory(production=season.production).user)
    path = reverse("season-board", args=[season.production.code, season.number])
    told = client.get(path, headers={"HX-Request": "true"}).content.decode()
    assert told.strip().startswith('<div id="board">')


def test_board_with_nothing_that_fits_offers_the_way_back(client):
    season = season_of(1)
    client.force_login(MembershipFactory(production=season.production).user)
    path = reverse("season-board", args=[season.production.code, season.number])
    assert "No song fits this filter" in client.get(f"{path}?stage=denied").content.decode()


def test_clearance_is_told_in_french(client, supervisor, clearance):
    client.post(reverse("clearance-step", args=[clearance.pk, "request"]), {"version": clearance.version})
    told = client.get(reverse("clearance", args=[clearance.pk]), headers={"accept-language": "fr"}).content.decode()
    for words in (
        "Où en est l’autorisation",
        "Demandé",
        "a fait passer l’autorisation à «\xa0demandé\xa0»",
        "Enregistrer le devis",
    ):
        assert words in told


@pytest.mark.parametrize(
    ("stage", "heading", "offered"),
    [(Stage.DRAFT, "Holder unknown: ", True), (Stage.NOT_NEEDED, "Nobody to ask: ", False)],
)
def test_share_of_nobody_known_leads_to_the_catalogue(client, supervisor, clearance, stage, heading, offered):
    Clearance.objects.filter(pk=clearance.pk).update(holder=None, stage=stage)
    told = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert heading in told
    assert ("Complete the shares" in told) is offered
    assert "When the holder names a fee" not in told


def desk(client, clearance):
    return client.get(reverse("episode-clearances", args=[clearance.usage.episode.code]))


def test_desk_says_first_what_is_still_to_be_done(client, clearance, supervisor):
    ClearanceFactory(usage=clearance.usage, holder=None, share="66.66")
    assert desk(client, clearance).context["lede"] == "1 share without a holder · 1 to be asked"
    at(clearance, Stage.APPROVED)
    assert desk(client, clearance).context["lede"] == "1 share without a holder · 1 approved without a licence"
    Clearance.objects.filter(holder=None).delete()
    at(clearance, Stage.LICENSED)
    assert desk(client, clearance).context["lede"] == "Every permission is licensed, or nobody need be asked."


def test_desk_names_a_territory_only_where_it_is_not_the_world(client, clearance, supervisor):
    assert "World" not in desk(client, clearance).content.decode()
    Clearance.objects.filter(pk=clearance.pk).update(territory="World excl. US")
    assert "World excl. US" in desk(client, clearance).content.decode()


def test_desk_tells_what_has_no_place_in_the_cut(client, clearance, supervisor):
    assert "not in the cut" in desk(client, clearance).content.decode()
    Placement.objects.create(usage=clearance.usage, cut=clearance.usage.episode.current_cut, in_frame=0, out_frame=50)
    assert "not in the cut" not in desk(client, clearance).content.decode()


def test_page_says_where_it_is_heard_and_how_much_of_which_side(client, clearance, supervisor):
    Usage.objects.update(cue_number="1M1", scene="At the pier")
    page = client.get(reverse("clearance", args=[clearance.pk]))
    assert page.context["lede"] == f"1M1 · 33.34 % of the {clearance.get_side_display().lower()} side · At the pier"


@pytest.mark.parametrize(("stage", "heading"), [(Stage.DRAFT, "What comes next"), (Stage.LICENSED, "Other steps")])
def test_steps_stand_first_only_where_one_leads_on(client, clearance, supervisor, stage, heading):
    at(clearance, stage)
    told = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert (f'<h2 id="ways">{heading}' in told, told.index('id="ways"') < told.index('id="credit"')) == (
        True,
        stage is Stage.DRAFT,
    )


def test_draft_leads_to_its_letter_and_a_quoted_one_to_another_quote(client, clearance, supervisor):
    page = reverse("clearance", args=[clearance.pk])
    assert "Write the letter" in client.get(page).content.decode()
    at(clearance, Stage.QUOTED)
    told = client.get(page).content.decode()
    assert ("Record another quote" in told, "Write the letter" in told) == (True, False)


def test_who_may_not_approve_is_told_who_may_and_gets_no_open_form(client, clearance):
    client.force_login(
        MembershipFactory(production=clearance.usage.episode.season.production, role=Role.COORDINATOR).user
    )
    at(clearance, Stage.QUOTED)
    told = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "<strong>Approve the quote.</strong> A supervisor may do this." in told
    assert '<details class="way" open>' not in told


def test_licence_below_what_was_approved_says_so(client, clearance, supervisor):
    at(clearance, Stage.APPROVED)
    step(client, clearance, "licence", **LICENCE | {"amount": "1.00", "file": signed_file()})
    approved = Clearance.objects.get().standing_quote.payable
    told = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "approved were" in told
    assert amount_text(approved) in told


def test_refused_grant_is_called_a_grant_in_the_summary(client, clearance, supervisor):
    at(clearance, Stage.APPROVED)
    told = step(client, clearance, "licence", **LICENCE | {"grants-0-granted_media": "gramophone"}).content.decode()
    assert ">Grant 1, Media</a>" in told


def test_file_that_cannot_be_kept_is_asked_for_once(client, clearance, supervisor):
    at(clearance, Stage.APPROVED)
    told = step(client, clearance, "licence", **LICENCE | {"file": signed_file(content=b"")}).content.decode()
    assert "The file is empty" in told
    assert "browsers do not keep it" not in told


def test_another_quote_begins_with_what_the_standing_one_is_on(client, clearance, supervisor):
    at(clearance, Stage.QUOTED)
    Quote.objects.update(basis="share", favoured=True, favoured_with="side")
    ways = client.get(reverse("clearance", args=[clearance.pk])).context["ways"]
    form = next(form for name, _, form in ways if name == "quote")
    assert [form[field].value() for field in ("basis", "favoured_with", "similar")] == ["share", "side", False]
    assert not form["amount"].value()
