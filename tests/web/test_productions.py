"""Pages of productions, episodes, cuts and members."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from supervision.models import AuditEntry, Cut, Episode, Membership, Production, Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import EpisodeFactory, ProductionFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return SeasonFactory(production__code="WEIR")


@pytest.fixture
def supervisor(season, client):
    user = MembershipFactory(production=season.production).user
    client.force_login(user)
    return user


def new_production(**fields):
    return {"title": "Salt Road", "code": "salt", "kind": "series", "currency": "EUR", "company": "Salt"} | fields


def new_episode(**fields):
    return {
        "number": "101",
        "title": "One",
        "code": "weir-101",
        "position": "1",
        "rate": "30000/1001 DF",
        "start_timecode": "01:00:00;00",
        "running_time": "42:10",
    } | fields


def test_pages_send_a_stranger_to_the_sign_in(client, season):
    response = client.get(reverse("production", args=["WEIR"]))
    assert (response.status_code, response["Location"]) == (302, "/sign-in/?next=/productions/WEIR/")


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("production", ["WEIR"]),
        ("season", ["WEIR", 1]),
        ("season-board", ["WEIR", 1]),
        ("season-money", ["WEIR", 1]),
        ("production-members", ["WEIR"]),
        ("production-rates", ["WEIR"]),
        ("episode-new", ["WEIR", 1]),
    ],
)
def test_non_member_gets_404(client, season, name, args):
    client.force_login(UserFactory())
    assert client.get(reverse(name, args=args)).status_code == 404


def test_list_shows_only_own_productions(client, season, supervisor):
    ProductionFactory(title="Hidden Reef")
    assert [production.code for production in client.get("/productions/").context["productions"]] == ["WEIR"]


def test_list_is_by_title(client, season, supervisor):
    for title in ("Zenith", "Anchor"):
        MembershipFactory(user=supervisor, production=ProductionFactory(title=title))
    titles = [production.title for production in client.get("/productions/").context["productions"]]
    assert titles == sorted(titles)


def test_production_says_what_is_blocked_for_air_and_where_to_begin(client, season, supervisor):
    assert "Add the first episode" in client.get("/productions/WEIR/").content.decode()
    today = timezone.localdate()
    for number, ahead in (("101", -7), ("102", 21), ("103", 14)):
        episode = EpisodeFactory(season=season, number=number, code=f"WEIR-{number}", air_date=today + timedelta(ahead))
        ClearanceFactory(usage=UsageFactory(episode=episode))
    page = " ".join(client.get("/productions/WEIR/").content.decode().split())
    assert "2 episodes blocked for air" in page
    assert re.search(r'first 103, on .*?<a href="/episodes/WEIR-103/clearances/">Clear what is open</a>', page)
    Usage.objects.update(deleted_at=timezone.now())
    assert "No episode blocked for air" in client.get("/productions/WEIR/").content.decode()


def test_feature_is_called_one_and_leads_up_to_its_production(client, supervisor):
    """One season with one episode, and the pages say so."""
    feature = SeasonFactory(production__code="LAMP", production__kind="feature", production__title="Lamp").production
    MembershipFactory(user=supervisor, production=feature)
    above, below = client.get("/productions/LAMP/"), client.get("/productions/LAMP/1/")
    assert [page.context["tabs"][0]["label"] for page in (above, below)] == ["Feature", "Feature"]
    assert (below.context["title"], below.context["crumbs"][-1]) == ("Lamp – Feature", ("Lamp", "/productions/LAMP/"))
    assert "Episodes</th>" not in above.content.decode()


def test_new_production_makes_its_maker_supervisor(client, season, supervisor):
    response = client.post("/productions/new/", new_production())
    production = Production.objects.get(code="SALT")
    assert response["Location"] == reverse("production", args=["SALT"])
    assert (production.seasons.count(), production.memberships.get().role) == (1, Role.SUPERVISOR)


def test_new_production_by_viewer_is_refused(client, season):
    client.force_login(MembershipFactory(production=season.production, role=Role.VIEWER).user)
    assert client.post("/productions/new/", new_production()).status_code == 403
    assert Production.objects.count() == 1


def test_new_production_with_taken_code_keeps_what_was_typed(client, season, supervisor):
    response = client.post("/productions/new/", new_production(code="weir", synopsis="Salt and tide"))
    assert response.status_code == 422
    assert response.context["form"].errors == {"code": ["Another production has this code already."]}
    assert "Salt and tide" in response.content.decode()


def test_stale_edit_of_production_is_409_and_keeps_what_was_typed(client, season, supervisor):
    Production.objects.update(version=5, title="Changed meanwhile")
    response = client.post("/productions/WEIR/edit/", new_production(code="WEIR", title="Mine", version=4))
    assert (response.status_code, Production.objects.get().title) == (409, "Changed meanwhile")
    assert 'value="Mine"' in response.content.decode()


def test_edit_of_production_is_saved(client, season, supervisor):
    response = client.post("/productions/WEIR/edit/", new_production(code="WEIR", title="The Lock", version=1))
    assert (response.status_code, Production.objects.get().title) == (302, "The Lock")


def test_language_and_paper_of_letters_are_the_productions(client, season, supervisor):
    """What is not said stays as usual."""
    client.post("/productions/WEIR/edit/", new_production(code="WEIR", version=1, letter_language="fr", paper="letter"))
    changed = Production.objects.get(code="WEIR")
    assert (changed.letter_language, changed.paper) == ("fr", "letter")
    client.post("/productions/new/", new_production())
    usual = Production.objects.get(code="SALT")
    assert (usual.letter_language, usual.paper) == ("en", "a4")


def test_new_episode_comes_with_its_first_cut(client, season, supervisor):
    response = client.post("/productions/WEIR/1/episodes/new/", new_episode())
    cut = Episode.objects.get(code="WEIR-101").current_cut
    assert response.status_code == 302
    # 42:10 = 2530 s; × 30000/1001 = 75824.17… frames
    assert (cut.rate, cut.drop, cut.start_frame, cut.running_frames) == ("30000/1001", True, 107892, 75824)


def test_new_episode_is_offered_the_number_and_the_count_after_the_last(client, season, supervisor):
    offered = client.get("/productions/WEIR/1/episodes/new/").context["form"].initial
    assert (offered["number"], offered["code"], offered["position"]) == ("", "WEIR-", 1)
    client.post("/productions/WEIR/1/episodes/new/", new_episode(number="109", position="9"))
    context = client.get("/productions/WEIR/1/episodes/new/").context
    offered = context["form"].initial
    assert (offered["number"], offered["code"], offered["position"]) == ("110", "WEIR-110", 10)
    assert context["second_form"].initial == {"rate": "30000/1001 DF", "start_timecode": "01:00:00;00"}
    Episode.objects.update(number="109A")
    assert client.get("/productions/WEIR/1/episodes/new/").context["form"].initial["number"] == ""


@pytest.mark.parametrize(("role", "offered"), [(Role.VIEWER, False), (Role.FINANCE, True)])
def test_pages_of_money_are_offered_to_whom_they_answer(client, season, role, offered):
    EpisodeFactory(season=season, code="WEIR-101")
    client.force_login(MembershipFactory(production=season.production, role=role).user)
    for page, with_money in (
        (
            "/productions/WEIR/",
            {"/productions/WEIR/1/money/", "/productions/WEIR/rates/", "/productions/WEIR/agreements/"},
        ),
        ("/productions/WEIR/1/", {"/productions/WEIR/1/money/"}),
        ("/episodes/WEIR-101/cuts/", {"/episodes/WEIR-101/money/"}),
        ("/find/?q=money", {"/productions/WEIR/1/money/", "/episodes/WEIR-101/money/"}),
    ):
        links = set(re.findall(r'href="([^"]+)"', client.get(page).content.decode()))
        assert links & with_money == (with_money if offered else set()), page
        assert {client.get(link).status_code for link in with_money} == {200 if offered else 403}


def test_season_offers_a_cut_to_whom_may_add_one(client, season, supervisor):
    EpisodeFactory(season=season, current_cut=None).cuts.all().delete()
    assert "Add a cut</a>" in client.get("/productions/WEIR/1/").content.decode()
    client.force_login(MembershipFactory(production=season.production, role=Role.VIEWER).user)
    page = client.get("/productions/WEIR/1/").content.decode()
    assert ("Add a cut</a>" in page, "No cut yet" in page) == (False, True)


def test_new_episode_with_impossible_timecode_says_so_beside_the_field(client, season, supervisor):
    response = client.post("/productions/WEIR/1/episodes/new/", new_episode(start_timecode="01:01:00;00"))
    assert response.status_code == 422
    assert list(response.context["second_form"].errors) == ["start_timecode"]
    assert Episode.objects.count() == 0


def test_new_episode_tells_all_that_is_to_be_mended_at_once_and_on_top(client, season, supervisor):
    told = new_episode(number="", start_timecode="01:00:61:00", running_time="")
    response = client.post("/productions/WEIR/1/episodes/new/", told)
    assert response.status_code == 422
    assert set(response.context["second_form"].errors) == {"start_timecode", "running_time"}
    [summary] = re.findall(r'<div class="form-errors".*?</div>', response.content.decode(), re.DOTALL)
    assert re.findall(r'href="#id_(\w+)"', summary) == ["number", "start_timecode", "running_time"]


def test_new_episode_keeps_its_isan_in_one_form(client, season, supervisor):
    # ISO 15706; the example of python-stdnum's isan module
    client.post("/productions/WEIR/1/episodes/new/", new_episode(isan="0000 0001 8947 0000 8 0000 0000 D"))
    assert Episode.objects.get().isan == "0000-0001-8947-0000-8-0000-0000-D".replace("-", "")


def test_new_episode_with_wrong_eidr_is_422_beside_the_field(client, season, supervisor):
    # EIDR "ID Format" v1.3: the published example ends in 5
    response = client.post("/productions/WEIR/1/episodes/new/", new_episode(eidr="10.5240/7791-8534-2C23-9030-8610-6"))
    assert (response.status_code, list(response.context["form"].errors)) == (422, ["eidr"])


def test_second_episode_of_feature_is_refused(client, season, supervisor):
    Production.objects.update(kind="feature")
    EpisodeFactory(season=season)
    response = client.post("/productions/WEIR/1/episodes/new/", new_episode())
    assert (response.status_code, Episode.objects.count()) == (422, 1)


def test_cuts_of_an_episode_without_any_say_how_to_begin(client, season, supervisor):
    episode = EpisodeFactory(season=season, current_cut=None)
    episode.cuts.all().delete()
    page = client.get(reverse("episode-cuts", args=[episode.code])).content.decode()
    assert "Add the first one below" in page
    assert "<th scope" not in page


def test_new_cut_carries_every_placement_over(client, season, supervisor):
    episode = EpisodeFactory(season=season)
    UsageFactory(episode=episode, placed=(episode.current_cut.start_frame, episode.current_cut.start_frame + 250))
    before = episode.current_cut
    client.post(
        reverse("episode-cuts", args=[episode.code]),
        {"label": "Fine cut", "rate": "25", "start_timecode": "10:00:00:00", "running_time": "44:00"},
    )
    episode.refresh_from_db()
    assert (episode.current_cut.label, episode.current_cut.number) == ("Fine cut", before.number + 1)
    assert list(episode.current_cut.placements.values_list("in_frame", "out_frame")) == list(
        before.placements.values_list("in_frame", "out_frame")
    )


def test_new_cut_at_another_rate_is_refused(client, season, supervisor):
    episode = EpisodeFactory(season=season)
    UsageFactory(episode=episode, placed=(1_000, 2_000))
    response = client.post(
        reverse("episode-cuts", args=[episode.code]),
        {"rate": "24", "start_timecode": "10:00:00:00", "running_time": "44:00"},
    )
    assert (response.status_code, episode.cuts.count()) == (422, 1)
    assert list(response.context["form"].errors) == ["rate"]


def test_cut_is_locked_and_unlocked(client, season, supervisor):
    cut = EpisodeFactory(season=season).current_cut
    for locked in (True, False):
        client.post(reverse("cut-lock", args=[cut.pk]), {"locked": "1" if locked else "0"})
        assert Cut.objects.get(pk=cut.pk).locked is locked


def test_member_is_admitted_and_changed(client, season, supervisor):
    guest = UserFactory()
    for role in (Role.VIEWER, Role.FINANCE):
        client.post("/productions/WEIR/members/", {"user": guest.pk, "role": role})
        assert Membership.objects.get(user=guest).role == role


def test_last_supervisor_stays(client, season, supervisor):
    own = Membership.objects.get(user=supervisor)
    response = client.post("/productions/WEIR/members/", {"user": supervisor.pk, "role": Role.VIEWER})
    assert response.status_code == 422
    client.post(reverse("member-remove", args=[own.pk]))
    assert Membership.objects.get(user=supervisor).role == Role.SUPERVISOR


def test_removed_member_is_given_the_membership_back(client, season, supervisor):
    gone = MembershipFactory(production=season.production, role=Role.FINANCE)
    told = client.post(reverse("member-remove", args=[gone.pk]), follow=True)
    back = reverse("member-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    assert f'action="{back}"' in told.content.decode()
    viewer = MembershipFactory(production=season.production, role=Role.VIEWER).user
    for user, status in ((viewer, 403), (UserFactory(), 404), (supervisor, 302)):
        client.force_login(user)
        assert client.post(back).status_code == status
    kept = Membership.objects.get(user=gone.user)
    assert (kept.pk, kept.role) == (gone.pk, Role.FINANCE)
    assert "is a member of the production already." in client.post(back, follow=True).content.decode()


def test_membership_of_which_the_role_alone_was_kept_does_not_come_back(client, season, supervisor):
    gone = MembershipFactory(production=season.production)
    client.post(reverse("member-remove", args=[gone.pk]))
    line = AuditEntry.objects.get(verb="removed")
    AuditEntry.objects.filter(pk=line.pk).update(before={"role": gone.role})
    told = client.post(reverse("member-restore", args=[line.pk]), follow=True)
    assert "admit the person again" in told.content.decode()
    assert not Membership.objects.filter(user=gone.user).exists()


def test_home_lists_episodes_that_wait_for_a_permission(client, season, supervisor):
    assert client.get("/").status_code == 200
