"""Where one is, and the way on: the episodes before and after at the tab where one is; usages, clearances and letters."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from supervision.actions.letters import send_letters
from supervision.models import Clearance, Letter, Production
from supervision.queries.letters import open_letters
from supervision.queries.productions import episode_for
from supervision.web.navigation import EPISODE_TABS, Place, beside, episode_page
from tests.factories.accounts import MembershipFactory
from tests.factories.paper import START, episode_with_music
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    season = SeasonFactory(number=1)
    for position, (number, title) in enumerate([("101", "Low Water"), ("102", "The Weir"), ("103", "")], start=1):
        EpisodeFactory(season=season, number=number, title=title, position=position, code=f"TIDE-{number}")
    return season


@pytest.fixture
def member(season):
    return MembershipFactory(production=season.production).user


def neighbours(member, code, current):
    return [(found["label"], found["url"]) for found in episode_page(episode_for(member, code), current)["neighbours"]]


@pytest.mark.parametrize(("tab", "name"), [(key, name) for key, _, name in EPISODE_TABS])
def test_neighbours_lead_to_the_same_tab(member, tab, name):
    assert neighbours(member, "TIDE-102", tab) == [
        ("Previous episode: 101 Low Water", reverse(name, args=["TIDE-101"])),
        ("Next episode: 103", reverse(name, args=["TIDE-103"])),
    ]


def test_neighbours_of_a_page_without_a_tab_lead_to_the_log(member):
    urls = [url for _, url in neighbours(member, "TIDE-102", "")]
    assert urls == [reverse("episode-log", args=[code]) for code in ("TIDE-101", "TIDE-103")]


def test_first_and_last_episode_have_one_neighbour(member):
    assert [label for label, _ in neighbours(member, "TIDE-101", "log")] == ["Next episode: 102 The Weir"]
    assert [label for label, _ in neighbours(member, "TIDE-103", "log")] == ["Previous episode: 102 The Weir"]


def test_neighbours_follow_the_order_of_the_season_and_stay_in_it(season, member):
    EpisodeFactory(season=season, number="102A", position=2, code="TIDE-102A")
    other = SeasonFactory(production=season.production, number=2)
    EpisodeFactory(season=other, number="201", position=1, code="TIDE-201")
    assert [label for label, _ in neighbours(member, "TIDE-102A", "log")] == [
        "Previous episode: 102 The Weir",
        "Next episode: 103",
    ]
    assert neighbours(member, "TIDE-201", "log") == []


def test_page_of_an_episode_links_its_neighbours_by_name(client, member):
    client.force_login(member)
    html = client.get(reverse("episode-cuts", args=["TIDE-102"])).content.decode()
    address = reverse("episode-cuts", args=["TIDE-101"])
    assert f'<a href="{address}" aria-label="Previous episode: 101 Low Water"' in html


def test_page_of_a_single_episode_has_no_neighbours(client):
    episode = EpisodeFactory(season__production__kind=Production.Kind.FEATURE)
    client.force_login(MembershipFactory(production=episode.season.production).user)
    assert "neighbours" not in client.get(reverse("episode-log", args=[episode.code])).content.decode()


ROW = [Place(name, f"Cue {name}", f"/{name}/") for name in ("1M1", "1M2", "1M3")]


@pytest.mark.parametrize(
    ("here", "found"),
    [
        ("/1M1/", [("1M2", "after Cue 1M2", "right")]),
        ("/1M2/", [("1M1", "before Cue 1M1", "left"), ("1M3", "after Cue 1M3", "right")]),
        ("/1M3/", [("1M2", "before Cue 1M2", "left")]),
        ("/9M9/", []),
    ],
)
def test_neighbours_in_a_row_of_pages(here, found):
    pages = beside(ROW, here, before=lambda name: f"before {name}", after=lambda name: f"after {name}")
    assert [(page["short"], page["label"], page["icon"]) for page in pages] == found


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def coordinator(client, episode):
    member = MembershipFactory(production=episode.season.production, role="coordinator").user
    client.force_login(member)
    return member


def linked(client, address):
    """What the links to the neighbours are called, and where they lead."""
    return re.findall(r'href="([^"]+)" aria-label="([^"]+)"', neighbours_in(client.get(address).content.decode()))


def neighbours_in(html):
    nav = re.search(r'<nav class="neighbours".*?</nav>', html, re.DOTALL)
    return nav[0] if nav else ""


def test_page_of_a_usage_links_the_usages_before_and_after_in_the_cut(client, coordinator, episode):
    first, second = episode.usages.order_by("cue_number")
    between = UsageFactory(episode=episode, cue_number="9M9", title="Door", placed=(START + 2500, START + 2600))
    address = {usage: reverse("usage", args=[usage.pk]) for usage in (first, between, second)}
    assert linked(client, address[between]) == [
        (address[first], "Previous usage: 1M1 Evening Tide"),
        (address[second], "Next usage: 2M1 Evening Tide"),
    ]
    assert linked(client, address[first]) == [(address[between], "Next usage: 9M9 Door")]


def test_page_of_a_clearance_links_those_before_and_after_sync_first(client, coordinator, episode):
    row = [
        Clearance.objects.get(usage__cue_number=cue, side=side)
        for cue, side in (("1M1", "sync"), ("1M1", "master"), ("2M1", "sync"), ("2M1", "master"))
    ]
    address = [reverse("clearance", args=[clearance.pk]) for clearance in row]
    assert linked(client, address[1]) == [
        (address[0], "Previous clearance: 1M1, Sync, Reed Harbour Music"),
        (address[2], "Next clearance: 2M1, Sync, Reed Harbour Music"),
    ]
    Clearance.objects.filter(pk=row[2].pk).update(retired_at=timezone.now())
    assert linked(client, address[1])[1] == (address[3], "Next clearance: 2M1, Master, Weirside Records")
    assert linked(client, address[2]) == []
    shown = re.findall(r"<span>([^<]+)</span>", neighbours_in(client.get(address[1]).content.decode()))
    assert shown == ["Reed Harbour Music", "2M1"]


def test_page_of_a_letter_links_the_letters_sent_before_and_after(client, coordinator, episode):
    keys = [letter.key for letter in open_letters(episode)]
    for key in keys:
        send_letters(episode=episode, keys=[key], by=coordinator, now=timezone.now())
    first, second = Letter.objects.order_by("pk")
    address = [reverse("letter", args=[letter.pk]) for letter in (first, second)]
    assert linked(client, address[0]) == [(address[1], f"Next letter: {second.reference}, {second.holder.name}")]
    assert linked(client, address[1]) == [(address[0], f"Previous letter: {first.reference}, {first.holder.name}")]
