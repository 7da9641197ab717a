"""What every page is held to, whoever adds it: WCAG by axe in both schemes, no scrolling sideways, crumbs, a small size, French.

Pages are found by their routes (``addresses``), so that a new one is held to the same without being named here. Each
leaves a picture of itself 1440, 1024 and 360 wide (``pages`` beside the other pictures), to be looked at.
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
from tests.web.spoken import bracketed, unsaid_texts, words_of_rows

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

# A desktop in light, a tablet in French, a phone in dark and in French; a desktop at 200 % (WCAG 2.2, 1.4.4 and 1.4.10)
# with all that folds unfolded, and a phone in forced colours.
DESKTOP, TABLET, PHONE = {"width": 1440, "height": 900}, {"width": 1024, "height": 768}, {"width": 360, "height": 800}
SETTINGS = {
    "light": {"viewport": DESKTOP, "color_scheme": "light", "locale": "en-GB"},
    "french": {"viewport": TABLET, "color_scheme": "light", "locale": "fr-FR"},
    "dark": {"viewport": PHONE, "color_scheme": "dark", "locale": "en-GB"},
    "french-dark": {"viewport": PHONE, "color_scheme": "dark", "locale": "fr-FR"},
    "zoomed": {
        "viewport": {"width": 720, "height": 450},
        "device_scale_factor": 2,
        "reduced_motion": "reduce",
        "locale": "en-GB",
    },
    "forced": {"viewport": PHONE, "forced_colors": "active", "locale": "en-GB"},
}
PICTURED = ("light", "french", "dark", "french-dark")

# What is called the same in every language: the house, and the languages at the foot of each page.
NAMES = {"ledger", "line", "english", "français"}


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


def test_every_page_says_all_in_the_readers_language(client, whole_pages):
    """What is no data comes from the catalogues, and no drawing takes a decimal comma."""
    known = words_of_rows() | NAMES
    unsaid, commas = {}, {}
    with bracketed():
        for name, address, _ in whole_pages:
            text = client.get(address).content.decode()
            if found := unsaid_texts(text, known):
                unsaid[name] = found
    for name, address, _ in whole_pages:
        text = client.get(address, headers={"accept-language": "fr"}).content.decode()
        assert '<html lang="fr">' in text, name
        if found := re.findall(r'<[^>]* (?:[rxy]|c[xy]|[xy][12]|width|height|style)="[^"]*\d,\d[^>]*>', text):
            commas[name] = found
    assert unsaid == {}
    assert commas == {}


@pytest.mark.parametrize("setting", SETTINGS)
def test_every_page_satisfies_axe_and_fits_its_width(browser, client, live_server, whole_pages, setting, pictures):
    context = browser.new_context(base_url=live_server.url, **SETTINGS[setting])
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}])
    page = context.new_page()
    complaints = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    wrong = {}
    for name, address, _ in whole_pages:
        page.goto(address)
        if setting == "zoomed":
            page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")
        if setting in PICTURED:
            page.screenshot(path=pictures / "pages" / f"{name}-{setting}.png", full_page=True)
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
