"""A season of twelve songs, played through in a real browser: asked, quoted, denied and replaced, raised, licensed, proven.

Beside the app runs a ledger of the test's own: plain sums over what was typed, a column a stage, as a spreadsheet would
have it. After each step the pages must show its totals. Fees by share are rounded half up to the cent, and what most
favoured nations raises follows the worked cases of common practice, no published source.
"""

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from supervision.actions.holders import renew_clearances
from supervision.models import BudgetLine, Candidate, Clearance, ReleaseWindow, Usage
from supervision.rules.clearance import Stage
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db(transaction=True)
SIGNED = Path(__file__).parents[2] / "fixtures" / "demo" / "licence.pdf"
AIR, LAST = date(2027, 2, 1), "2035-12-31"
START, EACH = 25 * 3600 * 10, 25 * 40


@dataclass
class Ledger:
    """The test's own sums, in cents: a fee by clearance in each column."""

    columns: dict[str, dict[int, int]] = field(
        default_factory=lambda: {"quoted": {}, "approved": {}, "licensed": {}, "options": {}}
    )

    def put(self, column, clearance, cents):
        self.columns[column][clearance.pk] = cents

    def drop(self, clearance):
        for column in self.columns.values():
            column.pop(clearance.pk, None)

    def total(self, *columns):
        cents = sum(sum(self.columns[column].values()) for column in columns)
        return f"{cents // 100:,}.{cents % 100:02}"


def song(title, *publishers):
    """A recording with its work; publishers are (name, percent)."""
    work = WorkFactory(title=title)
    for name, percent in publishers or ((f"{title} Music", 100),):
        WorkShareFactory(work=work, party=PartyFactory(name=name), performance=percent, control=percent)
    recording = RecordingFactory(title=title, works=[work])
    RecordingShareFactory(recording=recording, party=PartyFactory(name=f"{title} Records"))
    return recording


@pytest.fixture
def season():
    """Two episodes of six songs each, estimated at 1,000 a side, budgeted and planned, nobody asked yet."""
    season = SeasonFactory(production__code="SKERRY", production__title="Skerry")
    for number in (1, 2):
        episode = EpisodeFactory(
            season=season, code=f"SKERRY-10{number}", number=f"10{number}", position=number, air_date=AIR
        )
        for place in range(6):
            names = (("Alpha Music", 60), ("Beta Music", 40)) if (number, place) == (1, 0) else ()
            UsageFactory(
                episode=episode,
                cue_number=f"1M{place + 1}",
                recording=song(f"Song {number}{place}", *names),
                sync_estimate_minor=100_000,
                master_estimate_minor=100_000,
                estimate_currency="USD",
                placed=(START + place * 2 * EACH, START + place * 2 * EACH + EACH),
            )
        for category in ("sync", "master"):
            BudgetLine.objects.create(season=season, episode=episode, category=category, amount_minor=750_000)
    ReleaseWindow.objects.create(season=season, media="svod", territory="World", starts_on=AIR)
    return season


@pytest.fixture
def desk(page: Page, client, live_server, season):
    """The supervisor's browser."""
    user = MembershipFactory(production=season.production).user
    for usage in Usage.objects.all():
        renew_clearances(usage=usage, by=user, now=timezone.now())
    client.force_login(user)
    page.context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    return page


def live(**chosen):
    return Clearance.objects.filter(retired_at=None, **chosen).select_related("holder").order_by("pk")


def of(holder):
    return live(holder__name=holder).get()


def send_letters(page, episode, count):
    page.goto(f"/episodes/{episode}/letters/")
    expect(page.locator("input[name='keys']")).to_have_count(count)
    page.locator("main").get_by_role("button", name="Record as sent", exact=True).click()
    expect(page.locator("input[name='keys']")).to_have_count(0)


def open_way(page, clearance, name):
    page.goto(f"/clearances/{clearance.pk}/")
    way = page.locator("details.way").filter(has=page.locator("summary", has_text=re.compile(f"^{name}$")))
    if way.get_attribute("open") is None:
        way.locator("summary").first.click()
    return way


def quote(page, ledger, clearance, amount, cents, **terms):
    """Record what a holder asks; ``cents`` is what its share costs, worked out by hand."""
    way = open_way(page, clearance, "Record the quote")
    way.locator("[name='amount']").fill(amount)
    for name, value in terms.items():
        box = way.locator(f"[name='{name}']")
        if box.evaluate("box => box.tagName") == "SELECT":
            box.select_option(value)
        else:
            box.fill(value)
    way.get_by_role("button", name="Record the quote").click()
    expect(page.get_by_role("status")).to_contain_text("is quoted now")
    ledger.put("quoted", clearance, cents)


def approve(page, ledger, clearance):
    page.goto(f"/clearances/{clearance.pk}/")
    page.get_by_role("button", name="Approve the quote").click()
    expect(page.get_by_role("status")).to_contain_text("is approved now")
    ledger.put("approved", clearance, ledger.columns["quoted"][clearance.pk])


