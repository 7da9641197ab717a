"""A coordinator logs an episode without touching the mouse, in a real browser."""

import re

import pytest
from playwright.sync_api import expect

from supervision.models import Usage
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db(transaction=True)

START = 25 * 3600 * 10


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101", number="101", title="Low Water")


@pytest.fixture
def song(episode):
    """A recording that another episode uses too."""
    recording = RecordingFactory(
        title="Řezeda", artist="Ota Brázda", works=[WorkFactory(title="Řezeda")], search_key="rezeda | ota brazda"
    )
    UsageFactory(episode=EpisodeFactory(season=episode.season, number="103"), recording=recording)
    return recording


@pytest.fixture
def log(page, client, live_server, episode):
    """The log's page, opened by a coordinator who is signed in; the mouse is never used from here on."""
    client.force_login(MembershipFactory(production=episode.season.production, role="coordinator").user)
    cookie = client.cookies["sessionid"]
    page.context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])
    page.goto(f"{live_server.url}/episodes/TIDE-101/")
    return page


def press(page, *keys):
    for key in keys:
        page.keyboard.press(key)


def cells(page, *texts):
    """Type into one cell after the other; ``None`` leaves a cell as it is."""
    for text in texts:
        if text is not None:
            page.keyboard.type(text)
        page.keyboard.press("Tab")


def focused(page):
    return page.evaluate("document.activeElement.id")


def figure(page, label):
    return page.locator("#log-summary dl > div", has_text=re.compile(rf"^\s*{label}")).locator(".figure")


def saved(page, count):
    """Wait until so many usages are in the log and the empty row is ready again."""
    expect(page.locator("tbody[data-row]:not([data-new])")).to_have_count(count)
    expect(page.locator("#new-cue_number")).to_be_focused()


def test_log_five_usages_by_keyboard(log, song):
    press(log, "Alt+n")
    expect(log.locator("#new-cue_number")).to_be_focused()
    cells(log, None, "10001000", "+33s", "Evening theme")  # 10:00:10:00
    press(log, "Enter")
    saved(log, 1)
    cells(log, None, "10:02:14:10", "10:03:00:00")
    log.keyboard.type("rez")
    expect(log.locator("#picks [role=option]")).to_have_count(1)
    press(log, "ArrowDown", "Enter")
    assert log.evaluate("document.activeElement.value") == f"Řezeda – Ota Brázda · R{song.pk}"
    press(log, "Enter")
    saved(log, 2)
    for count, start in enumerate(("10050000", "10060000", "10040000"), start=3):
        cells(log, None, start, "+0:45")
        log.keyboard.type("Rising Water")
        press(log, "Enter")
        saved(log, count)

    assert list(Usage.objects.filter(episode__code="TIDE-101").order_by("pk").values_list("cue_number", flat=True)) == [
        "1M1",
        "1M2",
        "1M3",
        "1M4",
        "1M5",
    ]
    # Shown seconds: 33, 45.6 shown as 46, and three times 45; the last one logged stands before the two others.
    expect(figure(log, "Cues")).to_have_text("5")
    expect(figure(log, "Music")).to_have_text("3:34")
    expect(log.locator("#log-summary .stave-field a.bar")).to_have_count(5)
    rows = log.locator("tbody[data-row]:not([data-new])")
    numbers = [rows.nth(at).locator("[name=cue_number]").input_value() for at in range(5)]
    assert numbers == ["1M1", "1M2", "1M5", "1M3", "1M4"]
    chosen = rows.nth(1)
    assert chosen.locator("[name=song]").input_value() == "Řezeda – Ota Brázda"
    expect(chosen.locator(".notes")).to_contain_text("also in 103")


