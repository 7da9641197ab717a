"""A coordinator keeps the catalogue in a real browser, with scripts and without."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from supervision.actions.parties import add_party
from supervision.actions.recordings import add_recording
from supervision.actions.works import add_work
from supervision.models import Work
from tests.factories.accounts import MembershipFactory

pytestmark = pytest.mark.django_db(transaction=True)

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
SCHEMES = [("light", 1440), ("dark", 360)]


@pytest.fixture
def by():
    return MembershipFactory(role="coordinator").user


@pytest.fixture
def medley(by):
    """A recording of a work with a third of its writers unknown, owned in one country."""
    work = add_work(
        fields={"title": "Řezeda", "iswc": "T-034.524.680-1"},
        alternative_titles=[{"title": "נור", "language": "he"}],
        writers=[{"party": "Ota Brázda", "role": "CA", "performance": Decimal("66.66")}],
        publishers=[{"party": "Tide Music", "role": "E", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    owners = [{"party": "Sluice Records", "share": Decimal(100), "territory": "DE"}]
    return add_recording(fields={"title": "Mignonette"}, works=[work], owners=owners, by=by, now=NOW)


def opened(browser, client, live_server, by, **options):
    client.force_login(by)
    context = browser.new_context(base_url=live_server.url, **options)
    cookie = {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}
    context.add_cookies([cookie])
    return context.new_page()


@pytest.fixture
def page(browser, client, live_server, by):
    page = opened(browser, client, live_server, by)
    yield page
    page.context.close()


def shares():
    columns = ("party__name", "role", "performance", "control")
    return list(Work.objects.get(title="Evening Sluice").shares.values_list(*columns))


def test_work_with_a_third_writer_who_is_new(page, by):
    add_party(fields={"name": "Ota Brázda"}, by=by, now=NOW)
    page.goto(reverse("work-new"))
    page.get_by_label("Title", exact=True).first.fill("Evening Sluice")
    page.fill("#id_writers-0-party", "Nora Newly")
    page.fill("#id_writers-0-performance", "33.34")
    page.get_by_role("button", name="Another writer").click()
    expect(page.locator("#id_writers-2-party")).to_be_focused()
    expect(page.locator("#id_writers-0-performance")).to_have_value("33.34")
    page.keyboard.type("braz", delay=150)  # as people type; htmx listens to a new row some moments after it is focused
    expect(page.locator("#party-suggestions option")).to_have_attribute("value", "Ota Brázda")
    page.fill("#id_writers-2-party", "Ota Brázda")
    page.fill("#id_writers-2-performance", "66.66")
    page.get_by_role("button", name="Add the work").click()
    expect(page.get_by_role("alert")).to_contain_text("No party is called “Nora Newly”.")
    page.get_by_label("Add as a new party").check()
    page.locator("#id_writers-0-performance").press("Enter")
    expect(page.get_by_role("heading", name="Evening Sluice", level=1)).to_be_visible()
    assert shares() == [
        ("Nora Newly", "CA", Decimal("33.34"), Decimal("33.34")),
        ("Ota Brázda", "CA", Decimal("66.66"), Decimal("66.66")),
    ]


def test_search_finds_while_typing_and_the_address_says_what(page, medley):
    page.goto(reverse("catalogue"))
    page.locator("#q").press_sequentially("rezeda braz", delay=20)
    expect(page.locator("#results tbody th")).to_have_text(["Mignonette", "Řezedaנור"])
    expect(page).to_have_url(f"{reverse('catalogue')}?q=rezeda+braz".replace("+", "%20"))


def test_deleted_work_comes_back_by_undo(page, by):
    work = add_work(fields={"title": "Evening Sluice"}, by=by, now=NOW)
    page.goto(reverse("work", args=[work.pk]))
    page.get_by_role("button", name="Delete").click()
    expect(page.get_by_role("status")).to_contain_text("Evening Sluice is deleted.")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status")).to_contain_text("Evening Sluice is back.")
    assert Work.objects.get().deleted_at is None


def test_another_row_and_saving_without_scripts(browser, client, live_server, by):
    page = opened(browser, client, live_server, by, java_script_enabled=False)
    page.goto(reverse("work-new"))
    page.fill("#id_title", "Evening Sluice")
    page.get_by_role("button", name="Another publisher").click()
    expect(page.locator("#publishers tbody tr")).to_have_count(2)
    page.fill("#id_publishers-1-party", "Tide Music")
    page.fill("#id_publishers-1-performance", "100")
    page.get_by_role("button", name="Add the work").click()
    page.get_by_label("Add as a new party").check()
    page.get_by_role("button", name="Add the work").click()
    expect(page.get_by_role("heading", name="Evening Sluice", level=1)).to_be_visible()
    assert shares() == [("Tide Music", "E", 100, 100)]
    page.context.close()


@pytest.mark.parametrize(("scheme", "width"), SCHEMES)
def test_pages_satisfy_axe_and_fit_their_width(browser, client, live_server, by, medley, scheme, width):
    viewport = {"width": width, "height": 900}
    page = opened(browser, client, live_server, by, viewport=viewport, color_scheme=scheme)
    work, party = medley.works.get(), medley.shares.get().party
    addresses = [
        *(reverse(name) for name in ("catalogue", "work-list", "recording-list", "party-list", "work-new")),
        *(reverse(name, args=[medley.pk]) for name in ("recording", "recording-edit")),
        *(reverse(name, args=[work.pk]) for name in ("work", "work-edit")),
        *(reverse(name, args=[party.pk]) for name in ("party", "party-edit")),
    ]
    found = {}
    for address in addresses:
        page.goto(address)
        violations = Axe().run(page).response["violations"]
        found[address] = [(rule["id"], [node["html"] for node in rule["nodes"]]) for rule in violations]
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") == 0
    page.context.close()
    assert {address: told for address, told in found.items() if told} == {}
