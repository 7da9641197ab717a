"""The tutorial's own steps, done in a real browser on the demo by the coordinator that it speaks to, in each language."""

import io
from pathlib import Path

import pytest
from django.core.management import call_command
from django.utils import translation
from playwright.sync_api import Browser, Page, expect

from supervision.rules.sentence import Told
from supervision.web.language import tell
from supervision.web.tutorial import STEPS, Attach, Fill, Open, Press

pytestmark = pytest.mark.django_db(transaction=True, serialized_rollback=True)
EXAMPLES = Path(__file__).parents[2] / "fixtures" / "examples"


def told(text):
    """What stands on the screen; a plain text is data and the same in every language."""
    return tell(text) if isinstance(text, Told) else text


def field(page: Page, label):
    labelled = page.get_by_label(label).or_(page.get_by_placeholder(label))
    return labelled.and_(page.locator("input, textarea, select")).first


def do(page: Page, deed):
    match deed:
        case Open(name):
            page.get_by_role("link", name=told(name)).first.click()
        case Press(name):
            page.get_by_role("button", name=told(name), exact=True).first.click()
        case Fill(label, value):
            field(page, told(label)).fill(told(value))
        case Attach(label, name):
            field(page, told(label)).set_input_files(EXAMPLES / name)
        case _:
            expect(page.locator("main").get_by_text(told(deed.text)).filter(visible=True).first).to_be_visible()


@pytest.mark.parametrize(("language", "locale"), [("en-gb", "en-GB"), ("fr", "fr-FR")])
def test_the_tutorial_does_what_it_says(browser: Browser, live_server, settings, tmp_path, language, locale):
    settings.LEDGER_LINE_DATA = tmp_path
    call_command("demo", stdout=io.StringIO())
    with browser.new_context(base_url=live_server.url, locale=locale) as context, translation.override(language):
        page = context.new_page()
        page.goto("/sign-in/?next=/help/tutorial/")
        page.locator("[name=username]").fill("coordinator")
        page.locator("[name=password]").fill("marram-demo")
        page.locator("[name=password]").press("Enter")
        for step in STEPS:
            expect(page.get_by_role("heading", level=2, name=told(step.heading))).to_be_visible()
        for step in STEPS:
            for deed in step.deeds:
                do(page, deed)
