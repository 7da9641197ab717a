"""What every page is held to, whoever adds it: WCAG by axe in both schemes, no scrolling sideways, crumbs, a small size.

Pages are found by their routes (``addresses``), so that a new one is held to the same without being named here.
"""

import io
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.urls import reverse

from supervision.models import User
from tests.journeys.addresses import addresses, unreached

pytestmark = pytest.mark.django_db(transaction=True, serialized_rollback=True)

# What leads to pages that the demo leaves to people: a file to be read, and two issues of a cue sheet.
CUT = """TITLE: VELVET
FCM: NON-DROP FRAME
001  AX       A     C        00:00:00:00 00:00:30:00 01:10:00:00 01:10:30:00
* FROM CLIP NAME: EVENING TIDE.WAV
"""
DONE = (
    ("episode-imports", {"text": CUT}),
    ("cue-sheet-issue", {"override_reason": "to be seen"}),
    ("usages-paste", {"text": "9M9\t01:41:00:00\t01:41:20:00\tA late song", "log": "yes"}),
    ("cue-sheet-issue", {"override_reason": "to be seen again"}),
)

# A profile of ours is kept as it is.
REFUSED = {"cue-sheet-profile-edit": 409}

# A desktop in light, a phone in dark, a desktop at 200 % (WCAG 2.2, 1.4.4 and 1.4.10), and a phone in forced colours.
SETTINGS = {
    "light": {"viewport": {"width": 1440, "height": 900}, "color_scheme": "light"},
    "dark": {"viewport": {"width": 360, "height": 800}, "color_scheme": "dark"},
    "zoomed": {"viewport": {"width": 720, "height": 450}, "device_scale_factor": 2, "reduced_motion": "reduce"},
    "forced": {"viewport": {"width": 360, "height": 800}, "forced_colors": "active"},
}


@pytest.fixture
def supervisor(client):
    call_command("demo", stdout=io.StringIO())
    user = User.objects.get(username="supervisor")
    client.force_login(user)
    return user


@pytest.fixture
def whole_pages(client, supervisor):
    """(name, address, text) of each page that answers as a whole page."""
    for name, told in DONE:
        assert client.post(reverse(name, args=["MARRAM-103"]), told).status_code == 302, name
    issued = client.get(reverse("cue-sheet-revision-file", args=["MARRAM-103", 1, "csv"])).content
    file = SimpleUploadedFile("sheet.csv", issued)
    assert client.post(reverse("cue-sheet-read", args=["MARRAM-103"]), {"file": file}).status_code == 302
    found = []
    for name, address in addresses():
        response = client.get(address)
        response.close()
        assert response.status_code in ({REFUSED[name]} if name in REFUSED else {200, 302, 405}), address
        if response.status_code == 200 and not response.streaming and b"<html" in response.content:
            found.append((name, address, response.content.decode()))
    return found


def test_every_page_is_small_and_says_where_one_is(whole_pages):
    """At most 300 kB, one stylesheet, two scripts of ours (htmx is beside them), one heading, crumbs in a production."""
    assert unreached() == set()
    assert len(whole_pages) > 50
    large = {name: len(text) for name, _, text in whole_pages if len(text.encode()) >= 300_000}
    assert large == {}
    sheets = {name: re.findall(r'<link rel="stylesheet"', text) for name, _, text in whole_pages}
    assert {name: len(found) for name, found in sheets.items() if len(found) != 1} == {}
    scripts = {name: re.findall(r"<script[^>]*supervision/(\w+\.js)", text) for name, _, text in whole_pages}
    assert {name: found for name, found in scripts.items() if found != ["app.js", "picker.js"]} == {}

    assert {name for name, _, text in whole_pages if len(re.findall(r"<h1[ >]", text)) != 1} == set()
    inside = re.compile(r"^/(productions/MARRAM|episodes|usages|clearances|letters|candidates|agreements)/")
    lost = {name for name, address, text in whole_pages if inside.match(address) and 'class="crumbs"' not in text}
    assert lost == set()


@pytest.mark.parametrize("setting", SETTINGS)
def test_every_page_satisfies_axe_and_fits_its_width(browser, client, live_server, whole_pages, setting):
    context = browser.new_context(base_url=live_server.url, locale="en-GB", **SETTINGS[setting])
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}])
    page = context.new_page()
    complaints = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    wrong = {}
    for name, address, _ in whole_pages:
        page.goto(address)
        found = [
            (rule["id"], node["html"][:300])
            for rule in Axe().run(page).response["violations"]
            for node in rule["nodes"]
        ]
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            found.append(("scrolls sideways", page.evaluate(_BROADEST)))
        if found:
            wrong[name] = found
    context.close()
    assert wrong == {}
    assert complaints == []


# What reaches beyond the window and is in no box of its own that scrolls.
_BROADEST = """() => [...document.querySelectorAll("body *")]
  .filter((part) => part.getBoundingClientRect().right > innerWidth + 1 && !part.closest(".table-scroll, .stave, [popover]"))
  .map((part) => part.outerHTML.slice(0, 120)).slice(0, 3).join("\\n")"""
