"""From home to an episode without the mouse, in a real browser: what has the focus is seen, marked, and never under anything.

WCAG 2.2: 2.1.1 Keyboard, 2.4.7 Focus Visible, 2.4.11 Focus Not Obscured (Minimum).
"""

import pytest
from playwright.sync_api import expect

from tests.factories.accounts import MembershipFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory

pytestmark = pytest.mark.django_db(transaction=True)

# Where the focus is: what it says, whether it has an outline, and whether it is what one sees at its place.
_FOCUS = """() => {
  const [here, box] = [document.activeElement, document.activeElement.getBoundingClientRect()];
  const seen = document.elementFromPoint(box.x + Math.min(box.width / 2, 20), box.y + Math.min(box.height / 2, 12));
  return {
    says: here === document.body ? "" : (here.textContent.trim() || here.name),
    marked: getComputedStyle(here).outlineStyle !== "none",
    seen: Boolean(seen) && here.contains(seen),
  };
}"""


@pytest.fixture
def home(page, client, live_server):
    """Home, opened by a supervisor of a series with a season of 24; the mouse is never used from here on."""
    season = SeasonFactory(production__title="Gannet Light")
    for number in range(201, 225):
        EpisodeFactory(season=season, number=str(number), code=f"GANNET-{number}", title=f"Night {number}")
    client.force_login(MembershipFactory(production=season.production).user)
    cookie = client.cookies["sessionid"]
    page.context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])
    page.set_viewport_size({"width": 1440, "height": 500})
    page.goto(f"{live_server.url}/")
    return page


def walk(page, key, until):
    """Press the key until the focus is on what says ``until``; each stop on the way is marked and seen."""
    for _ in range(80):
        page.keyboard.press(key)
        focus = page.evaluate(_FOCUS)
        if focus["says"] == until:
            return
        assert focus["marked"], focus
        assert focus["seen"] or len(focus["says"]) > 200, focus  # a whole table that scrolls may begin above the window
    pytest.fail(f"no way to {until}")


def test_home_to_production_to_season_to_episode(home):
    walk(home, "Tab", "Gannet Light")
    home.keyboard.press("Enter")
    expect(home.get_by_role("heading", level=1)).to_have_text("Gannet Light")
    walk(home, "Tab", "Season 1")
    home.keyboard.press("Enter")
    expect(home.get_by_role("heading", level=1)).to_have_text("Gannet Light – Season 1")
    walk(home, "Tab", "Night 224")
    walk(home, "Shift+Tab", "Night 202")  # upwards, where a table keeps its heads in sight
    home.keyboard.press("Enter")
    expect(home.get_by_role("heading", level=1)).to_have_text("202 Night 202")
    expect(home.get_by_role("navigation", name="You are in")).to_contain_text("Season 1")
