"""Rows of fields on a slow line and a slow machine: each has its place, in whatever pieces the page comes.

Chromium 156 lost the layout of a table whose scrolling box was also a container for queries of size, in every third load.
"""

import pytest
from django.urls import reverse

from supervision.rules.clearance import Stage
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import at_stage
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db(transaction=True)

LOADS = 12
HEIGHTS = "[...document.querySelectorAll('table.rows')].map((table) => table.getBoundingClientRect().height)"


@pytest.fixture
def clearance():
    """One that is approved, so that its page holds the form of a licence with rows of grants."""
    clearance = episode_with_music().usages.first().clearances.get(side="sync")
    at_stage(clearance, Stage.APPROVED)
    return clearance


@pytest.fixture
def slow(page, client, live_server, clearance):
    """A signed-in supervisor's page on 400 kB a second, with a quarter of the machine."""
    client.force_login(MembershipFactory(production=clearance.usage.episode.season.production, role="supervisor").user)
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    line = page.context.new_cdp_session(page)
    line.send("Network.enable")
    speed = {"latency": 5, "downloadThroughput": 400_000, "uploadThroughput": 400_000}
    line.send("Network.emulateNetworkConditions", {"offline": False, **speed})
    line.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    return page


def test_rows_of_a_form_are_laid_out_however_slowly_it_comes(slow, clearance):
    heights = []
    for _ in range(LOADS):
        slow.goto(reverse("clearance", args=[clearance.pk]))
        heights += slow.evaluate(HEIGHTS)
    assert len(heights) >= LOADS
    assert min(heights) > 0
