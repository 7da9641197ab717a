"""Batches of letters: made bit by bit, the same for two at work on one, and gone after a day."""

import csv
import io
import os
import zipfile
from datetime import UTC, datetime, timedelta
from email import message_from_bytes
from uuid import uuid4

import pypdfium2
import pytest
from django.utils import translation
from docx import Document

from supervision.actions.letter_batches import advance_batch, batch_of, begin_batch, finish_batch
from supervision.actions.letter_files import print_bundle, print_letter
from supervision.documents.paper import PageSize
from supervision.models import Clearance
from supervision.queries.letters import open_letters
from supervision.rules.errors import NotAllowed, NotVisible
from supervision.rules.letter_writing import write_letter
from tests.factories.accounts import MembershipFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
STEMS = ("01 Draft, not sent Reed Harbour Music", "02 Draft, not sent Weirside Records")


@pytest.fixture(autouse=True)
def _files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production, role="coordinator").user


def drafts(episode):
    return [write_letter(letter.facts, reference="", dated=NOW.date()) for letter in open_letters(episode)]


def begin(episode, user, now=NOW):
    return begin_batch(episode=episode, letters=drafts(episode), page=PageSize.LETTER, by=user, now=now)


def opened(printed):
    return zipfile.ZipFile(io.BytesIO(printed.body))


def give_sender(episode):
    production = episode.season.production
    production.contact_email = "music@weir.example"
    production.save()


def test_each_step_makes_one_letter(episode, user):
    batch = begin(episode, user)
    done = [batch.done, advance_batch(batch).done, advance_batch(batch).done, advance_batch(batch).done]
    assert done == [0, 1, 2, 2]
    assert batch.missing == []


def test_zip_has_every_letter_in_every_form_and_an_index(episode, user):
    give_sender(episode)
    archive = opened(finish_batch(begin(episode, user)))
    assert archive.testzip() is None
    assert archive.namelist() == [
        "index.html",
        "index.csv",
        *(f"{stem}.{form}" for stem in STEMS for form in ("pdf", "docx", "eml")),
    ]
    pdf = pypdfium2.PdfDocument(archive.read(f"{STEMS[0]}.pdf"))
    assert pdf[0].get_size() == (612, 792)
    assert "Reed Harbour Music" in pdf[0].get_textpage().get_text_bounded()
    assert Document(io.BytesIO(archive.read(f"{STEMS[1]}.docx"))).paragraphs != []
    assert message_from_bytes(archive.read(f"{STEMS[1]}.eml"))["From"].endswith("<music@weir.example>")


def test_index_names_holder_side_songs_and_files(episode, user):
    give_sender(episode)
    archive = opened(finish_batch(begin(episode, user)))
    rows = list(csv.DictReader(io.StringIO(archive.read("index.csv").decode("utf-8-sig"))))
    assert [tuple(row.values()) for row in rows] == [
        ("", "Quote request", "Reed Harbour Music", "Sync", "Evening Tide", *_names(STEMS[0])),
        ("", "Quote request", "Weirside Records", "Master", "Evening Tide", *_names(STEMS[1])),
    ]
    page = archive.read("index.html").decode()
    assert "01%20Draft%2C%20not%20sent%20Reed%20Harbour%20Music.pdf" in page


def _names(stem):
    return tuple(f"{stem}.{form}" for form in ("pdf", "docx", "eml"))


def test_where_no_email_can_be_made_a_text_says_why(episode, user):
    archive = opened(finish_batch(begin(episode, user)))
    assert f"{STEMS[0]}.eml" not in archive.namelist()
    assert archive.read(f"{STEMS[0]} (no e-mail).txt").decode() == (
        "An e-mail needs a sender, and the production has no contact address. Give the production an e-mail address.\n"
    )


def test_two_at_work_on_one_batch_do_no_harm(episode, user):
    batch = begin(episode, user)
    other = batch_of(batch.pk, episode=episode, by=user)
    advance_batch(batch)
    advance_batch(other)
    assert (batch.done, other.done) == (2, 2)
    assert len(opened(finish_batch(other)).namelist()) == 8
    assert sorted(path.name for path in batch.folder.iterdir()) == ["0001.zip", "0002.zip", "plan.json"]


def test_batch_says_what_its_letters_said_when_it_began(episode, user):
    batch = begin(episode, user)
    Clearance.objects.update(stage=40)
    assert [letter.addressee.name for letter in batch_of(batch.pk, episode=episode, by=user).letters] == [
        "Reed Harbour Music",
        "Weirside Records",
    ]


def test_batch_is_its_own_persons_and_episodes(episode, user):
    batch = begin(episode, user)
    colleague = MembershipFactory(production=episode.season.production, role="supervisor").user
    with pytest.raises(NotVisible):
        batch_of(batch.pk, episode=episode, by=colleague)
    with pytest.raises(NotVisible):
        batch_of(batch.pk, episode=episode_with_music("WEIR-102"), by=user)
    with pytest.raises(NotVisible):
        batch_of(uuid4(), episode=episode, by=user)


def test_batch_that_tells_fees_needs_who_may_see_them(episode):
    Clearance.objects.update(offered_minor=100, offered_currency="USD")
    viewer = MembershipFactory(production=episode.season.production, role="viewer").user
    with pytest.raises(NotAllowed):
        begin(episode, viewer)


def test_batches_are_thrown_away_after_a_day(episode, user):
    old, young = begin(episode, user), begin(episode, user)
    for batch, age in ((old, timedelta(hours=25)), (young, timedelta(hours=23))):
        then = (NOW - age).timestamp()
        os.utime(batch.folder / "plan.json", (then, then))
    begin(episode, user)
    assert (old.folder.exists(), young.folder.exists()) == (False, True)


@pytest.mark.parametrize(("form", "starts"), [("pdf", b"%PDF-"), ("docx", b"PK"), ("eml", b"X-Unsent: 1\r\n")])
def test_letter_is_had_in_every_form(episode, form, starts):
    give_sender(episode)
    episode.season.production.refresh_from_db()
    letter = drafts(episode)[0]
    printed = print_letter(letter=letter, form=form, name="WEIR-101/S-0001", at=NOW)
    assert printed.name == f"WEIR-101-S-0001.{form}"
    assert printed.body.startswith(starts)


def test_other_forms_are_not_to_be_had(episode):
    with pytest.raises(NotVisible, match="pdf, docx, eml"):
        print_letter(letter=drafts(episode)[0], form="odt", name="x", at=NOW)


def test_bundle_is_made_at_one_go_too(episode):
    printed = print_bundle(letters=drafts(episode)[:1], name="WEIR-101-letters", at=NOW)
    assert (printed.name, printed.media_type) == ("WEIR-101-letters.zip", "application/zip")
    assert len(opened(printed).namelist()) == 5


def test_index_is_in_the_language_of_who_takes_it_away_and_its_table_for_programs_in_english(episode, user):
    with translation.override("fr"):
        archive = opened(finish_batch(begin(episode, user)))
    page = archive.read("index.html").decode()
    assert '<html lang="fr">' in page
    for said in ("Demande de devis", "Ayant droit", "Édition"):
        assert said in page
    assert "Quote request" in archive.read("index.csv").decode("utf-8-sig")
