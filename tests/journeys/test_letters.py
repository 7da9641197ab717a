"""A coordinator takes all letters of an episode away as one ZIP, with scripts and without, and the pages keep to the rules."""

import zipfile
from datetime import UTC, datetime, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from supervision.actions.letters import send_letters
from supervision.models import Clearance
from supervision.rules.clearance import Stage
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import QuoteFactory
from tests.factories.paper import episode_with_music, more_music

pytestmark = pytest.mark.django_db(transaction=True)

PAGE = "/episodes/WEIR-101/letters/"
ZIP = "Drafts of the chosen as ZIP"


@pytest.fixture
def episode():
    episode = episode_with_music()
    more_music(episode, 3)
    return episode


@pytest.fixture
def by(episode):
    return MembershipFactory(production=episode.season.production, role="coordinator").user


@pytest.fixture(autouse=True)
def _files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


def opened(browser, client, live_server, by, **options):
    client.force_login(by)
    context = browser.new_context(base_url=live_server.url, **options)
    cookie = {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}
    context.add_cookies([cookie])
    page = context.new_page()
    page.goto(PAGE)
    return page


def downloaded(page, link):
    with page.expect_download(timeout=90_000) as download:
        page.get_by_role("link", name=link).click()
    with zipfile.ZipFile(download.value.path()) as archive:
        return archive.namelist()


def test_progress_is_shown_until_the_zip_is_there(browser, client, live_server, by):
    page = opened(browser, client, live_server, by)
    page.get_by_role("button", name=ZIP).click()
    expect(page.get_by_role("progressbar")).to_have_attribute("max", "5")
    expect(page.get_by_text("5 of 5 letters made")).to_be_visible(timeout=90_000)
    assert len(downloaded(page, "Download the ZIP")) == 2 + 5 * 3
    page.context.close()


def test_without_scripts_one_download_makes_them_all(browser, client, live_server, by):
    page = opened(browser, client, live_server, by, java_script_enabled=False)
    for box in page.get_by_role("checkbox", name="Quote request").all()[1:]:
        box.uncheck()
    page.get_by_role("button", name=ZIP).click()
    expect(page.get_by_text("0 of 1 letter made")).to_be_visible()
    assert len(downloaded(page, "Download without waiting here")) == 2 + 3
    page.context.close()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1440), ("dark", 360)])
def test_page_with_every_kind_of_letter_is_accessible(browser, client, live_server, episode, by, scheme, width):
    sync, master = (list(Clearance.objects.filter(side=side)) for side in ("sync", "master"))
    ago = datetime.now(tz=UTC) - timedelta(days=9)
    send_letters(episode=episode, by=by, now=ago, keys=[f"{master[0].holder_id}-master"])
    quote = QuoteFactory(clearance=sync[0])
    Clearance.objects.filter(pk=sync[0].pk).update(stage=Stage.APPROVED, standing_quote=quote)
    page = opened(browser, client, live_server, by, color_scheme=scheme, viewport={"width": width, "height": 900})
    for heading in ("To be written", "Reminders due", "Confirmations to write", "Sent"):
        expect(page.get_by_role("heading", name=heading, exact=True)).to_be_visible()
    assert [found["id"] for found in Axe().run(page).response["violations"]] == []
    page.get_by_role("link", name="WEIR-101/M-0001").first.click()
    assert [found["id"] for found in Axe().run(page).response["violations"]] == []
    page.context.close()
