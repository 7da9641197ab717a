"""A coordinator reads an edit list into a new episode, puts it right, accepts; then a re-cut, with scripts and without.

Times are worked out by hand at 25 frames a second; which usage goes on in a re-cut is common practice, no published
source.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from supervision.models import Cut, Placement, Recording, Usage
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory, ProductionFactory, SeasonFactory

pytestmark = pytest.mark.django_db(transaction=True)

START = 25 * 3600 * 10
FIRST = edit_list(
    ("S12A_T3_BOOM.wav", "A1", "01:00:01:00", "01:00:09:00"),
    ("HARBOUR LIGHTS v3 MSTR.wav", "A7", "01:00:10:00", "01:00:40:00"),
    ("HARBOUR LIGHTS v3 MSTR.wav", "A8", "01:00:10:00", "01:00:40:00"),
    ("MX Nocturne No 3.wav", "A7", "01:05:00:00", "01:05:20:00"),
    ("SLOW_TIDE_v2.wav", "A7", "01:20:00:00", "01:21:00:00"),
)
# The scene from 10 to 15 minutes is gone: what comes after it slid by five minutes. The first song is ten seconds longer,
# the nocturne has gone, and something new stands at the end.
SECOND = edit_list(
    ("HARBOUR LIGHTS v4 MSTR.wav", "A7", "01:00:10:00", "01:00:50:00"),
    ("SLOW_TIDE_v2.wav", "A7", "01:15:00:00", "01:16:00:00"),
    ("MUS_Weir.wav", "A7", "01:30:00:00", "01:30:30:00"),
)


@pytest.fixture
def episode():
    production = ProductionFactory(code="KELP", title="Kelp & Iron")
    return EpisodeFactory(
        season=SeasonFactory(production=production),
        code="KELP-101",
        number="101",
        title="Ebb",
        cut__start_frame=START,
        cut__running_frames=25 * 60 * 45,
        cut__number=1,
    )


@pytest.fixture
def songs():
    return {title: RecordingFactory(title=title) for title in ("Harbour Lights", "Nocturne No. 2", "Mill")}


@pytest.fixture(autouse=True)
def _files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


@pytest.fixture
def opened(browser, client, live_server, episode):
    """Opens the page of an episode's imports in a browser of its own."""
    contexts = []

    def open_page(**options):
        client.force_login(MembershipFactory(production=episode.season.production, role="coordinator").user)
        context = browser.new_context(base_url=live_server.url, **options)
        cookie = {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}
        context.add_cookies([cookie])
        contexts.append(context)
        page = context.new_page()
        page.goto("/episodes/KELP-101/imports/")
        return page

    yield open_page
    for context in contexts:
        context.close()


def read(page, name, data):
    page.locator("input[type=file]").set_input_files({"name": name, "mimeType": "text/plain", "buffer": data})
    page.get_by_label("Frame rate").select_option("25")
    page.get_by_role("button", name="Read it", exact=True).click()
    expect(page.get_by_role("heading", name=name, level=1)).to_be_visible()


def press(page, name):
    page.locator("main").get_by_role("button", name=name, exact=True).click()


def stands(cut):
    """Cue number, song or title, seconds from the cut's start and length in seconds."""
    placed = Placement.objects.filter(cut=cut).select_related("usage__recording").order_by("in_frame")
    return [
        (
            each.usage.cue_number,
            str(each.usage.recording or each.usage.title),
            (each.in_frame - START) // 25,
            (each.out_frame - each.in_frame) // 25,
        )
        for each in placed
    ]


def first_import(page):
    """Upload, fix one match, fill in an unknown, accept."""
    read(page, "reel 1.edl", FIRST)
    expect(page.get_by_text("3 proposed usages, 2 to look at.")).to_be_visible()
    expect(page.get_by_text("starts in the file at 01:00:00:00")).to_be_visible()
    assert page.locator("tbody tr").count() == 3
    nocturne = page.get_by_role("row").filter(has_text="MX Nocturne No 3.wav")
    expect(nocturne).to_contain_text("another number")
    nocturne.get_by_label("What row 2 becomes").select_option(label="Nocturne No. 2 – The Lockkeepers (70)")
    unknown = page.get_by_role("row").filter(has_text="SLOW_TIDE_v2.wav")
    unknown.get_by_label("What row 3 becomes").select_option("new")
    unknown.get_by_label("Artist of row 3").fill("Ida Weir Trio")
    press(page, "Keep these rows")
    expect(page.get_by_text("The rows are kept. Nothing is in the log yet.")).to_be_visible()
    assert Usage.objects.count() == 0
    page.reload()
    expect(page.get_by_label("Artist of row 3")).to_have_value("Ida Weir Trio")
    press(page, "Keep, and see the changes")
    expect(page.get_by_text("Nothing stands in the cut yet: everything is new.")).to_be_visible()
    press(page, "Accept")
    expect(page.get_by_text("reel 1.edl is accepted into Cut 1: 3 added, 1 new in the catalogue.")).to_be_visible()
    assert Recording.objects.get(title="Slow Tide").artist == "Ida Weir Trio"


