"""The tutorial's own steps, done in a real browser on the demo by the coordinator that it speaks to."""

import io
from pathlib import Path

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from supervision.web.tutorial import STEPS, Attach, Fill, Open, Press

pytestmark = pytest.mark.django_db(transaction=True, serialized_rollback=True)
EXAMPLES = Path(__file__).parents[2] / "fixtures" / "examples"


def field(page: Page, label):
    return page.get_by_label(label).and_(page.locator("input, textarea, select")).first


def do(page: Page, deed):
    match deed:
        case Open(name):
            page.get_by_role("link", name=name).first.click()
        case Press(name):
            page.get_by_role("button", name=name, exact=True).first.click()
        case Fill(label, value):
            field(page, label).fill(value)
        case Attach(label, name):
            field(page, label).set_input_files(EXAMPLES / name)
        case _:
            expect(page.locator("main").get_by_text(deed.text).filter(visible=True).first).to_be_visible()


def test_the_tutorial_does_what_it_says(page: Page, live_server, settings, tmp_path):
    settings.LEDGER_LINE_DATA = tmp_path
    call_command("demo", stdout=io.StringIO())
    page.goto(f"{live_server.url}/sign-in/?next=/help/tutorial/")
    page.get_by_label("Name").fill("coordinator")
    page.get_by_label("Password").fill("marram-demo")
    page.get_by_role("button", name="Sign in").click()
    for step in STEPS:
        expect(page.get_by_role("heading", level=2, name=step.heading)).to_be_visible()
    for step in STEPS:
        for deed in step.deeds:
            do(page, deed)