def test_edit_in_place_by_keyboard_and_see_the_totals(log, episode, song):
    first = UsageFactory(episode=episode, cue_number="1M1", title="Nightfall", placed=(START, START + 750))
    second = UsageFactory(episode=episode, cue_number="1M2", title="Undertow", placed=(START + 1000, START + 1250))
    log.reload()
    expect(figure(log, "Music")).to_have_text("0:40")
    press(log, "Alt+n", "ArrowUp", "ArrowUp")
    assert focused(log) == f"u{first.pk}-cue_number"
    press(log, "ArrowRight", "ArrowRight")
    assert focused(log) == f"u{first.pk}-out_timecode"
    log.keyboard.type("+1:00")
    press(log, "Enter")
    assert focused(log) == f"u{second.pk}-out_timecode"
    expect(log.locator(f"#u{first.pk}-out_timecode")).to_have_value("10:01:00:00")
    expect(figure(log, "Music")).to_have_text("1:10")
    expect(log.locator(f"#usage-{first.pk}-told")).to_contain_text("It overlaps 1M2 Undertow by 0:10.")
    expect(log.locator(f"#usage-{second.pk}-told")).to_contain_text("It overlaps 1M1 Nightfall by 0:10.")


def test_refused_row_keeps_what_was_typed_and_is_mended_by_keyboard(log):
    press(log, "Alt+n")
    cells(log, None, "10001025", "+33s")
    log.keyboard.type("Nightfall")
    press(log, "Enter")
    expect(log.locator("#usage-new1-told")).to_contain_text("The last frame is 24.")
    assert focused(log) == "new-cue_number"
    assert log.locator("#new1-song").input_value() == "Nightfall"
    press(log, "ArrowUp", "ArrowRight")
    assert focused(log) == "new1-in_timecode"
    log.keyboard.type("10001024")
    press(log, "Enter")
    saved(log, 1)
    assert Usage.objects.get().title == "Nightfall"


def test_row_stale_shows_both_and_keeps_the_typed_one(log, episode):
    usage = UsageFactory(episode=episode, cue_number="1M1", scene="Quay", placed=(START, START + 750))
    log.reload()
    Usage.objects.filter(pk=usage.pk).update(scene="Weir", version=2)
    press(log, "Alt+n", "ArrowUp")
    for _ in range(8):
        press(log, "Tab")
    assert focused(log) == f"u{usage.pk}-scene"
    log.keyboard.type("Boathouse")
    press(log, "Enter")
    expect(log.locator(f"#usage-{usage.pk}-told")).to_contain_text("Scene is now saved as “Weir”.")
    expect(log.locator(f"#u{usage.pk}-scene")).to_have_value("Boathouse")


def test_duplicate_remove_and_undo_by_keyboard(log, episode):
    usage = UsageFactory(episode=episode, cue_number="1M1", title="Nightfall", placed=(START, START + 750))
    log.reload()
    press(log, "Alt+n", "ArrowUp", "Control+d")
    expect(log.locator("tbody[data-row]:not([data-new])")).to_have_count(2)
    copied = Usage.objects.exclude(pk=usage.pk).get()
    expect(log.locator(f"#u{copied.pk}-in_timecode")).to_be_focused()
    log.keyboard.type("10004000")  # over the in point of the duplicate
    press(log, "Enter")
    expect(log.locator(f"#u{copied.pk}-in_timecode")).to_have_value("10:00:40:00")
    log.locator(f"#u{copied.pk}-in_timecode").focus()
    press(log, "Alt+Delete")
    expect(log.get_by_role("button", name="Undo")).to_be_focused()
    expect(figure(log, "Music")).to_have_text("0:30")
    press(log, "Enter")
    expect(figure(log, "Music")).to_have_text("0:50")  # 0:30 and what is left of the duplicate, from 0:40 to 1:00
    expect(log.locator(f"#u{copied.pk}-song")).to_have_value("Nightfall")


def test_log_reads_and_saves_without_scripts(browser, client, live_server, episode):
    usage = UsageFactory(episode=episode, cue_number="1M1", title="Nightfall", placed=(START, START + 750))
    client.force_login(MembershipFactory(production=episode.season.production).user)
    context = browser.new_context(java_script_enabled=False)
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/episodes/TIDE-101/")
    page.get_by_role("link", name="1M1", exact=True).click()
    page.get_by_label("Out", exact=False).first.fill("+1:00")
    page.get_by_role("button", name="Save").click()
    assert "10:01:00:00" in page.locator(f"#usage-{usage.pk}").inner_text()
    page.fill("#new-song", "Undertow")
    page.get_by_role("button", name="Log it").click()
    assert page.locator("tbody[data-row]:not([data-new])").count() == 2
    context.close()
