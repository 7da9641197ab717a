"""The page of a batch: a letter a request with scripts, one slower download without."""

import io
import zipfile
from uuid import uuid4

import pytest
from django.urls import reverse

from supervision.models import Clearance, Letter
from supervision.queries.letters import open_letters
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

BEGIN = "/episodes/WEIR-101/letters/zip/"
SENT = "/episodes/WEIR-101/letters/sent/zip/"


@pytest.fixture(autouse=True)
def _files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def keys(episode):
    return [letter.key for letter in open_letters(episode)]


@pytest.fixture
def supervisor(client, episode):
    return sign_in(client, episode, Role.SUPERVISOR)


def sign_in(client, episode, role):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def begin(client, keys, **more):
    return client.post(BEGIN, {"kind": "request", "keys": keys} | more)


def names(answer):
    assert answer["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(answer.content)).namelist()


def test_each_step_says_how_far_it_has_come(supervisor, keys):
    page = begin(supervisor, keys)["Location"]
    told = [supervisor.get(page).content.decode()]
    told += [supervisor.post(f"{page}step/").content.decode() for _ in keys]
    assert [f"{done} of 2 letters made" in text for done, text in enumerate(told)] == [True] * 3
    assert ["hx-post" in text for text in told] == [True, True, False]
    assert told[2].strip().startswith('<section id="progress"')
    assert "Download the ZIP" in told[2]
    assert len(names(supervisor.get(page.removesuffix("/") + ".zip"))) == 8
    assert Letter.objects.count() == 0


def test_without_scripts_one_download_makes_them_all(supervisor, keys):
    page = begin(supervisor, keys[:1])["Location"]
    answer = supervisor.get(page.removesuffix("/") + ".zip")
    assert answer["Content-Disposition"] == 'attachment; filename="WEIR-101-letters.zip"'
    assert len(names(answer)) == 5
    assert "1 of 1 letter made" in supervisor.get(page).content.decode()


def test_drafts_have_what_was_typed(supervisor, keys):
    page = begin(supervisor, keys[:1], language="fr", territory="Benelux")["Location"]
    answer = supervisor.get(page.removesuffix("/") + ".zip")
    assert "01 Projet, non envoyé Reed Harbour Music.pdf" in names(answer)


def test_choosing_none_keeps_the_page(supervisor, keys):
    answer = begin(supervisor, [])
    assert answer.status_code == 422
    assert "No letter is chosen." in answer.content.decode()


def test_sent_letters_are_had_as_they_were_sent(supervisor, keys):
    assert supervisor.post(SENT).status_code == 409
    supervisor.post(reverse("letters-send", args=["WEIR-101"]), {"keys": keys})
    page = supervisor.post(SENT, {"page": "letter"})["Location"]
    assert "01 WEIR-101-S-0001 Reed Harbour Music.pdf" in names(supervisor.get(page.removesuffix("/") + ".zip"))


def test_viewer_gets_the_sent_letters_that_tell_no_fee(client, episode, keys):
    sign_in(client, episode, Role.SUPERVISOR)
    client.post(reverse("letters-send", args=["WEIR-101"]), {"keys": keys[:1]})
    Clearance.objects.filter(side="master").update(offered_minor=100, offered_currency="USD")
    client.post(reverse("letters-send", args=["WEIR-101"]), {"keys": keys[1:]})
    sign_in(client, episode, Role.VIEWER)
    page = client.post(SENT)["Location"]
    assert "1 letter made" in client.get(page).content.decode()


def test_offers_are_not_bundled_for_a_viewer(client, episode, keys):
    Clearance.objects.update(offered_minor=100, offered_currency="USD")
    assert begin(sign_in(client, episode, Role.VIEWER), keys).status_code == 403


def test_batch_of_another_or_of_nobody_is_404(client, episode, keys):
    page = begin(sign_in(client, episode, Role.SUPERVISOR), keys)["Location"]
    addresses = (page, page.removesuffix("/") + ".zip", f"{BEGIN}{uuid4()}/")
    sign_in(client, episode, Role.SUPERVISOR)
    assert [client.get(address).status_code for address in addresses] == [404] * 3
    assert client.post(f"{page}step/").status_code == 404
    client.force_login(UserFactory())
    assert [client.get(address).status_code for address in addresses] == [404] * 3
    assert begin(client, keys).status_code == 404