def license_(page, ledger, clearance, territory="World"):
    way = open_way(page, clearance, "Record the licence")
    cents = ledger.columns["quoted"][clearance.pk]
    way.locator("[name='number']").fill(f"L-{clearance.pk}")
    way.locator("[name='amount']").fill(f"{cents // 100}.{cents % 100:02}")
    way.locator("[name='grants-0-territory']").fill(territory)
    way.locator("[name='file']").set_input_files(SIGNED)
    way.get_by_role("button", name="Record the licence").click()
    expect(page.get_by_role("status")).to_contain_text("is licensed now")
    ledger.put("licensed", clearance, cents)


def check_money(page, ledger):
    """The season's last row shows the ledger's totals, and the strip what is left of the budget of 30,000."""
    page.goto("/productions/SKERRY/1/money/")
    both = page.locator("tfoot tr").last
    for total in (
        ledger.total("quoted", "options"),
        ledger.total("approved", "options"),
        ledger.total("licensed", "options"),
    ):
        expect(both).to_contain_text(total if total != "0.00" else "–")
    left = 3_000_000 - sum(sum(ledger.columns[name].values()) for name in ("approved", "options"))
    expect(page.locator(".key-figures").first).to_contain_text(f"{left // 100:,}.{left % 100:02}")


def check_proof(page, episode, *texts):
    page.goto(f"/episodes/{episode}/coverage/")
    for text in texts:
        expect(page.locator("main")).to_contain_text(text)


def test_season_is_cleared_from_the_first_letter_to_the_proof(desk, pictures):
    page, ledger = desk, Ledger()

    # asked: thirteen publishers and twelve labels, seven and six letters an episode, one fewer for the second
    send_letters(page, "SKERRY-101", 13)
    send_letters(page, "SKERRY-102", 12)
    assert set(live().values_list("stage", flat=True)) == {Stage.REQUESTED}
    check_money(page, ledger)

    # one denied, and replaced by the next candidate
    denied, usage = of("Song 25 Music"), Usage.objects.get(recording__title="Song 25")
    way = open_way(page, denied, "Note the refusal")
    way.locator("[name='note']").fill("Not beside a funeral")
    way.get_by_role("button", name="Note the refusal").click()
    page.goto("/productions/SKERRY/1/board/")
    expect(page.locator("table.board tbody tr").first).to_contain_text("Denied")
    Candidate.objects.create(
        usage=usage, recording=song("Song 26"), sync_estimate_minor=80_000, estimate_currency="USD"
    )
    page.goto(f"/usages/{usage.pk}/shortlist/")
    page.get_by_role("button", name="Put it in").click()
    expect(page.locator("main")).to_contain_text("Song 25 Music refused: Not beside a funeral")
    send_letters(page, "SKERRY-102", 2)
    assert not live(holder__name="Song 25 Music").exists()

    # quoted: Alpha and its label are favoured with both sides; the rest ask 1,000 for all of their side
    quote(page, ledger, of("Alpha Music"), "1,000", 60_000, favoured_with="song")
    quote(page, ledger, of("Song 10 Records"), "1,000", 100_000, favoured_with="song")
    quote(page, ledger, of("Beta Music"), "1,500", 60_000)
    option = {
        "options-0-kind": "extension",
        "options-0-granted_media": "svod",
        "options-0-territory": "US",
        "options-0-starts_on": AIR.isoformat(),
        "options-0-amount": "400",
        "options-0-exercisable_until": LAST,
    }
    quote(page, ledger, of("Song 11 Records"), "1,000", 100_000, **option)
    for clearance in live(stage=Stage.REQUESTED):
        quote(page, ledger, clearance, "1,000", 100_000)
    check_money(page, ledger)

    # accepting Beta at 1,500 raises Alpha by 60 % of 500 and the label by 500
    page.goto(f"/clearances/{of('Beta Music').pk}/")
    preview = page.locator("section[aria-labelledby='preview']")
    for text in ("Alpha Music", "300.00", "Song 10 Records", "500.00"):
        expect(preview).to_contain_text(text)
    page.screenshot(path=pictures / "acceptance.png", full_page=True)
    approve(page, ledger, of("Beta Music"))
    for holder, cents in (("Alpha Music", 90_000), ("Song 10 Records", 150_000)):
        page.goto(f"/clearances/{of(holder).pk}/")
        page.get_by_role("button", name="Raise to the favoured rate").click()
        ledger.put("quoted", of(holder), cents)
    check_money(page, ledger)

    # approved and licensed, one label without the United States
    for clearance in live(stage=Stage.QUOTED):
        approve(page, ledger, clearance)
    check_money(page, ledger)
    check_proof(page, "SKERRY-101", "Gaps")
    for clearance in live(stage=Stage.APPROVED):
        license_(page, ledger, clearance, "World excl. US" if clearance == of("Song 11 Records") else "World")
    check_money(page, ledger)

    # the gap that is left is closed by the option, for 400
    check_proof(page, "SKERRY-102", "Covered")
    check_proof(page, "SKERRY-101", "US", "Song 11 Records", "400.00")
    page.screenshot(path=pictures / "gap.png", full_page=True)
    page.goto(f"/clearances/{of('Song 11 Records').pk}/")
    page.get_by_role("button", name="Exercise").click()
    ledger.put("options", of("Song 11 Records"), 40_000)
    check_proof(page, "SKERRY-101", "Covered")
    page.screenshot(path=pictures / "covered.png", full_page=True)
    check_money(page, ledger)
    page.screenshot(path=pictures / "season-money.png", full_page=True)
