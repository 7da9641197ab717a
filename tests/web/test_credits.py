"""Pages of end credits and label copy: what they show, what they refuse, and the files."""

import csv
import io
import re

import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone, translation
from docx import Document

from supervision.documents.paper import day_in_words
from supervision.models import CreditTerm, Party, Society, Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory, WorkShareFactory
from tests.factories.paper import START, episode_with_music, more_music
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

CREDITS = "/episodes/WEIR-101/credits"
BLOCK = [
    "“Evening Tide”",
    "Written by Ida Reed",
    "Published by Reed Harbour Music",
    "Performed by The Lockkeepers",
    "Courtesy of Weirside Records",
]


@pytest.fixture
def episode():
    return episode_with_music()


def sign_in(client, episode, role=Role.SUPERVISOR):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


@pytest.fixture
def supervisor(client, episode):
    return sign_in(client, episode)


def season_url(name, episode, *more):
    return reverse(name, args=[episode.season.production.code, episode.season.number, *more])


def test_song_used_twice_has_one_block(supervisor):
    page = supervisor.get("/episodes/WEIR-101/credits/")
    assert [block.text for block in page.context["credits"].blocks] == [BLOCK]
    assert re.findall(r'<p class="detail use">(.*?)</p>', page.content.decode()) == ["1M1", "2M1"]


def test_publisher_with_a_society_has_it_in_the_credit_and_one_with_none_has_not(supervisor):
    for code, written in (("052", "Reed Harbour Music (PRS)"), ("099", "Reed Harbour Music")):
        Party.objects.filter(name="Reed Harbour Music").update(society=Society.objects.get(code=code))
        (block,) = supervisor.get("/episodes/WEIR-101/credits/").context["credits"].blocks
        assert f"Published by {written}" in block.text


def test_songs_stand_in_the_order_of_their_first_appearance(supervisor, episode):
    early = RecordingFactory(title="Dawn", works=[WorkFactory(title="Dawn")])
    UsageFactory(episode=episode, recording=early, placed=(START, START + 25))
    credits_ = supervisor.get("/episodes/WEIR-101/credits/").context["credits"]
    assert [block.song.title for block in credits_.blocks] == ["Dawn", "Evening Tide"]


def test_what_is_not_in_the_cut_is_left_out_with_the_reason(supervisor, episode):
    UsageFactory(episode=episode, cue_number="9M9", title="Cut scene")
    UsageFactory(episode=episode, cue_number="1L", title="Ident", function="logo", placed=(START, START + 25))
    facts = supervisor.get("/episodes/WEIR-101/credits/").context["credits"].facts
    assert facts.left_out == (("1L Ident", "the logo of a company"), ("9M9 Cut scene", "not in the cut"))


def test_score_is_one_card_and_a_commissioned_song_is_a_song(supervisor, episode):
    score, tune = WorkFactory(title="Weir Theme"), WorkFactory(title="The Lock Song")
    composer = PartyFactory(name="Tove Marsh")
    for work in (score, tune):
        WorkShareFactory(work=work, writer=True, party=composer)
    for number, (work, vocal) in enumerate(((score, "instrumental"), (score, "instrumental"), (tune, "vocal"))):
        UsageFactory(
            episode=episode, work=work, origin="commissioned", vocal=vocal, placed=(START + number, START + 99)
        )
    credits_ = supervisor.get("/episodes/WEIR-101/credits/").context["credits"]
    assert [line.text for line in credits_.score] == ["Music by Tove Marsh"]
    assert [block.song.title for block in credits_.blocks] == ["The Lock Song", "Evening Tide"]


def test_publisher_of_another_country_is_not_named(supervisor, episode):
    work = Usage.objects.filter(episode=episode).first().recording.works.first()
    WorkShareFactory(work=work, party=PartyFactory(name="Antipodean Songs"), territory="AU")
    assert "Antipodean" not in supervisor.get("/episodes/WEIR-101/credits/").content.decode()


