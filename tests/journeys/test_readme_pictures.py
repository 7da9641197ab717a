"""The pictures of the README, taken of the demo; `make screenshots` puts them into fixtures/pictures."""

import io

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from supervision.models import User

pytestmark = pytest.mark.django_db(transaction=True, serialized_rollback=True)

PICTURES = {
    "log": ("/episodes/MARRAM-101/", "101 Slack Water"),
    "recut": ("/episodes/MARRAM-103/cuts/2/", "What changed"),
    "board": ("/productions/MARRAM/1/board/", "Season board"),
}


@pytest.fixture
def desk(page: Page, client, live_server):
    call_command("demo", stdout=io.StringIO())
    client.force_login(User.objects.get(username="supervisor"))
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    return page


def test_pictures_of_the_readme_are_taken(desk, pictures):
    for name, (address, heading) in PICTURES.items():
        desk.goto(address)
        expect(desk.get_by_role("heading", level=1)).to_contain_text(heading)
        desk.screenshot(path=pictures / f"readme-{name}.png")
