"""The grid of the log in a real browser: saving by itself, keys, and nothing typed is ever lost."""

import re
from urllib.parse import parse_qs

import pytest
from playwright.sync_api import expect

from tests.web.scratch import SITE, drawn, serve

BLANK = {"id": "new", "cue": "", "start": "", "title": "", "version": 0}


class Log:
    """A log that remembers its rows and answers as the site does; ``mood`` makes it fail."""

    def __init__(self):
        self.rows = [
            {"id": n, "cue": f"1M{n}", "start": f"0100{n:02d}00", "title": f"Song {n}", "version": 1} for n in (1, 2, 3)
        ]
        self.mood = "well"

    def __call__(self, request):
        if request.method == "GET":
            return 200, drawn("grid.html", {"title": "Log", "rows": [*self.rows, BLANK]})
        if self.mood != "well":
            return {
                "broken": (500, "broken"),
                "signed out": (200, "<html><body>Sign in</body></html>"),
                "removed": (404, "<html><body>Not here</body></html>"),
            }[self.mood]
        return self.save(request.url.split("/")[-2], parse_qs(request.post_data, keep_blank_values=True))

    def save(self, pk, posted):
        typed = {name: posted[name][0] for name in ("cue", "start", "title", "version")}
        if not typed["start"].isdigit():
            return 422, drawn("grid_row.html", {"row": {**typed, "id": pk}, "error": "Write the timecode as digits."})
        if pk == "new":
            row = {**typed, "id": len(self.rows) + 1, "version": 1}
            self.rows.append(row)
            return 200, drawn("grid_row.html", {"row": row}) + drawn("grid_row.html", {"row": BLANK})
        row = next(row for row in self.rows if str(row["id"]) == pk)
        if str(row["version"]) != typed["version"]:
            return 409, drawn("grid_row.html", {"row": {**typed, "id": pk}, "error": "Somebody saved it first."})
        row.update(typed, version=row["version"] + 1)
        return 200, drawn("grid_row.html", {"row": row})

    def titles(self):
        return [row["title"] for row in self.rows]


@pytest.fixture
def log():
    return Log()


@pytest.fixture
def page(browser, log):
    page = browser.new_page()
    serve(page, log)
    page.goto(f"{SITE}/log/")
    yield page
    page.close()


def cell(page, row, name):
    return page.locator(f"#usage-{row}-{name}")


def state(page, row):
    return page.locator(f"#usage-{row}")


def saved(page, row):
    expect(state(page, row)).to_have_attribute("data-state", "saved")


def type_into(page, row, name, text):
    cell(page, row, name).click()
    cell(page, row, name).fill(text)


def test_enter_saves_the_row_and_goes_to_the_one_below(page, log):
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(cell(page, 2, "title")).to_be_focused()
    saved(page, 1)
    expect(page.locator("[data-grid-status]")).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))
    assert log.titles() == ["Evening Tide", "Song 2", "Song 3"]


def test_leaving_the_row_saves_it(page, log):
    type_into(page, 1, "title", "Evening Tide")
    cell(page, 3, "cue").click()
    saved(page, 1)
    assert log.titles() == ["Evening Tide", "Song 2", "Song 3"]


def test_leaving_a_row_that_was_only_looked_at_sends_nothing(page, log):
    cell(page, 1, "title").click()
    cell(page, 3, "cue").click()
    assert state(page, 1).get_attribute("data-state") is None
    assert [row["version"] for row in log.rows] == [1, 1, 1]


def test_moving_within_the_row_does_not_send_it_yet(page):
    type_into(page, 1, "cue", "9M9")
    page.keyboard.press("Tab")
    expect(cell(page, 1, "start")).to_be_focused()
    expect(state(page, 1)).to_have_attribute("data-state", "unsaved")


def test_wrong_value_keeps_what_was_typed_and_says_what_to_mend(page):
    type_into(page, 2, "start", "soon")
    page.keyboard.press("Enter")
    expect(state(page, 2)).to_have_attribute("data-state", "refused")
    expect(cell(page, 2, "start")).to_have_value("soon")
    expect(page.locator("[data-grid-status]")).to_have_text("Not saved: mend the marked fields (1)")


def test_stale_row_keeps_what_was_typed(page, log):
    log.rows[0]["version"] = 7
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", "refused")
    expect(cell(page, 1, "title")).to_have_value("Evening Tide")


def test_typing_on_while_the_row_is_being_saved_loses_nothing(page, log):
    held = []
    page.route(f"{SITE}/save/**", lambda route: held.append(route))  # noqa: PLW0108 - playwright marks the function
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", "saving")
    type_into(page, 1, "cue", "9M9")
    page.unroute(f"{SITE}/save/**")
    status, body = log(held[0].request)
    held[0].fulfill(status=status, body=body, content_type="text/html; charset=utf-8")
    expect(state(page, 1)).to_have_attribute("data-state", "unsaved")
    expect(cell(page, 1, "title")).to_have_value("Evening Tide")
    expect(cell(page, 1, "cue")).to_have_value("9M9")
    expect(cell(page, 1, "cue")).to_be_focused()
    page.keyboard.press("Enter")
    saved(page, 1)
    assert (log.rows[0]["cue"], log.rows[0]["title"], log.rows[0]["version"]) == ("9M9", "Evening Tide", 3)


