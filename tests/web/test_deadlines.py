"""The list of deadlines and the calendar feed, on the page and over the API."""

import pytest
from django.urls import reverse
from icalendar import Calendar

from supervision.models import CalendarFeed, User
from supervision.rules.clearance import Stage
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.clearance import ClearanceFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def user(client):
    clearance = ClearanceFactory(stage=Stage.REQUESTED, answer_due="2020-01-02", holder__name="Kotva")
    user = MembershipFactory(production=clearance.usage.episode.season.production).user
    client.force_login(user)
    return user


def made_feed(client):
    return client.post(reverse("calendar-feed-new")).context["address"].removeprefix("http://testserver")


def test_overdue_stands_on_top_and_on_the_home_page(client, user):
    page = client.get(reverse("deadlines"))
    assert [deadline.matter.split(",")[0] for deadline, _ in page.context["overdue"]] == ["Kotva"]
    needs = [need for group in client.get("/").context["groups"] for need in group.needs]
    assert [need.what for need in needs if need.late] == [deadline.matter for deadline, _ in page.context["overdue"]]


def test_filter_leaves_the_rest_out(client, user):
    page = client.get(reverse("deadlines"), {"kind": "quote"})
    assert (page.context["overdue"], page.context["ahead"]) == ([], [])


def test_page_offers_the_productions_that_have_deadlines(client, user):
    code = user.memberships.get().production.code
    field = client.get(reverse("deadlines"), {"production": "OTHER"}).context["form"].fields["production"]
    assert [value for value, _ in field.widget.choices] == ["", code]
    chosen = client.get(reverse("deadlines"), {"production": code})
    assert len(chosen.context["overdue"]) == 1
    assert f'<option value="{code}" selected>' in chosen.content.decode()


def test_feed_is_read_without_signing_in(client, user):
    address = made_feed(client)
    client.logout()
    response = client.get(address)
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert [str(event["summary"])[:17] for event in Calendar.from_ical(response.content).walk("VEVENT")] == [
        "Answer due: Kotva"
    ]


def test_feed_speaks_the_language_of_whoever_made_it(client, user):
    address = made_feed(client)
    User.objects.filter(pk=user.pk).update(language="fr")
    client.logout()
    response = client.get(address, headers={"accept-language": "en"})
    calendar = Calendar.from_ical(response.content)
    assert calendar["x-wr-calname"] == "Échéances de Ledger Line"
    assert [str(event["summary"])[:24] for event in calendar.walk("VEVENT")] == [
        "Réponse attendue\N{NO-BREAK SPACE}: Kotva"
    ]


def test_secret_is_not_kept(client, user):
    secret = made_feed(client).rpartition("/")[2].removesuffix(".ics")
    assert secret not in CalendarFeed.objects.get().secret_sha256


def test_revoked_feed_is_gone(client, user):
    address = made_feed(client)
    client.post(reverse("calendar-feed-revoke", args=[CalendarFeed.objects.get().pk]))
    assert client.get(address).status_code == 404


def test_feed_of_somebody_who_left_is_gone(client, user):
    address = made_feed(client)
    user.is_active = False
    user.save()
    assert client.get(address).status_code == 404


def test_guessed_feed_is_404(client, user):
    assert client.get("/calendar/guess.ics").status_code == 404


def test_anothers_feed_cannot_be_revoked(client, user):
    made_feed(client)
    client.force_login(UserFactory())
    assert client.post(reverse("calendar-feed-revoke", args=[CalendarFeed.objects.get().pk])).status_code == 404


def test_api_tells_deadlines_and_makes_feeds(user):
    api = client_of(user)
    assert [found["kind"] for found in api.get("/api/v1/deadlines/?kind=answer").json()] == ["answer"]
    assert api.get("/api/v1/deadlines/?kind=party").status_code == 400
    feed = api.post("/api/v1/calendar-feeds/").json()
    assert "/calendar/" in feed["address"]
    assert api.delete(f"/api/v1/calendar-feeds/{feed['id']}/").status_code == 204
    assert api.get("/api/v1/calendar-feeds/").json() == []
