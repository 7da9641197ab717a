"""A supervisor works out most favoured nations on the telephone, in a real browser, with scripts and without."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from supervision.models import User
from supervision.rules.reckoner import RULES

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def opened(browser, client, live_server):
    """Opens a page of somebody signed in, with the options of a browser context."""
    client.force_login(User.objects.create_user("ida"))
    cookie = {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}
    contexts = []

    def open_page(**options):
        contexts.append(browser.new_context(base_url=live_server.url, **options))
        contexts[-1].add_cookies([cookie])
        return contexts[-1].new_page()

    yield open_page
    for context in contexts:
        context.close()


def fill(page, row, **fields):
    for name, value in fields.items():
        field = page.locator(f"#id_parties-{row}-{name}")
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(label=value)
        else:
            field.fill(value)


def reckon(page):
    page.get_by_role("button", name="Reckon", exact=True).click()


@pytest.mark.parametrize("scripts", [True, False])
def test_quotes_are_typed_one_after_the_other_and_the_answer_follows(opened, scripts):
    """The fees by hand: both sides at 12,000 on 100 %, so 6,000 each to three halves and 12,000 to the label."""
    page = opened(java_script_enabled=scripts)
    page.goto("/reckoner/favoured/")
    fill(page, 0, id="Tide Music", side="Sync", share="25", rate="10,000", favoured_with="this side")
    fill(page, 1, id="Sluice Songs", side="Sync", share="25", rate="twelve")
    fill(page, 2, id="Weir & Daughters", side="Sync", share="50", rate="9,000", by_name="Tide Music")
    page.get_by_role("button", name="Another party").click()
    expect(page.locator("#id_parties-3-id")).to_be_focused()
    fill(page, 3, id="Lock Records", side="Master", share="100", rate="10,000.00", favoured_with="every party")
    reckon(page)
    expect(page.get_by_role("alert")).to_contain_text("Asks on 100 %: The amount cannot be read.")
    expect(page.locator("#id_parties-1-rate")).to_have_value("twelve")
    expect(page.locator("#id_parties-2-id")).to_have_value("Weir & Daughters")
    fill(page, 1, rate="12,000")
    reckon(page)
    expect(page.locator("#answer")).to_contain_text("3 parties are raised; both sides come to USD 24,000.00.")
    workings = page.locator(".workings")
    expect(workings).to_contain_text(
        "Weir & Daughters rises from USD 9,000.00 to USD 12,000.00 on 100 %: it is favoured with Tide Music by name, "
        "and Tide Music gets that rate."
    )
    expect(workings).to_contain_text("The clauses cost USD 4,000.00 on top of what was asked.")
    expect(page.locator("#answer tbody tr").nth(2)).to_contain_text("6,000.00")


def test_answer_comes_into_sight_where_the_form_is_long(opened):
    page = opened(viewport={"width": 360, "height": 800})
    page.goto("/reckoner/coverage/?example")
    reckon(page)
    expect(page.get_by_text("Not covered: 1 gap.")).to_be_in_viewport()


def test_question_can_be_taken_to_the_command(opened):
    page = opened()
    page.goto("/reckoner/territory/?example")
    reckon(page)
    page.get_by_text("As JSON").click()
    expect(page.get_by_label("Question")).to_have_text('{\n  "expression": "World excl. US, CA"\n}')
    expect(page.get_by_text("manage.py reckon territory < question.json")).to_be_visible()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1440), ("dark", 360)])
def test_pages_have_no_barrier_that_axe_finds(opened, scheme, width):
    page = opened(viewport={"width": width, "height": 900}, color_scheme=scheme)
    for address in ["/reckoner/", *(f"/reckoner/{rule}/?example" for rule in RULES)]:
        page.goto(address)
        if "example" in address:
            reckon(page)
            expect(page.locator("#answer")).to_be_visible()
        found = Axe().run(page).response["violations"]
        assert [(rule["id"], [node["html"] for node in rule["nodes"]]) for rule in found] == []
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
