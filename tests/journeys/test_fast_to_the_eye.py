"""A season of 24 × 60 usages, and an episode of 150 and of 300, as Chromium itself sees them.

Times are told and not asserted, since a test machine may be busy: ``pytest -s tests/journeys/test_fast_to_the_eye.py`` prints
them and writes them to ``speed.txt`` beside the pictures. What does not depend on the machine is asserted: sizes, the number
of files, and the layout shift. The limits are those of "good" at web.dev: cumulative layout shift (here the house's own
0.05 in place of 0.1), largest contentful paint (1 s on loopback, in place of 2.5 s), interaction to next paint 200 ms.
"""

import pytest
from playwright.sync_api import expect

from supervision.management.bench.season import make_season
from supervision.models import Clearance, User

pytestmark = pytest.mark.django_db(transaction=True)

OBSERVE = """() => {
  window.seen = { shift: 0, paint: 0, interaction: 0 };
  const watch = (type, note, more) =>
    new PerformanceObserver((list) => list.getEntries().forEach(note)).observe({ type, buffered: true, ...more });
  watch("layout-shift", (entry) => { if (!entry.hadRecentInput) seen.shift += entry.value; });
  watch("largest-contentful-paint", (entry) => { seen.paint = entry.startTime; });
  watch("event", (entry) => { if (entry.interactionId) seen.interaction = Math.max(seen.interaction, entry.duration); },
    { durationThreshold: 16 });
}"""


@pytest.fixture
def desk(page, client, live_server):
    """A browser that watches itself, signed in to a season of 24 × 60 usages, and episodes of 150 and 300."""
    make_season("X", 24, 60)
    for usages in (150, 300):
        make_season(f"X{usages}", 1, usages)
    client.force_login(User.objects.get(username="bench"))
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page.context.add_init_script(f"({OBSERVE})()")
    return page


def addresses():
    """The pages with long lists, by name."""
    tabs = ("clearances", "letters", "money", "money/forecast", "cue-sheet", "credits", "coverage", "cuts", "imports")
    clearance = Clearance.objects.order_by("pk").first()
    return {
        "home": "/",
        "deadlines": "/deadlines/",
        "expiring": "/expiring/",
        "season": "/productions/X/1/",
        **{f"season {tab}": f"/productions/X/1/{tab}/" for tab in ("board", "money", "release-plan", "credits")},
        "log of 60": "/episodes/X-1/",
        "log of 150": "/episodes/X150-1/",
        "log of 300": "/episodes/X300-1/",
        **{f"episode {tab}": f"/episodes/X-1/{tab}/" for tab in tabs},
        "clearance": f"/clearances/{clearance.pk}/",
        "catalogue": "/catalogue/?q=tide",
        "works": "/catalogue/works/",
        "recordings": "/catalogue/recordings/",
        "find": "/find/?q=tide",
    }


def told(name, size, seen):
    return f"{name:24} {size / 1000:7.1f} kB   CLS {seen['shift']:.3f}   LCP {seen['paint']:5.0f} ms   INP {seen['interaction']:4.0f} ms"


def test_pages_of_a_long_season_are_small_and_stand_still(desk, pictures):
    desk.goto("/reckoner/")  # the server is warm, as it is on a working day
    lines, large, shifted = [], {}, {}
    for name, address in addresses().items():
        response = desk.goto(address)
        assert response.status == 200, address
        desk.wait_for_load_state("networkidle")
        size, seen = len(response.body()), desk.evaluate("seen")
        lines.append(told(name, size, seen))
        if size >= 300_000:
            large[name] = size
        if seen["shift"] >= 0.05:
            shifted[name] = seen["shift"]
    lines.append(told("typing in the log of 150", 0, typed_in(desk)))
    text = "\n".join(lines)
    (pictures / "speed.txt").write_text(text)
    print(f"\n{text}")  # noqa: T201 - figures are told to whoever runs the test with -s
    assert (large, shifted) == ({}, {})


def typed_in(desk):
    """What was seen while a row in the middle of 150 was entered, changed, saved and left, and another logged."""
    desk.goto("/episodes/X150-1/")
    desk.locator("tbody.light th a").nth(74).focus()
    for key in ("Tab", "Tab", "ArrowDown", "ArrowDown", "ArrowUp", "Tab"):
        desk.keyboard.press(key)
    desk.keyboard.type("Evening tide")
    desk.keyboard.press("Enter")
    expect(desk.locator("[data-grid-status]")).to_contain_text("Saved")
    desk.keyboard.press("Alt+n")
    desk.keyboard.type("9M1")
    desk.keyboard.press("Control+k")
    desk.keyboard.type("tide")
    expect(desk.locator("#picks [role=option]").first).to_be_visible()
    return desk.evaluate("seen")
