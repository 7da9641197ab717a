"""A new cut comes in by hand: the supervisor adds it, moves its music, and sees what that does to rights and money."""

import re

import pytest
from playwright.sync_api import Page, expect

from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.recut import seconds
from tests.factories.releases import licensed, song_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101", number="101", title="Low Water", cut__number=1, cut__label="Fine cut")


@pytest.fixture
def songs(episode):
    """One licensed for up to 0:30 at 1:00, another at 5:00."""
    tide = song_in(episode, title="Evening Tide", cue_number="1M1", placed=seconds(60, 90))
    licensed(tide, Side.SYNC, number="K-1", holder=PartyFactory(name="Kotva Music"), grants=[{"max_seconds": 30}])
    gulls = song_in(episode, title="Gulls", cue_number="1M2", placed=seconds(300, 360))
    licensed(gulls, Side.MASTER, number="S-1", holder=PartyFactory(name="Skala Records"))
    return tide, gulls


@pytest.fixture
def desk(page: Page, client, live_server, episode):
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.SUPERVISOR).user)
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page.goto(f"{live_server.url}/episodes/{episode.code}/cuts/")
    return page


def place(page, usage, into, out):
    page.goto(f"/usages/{usage.pk}/")
    page.locator("main [name='in_timecode']").fill(into)
    page.locator("main [name='out_timecode']").fill(out)
    page.locator("main").get_by_role("button", name="Save", exact=True).click()
    expect(page).to_have_url(re.compile("/episodes/"))


def test_a_recut_by_hand_shows_what_it_does(desk, songs):
    page, (tide, gulls) = desk, songs
    page.get_by_label("Label").fill("Locked cut")
    page.locator("main").get_by_role("button", name="Add the cut").click()
    expect(page.get_by_role("status")).to_contain_text("Locked cut is the current cut now")

    place(page, tide, "10:01:00:00", "10:01:41:00")
    place(page, gulls, "", "")
    page.goto("/episodes/WEIR-101/")
    page.get_by_role("link", name="What changed since the cut before").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What changed from Fine cut to Locked cut")

    consequences = page.get_by_role("group", name="Consequences")
    expect(consequences).to_contain_text("It is 0:41 long now; the licence allows up to 0:30.")
    expect(consequences).to_contain_text("Kotva Music (sync), licence K-1")
    expect(consequences).to_contain_text("No longer used: money that may come back")
    expect(consequences).to_contain_text("Skala Records (master), licence S-1")

    picture = page.get_by_role("group", name="The music of both cuts, and what became of it").last
    expect(picture.locator("a.bar")).to_have_count(3)
    expect(picture.locator("a.ribbon")).to_have_count(1)
    picture.locator("a.ribbon").click()
    expect(page).to_have_url(re.compile("#change-1$"))
    expect(page.locator("#change-1")).to_contain_text("0:11 longer at its end.")
    expect(page.locator("#change-2")).to_contain_text("Gone")

    consequences.get_by_role("link", name="Skala Records").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Skala Records")
