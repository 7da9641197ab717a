"""A season's cue sheets as one ZIP: on the page, by the API, by the command."""

import csv
import io
import json
import zipfile
from datetime import UTC, datetime

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import translation
from jsonschema import Draft202012Validator

from supervision.actions.cue_sheet_bundle import print_season
from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.rules.errors import Conflict, NotVisible
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music
from tests.factories.productions import EpisodeFactory, SeasonFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def season():
    """Two episodes with a cut, of which the first is issued, and one without."""
    first = episode_with_music()
    by = MembershipFactory(production=first.season.production).user
    issue_cue_sheet(episode=first, by=by, now=NOW, override_reason="Wanted today.")
    EpisodeFactory(season=first.season, code="WEIR-102", number="102")
    bare = EpisodeFactory(season=first.season, code="WEIR-103", number="103")
    bare.current_cut = None
    bare.save()
    return first.season


def files(body):
    with zipfile.ZipFile(io.BytesIO(body)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def bundle(season, **more):
    return print_season(**{"season": season, "form": "json", "prepared_by": "Ida", "now": NOW} | more)


def test_index_and_sheets_are_the_same_for_every_reader(season):
    with translation.override("fr"):
        found = bundle(season).body
    assert files(found) == files(bundle(season).body)


def test_each_sheet_is_as_last_issued_or_a_draft(season):
    printed = bundle(season)
    found = files(printed.body)
    assert printed.name == f"{season.production.code}-1-cue-sheets.zip"
    assert list(found) == [
        "index.html",
        "index.csv",
        "WEIR-101-cue-sheet-revision-1.json",
        "WEIR-102-cue-sheet-draft.json",
    ]
    rows = list(csv.DictReader(io.StringIO(found["index.csv"].decode("utf-8-sig"), newline="")))
    assert [(row["episode"], row["sheet"], row["cues"], row["file"]) for row in rows] == [
        ("WEIR-101", "Revision 1", "2", "WEIR-101-cue-sheet-revision-1.json"),
        ("WEIR-102", "Draft", "0", "WEIR-102-cue-sheet-draft.json"),
    ]
    assert len(rows[0]["digest"]) == 64
    assert b'href="WEIR-101-cue-sheet-revision-1.json"' in found["index.html"]


def test_profile_asks_for_drafts_of_all(season):
    found = files(bundle(season, profile="us-practice", form="csv").body)
    assert "WEIR-101-cue-sheet-draft.csv" in found
    assert b"us-practice" in found["WEIR-101-cue-sheet-draft.csv"]


@pytest.mark.parametrize("form", ["pdf", "xlsx", "cu01"])
def test_every_form(season, form):
    assert len(files(bundle(season, form=form).body)) == 4


def test_same_sheets_make_the_same_bytes(season):
    assert bundle(season).body == bundle(season).body


def test_what_cannot_be_made_is_refused(season):
    with pytest.raises(NotVisible):
        bundle(season, form="odt")
    with pytest.raises(NotVisible):
        bundle(season, profile="nobody")
    with pytest.raises(Conflict):
        bundle(SeasonFactory())


def test_page_and_api_give_the_same(client, season):
    client.force_login(MembershipFactory(production=season.production).user)
    page = reverse("season-cue-sheets-file", args=[season.production.code, 1, "csv"])
    api = f"/api/v1{page}"
    assert page in client.get(reverse("season-cue-sheets", args=[season.production.code, 1])).content.decode()
    assert list(files(client.get(page).content)) == list(files(client.get(f"{api}?page=letter").content))
    client.force_login(UserFactory())
    assert (client.get(page).status_code, client.get(api).status_code) == (404, 404)


def test_command_writes_it(season, tmp_path):
    path = tmp_path / "sheets.zip"
    call_command("cuesheet", "--season", f"{season.production.code}/1", "--format", "json", "--output", str(path))
    assert "WEIR-101-cue-sheet-revision-1.json" in files(path.read_bytes())


@pytest.mark.parametrize(
    "args", [[], ["WEIR-101", "--season", "X/1"], ["WEIR-101", "--revision", "1", "--profile", "us-practice"]]
)
def test_command_refuses_what_contradicts(season, tmp_path, args):
    with pytest.raises(SystemExit) as ended:
        call_command("cuesheet", *args, "--output", str(tmp_path / "x"), stderr=io.StringIO())
    assert ended.value.code == 2


def test_command_writes_by_a_profile_and_a_revision(season, tmp_path):
    for number, args in enumerate((["--profile", "us-practice"], ["--revision", "1"])):
        path = tmp_path / f"{number}.json"
        call_command("cuesheet", "WEIR-101", *args, "--format", "json", "--output", str(path), stderr=io.StringIO())
        told = json.loads(path.read_text())
        assert told["profile"]["code"] == ("us-practice", "international")[number]
        assert told["header"]["revision"] == (None, 1)[number]


def test_schema_is_published_to_everybody(client):
    answer = client.get("/api/v1/cue-sheet-schema/")
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/schema+json")
    Draft202012Validator.check_schema(json.loads(answer.content))
