"""The demo: loaded by the deeds that people do, once and for all, and whole."""

import io
import unicodedata
from datetime import date

import pytest
from django.core.management import call_command
from django.db import transaction
from django.db.models import Count, Q

from supervision.models import (
    AuditEntry,
    Clearance,
    CreditTerm,
    Episode,
    Party,
    Production,
    Quote,
    Recording,
    Usage,
    User,
    Work,
)
from supervision.queries.budgets import season_money
from supervision.queries.coverage import proof_of
from supervision.queries.cue_sheet_filings import filing_of
from supervision.rules.clearance import Stage
from supervision.rules.filing import FilingState
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.usage import Origin

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    """What ``manage.py demo`` prints; its rows are there for this module and gone after it."""
    with django_db_blocker.unblock(), transaction.atomic():
        said = io.StringIO()
        call_command("demo", stdout=said)
        yield said.getvalue()
        transaction.set_rollback(True)


def counts():
    return {model.__name__: model.objects.count() for model in (AuditEntry, Clearance, Party, Quote, Usage, User, Work)}


def test_demo_prints_its_sign_ins(demo):
    assert "Sign in as admin, supervisor, coordinator, composer, finance, viewer" in demo


def test_demo_loaded_again_changes_nothing(demo):
    before = counts()
    call_command("demo", stdout=io.StringIO())
    assert counts() == before


def test_series_has_its_usages_at_three_rates(demo):
    episodes = Episode.objects.filter(season__production__code="MARRAM")
    assert 6 <= episodes.count() <= 10
    assert Usage.objects.filter(episode__in=episodes).count() >= 60
    rates = {(episode.current_cut.rate, episode.current_cut.drop) for episode in episodes}
    assert rates == {("24000/1001", False), ("25", False), ("30000/1001", True)}


def test_one_episode_is_covered_and_one_has_a_gap_that_an_option_closes(demo):
    episodes = Episode.objects.select_related("current_cut", "season__production")
    first, second = (
        proof_of(episodes.get(code=code), today=date(2026, 11, 25), fees=True) for code in ("MARRAM-101", "MARRAM-102")
    )
    assert (second.covered, second.blocks, first.covered, first.blocks) == (True, (), False, ())
    assert {offer.label for gap in first.gaps for offer in gap.offers} == {"Extension"}


def test_feature_and_game_fit_beside_the_series(demo):
    assert set(Production.objects.values_list("kind", flat=True)) == {"series", "feature", "game"}


def test_songs_have_one_to_five_writers_and_one_to_four_publishers(demo):
    protected = Work.objects.filter(public_domain=False)
    sizes = protected.annotate(
        writers=Count("shares", filter=Q(shares__interest="writer", shares__performance__gt=0)),
        publishers=Count("shares", filter=Q(shares__interest="publisher", shares__role="E")),
    )
    assert {work.writers for work in sizes} >= {1, 2, 3, 5}
    assert {work.publishers for work in sizes} >= {1, 2, 4}


def test_thirds_stand_as_they_were_stated(demo):
    shares = Work.objects.get(title="Harbour Without Lights").shares.filter(interest="writer")
    assert [str(share.performance.normalize()) for share in shares] == ["33.34", "33.33", "33.33"]


def test_arrangement_cover_medley_and_library_cue_are_there(demo):
    assert Work.objects.get(arrangement_of__public_domain=True).shares.filter(role="AR").count() == 1
    assert Work.objects.get(title="Paper Tides").recordings.count() == 2
    assert Recording.objects.annotate(size=Count("works")).get(size=2).title == "Quayside Medley"
    assert Usage.objects.filter(origin=Origin.LIBRARY).exists()
    assert Usage.objects.filter(origin=Origin.COMMISSIONED).exists()


def test_one_song_is_used_in_three_episodes(demo):
    used = Usage.objects.filter(recording__title="Harbour Without Lights")
    assert used.values("episode").distinct().count() == 3


def test_titles_are_in_four_scripts_and_with_diacritics(demo):
    letters = "".join(Work.objects.values_list("title", flat=True))
    names = {unicodedata.name(letter, "").split()[0] for letter in letters}
    assert names >= {"LATIN", "CYRILLIC", "HIRAGANA", "HEBREW", "ARABIC"}
    assert unicodedata.normalize("NFD", letters) != letters


def test_fees_are_in_three_currencies_and_all_can_be_converted(demo):
    assert len(set(Quote.objects.values_list("currency", flat=True))) >= 2
    assert set(Usage.objects.exclude(estimate_currency="").values_list("estimate_currency", flat=True)) >= {
        "GBP",
        "USD",
        "EUR",
    }
    season = Production.objects.get(code="MARRAM").seasons.get()
    assert season_money(season, Episode.objects.get(code="MARRAM-101").air_date).table.findings == ()


def test_every_stage_is_to_be_seen(demo):
    assert set(Clearance.objects.values_list("stage", flat=True)) >= {
        Stage.DENIED,
        Stage.DRAFT,
        Stage.REQUESTED,
        Stage.QUOTED,
        Stage.APPROVED,
        Stage.LICENSED,
        Stage.NOT_NEEDED,
    }


def test_identifiers_are_well_formed_and_their_rows_marked_as_demo(demo):
    rows = [
        *((Scheme.IPI, party.ipi, party.demo) for party in Party.objects.exclude(ipi="")),
        *((Scheme.ISWC, work.iswc, work.demo) for work in Work.objects.exclude(iswc="")),
        *((Scheme.ISRC, recording.isrc, recording.demo) for recording in Recording.objects.exclude(isrc="")),
    ]
    assert [row for row in rows if not check_identifier(row[0], row[1]).valid or not row[2]] == []


def test_one_sheet_is_issued_and_filed_with_a_society_and_the_broadcaster(demo):
    row = filing_of(Episode.objects.get(code="MARRAM-102"), date(2026, 11, 25))
    assert (row.state, row.latest.number) == (FilingState.FILED, 1)
    assert [filed.whom for filed in row.filings] == ["Estuary Television", "PRS"]


def test_credits_and_label_copy_have_what_they_show(demo):
    terms = CreditTerm.objects.exclude(wording="")
    assert {bool(term.approved_on) for term in terms if term.approval_needed} == {True, False}
    assert Recording.objects.exclude(p_owner="").exclude(c_owner="").exclude(samples="").exists()
    assert Recording.objects.filter(p_owner="", public_domain=False).exists()
