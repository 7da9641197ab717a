"""The command box as a page and as a list of options: what is found, for whom, at how many queries."""

import re

import pytest
from django.urls import reverse
from django.utils import translation

from supervision.queries.command_box import EpisodePlace, places_of
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.productions import EpisodeFactory

pytestmark = pytest.mark.django_db

EVERY_NEW = ["Add a recording", "Add a work", "Add a party", "Begin a production", "Import a production"]


@pytest.fixture
def episode():
    return EpisodeFactory(
        code="TIDE-101",
        number="101",
        title="Low Water",
        season__number=1,
        season__production__code="TIDE",
        season__production__title="Low Tide",
    )


@pytest.fixture
def user(episode, client):
    user = MembershipFactory(production=episode.season.production).user
    client.force_login(user)
    return user


def options(client, text, here="/"):
    """(kind, name, address) of each option."""
    page = client.get(reverse("find-options"), {"q": text, "here": here}).content.decode()
    found = re.findall(r'data-href="([^"]*)"><span class="kind">(.*?)</span> <bdi>(.*?)</bdi>', page)
    return [(kind, label, address.partition("?")[0]) for address, kind, label in found]


def test_episode_and_its_pages(client, user):
    assert options(client, "low water")[0] == ("Episode", "101 Low Water", "/episodes/TIDE-101/")
    assert options(client, "101 money")[0] == ("Page", "Money", "/episodes/TIDE-101/money/")


@pytest.mark.parametrize(("title", "place"), [("Low Tide", "Low Tide"), ("", "Low Tide"), ("Ebb", "Ebb, Low Tide")])
def test_what_is_no_series_has_no_number_and_is_named_once(client, user, episode, title, place):
    episode.season.production.kind = "feature"
    episode.season.production.save()
    episode.title = title
    episode.save()
    page = client.get(reverse("find-options"), {"q": "cue sheet"}).content.decode()
    assert f'<bdi>Cue sheet</bdi> <span class="detail"><bdi>{place}</bdi>' in page
    assert "101" not in re.sub("TIDE-101", "", page)


def test_rows_of_the_catalogue(client, user):
    recording = RecordingFactory(title="Ebb", artist="The Weir", search_key="ebb | the weir")
    work = WorkFactory(title="Ebbing", search_key="ebbing")
    party = PartyFactory(name="Ebb Music", search_key="ebb music")
    assert options(client, "ebb") == [
        ("Recording", "Ebb", reverse("recording", args=[recording.pk])),
        ("Work", "Ebbing", reverse("work", args=[work.pk])),
        ("Party", "Ebb Music", reverse("party", args=[party.pk])),
        ("Find", "all that “ebb” means", reverse("find")),
    ]


def test_box_without_words_offers_what_is_done_where_one_is(client, user):
    labels = [label for _, label, _ in options(client, "", "/episodes/TIDE-101/money/")]
    assert labels[:2] == ["Log music", "Paste rows"]
    here = client.get(reverse("find-options"), {"here": "/episodes/TIDE-101/"}).content.decode()
    assert "Low Water" not in here  # one is there
    assert options(client, "", "/nowhere/")[0][1] == "Add a recording"
    assert "Add an episode" in [label for _, label, _ in options(client, "", "/productions/TIDE/1/board/")]


def test_box_offers_only_what_the_role_may_do(client, episode):
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
    kinds = {kind for kind, _, _ in options(client, "", "/episodes/TIDE-101/")}
    assert kinds == {"Page"}


@pytest.mark.parametrize(
    ("role", "offered"),
    [
        (Role.VIEWER, []),
        (Role.FINANCE, []),
        (Role.COORDINATOR, EVERY_NEW[:3]),
        (Role.SUPERVISOR, EVERY_NEW),
    ],
)
def test_what_belongs_to_no_production_is_offered_to_whom_it_answers(client, episode, role, offered):
    """On the page of all productions and by its name; and what is offered does answer."""
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    deeds = {label: address for kind, label, address in options(client, "", "/productions/") if kind == "Do"}
    assert list(deeds) == offered
    assert [client.get(address).status_code for address in deeds.values()] == [200] * len(offered)
    named = [name for name in EVERY_NEW if name in [label for _, label, _ in options(client, name)]]
    assert named == offered


def test_staff_without_a_role_is_offered_to_begin(client):
    """They set up the first production (``queries.accounts.may_anywhere``)."""
    client.force_login(UserFactory(is_staff=True))
    assert ("Do", "Begin a production", "/productions/new/") in options(client, "begin")
    client.force_login(UserFactory())
    assert options(client, "begin") == []


def test_other_peoples_productions_are_not_found(client, user):
    EpisodeFactory(code="OTHER-1", number="1", title="Hidden Reef")
    assert options(client, "hidden reef") == []
    assert places_of(UserFactory()) == []
    assert places_of(user)[0].seasons[0].episodes == [EpisodePlace("TIDE-101", "101", "Low Water")]


def test_page_without_scripts(client, user):
    page = client.get(reverse("find"), {"q": "low water"}).content.decode()
    assert '<a href="/episodes/TIDE-101/"><bdi>101 Low Water</bdi></a>' in page
    assert "Nothing is called so" in client.get(reverse("find"), {"q": "qwertz"}).content.decode()
    assert "Nothing is called so" in client.get(reverse("find-options"), {"q": "qwertz"}).content.decode()


def test_every_page_has_the_box(client, user):
    page = client.get(reverse("production-list")).content.decode()
    assert 'data-picks="/find/options/?here=/productions/"' in page


@pytest.mark.parametrize("episodes", [10, 200])
def test_queries_do_not_grow_with_episodes(client, user, episode, episodes, django_assert_num_queries):
    EpisodeFactory.create_batch(episodes, season=episode.season)
    with django_assert_num_queries(8):  # session, user, three for places, three for the catalogue
        client.get(reverse("find-options"), {"q": "water"})


def test_find_is_for_people_who_are_signed_in(client):
    assert client.get(reverse("find")).status_code == 302


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("101 releve", ("Faire", "Émettre le relevé de musique")),
        ("101 cue sheet", ("Faire", "Émettre le relevé de musique")),
        ("101 finances", ("Page", "Finances")),
        ("101 journal", ("Page", "Journal")),
        ("episode TIDE-101", ("Épisode", "101 Low Water")),
        ("calculette", ("Page", "Calculette")),
        ("auteur", ("Faire", "Ajouter un intervenant")),
    ],
)
def test_french_reader_types_french_or_english(client, user, typed, found):
    user.language = "fr"
    user.save()
    with translation.override("en-gb"):  # what the request speaks is not left to the next test
        assert options(client, typed)[0][:2] == found