def test_dropped_connection_keeps_the_row_and_sends_it_again(page, log):
    page.route(f"{SITE}/save/**", lambda route: route.abort("internetdisconnected"))
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", "failed")
    expect(page.locator("#usage-1 [data-row-status]")).to_have_text(
        "Not saved: no connection. It is kept here and sent again."
    )
    page.unroute(f"{SITE}/save/**")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    saved(page, 1)
    assert log.titles() == ["Evening Tide", "Song 2", "Song 3"]


@pytest.mark.parametrize(("mood", "then"), [("broken", "failed"), ("signed out", "refused"), ("removed", "refused")])
def test_answer_that_is_no_row_leaves_the_row_as_typed(page, log, mood, then):
    log.mood = mood
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", then)
    expect(cell(page, 1, "title")).to_have_value("Evening Tide")


def test_row_that_somebody_else_removed_says_so(page, log):
    log.mood = "removed"
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(page.locator("#usage-1 [data-row-status]")).to_contain_text("it is no longer in the log")


def test_enter_sends_a_refused_row_again_as_it_stands(page, log):
    log.mood = "signed out"
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", "refused")
    log.mood = "well"
    cell(page, 1, "title").click()
    page.keyboard.press("Enter")
    saved(page, 1)
    assert log.titles() == ["Evening Tide", "Song 2", "Song 3"]


def test_unsaved_values_come_back_after_a_reload(page, log):
    log.mood = "broken"
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    expect(state(page, 1)).to_have_attribute("data-state", "failed")
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    expect(cell(page, 1, "title")).to_have_value("Evening Tide")
    expect(state(page, 1)).to_have_attribute("data-state", "unsaved")
    expect(page.locator("#usage-1 [data-row-status]")).to_have_text("Unsaved, kept from before")


def test_saved_values_leave_no_draft_behind(page):
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Enter")
    saved(page, 1)
    assert page.evaluate("Object.keys(sessionStorage).filter((key) => key.startsWith('draft'))") == []


def test_new_row_is_one_key_away_and_is_followed_by_the_next(page, log):
    cell(page, 2, "title").click()
    page.keyboard.press("Alt+n")
    expect(cell(page, "new", "cue")).to_be_focused()
    for text in ("2M1", "01100000", "Harbour Waltz"):
        page.keyboard.type(text)
        page.keyboard.press("Enter" if text == "Harbour Waltz" else "Tab")
    saved(page, 4)
    expect(cell(page, "new", "cue")).to_be_focused()
    expect(cell(page, "new", "title")).to_have_value("")
    assert log.titles()[3:] == ["Harbour Waltz"]


def test_control_enter_saves_and_goes_to_the_new_row(page, log):
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Control+Enter")
    expect(cell(page, "new", "cue")).to_be_focused()
    saved(page, 1)


def test_arrows_move_between_cells_at_the_edge_of_the_text(page):
    cell(page, 1, "start").click()
    page.keyboard.press("Home")
    page.keyboard.press("ArrowLeft")
    expect(cell(page, 1, "cue")).to_be_focused()
    page.keyboard.press("End")
    page.keyboard.press("ArrowRight")
    expect(cell(page, 1, "start")).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(cell(page, 2, "start")).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(cell(page, 1, "start")).to_be_focused()


def test_arrow_inside_the_text_stays_in_the_cell(page):
    cell(page, 1, "start").click()
    page.keyboard.press("End")
    page.keyboard.press("ArrowLeft")
    expect(cell(page, 1, "start")).to_be_focused()


def test_escape_brings_back_what_the_cell_held(page):
    type_into(page, 1, "title", "Evening Tide")
    page.keyboard.press("Escape")
    expect(cell(page, 1, "title")).to_have_value("Song 1")


def test_theme_switch_goes_round_and_is_remembered(page):
    switch = page.locator("[data-theme-switch]")
    seen = []
    for _ in range(4):
        seen.append(
            (" ".join(switch.inner_text().split()), page.evaluate("document.documentElement.dataset.theme ?? 'auto'"))
        )
        switch.click()
    assert seen == [
        ("Theme: Automatic", "auto"),
        ("Theme: Light", "light"),
        ("Theme: Dark", "dark"),
        ("Theme: Automatic", "auto"),
    ]
    page.reload()
    assert page.evaluate("document.documentElement.dataset.theme") == "light"


def test_row_is_a_plain_form_without_scripts(browser, log):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    serve(page, log)
    page.goto(f"{SITE}/log/")
    cell(page, 1, "title").fill("Evening Tide")
    page.locator("#usage-1 button").click()
    assert log.titles() == ["Evening Tide", "Song 2", "Song 3"]
    context.close()
