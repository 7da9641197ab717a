"""The tutorial's page and the file that it gives away; its steps are done in tests/journeys/test_tutorial.py."""

import pytest

from supervision.web.tutorial import EXAMPLE
from tests.factories.accounts import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def newcomer(client):
    client.force_login(UserFactory())
    return client


def test_tutorial_is_read_by_anybody_signed_in(newcomer):
    page = newcomer.get("/help/tutorial/")
    assert page.status_code == 200
    assert f'href="/help/examples/{EXAMPLE}"' in page.text


def test_example_is_taken_away_whole(newcomer):
    answer = newcomer.get(f"/help/examples/{EXAMPLE}")
    assert answer.status_code == 200
    assert b"".join(answer.streaming_content).startswith(b"TITLE: MARRAM 104")


def test_no_other_file_is_given_away(newcomer):
    assert newcomer.get("/help/examples/settings.py").status_code == 404


def test_nobody_reads_it_without_signing_in(client):
    assert client.get("/help/tutorial/").status_code == 302