def test_from_an_edit_list_to_the_log_and_a_recut_in_part(opened, songs, pictures, episode):
    page = opened()
    first_import(page)
    assert stands(episode.current_cut) == [
        ("1M1", "Harbour Lights", 10, 30),
        ("1M2", "Nocturne No. 2", 300, 20),
        ("1M3", "Slow Tide", 1200, 60),
    ]
    expect(page.locator("#log tbody[data-row]:not([data-new])")).to_have_count(3)

    page.goto("/episodes/KELP-101/imports/")
    read(page, "reel 2.edl", SECOND)
    press(page, "Keep, and see the changes")
    changes = page.get_by_role("region", name="Changes")
    expect(changes.get_by_role("row").filter(has_text="1M1 Harbour Lights")).to_contain_text("Longer")
    expect(changes.get_by_role("row").filter(has_text="1M2 Nocturne")).to_contain_text("Gone")
    expect(changes.get_by_role("row").filter(has_text="Weir")).to_contain_text("New")
    # Without the new running time nothing tells that the picture slid, so the slow tide counts as moved.
    expect(changes.get_by_role("row").filter(has_text="1M3 Slow Tide")).to_contain_text("Moved")
    page.get_by_label("Name of the new cut").fill("Fine cut 2")
    page.get_by_label("Running time of the new cut").fill("40:00")
    page.get_by_label("Make this change: 1M2 Nocturne No. 2").uncheck()
    press(page, "Keep these decisions")
    expect(page.get_by_text("What you decided is kept. Nothing is in the log yet.")).to_be_visible()
    kept = page.locator("details", has_text="1 usage kept")
    kept.locator("summary").click()
    expect(kept).to_contain_text("1M3 Slow Tide: 5:00 earlier with the picture.")
    page.screenshot(path=pictures / "reading-the-cut-changes.png", full_page=True)
    expect(page.get_by_label("Make this change: 1M2 Nocturne No. 2")).not_to_be_checked()
    press(page, "Accept")
    expect(page.get_by_text("reel 2.edl is accepted into Fine cut 2: 1 added, 2 placed.")).to_be_visible()
    cut = Cut.objects.get(label="Fine cut 2")
    assert cut.running_frames == 25 * 60 * 40
    assert stands(cut) == [
        ("1M1", "Harbour Lights", 10, 40),
        ("1M2", "Nocturne No. 2", 300, 20),
        ("1M3", "Slow Tide", 900, 60),
        ("1M4", "Weir", 1800, 30),
    ]
    page.get_by_role("link", name="What changed since the cut before").click()
    expect(page.get_by_role("heading", name="What changed from Cut 1 to Fine cut 2")).to_be_visible()
    expect(page.get_by_role("row").filter(has_text="1M1 Harbour Lights").last).to_contain_text("Longer")

    page.goto("/episodes/KELP-101/imports/")
    read(page, "reel 2.edl", SECOND)
    page.get_by_role("link", name="3 Acceptance").click()
    expect(page.get_by_text("the current cut, Fine cut 2")).to_be_visible()
    press(page, "Accept")
    expect(page.get_by_role("alert")).to_contain_text("Nothing is left to do")
    assert (Cut.objects.count(), Usage.objects.count()) == (2, 4)


def test_without_scripts(opened, songs, episode):
    page = opened(java_script_enabled=False)
    first_import(page)
    assert len(stands(episode.current_cut)) == 3


def test_a_bad_file_is_told_and_a_song_log_asks_for_its_columns(opened, songs):
    page = opened()
    page.locator("input[type=file]").set_input_files(
        {"name": "noise.edl", "mimeType": "text/plain", "buffer": b"\x00\x13\xff" * 4000}
    )
    press(page, "Read it")
    expect(page.get_by_role("alert")).to_contain_text("Not read: please mend this")
    page.get_by_label("Or paste it").fill("Nr\tTrack\tStart\tEnd\tWhere\n1M1\tMill\t10:00:10:00\t10:00:20:00\tPier\n")
    press(page, "Read it")
    expect(page.get_by_text("The head says “Track”.")).to_be_visible()
    page.get_by_label("E Where").select_option(label="Scene")
    press(page, "Read it so, and go on to the songs")
    expect(page.get_by_label("What row 1 becomes")).to_have_value(f"song:R{songs['Mill'].pk}")
    press(page, "Keep, and see the changes")
    press(page, "Accept")
    expect(page.get_by_text("1 added")).to_be_visible()
    assert Usage.objects.get().scene == "Pier"


@pytest.mark.parametrize(("scheme", "width"), [("light", 1440), ("dark", 360)])
def test_every_step_is_accessible_and_fits(opened, songs, pictures, scheme, width):
    page = opened(color_scheme=scheme, viewport={"width": width, "height": 900})
    assert [found["id"] for found in Axe().run(page).response["violations"]] == []
    read(page, "reel 1.edl", FIRST)
    for name, step in (("1 Reading", "reading"), ("2 Songs", "songs"), ("3 Acceptance", "acceptance")):
        page.get_by_role("link", name=name).click()
        expect(page.get_by_role("link", name=name)).to_have_attribute("aria-current", "page")
        assert [found["id"] for found in Axe().run(page).response["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        page.screenshot(path=pictures / f"reading-the-cut-{step}-{scheme}-{width}.png", full_page=True)
