"""A supervisor takes a new production from nothing to its letters, licences and cue sheet, in a real browser.

The figures are worked out by hand beside each step: fees by share (half up to the minor unit, common practice, no
published source), durations in whole seconds, half up (common practice, no published source).
"""

import csv
import io
import re

import pytest
from playwright.sync_api import Page, expect
from pypdfium2 import PdfDocument

from supervision.models import Clearance, Letter, User
from supervision.rules.clearance import Stage

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def desk(page: Page, live_server):
    """The home page of a staff user who is a member of nothing yet."""
    User.objects.create_user("ida", password="a long phrase", first_name="Ida", last_name="Weir", is_staff=True)
    page.goto(f"{live_server.url}/")
    page.get_by_label("Username").fill("ida")
    page.get_by_label("Password").fill("a long phrase")
    page.locator("main").get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="What needs you", level=1)).to_be_visible()
    return page


def fill(page, **fields):
    """Fill the fields by their names."""
    for name, value in fields.items():
        field = page.locator(f"main [name='{name}']").first
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def submit(page, name):
    page.locator("main").get_by_role("button", name=name, exact=True).click()


def submit_with_new_parties(page, name):
    """Submit, be told of names that nobody has, and say that they are new."""
    submit(page, name)
    boxes = page.get_by_role("checkbox", name="Add as a new party")
    expect(boxes.first).to_be_visible()
    for box in boxes.all():
        box.check()
    submit(page, name)


def set_up(page):
    page.goto("/productions/new/")
    fill(page, title="Kelp & Iron", code="kelp", currency="EUR", company="Skerry Films", network="Skerry One")
    submit(page, "Set up the production")
    expect(page.get_by_role("heading", name="Kelp & Iron", level=1)).to_be_visible()
    page.goto("/productions/KELP/1/episodes/new/")
    fill(page, number="101", title="Ebb", code="KELP-101", air_date="2027-02-01")
    fill(page, rate="25", start_timecode="10:00:00:00", running_time="45:00")
    submit(page, "Add the episode")
    expect(page.get_by_role("heading", name="101 Ebb", level=1)).to_be_visible()


def catalogue(page):
    page.goto("/catalogue/works/new/")
    fill(page, **{"title": "Ďaleký prístav", "writers-0-party": "Ema Prístavná", "writers-0-performance": "100"})
    fill(page, **{"publishers-0-party": "Kotva Music", "publishers-0-performance": "66.67"})
    submit(page, "Another publisher")
    fill(page, **{"publishers-1-party": "Maják Songs", "publishers-1-performance": "33.33"})
    submit_with_new_parties(page, "Add the work")
    expect(page.get_by_role("heading", name="Ďaleký prístav", level=1)).to_be_visible()
    page.goto("/catalogue/recordings/new/")
    fill(page, **{"title": "Ďaleký prístav", "artist": "Prílivy", "works-0-work": "Ďaleký prístav"})
    fill(page, **{"owners-0-party": "Skala Records", "owners-0-share": "100"})
    submit_with_new_parties(page, "Add the recording")
    expect(page.get_by_role("heading", name="Ďaleký prístav", level=1)).to_be_visible()


def log(page):
    page.goto("/episodes/KELP-101/")
    page.locator("#new-in_timecode").fill("10:01:00:00")
    page.locator("#new-out_timecode").fill("10:02:02:12")
    page.locator("#new-song").fill("daleky")
    option = page.get_by_role("listbox", name="Song").get_by_role("option").first
    expect(option).to_be_visible()
    option.click()
    page.locator("#new-scene").fill("On the pier")
    page.locator("#new-sync_estimate").fill("1,500")
    page.locator("#new-master_estimate").fill("1,200")
    page.keyboard.press("Enter")
    expect(page.locator("tbody[data-row]:not([data-new])")).to_have_count(1)
    # 62 s and 12 of 25 frames are 62.48 s, shown as 1:02
    expect(page.locator("tbody[data-row]:not([data-new])").first).to_contain_text("1:02")


def send_letters(page):
    page.goto("/episodes/KELP-101/letters/")
    expect(page.locator("main tbody tr")).to_have_count(3)
    submit(page, "Record as sent")
    expect(page.get_by_text("No letter has been sent yet.")).to_have_count(0)


