"""``manage.py cuesheet``."""

import json
from io import StringIO

import pypdfium2
import pytest
from django.core.management import call_command

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.models import WorkShare
from tests.factories.accounts import MembershipFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return episode_with_music()


def run(*arguments):
    out, err = StringIO(), StringIO()
    try:
        call_command("cuesheet", *arguments, stdout=out, stderr=err)
    except SystemExit as left:
        return left.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_draft_is_written_and_its_findings_counted(episode, tmp_path):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    file = tmp_path / "sheet.json"
    status, out, err = run("weir-101", "--format", "json", "--output", str(file), "--prepared-by", "Ida")
    assert (status, out) == (0, f"{file}\n")
    assert err == "Draft with 2 errors and 9 warnings.\n"
    sheet = json.loads(file.read_bytes())
    assert (sheet["header"]["prepared_by"], sheet["music_seconds"]) == ("Ida", 60)


def test_pdf_is_the_default_and_takes_a_page_size(episode, tmp_path):
    file = tmp_path / "sheet.pdf"
    run("WEIR-101", "--output", str(file), "--page", "letter")
    assert pypdfium2.PdfDocument(file)[0].get_size() == (792, 612)


def test_csv_is_written(episode, tmp_path):
    file = tmp_path / "sheet.csv"
    run("WEIR-101", "--format", "csv", "--output", str(file))
    assert file.read_bytes().count(b"\r\n") == 5


def test_revision_is_written_as_issued(episode, tmp_path, django_user_model):
    user = MembershipFactory(production=episode.season.production).user
    from django.utils import timezone  # noqa: PLC0415

    issue_cue_sheet(episode=episode, by=user, now=timezone.now())
    file = tmp_path / "sheet.json"
    assert run("WEIR-101", "--format", "json", "--revision", "1", "--output", str(file)) == (0, f"{file}\n", "")
    assert json.loads(file.read_bytes())["header"]["prepared_by"] == str(user)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["NOPE"], "There is no episode NOPE."),
        (["WEIR-101", "--revision", "9"], "There is no revision 9 of this cue sheet."),
    ],
)
def test_what_is_unknown_exits_2_with_one_line(episode, tmp_path, arguments, told):
    file = tmp_path / "sheet.pdf"
    assert run(*arguments, "--output", str(file)) == (2, "", f"{told}\n")
    assert not file.exists()


def test_folder_that_is_not_there_exits_2_with_one_line(episode, tmp_path):
    status, _, err = run("WEIR-101", "--format", "csv", "--output", str(tmp_path / "nowhere" / "sheet.csv"))
    assert status == 2
    assert err.splitlines()[-1].startswith("[Errno 2] No such file or directory")


def test_episode_without_cut_exits_2(episode, tmp_path):
    episode.current_cut = None
    episode.save()
    status, _, err = run("WEIR-101", "--output", str(tmp_path / "sheet.pdf"))
    assert (status, err.count("\n")) == (2, 1)