def test_episode_without_cut_says_what_to_do(client):
    episode = EpisodeFactory(code="NOCUT-1", cut=None)
    episode.current_cut = None
    episode.save()
    supervisor = sign_in(client, episode)
    page = supervisor.get("/episodes/NOCUT-1/credits/")
    assert (page.status_code, "No cut to credit" in page.content.decode()) == (200, True)
    assert supervisor.get("/episodes/NOCUT-1/credits.txt").status_code == 409
    assert supervisor.get(season_url("season-credits-file", episode, "txt")).status_code == 409
    assert "No cut to credit" in supervisor.get(season_url("season-credits", episode)).content.decode()


def test_style_is_asked_for_by_the_address_and_kept_in_the_links(supervisor):
    page = supervisor.get("/episodes/WEIR-101/credits/?language=fr&line_length=30")
    assert page.context["credits"].blocks[0].text[0] == "« Evening Tide »"
    assert "credits.pdf?language=fr&amp;line_length=30" in page.content.decode()


@pytest.mark.parametrize("query", ["line_length=5", "line_length=wide", "language=de", "joiner=plus"])
def test_style_that_cannot_be_read_is_refused_beside_its_field(supervisor, query):
    page = supervisor.get(f"/episodes/WEIR-101/credits/?{query}")
    assert page.status_code == 422
    assert list(page.context["form"].errors) == [query.split("=")[0]]
    assert supervisor.get(f"/episodes/WEIR-101/credits.txt?{query}").status_code == 400


def test_required_wording_is_recorded_and_stands_in_the_credits(supervisor, episode):
    clearance = Usage.objects.filter(episode=episode).first().clearances.get(side="master")
    url = reverse("credit-term", args=[clearance.pk])
    assert supervisor.get(url).status_code == 200
    text = "Courtesy of Weirside Records,\r\nunder licence"
    answer = supervisor.post(url, {"wording": text, "approval_needed": "on", "version": "0"})
    assert answer.status_code == 302
    block = supervisor.get("/episodes/WEIR-101/credits/").context["credits"].blocks[0]
    assert block.text == [*BLOCK[:4], "Courtesy of Weirside Records,", "under licence"]
    page = supervisor.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "Courtesy of Weirside Records," in page
    assert "approval needed" in page


def test_stale_wording_is_refused_and_nothing_typed_is_lost(supervisor, episode):
    clearance = Usage.objects.filter(episode=episode).first().clearances.get(side="master")
    CreditTerm.objects.create(clearance=clearance, wording="Theirs")
    page = supervisor.post(reverse("credit-term", args=[clearance.pk]), {"wording": "Mine", "version": "0"})
    assert page.status_code == 409
    assert "Mine" in page.content.decode()
    assert CreditTerm.objects.get().wording == "Theirs"


def test_approval_without_its_day_is_refused(supervisor, episode):
    clearance = Usage.objects.filter(episode=episode).first().clearances.get(side="master")
    page = supervisor.post(
        reverse("credit-term", args=[clearance.pk]), {"wording": "Mine", "approved_by": "Tove", "version": "0"}
    )
    assert page.status_code == 422
    assert list(page.context["form"].errors) == ["approved_on"]


def test_viewer_reads_but_does_not_record_and_a_stranger_sees_nothing(client, episode):
    clearance = Usage.objects.filter(episode=episode).first().clearances.first()
    term, page = reverse("credit-term", args=[clearance.pk]), "/episodes/WEIR-101/credits/"
    viewer = sign_in(client, episode, Role.VIEWER)
    assert term not in viewer.get(page).content.decode()
    assert (viewer.get(page).status_code, viewer.get(term).status_code) == (200, 403)
    client.force_login(UserFactory())
    for address in (page, term, f"{page[:-1]}.txt", season_url("season-credits", episode)):
        assert client.get(address).status_code == 404


def test_files_say_the_same_block(supervisor):
    text = supervisor.get("/episodes/WEIR-101/credits.txt")
    assert text["Content-Type"] == "text/plain; charset=utf-8"
    assert "\n\n" + "\n".join(BLOCK) + "\n\n" in text.content.decode()
    document = Document(io.BytesIO(supervisor.get("/episodes/WEIR-101/credits.docx").content))
    assert "\n".join(BLOCK) in [paragraph.text for paragraph in document.paragraphs]
    paper = pypdfium2.PdfDocument(supervisor.get("/episodes/WEIR-101/credits.pdf?page=letter").content)
    assert "\r\n".join(BLOCK) in paper[0].get_textpage().get_text_bounded()
    assert [round(side) for side in paper[0].get_size()] == [612, 792]
    assert supervisor.get("/episodes/WEIR-101/credits.odt").status_code == 404