def quote(page, clearance, amount):
    page.goto(f"/clearances/{clearance.pk}/")
    way = page.locator("details", has_text="Record the quote")
    if way.get_attribute("open") is None:
        way.locator("summary").click()
    way.locator("[name='amount']").fill(amount)
    way.locator("[name='currency']").select_option("EUR")
    way.get_by_role("button", name="Record the quote").click()
    expect(page.get_by_role("status")).to_contain_text("is quoted now")


def take(page, clearance, name, *, file=None, **fields):
    page.goto(f"/clearances/{clearance.pk}/")
    way = page.locator(".way").filter(has=page.get_by_role("button", name=name, include_hidden=True))
    if way.locator("summary").count() and way.get_attribute("open") is None:
        way.locator("summary").click()
    for field, value in fields.items():
        way.locator(f"[name='{field}']").fill(value)
    if file is not None:
        way.locator("[name='file']").set_input_files(file)
    way.get_by_role("button", name=name).click()


def pdf_text(data):
    return "\n".join(page.get_textpage().get_text_range() for page in PdfDocument(data))


def test_production_goes_from_nothing_to_its_cue_sheet(desk, pictures):
    page = desk
    set_up(page)
    catalogue(page)
    log(page)

    holders = {clearance.holder.name: clearance for clearance in Clearance.objects.select_related("holder")}
    assert {name: str(found.share.normalize()) for name, found in holders.items()} == {
        "Kotva Music": "66.67",
        "Maják Songs": "33.33",
        "Skala Records": "1E+2",
    }

    send_letters(page)
    assert sorted(Letter.objects.values_list("holder__name", "side")) == [
        ("Kotva Music", "sync"),
        ("Maják Songs", "sync"),
        ("Skala Records", "master"),
    ]
    letter = Letter.objects.get(holder__name="Kotva Music")
    told = pdf_text(page.request.get(f"/letters/{letter.pk}.pdf").body())
    for said in ("Kelp & Iron", "Ďaleký prístav", "66.67", "1:02", "On the pier", letter.reference):
        assert said in told

    # EUR 2,000.01 for all of the sync side: 66.67 % is 1,333.40667 and 33.33 % is 666.60333, half up to the cent
    quote(page, holders["Kotva Music"], "2,000.01")
    quote(page, holders["Maják Songs"], "2,000.01")
    quote(page, holders["Skala Records"], "1,200")
    quoted = Clearance.objects.order_by("holder__name").values_list("standing_quote__payable_minor", flat=True)
    assert list(quoted) == [133_341, 66_660, 120_000]

    for clearance in holders.values():
        take(page, clearance, "Approve the quote")
    take(
        page,
        holders["Skala Records"],
        "Record the licence",
        file={"name": "SK-1.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4\nspecimen\n%%EOF\n"},
        number="SK-1",
        amount="1,200.00",
        **{"grants-0-territory": "World excl. US"},
    )
    holders["Skala Records"].refresh_from_db()
    assert holders["Skala Records"].stage_now is Stage.LICENSED

    page.goto("/productions/KELP/1/board/")
    row = page.locator("table.board tbody tr")
    expect(row).to_have_count(1)
    expect(row).to_contain_text("Approved")
    expect(row).to_contain_text("Licensed")
    page.screenshot(path=pictures / "board.png", full_page=True)

    page.goto("/productions/KELP/1/money/")
    total = page.locator("tfoot tr").last
    # estimated 1,500 + 1,200; quoted and approved 1,333.41 + 666.60 + 1,200.00; licensed 1,200.00
    for figure in ("2,700.00", "3,200.01", "1,200.00"):
        expect(total).to_contain_text(figure)
    page.screenshot(path=pictures / "money.png", full_page=True)

    page.goto("/episodes/KELP-101/cue-sheet/")
    expect(page.locator("main")).to_contain_text("Ema Prístavná")
    page.screenshot(path=pictures / "cue-sheet.png", full_page=True)
    sheet = pdf_text(page.request.get("/episodes/KELP-101/cue-sheet.pdf").body())
    for said in ("Kelp & Iron", "Ebb", "Ďaleký prístav", "Ema Prístavná", "Kotva Music", "66.67", "33.33", "1:02"):
        assert said in sheet
    rows = list(csv.reader(io.StringIO(page.request.get("/episodes/KELP-101/cue-sheet.csv").text().lstrip("\ufeff"))))
    assert len({tuple(row) for row in rows if "Ema Prístavná" in row}) == 1
    assert re.search(r"45:00|0:45:00", sheet)
