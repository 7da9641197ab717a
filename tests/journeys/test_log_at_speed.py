"""The log on a busy day, in a real browser: many rows, a spreadsheet's rows, a connection that drops, other people."""

import re

import pytest
from playwright.sync_api import expect

from supervision.models import Usage
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db(transaction=True)

START, EACH = 25 * 3600 * 10, 25 * 10
STATUS = "[data-grid-status]"


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101", number="101", title="Low Water")


@pytest.fixture
def usages(episode):
    """150 usages, a cue every ten seconds."""
    return [
        UsageFactory(
            episode=episode,
            cue_number=f"1M{at + 1}",
            title=f"Cue {at + 1}",
            scene=f"Scene {at + 1}",
            placed=(START + at * EACH, START + at * EACH + EACH // 2),
        )
        for at in range(150)
    ]


@pytest.fixture
def log(page, client, live_server, episode):
    client.force_login(MembershipFactory(production=episode.season.production, role="coordinator").user)
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page.goto("/episodes/TIDE-101/")
    return page


def press(page, *keys):
    for key in keys:
        page.keyboard.press(key)


def focused(page):
    return page.evaluate("document.activeElement.id")


def reading(log, usage):
    """A row as it reads while nobody is in it."""
    return log.locator(f"#usage-{usage.pk}.light")


def test_rows_are_text_until_they_are_entered_and_text_again_when_left(usages, log):
    first, second, *_, last = usages
    expect(log.locator("tbody.light")).to_have_count(150)
    press(log, "Alt+n", "ArrowUp")
    assert focused(log) == f"u{last.pk}-cue_number"
    log.locator(f"#usage-{first.pk} th a").focus()
    assert focused(log) == f"u{first.pk}-cue_number"
    expect(log.locator("tbody.light")).to_have_count(149)
    values = {
        name: log.locator(f"#u{first.pk}-{name}").input_value() for name in ("in_timecode", "song", "use", "scene")
    }
    assert values == {"in_timecode": "10:00:00:00", "song": "Cue 1", "use": "background", "scene": "Scene 1"}
    press(log, "ArrowDown")
    assert focused(log) == f"u{second.pk}-cue_number"
    expect(reading(log, first)).to_contain_text("Cue 1")
    press(log, "Shift+Tab")
    assert focused(log) == f"u{first.pk}-master_estimate"
    expect(log.locator("tbody.light")).to_have_count(149)


def test_click_on_a_cell_of_text_enters_that_cell(usages, log):
    reading(log, usages[2]).locator(".scene").click()
    assert focused(log) == f"u{usages[2].pk}-scene"
    reading(log, usages[3]).locator("th a").click()
    assert focused(log) == f"u{usages[3].pk}-cue_number"


def test_change_among_150_rows_saves_by_itself_and_says_when(usages, log):
    row = usages[74]
    log.locator(f"#usage-{row.pk} th a").focus()
    press(log, "Tab", "Tab")
    log.keyboard.type("+8s")
    press(log, "ArrowDown")
    assert focused(log) == f"u{usages[75].pk}-out_timecode"
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    expect(log.locator(f"#u{row.pk}-out_timecode")).to_have_value("10:12:28:00")
    assert row.placements.get().out_frame == START + 74 * EACH + 200


def test_connection_that_drops_keeps_what_was_typed_and_sends_it_again(usages, log):
    row = usages[0]
    log.locator(f"#usage-{row.pk} th a").focus()
    log.context.set_offline(True)
    for _ in range(8):
        press(log, "Tab")
    log.keyboard.type("Boathouse")
    press(log, "Enter")
    expect(log.locator(STATUS)).to_contain_text("Not saved: no connection. It is kept here and sent again.")
    expect(log.locator(f"#u{row.pk}-scene")).to_have_value("Boathouse")
    press(log, "Alt+n")
    for text in ("", "10300000", "+5s"):
        log.keyboard.type(text)
        press(log, "Tab")
    log.keyboard.type("Low tide")
    press(log, "Enter")
    expect(log.locator(f"{STATUS}")).to_contain_text("(2)")
    log.context.set_offline(False)
    expect(log.locator("[data-state=failed]")).to_have_count(0)
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    row.refresh_from_db()
    assert row.scene == "Boathouse"
    assert Usage.objects.filter(title="Low tide").count() == 1


def test_what_was_typed_without_connection_survives_a_reload(usages, log):
    row = usages[1]
    log.route("**/row/", lambda route: route.abort())
    log.locator(f"#usage-{row.pk} th a").focus()
    log.keyboard.type("9M9")
    press(log, "ArrowDown")
    expect(log.locator(f"#usage-{row.pk}")).to_have_attribute("data-state", "failed")
    log.unroute("**/row/")
    log.once("dialog", lambda dialog: dialog.accept())
    log.reload()
    expect(log.locator(f"#u{row.pk}-cue_number")).to_have_value("9M9")
    expect(log.locator(STATUS)).to_contain_text("Unsaved, kept from before")
    log.locator(f"#u{row.pk}-cue_number").focus()
    press(log, "Enter")
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved "))
    row.refresh_from_db()
    assert row.cue_number == "9M9"


def test_another_persons_save_is_shown_beside_what_was_typed(usages, log):
    row = usages[0]
    Usage.objects.filter(pk=row.pk).update(scene="Weir", version=2)
    reading(log, row).locator(".scene").click()
    log.keyboard.type("Boathouse")
    press(log, "Enter")
    expect(log.locator(f"#usage-{row.pk}-told")).to_contain_text("Scene is now saved as “Weir”.")
    expect(log.locator(f"#u{row.pk}-scene")).to_have_value("Boathouse")
    expect(log.locator(STATUS)).to_contain_text("Not saved")
    log.locator(f"#u{row.pk}-scene").focus()
    press(log, "Enter")
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    row.refresh_from_db()
    assert row.scene == "Boathouse"


def test_fifty_rows_of_a_spreadsheet_are_pasted_seen_and_logged(log):
    rows = "\n".join(f"{at}M1\t10:{at:02}:00:00\t+12s\tCue {at}\tThe Weir" for at in range(1, 51))
    press(log, "Alt+n")
    log.evaluate(
        """text => {
          const clipboardData = new DataTransfer();
          clipboardData.setData("text/plain", text);
          document.activeElement.dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
        }""",
        rows,
    )
    expect(log.get_by_role("heading", level=1)).to_have_text("Paste rows")
    expect(log.locator("tbody tr")).to_have_count(50)
    assert Usage.objects.count() == 0
    log.get_by_role("button", name="Log 50 usages").focus()
    press(log, "Enter")
    expect(log.get_by_role("status").first).to_contain_text("50 usages are logged.")
    expect(log.locator("tbody.light")).to_have_count(50)
    assert Usage.objects.count() == 50


def test_text_of_one_cell_is_pasted_into_the_cell(log):
    press(log, "Alt+n")
    log.evaluate(
        """() => {
          const clipboardData = new DataTransfer();
          clipboardData.setData("text/plain", "Evening Tide\\n");
          document.activeElement.dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
        }"""
    )
    assert log.url.endswith("/episodes/TIDE-101/")


def test_sheet_of_keys_opens_and_closes_by_keyboard(log):
    press(log, "?")
    expect(log.get_by_role("dialog", name="Keys")).to_be_visible()
    expect(log.get_by_role("dialog")).to_contain_text("duplicates the row")
    press(log, "Escape")
    expect(log.get_by_role("dialog")).to_have_count(0)
    press(log, "Alt+n")
    log.keyboard.type("?")
    expect(log.get_by_role("dialog")).to_have_count(0)
    press(log, "Control+/")
    expect(log.get_by_role("dialog")).to_be_visible()


def test_box_goes_from_the_log_to_another_page_by_keyboard(log, episode):
    EpisodeFactory(season=episode.season, number="107", code="TIDE-107", title="Spring")
    press(log, "/")
    expect(log.locator("#picks [role=option]").first).to_contain_text("Log music")
    log.keyboard.type("107 mon")
    chosen = log.locator("#picks [aria-selected=true]")
    expect(chosen).to_contain_text("107 Spring")
    expect(log.locator("#site-search")).to_have_attribute("aria-activedescendant", chosen.get_attribute("id"))
    press(log, "Enter")
    log.wait_for_url("**/episodes/TIDE-107/money/")
    press(log, "Control+k", "Escape")
    expect(log.locator("#picks")).to_be_hidden()


def type_row(log, *texts):
    """Fill the empty row's first cells and log it, without waiting for the answer."""
    for text in ("", *texts[:-1]):
        log.keyboard.type(text)
        press(log, "Tab")
    log.keyboard.type(texts[-1])
    press(log, "Enter")


def test_rows_are_typed_on_while_the_server_answers(log):
    held = []
    log.route("**/usages/", lambda route: held.append(route))  # noqa: PLW0108 - playwright marks the function
    press(log, "Alt+n")
    type_row(log, "10001000", "+8s", "Quay")
    assert focused(log) == "new-cue_number"
    assert log.locator("#new-cue_number").input_value() == "1M2"
    type_row(log, "10010099", "+8s", "Weir")
    log.keyboard.type("9M9")
    for route in held:
        route.continue_()
    log.unroute("**/usages/")
    refused = log.locator("[data-apart]")
    expect(refused).to_have_count(1)
    expect(refused).to_contain_text("The last frame is 24.")
    expect(refused.locator("[name=song]")).to_have_value("Weir")
    assert (focused(log), log.locator("#new-cue_number").input_value()) == ("new-cue_number", "9M9")
    expect(refused.locator("[data-row-status]")).to_have_text("Not saved: mend the marked fields")
    press(log, "ArrowUp", "ArrowRight")
    assert refused.locator("[name=in_timecode]").evaluate("cell => cell === document.activeElement")
    log.keyboard.type("10010000")
    press(log, "Enter")
    expect(refused).to_have_count(0)
    assert list(Usage.objects.order_by("pk").values_list("title", flat=True)) == ["Quay", "Weir"]
    assert (focused(log), log.locator("#new-cue_number").input_value()) == ("new-cue_number", "9M9")


def test_two_people_log_at_once_and_numbers_do_not_clash(log, episode):
    UsageFactory(episode=episode, cue_number="1M1", title="Theirs", placed=(START, START + 25))
    press(log, "Alt+n")
    assert log.locator("#new-cue_number").input_value() == "1M1"
    type_row(log, "10001000", "+8s", "Mine")
    type_row(log, "10002000", "+8s", "Mine too")
    expect(log.locator("[data-apart]")).to_have_count(0)
    assert dict(Usage.objects.values_list("title", "cue_number")) == {"Theirs": "1M1", "Mine": "1M2", "Mine too": "1M3"}


def test_locked_cut_says_why_its_times_take_no_keys(log, episode):
    episode.current_cut.locked = True
    episode.current_cut.save()
    log.reload()
    press(log, "Alt+n", "Tab")
    expect(log.locator(STATUS)).to_contain_text("The cut is locked")
    press(log, "Tab", "Tab")
    expect(log.locator(STATUS)).to_be_empty()


def test_row_that_stands_apart_is_dropped_by_keyboard(log):
    press(log, "Alt+n")
    type_row(log, "soon", "+8s", "Quay")
    log.keyboard.type("9M9")
    expect(log.locator("[data-apart][data-state=refused]")).to_have_count(1)
    press(log, "ArrowUp", "Alt+Delete")
    expect(log.locator("[data-apart]")).to_have_count(0)
    expect(log.locator(STATUS)).to_be_empty()
    assert (focused(log), log.locator("#new-cue_number").input_value()) == ("new-cue_number", "9M9")
    assert Usage.objects.count() == 0


def test_rows_logged_without_connection_come_back_after_a_reload(log):
    log.route("**/usages/", lambda route: route.abort())
    press(log, "Alt+n")
    for minute in (1, 2, 3):
        type_row(log, f"100{minute}0000", "+8s", f"Cue {minute}")
    expect(log.locator("[data-apart][data-state=failed]")).to_have_count(3)
    log.unroute("**/usages/")
    log.once("dialog", lambda dialog: dialog.accept())
    log.reload()
    apart = log.locator("[data-apart]")
    assert [apart.nth(at).locator("[name=song]").input_value() for at in range(3)] == ["Cue 1", "Cue 2", "Cue 3"]
    assert log.locator("#new-cue_number").input_value() == "1M4"
    apart.first.locator("[name=song]").focus()
    press(log, "Enter", "Enter", "Enter")
    expect(apart).to_have_count(0)
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    assert sorted(Usage.objects.values_list("title", "cue_number")) == [
        ("Cue 1", "1M1"),
        ("Cue 2", "1M2"),
        ("Cue 3", "1M3"),
    ]


def lose_the_answer(route):
    """It reaches the house, which does it; the page never hears of that."""
    route.fetch()
    route.abort()


def test_change_whose_answer_was_lost_is_sent_again_and_is_no_conflict(usages, log):
    row = usages[1]
    log.route("**/row/", lose_the_answer)
    log.locator(f"#usage-{row.pk} th a").focus()
    press(log, "Tab", "Tab")
    log.keyboard.type("+8s")
    press(log, "ArrowDown")
    expect(log.locator(f"#usage-{row.pk}")).to_have_attribute("data-state", "failed")
    row.refresh_from_db()
    saved = row.version
    log.unroute("**/row/")
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    row.refresh_from_db()
    assert row.version == saved > 1
    assert row.placements.get().out_frame == START + EACH + 200


def test_row_whose_answer_was_lost_is_logged_once(log):
    log.route("**/usages/", lose_the_answer)
    press(log, "Alt+n")
    type_row(log, "10010000", "+8s", "Low tide")
    expect(log.locator("[data-apart]")).to_have_attribute("data-state", "failed")
    assert Usage.objects.get().cue_number == "1M1"
    log.unroute("**/usages/")
    log.locator("[data-apart] [name=song]").fill("High tide")
    log.locator("[data-apart] [name=song]").press("Enter")
    expect(log.locator("[data-apart]")).to_have_count(0)
    expect(log.locator(STATUS)).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    assert [(usage.title, usage.cue_number) for usage in Usage.objects.all()] == [("High tide", "1M1")]
    expect(log.locator("[data-row]:not([data-new])")).to_have_count(1)
