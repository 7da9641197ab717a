"""The proof as page, PDF, API and command, all telling the same; and the closing of an episode."""

import json
from datetime import date
from io import StringIO

import pypdfium2
import pytest
from django.core.management import call_command
from django.urls import reverse

from supervision.interchange.coverage_json import write_coverage
from supervision.rules.clearance import Side, Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, option_of, song_in

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def today(time_machine):
    time_machine.move_to("2026-11-25T12:00Z")


@pytest.fixture
def episode():
    """Two songs: one lacks theatrical on its sync side, with an option; the other's master is not licensed."""
    episode = EpisodeFactory(code="WEIR-101", number="101", title="Low Water", air_date=AIR)
    WindowFactory(season=episode.season, territory="World excl. US")
    WindowFactory(season=episode.season, media="theatrical", territory="UK", starts_on=date(2027, 1, 1))
    tide = song_in(episode, title="Evening Tide", cue_number="1M1")
    tv = [{"media": "all media excl. theatrical"}]
    option_of(licensed(tide, Side.SYNC, holder=PartyFactory(name="Mole Music"), grants=tv))
    licensed(tide, Side.MASTER)
    weir = song_in(episode, title="نور الميناء", cue_number="1M2")
    licensed(weir, Side.SYNC)
    asked(weir, Side.MASTER, holder=PartyFactory(name="潮騒レコード"), stage=Stage.REQUESTED)
    return episode


def signed_in(client, episode, role=Role.SUPERVISOR):
    user = MembershipFactory(production=episode.season.production, role=role).user
    client.force_login(user)
    return user


def page_of(client, episode):
    return client.get(reverse("episode-coverage", args=[episode.code]))


def test_page_api_and_command_tell_the_same(client, episode):
    user = signed_in(client, episode)
    by_page = write_coverage(page_of(client, episode).context["proof"])
    api, out = client_of(user), StringIO()
    by_api = api.get("/api/v1/episodes/weir-101/coverage/").json()
    call_command("coverage", "weir-101", "--json", stdout=out)
    assert by_page == by_api == json.loads(out.getvalue())
    assert [(gap["usage"]["cue_number"], gap["side"], gap["granted"]) for gap in by_api["gaps"]] == [
        ("1M1", "sync", "0"),
        ("1M2", "master", "0"),
        ("1M2", "master", "0"),
    ]
    assert by_api["gaps"][0]["closable_by"][0]["fee"] == {"minor": 200_000, "currency": "USD"}
    assert (by_api["cheapest"]["fee"]["minor"], by_api["cheapest"]["covered"]) == (200_000, False)


def test_page_lists_gaps_with_links_options_and_charts(client, episode):
    signed_in(client, episode)
    shown = page_of(client, episode).content.decode()
    clearance = episode.usages.get(cue_number="1M1").clearances.get(side="sync")
    for words in (
        "Not covered: 3 gaps in 2 of 2 usages.",
        f'href="/clearances/{clearance.pk}/"',
        "licensed for less",
        "Theatrical of <bdi>Mole Music</bdi>",
        "2,000.00",
        "1M2 نور الميناء, master: not licensed by 潮騒レコード (requested).",
        'aria-label="Europe: ',
        "option from 1 Jan 2027 in perpetuity (theatrical of Mole Music)",
    ):
        assert words in shown, words


def test_every_gap_links_to_its_countries(client, episode):
    signed_in(client, episode)
    context = page_of(client, episode).context
    for _, rows in context["gaps"]:
        for gap, number in rows:
            assert context["territories"][number - 1] == gap.gap.territory


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
def test_page_without_leave_to_see_money_has_no_fee(client, episode, role):
    signed_in(client, episode, role)
    shown = page_of(client, episode)
    assert ("Theatrical of" in shown.content.decode(), "2,000.00" in shown.content.decode()) == (True, False)
    assert shown.context["proof"].closing.fee is None


def test_page_of_an_episode_without_plan_leads_to_it(client):
    episode = EpisodeFactory()
    signed_in(client, episode)
    shown = page_of(client, episode).content.decode()
    assert "Not proven: there is no release plan." in shown
    assert reverse("episode-release-plan", args=[episode.code]) in shown


def test_stranger_gets_404_everywhere(client, episode):
    client.force_login(UserFactory())
    for name in ("episode-coverage", "episode-coverage-pdf"):
        assert client.get(reverse(name, args=[episode.code])).status_code == 404
    for name in ("episode-close", "episode-reopen"):
        assert client.post(reverse(name, args=[episode.code])).status_code == 404


@pytest.mark.parametrize(("size", "width"), [("a4", 210), ("letter", 215.9)])
def test_pdf_says_what_the_page_says(client, episode, size, width):
    # ISO 216 for A4, ANSI/ASME Y14.1 for Letter, in millimetres.
    signed_in(client, episode)
    answer = client.get(reverse("episode-coverage-pdf", args=[episode.code]), {"page": size})
    document = pypdfium2.PdfDocument(answer.content)
    text = " ".join(" ".join(each.get_textpage().get_text_bounded().split()) for each in document)
    assert (answer["Content-Type"], answer["Content-Disposition"]) == (
        "application/pdf",
        'inline; filename="WEIR-101-proof-2026-11-25.pdf"',
    )
    assert round(document[0].get_width() / 72 * 25.4, 1) == width
    for words in (
        "Not covered: 3 gaps in 2 of 2 usages.",
        "Theatrical of Mole Music, USD 2,000.00, open until 31 December 2027",
        "潮騒レコード, 100 %, requested",
        "from 2 December 2026, open end",
        "Options close a part of it; 2 gaps would stay. Together they cost USD 2,000.00.",
        "United Kingdom",
        "A working paper: the signed licences prevail, and counsel reviews them.",
    ):
        assert words in text, words


def test_pdf_of_unknown_size_is_400(client, episode):
    signed_in(client, episode)
    response = client.get(reverse("episode-coverage-pdf", args=[episode.code]), {"page": "poster"})
    assert response.status_code == 400


def test_blocked_episode_is_not_closed_and_says_why(client, episode):
    signed_in(client, episode)
    response = client.post(reverse("episode-close", args=[episode.code]))
    episode.refresh_from_db()
    assert (response.status_code, episode.closed_at) == (409, None)
    assert "1 thing blocks 101 Low Water." in response.content.decode()


def test_episode_is_closed_and_reopened(client, episode):
    signed_in(client, episode)
    episode.usages.filter(cue_number="1M2").update(deleted_at="2026-11-20T12:00Z")
    assert "Close the episode" in page_of(client, episode).content.decode()
    client.post(reverse("episode-close", args=[episode.code]))
    shown = page_of(client, episode).content.decode()
    assert ("The episode was closed on" in shown, "Reopen the episode" in shown) == (True, True)
    client.post(reverse("episode-reopen", args=[episode.code]))
    episode.refresh_from_db()
    assert episode.closed_at is None


def test_coordinator_may_not_close(client, episode):
    signed_in(client, episode, Role.COORDINATOR)
    assert client.post(reverse("episode-close", args=[episode.code])).status_code == 403


def test_page_costs_as_many_queries_for_any_number_of_usages(client, episode, django_assert_num_queries):
    signed_in(client, episode)
    with django_assert_num_queries(13):
        page_of(client, episode)
    for _ in range(12):
        asked(song_in(episode), Side.SYNC)
    with django_assert_num_queries(13):
        page_of(client, episode)
