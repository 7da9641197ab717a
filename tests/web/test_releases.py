"""Pages of release plans and of what expires: what they show, what they refuse, and that nothing typed is lost."""

from datetime import date

import pytest
from django.urls import reverse

from supervision.models import AuditEntry, ReleaseWindow
from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, option_of, song_in

pytestmark = pytest.mark.django_db
TYPED = {
    "window_media": "free TV, SVOD",
    "territory": "North America",
    "starts_on": "2026-12-02",
    "last_day": "2031-12-01",
    "note": "first run",
}


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def member(season, client):
    user = MembershipFactory(production=season.production, role=Role.COORDINATOR).user
    client.force_login(user)
    return user


def plan(of):
    if hasattr(of, "code"):
        return reverse("episode-release-plan", args=[of.code])
    return reverse("season-release-plan", args=[of.production.code, of.number])


def test_window_is_added_with_its_last_day_included(client, season, member):
    response = client.post(plan(season), TYPED, follow=True)
    window = ReleaseWindow.objects.get()
    assert (window.media, window.territory, window.starts_on, window.ends_on) == (
        "free TV + SVOD",
        "CA + US",
        date(2026, 12, 2),
        date(2031, 12, 2),
    )
    said = [str(message) for message in response.context["messages"]]
    assert said[0] == "The window is saved as free TV + SVOD, CA + US."
    assert said[1].startswith("North America is read as CA, US. Read as Canada and the US")
    assert "1 Dec 2031" in response.content.decode()


def test_window_without_last_day_is_open(client, season, member):
    client.post(plan(season), TYPED | {"last_day": ""})
    assert ReleaseWindow.objects.get().ends_on is None
    assert "open end" in client.get(plan(season)).content.decode()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"window_media": "promo"}, "window_media"),
        ({"window_media": ""}, "window_media"),
        ({"territory": "Rest of World"}, "territory"),
        ({"territory": "nowhere"}, "territory"),
        ({"territory": "(" * 290}, "territory"),
        ({"starts_on": "soon"}, "starts_on"),
        ({"last_day": "2026-12-01"}, "last_day"),
        ({"last_day": "9999-12-31"}, "last_day"),
        ({"note": "x" * 201}, "note"),
    ],
)
def test_what_cannot_be_read_is_422_beside_its_field(client, season, member, typed, field):
    response = client.post(plan(season), TYPED | typed)
    form = response.context["form"]
    assert (response.status_code, list(form.errors), ReleaseWindow.objects.count()) == (422, [field], 0)
    assert form["note"].value() == (TYPED | typed)["note"]


def test_window_twice_is_422(client, season, member):
    client.post(plan(season), TYPED)
    response = client.post(plan(season), TYPED)
    assert (response.status_code, response.context["form"].non_field_errors()) == (
        422,
        ["This window stands in the plan already. Change the one that is there."],
    )


def test_episode_shows_the_season_s_windows_until_it_has_its_own(client, season, member):
    episode = EpisodeFactory(season=season, air_date=AIR)
    WindowFactory(season=season, media="AVOD")
    shown = client.get(plan(episode))
    assert (shown.context["own"], [row.media for row, _ in shown.context["windows"]]) == (False, ["AVOD"])
    client.post(plan(episode), TYPED)
    shown = client.get(plan(episode))
    assert (shown.context["own"], [row.media for row, _ in shown.context["windows"]]) == (True, ["free TV + SVOD"])


def test_window_is_changed(client, season, member):
    window = WindowFactory(season=season, ends_on=date(2030, 1, 1))
    page = reverse("window-edit", args=[window.pk])
    form = client.get(page).context["form"]
    assert (form["last_day"].value(), form["window_media"].value()) == (date(2029, 12, 31), "SVOD")
    client.post(page, TYPED | {"version": 1})
    window.refresh_from_db()
    assert (window.media, window.version) == ("free TV + SVOD", 2)


def test_stale_change_is_409_and_keeps_what_was_typed(client, season, member):
    window = WindowFactory(season=season, version=4)
    response = client.post(reverse("window-edit", args=[window.pk]), TYPED | {"version": 3})
    assert (response.status_code, response.context["form"]["note"].value()) == (409, "first run")


def test_window_of_an_episode_is_removed(client, season, member):
    episode = EpisodeFactory(season=season)
    window = WindowFactory(season=season, episode=episode)
    response = client.post(reverse("window-remove", args=[window.pk]))
    assert (response.url, ReleaseWindow.objects.count()) == (plan(episode), 0)


