"""``manage.py letters``."""

from io import StringIO

import pypdfium2
import pytest
import time_machine
from django.core.management import CommandError, call_command

from supervision.models import Letter
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def member(episode):
    return MembershipFactory(production=episode.season.production, user__username="tove").user


def run(*arguments):
    out, err = StringIO(), StringIO()
    try:
        call_command("letters", *arguments, stdout=out, stderr=err)
    except SystemExit as left:
        return left.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def text_of(file):
    return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in pypdfium2.PdfDocument(file))


def test_drafts_are_one_file_a_holder_and_side_and_record_nothing(episode, tmp_path):
    folder = tmp_path / "new" / "letters"
    status, out, err = run("WEIR-101", "--output", str(folder), "--answer-by", "2026-12-09")
    files = sorted(folder.iterdir())
    assert (status, err, sorted(out.split())) == (0, "", [str(file) for file in files])
    assert [file.name.rpartition("-")[0] for file in files] == ["WEIR-101-draft-master", "WEIR-101-draft-sync"]
    assert all("Draft, not sent" in text_of(file) for file in files)
    assert "by 9 December 2026" in text_of(files[0])
    assert Letter.objects.count() == 0


def test_sent_letters_are_recorded_and_named_by_their_reference(episode, member, tmp_path):
    assert run("WEIR-101", "--output", str(tmp_path), "--send", "--by", "tove")[0] == 0
    assert sorted(file.name for file in tmp_path.iterdir()) == ["WEIR-101-M-0002.pdf", "WEIR-101-S-0001.pdf"]
    assert set(Letter.objects.values_list("sent_by__username", flat=True)) == {"tove"}
    assert "WEIR-101/S-0001" in text_of(tmp_path / "WEIR-101-S-0001.pdf")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["NOPE"], "There is no episode NOPE.\n"),
        (["WEIR-101", "--send"], "Letters are sent in somebody's name. Give the username of a member with --by.\n"),
        (["WEIR-101", "--send", "--by", "x"], "There is no user x. Give the username of a member with --by.\n"),
        (["WEIR-101", "--send", "--by", "stranger"], "There is no such production.\n"),
    ],
)
def test_what_is_refused_exits_2_with_one_line_and_records_nothing(episode, tmp_path, arguments, told):
    UserFactory(username="stranger")
    assert run(*arguments, "--output", str(tmp_path)) == (2, "", told)
    assert list(tmp_path.iterdir()) == []
    assert Letter.objects.count() == 0


def test_nobody_to_write_to_exits_2(episode, member, tmp_path):
    run("WEIR-101", "--output", str(tmp_path), "--send", "--by", "tove")
    status, _, err = run("WEIR-101", "--output", str(tmp_path))
    assert (status, err.count("\n")) == (2, 1)


@pytest.mark.django_db(transaction=True)
def test_letters_that_cannot_be_written_are_not_recorded(episode, member, tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    status, _, _ = run("WEIR-101", "--output", str(blocked), "--send", "--by", "tove")
    assert (status, Letter.objects.count()) == (2, 0)


def test_day_that_is_none_is_told(episode, tmp_path):
    with pytest.raises(CommandError, match="answer-by"):
        call_command("letters", "WEIR-101", "--output", str(tmp_path), "--answer-by", "tomorrow")


@pytest.mark.parametrize(("form", "starts"), [("docx", b"PK"), ("eml", b"X-Unsent: 1")])
def test_letters_are_had_in_other_forms_and_languages(episode, tmp_path, form, starts):
    give(episode, contact_email="music@weir.example")
    status, _, err = run("WEIR-101", "--output", str(tmp_path), "--format", form, "--language", "fr")
    assert (status, err) == (0, "")
    files = sorted(tmp_path.iterdir())
    assert [file.suffix for file in files] == [f".{form}"] * 2
    assert [file.read_bytes()[: len(starts)] for file in files] == [starts] * 2


def give(episode, **fields):
    production = episode.season.production
    for name, value in fields.items():
        setattr(production, name, value)
    production.save()


def test_language_and_paper_are_the_productions_unless_said(episode, tmp_path):
    give(episode, letter_language="fr", paper="letter")
    run("WEIR-101", "--output", str(tmp_path))
    file = sorted(tmp_path.iterdir())[1]
    assert "demande de devis" in text_of(file)
    assert pypdfium2.PdfDocument(file)[0].get_size() == (612, 792)
    run("WEIR-101", "--output", str(tmp_path), "--page", "a4", "--language", "en")
    assert "request for a quotation" in text_of(file)
    assert round(pypdfium2.PdfDocument(file)[0].get_width()) == 595


def test_reminders_are_sent_by_their_kind(episode, member, tmp_path):
    with time_machine.travel("2026-11-01T12:00:00Z"):
        run("WEIR-101", "--output", str(tmp_path / "first"), "--send", "--by", "tove")
    status, _, err = run("WEIR-101", "--output", str(tmp_path), "--kind", "chaser", "--send", "--by", "tove")
    assert (status, err) == (0, "")
    assert "under our reference WEIR-101/S-0001" in text_of(tmp_path / "WEIR-101-S-0003.pdf")


def test_email_without_a_sender_exits_2_and_writes_nothing(episode, tmp_path):
    status, out, err = run("WEIR-101", "--output", str(tmp_path), "--format", "eml")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert list(tmp_path.iterdir()) == []
