"""Where one is, and the way on: the episodes before and after, at the tab where one is."""

import pytest
from django.urls import reverse

from supervision.models import Production
from supervision.queries.productions import episode_for
from supervision.web.navigation import EPISODE_TABS, episode_page
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory

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