def test_paper_is_in_its_own_language_whoever_asks_for_it(supervisor):
    days = {}
    for language in ("en", "fr"):
        with translation.override(language):
            days[language] = day_in_words(timezone.localdate())

    def printed(query, reader):
        file = supervisor.get(f"{CREDITS}.pdf{query}", headers={"accept-language": reader})
        return pypdfium2.PdfDocument(file.content)[0].get_textpage().get_text_bounded()

    assert days["en"] in printed("", "fr")
    assert days["fr"] in printed("?language=fr", "en")
    assert "A working paper" in supervisor.get(f"{CREDITS}.txt", headers={"accept-language": "fr"}).content.decode()
    french = Document(io.BytesIO(supervisor.get(f"{CREDITS}.docx?language=fr").content))
    assert french.core_properties.title == "Générique : The Weir"
    assert french.paragraphs[-1].text.startswith("Document de travail")


def test_season_has_its_credits_and_its_label_copy(supervisor, episode):
    page = supervisor.get(season_url("season-credits", episode))
    assert [track.title for track in page.context["copy"].tracks] == ["Evening Tide"]
    assert "The ℗ line lacks its year or owner." in page.content.decode()
    for form in ("txt", "docx", "pdf"):
        assert supervisor.get(season_url("season-credits-file", episode, form)).status_code == 200


def test_long_label_copy_is_paged_and_the_files_keep_the_style_alone(supervisor, episode):
    more_music(episode, 60)
    page = supervisor.get(season_url("season-credits", episode) + "?language=fr&page=2")
    assert page.context["tracks"].number == 2
    assert page.context["query"] == "language=fr"
    assert "?language=fr&amp;page=1" in page.content.decode()


def test_label_copy_as_files(supervisor, episode):
    recording = Usage.objects.filter(episode=episode).first().recording
    recording.isrc, recording.p_year, recording.p_owner = "GBXYZ2600001", 1999, "Weirside Records"
    recording.length_seconds, recording.samples = 222, "“Night Ferry” by Cy Brook"
    recording.save()
    told = [
        "1. Evening Tide",
        "   Performed by The Lockkeepers",
        "   Written by Ida Reed",
        "   Published by Reed Harbour Music",
        "   Contains a sample of “Night Ferry” by Cy Brook",
        "   ℗ 1999 Weirside Records",
        "   ISRC: GB-XYZ-26-00001",
        "   Length: 3:42",
        "   Heard in: WEIR-101",
    ]
    text = supervisor.get(season_url("season-label-copy-file", episode, "txt")).content.decode()
    assert "\n".join(told) in text
    document = Document(io.BytesIO(supervisor.get(season_url("season-label-copy-file", episode, "docx")).content))
    body = "\n".join(line.strip() for line in told[1:])
    assert body in [paragraph.text for paragraph in document.paragraphs]
    table = supervisor.get(season_url("season-label-copy-file", episode, "csv")).content.decode("utf-8-sig")
    row = next(csv.DictReader(io.StringIO(table, newline="")))
    assert (row["isrc"], row["p_year"], row["p_owner"]) == ("GBXYZ2600001", "1999", "Weirside Records")
    assert (row["length_seconds"], row["episodes"]) == ("222", "WEIR-101")
    assert supervisor.get(season_url("season-label-copy-file", episode, "pdf")).status_code == 404


@pytest.mark.parametrize("usages", [10, 60])
def test_queries_do_not_grow_with_the_songs(supervisor, episode, usages, django_assert_num_queries):
    more_music(episode, usages)
    with django_assert_num_queries(11):
        supervisor.get("/episodes/WEIR-101/credits/")
    with django_assert_num_queries(11):
        supervisor.get(season_url("season-credits", episode))