def test_removed_window_is_brought_back(client, season, member):
    window = WindowFactory(season=season)
    told = client.post(reverse("window-remove", args=[window.pk]), follow=True)
    back = reverse("window-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    assert f'action="{back}"' in told.content.decode()
    assert client.post(back).url == plan(season)
    kept = ReleaseWindow.objects.get()
    assert (kept.pk, kept.media, kept.starts_on) == (window.pk, window.media, window.starts_on)
    assert "is back already." in client.post(back, follow=True).content.decode()


def test_removed_window_comes_back_for_whoever_may_plan(client, season, member):
    client.post(reverse("window-remove", args=[WindowFactory(season=season).pk]))
    back = reverse("window-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    viewer = MembershipFactory(production=season.production, role=Role.VIEWER).user
    for user, status in ((viewer, 403), (UserFactory(), 404)):
        client.force_login(user)
        assert client.post(back).status_code == status
    assert not ReleaseWindow.objects.exists()


def test_viewer_reads_the_plan_and_cannot_change_it(client, season):
    client.force_login(MembershipFactory(production=season.production, role=Role.VIEWER).user)
    window = WindowFactory(season=season)
    shown = client.get(plan(season))
    assert (shown.status_code, "Add a window" in shown.content.decode()) == (200, False)
    assert client.post(plan(season), TYPED).status_code == 403
    assert client.get(reverse("window-edit", args=[window.pk])).status_code == 403
    assert client.post(reverse("window-remove", args=[window.pk])).status_code == 403


def test_stranger_finds_nothing(client, season):
    client.force_login(UserFactory())
    window = WindowFactory(season=season)
    assert client.get(plan(season)).status_code == 404
    assert client.get(reverse("window-edit", args=[window.pk])).status_code == 404


def test_season_lists_each_episode_with_gaps_and_blocks(client, season, member):
    WindowFactory(season=season)
    covered, open_one = (EpisodeFactory(season=season, air_date=AIR, position=at) for at in (1, 2))
    usage = song_in(covered)
    for side in Side:
        licensed(usage, side)
        asked(song_in(open_one), side)
    shown = client.get(plan(season))
    told = [(proof.covered, len(proof.gaps), len(proof.blocks)) for proof in shown.context["proofs"]]
    assert told == [(True, 0, 0), (False, 4, 4)]
    assert "4 blocks" in shown.content.decode()


def test_season_lists_a_dozen_blocks_and_leads_to_all(client, season, member):
    WindowFactory(season=season)
    episode = EpisodeFactory(season=season, air_date=AIR)
    for at in range(7):
        usage = song_in(episode, title=f"Evening Tide {at}")
        asked(usage, Side.SYNC)
        asked(usage, Side.MASTER)
    shown = client.get(plan(season)).content.decode()
    listed = shown[shown.index("14 blocks") :]
    assert listed[: listed.index("</details>")].count("<li") == 12
    assert f'href="{reverse("episode-coverage", args=[episode.code])}#blocks">All 14 blocks</a>' in listed


def test_window_is_changed_in_the_words_of_its_reader(client, season, member):
    window = WindowFactory(season=season, media="all TV + SVOD", territory="World excl. US")
    edit = reverse("window-edit", args=[window.pk])
    shown = client.get(edit, headers={"accept-language": "fr"}).context["form"]
    assert (shown["window_media"].value(), shown["territory"].value()) == ("toute TV + SVOD", "Monde sauf US")
    told = {**TYPED, "version": window.version, "window_media": "toute TV + SVOD", "territory": "Monde sauf US"}
    client.post(edit, told, headers={"accept-language": "fr"})
    window.refresh_from_db()
    assert (window.media, window.territory) == ("all TV + SVOD", "World excl. US")


def test_caution_about_a_word_stands_under_the_windows(client, season, member):
    WindowFactory(season=season, territory="EEA")
    assert [found.code for found in client.get(plan(season)).context["findings"]] == ["territory-word"]


@pytest.mark.parametrize("episodes", [1, 3])
def test_season_plan_costs_as_many_queries_for_any_number_of_episodes(
    client, season, member, episodes, django_assert_num_queries
):
    WindowFactory(season=season)
    for at in range(episodes):
        asked(song_in(EpisodeFactory(season=season, position=at + 1)), Side.SYNC)
    with django_assert_num_queries(15):
        client.get(plan(season))


def test_what_expires_is_listed_within_the_horizon(client, season, member, time_machine):
    time_machine.move_to("2026-11-25T12:00Z")
    usage = song_in(EpisodeFactory(season=season), title="Evening Tide")
    option_of(licensed(usage, Side.SYNC, grants=[{"ends_on": date(2027, 1, 10)}]), exercisable_until=date(2027, 6, 1))
    page = reverse("expiring")
    assert [each.last_day for each in client.get(page).context["page"]] == [date(2027, 1, 9)]
    shown = client.get(page, {"within": "365"})
    assert [each.last_day for each in shown.context["page"]] == [date(2027, 1, 9), date(2027, 6, 1)]
    assert "2,000.00" in shown.content.decode()


def test_unread_horizon_is_422(client, season, member):
    assert client.get(reverse("expiring"), {"within": "soon"}).status_code == 422
