"""The next candidate takes the place of a denied song, and the trail stays."""

import pytest
from django.utils import timezone

from supervision.actions.holders import renew_clearances
from supervision.actions.shortlists import (
    add_candidate,
    change_candidate,
    choose_candidate,
    prefer_candidate,
    remove_candidate,
)
from supervision.models import Candidate, Clearance
from supervision.rules.clearance import Stage
from supervision.rules.errors import Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import WorkFactory, WorkShareFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))


def published(title):
    work = WorkFactory(title=title)
    WorkShareFactory(work=work, party__name=f"{title} Music")
    return work


@pytest.fixture
def usage():
    return UsageFactory(work=published("Velvet"))


@pytest.fixture
def supervisor(usage):
    user = MembershipFactory(production=usage.episode.season.production).user
    renew_clearances(usage=usage, by=user, now=NOW)
    return user


def considered(usage, by, work, **fields):
    return add_candidate(usage=usage, fields={"work": work} | fields, by=by, now=NOW)


def denied(usage):
    sync = usage.clearances.get(side="sync")
    Clearance.objects.filter(pk=sync.pk).update(stage=Stage.DENIED, stage_note="Too sad")
    return sync


def test_candidates_stand_in_the_order_they_came(usage, supervisor):
    for title in ("A", "B"):
        considered(usage, supervisor, published(title))
    assert [str(found) for found in usage.candidates.order_by("position")] == ["A", "B"]


def test_preferred_candidate_moves_up(usage, supervisor):
    considered(usage, supervisor, published("A"))
    second = considered(usage, supervisor, published("B"))
    prefer_candidate(candidate=second, by=supervisor, now=NOW)
    assert [str(found) for found in usage.candidates.order_by("position")] == ["B", "A"]


def test_chosen_candidate_replaces_the_denied_song_and_keeps_the_trail(usage, supervisor):
    first = denied(usage)
    next_one = considered(usage, supervisor, published("Calm"), sync_estimate_minor=90_000, estimate_currency="EUR")
    chosen = choose_candidate(candidate=next_one, by=supervisor, now=NOW)
    first.refresh_from_db()
    assert (str(chosen.work), chosen.sync_estimate_minor, chosen.estimate_currency) == ("Calm", 90_000, "EUR")
    assert (first.stage, first.retired_at) == (Stage.DENIED, NOW)
    assert [str(found.holder) for found in chosen.clearances.filter(retired_at=None, side="sync")] == ["Calm Music"]
    trail = {str(found): (found.outcome, found.notes) for found in Candidate.objects.all()}
    assert trail == {"Calm": ("chosen", ""), "Velvet": ("passed", "Velvet Music refused: Too sad")}


def test_passed_over_song_can_be_chosen_again(usage, supervisor):
    choose_candidate(candidate=considered(usage, supervisor, published("Calm")), by=supervisor, now=NOW)
    usage.refresh_from_db()
    back = choose_candidate(candidate=Candidate.objects.get(work__title="Velvet"), by=supervisor, now=NOW)
    assert str(back.work) == "Velvet"


def test_title_alone_cannot_be_chosen(usage, supervisor):
    title = add_candidate(usage=usage, fields={"title": "Something slow"}, by=supervisor, now=NOW)
    with pytest.raises(Conflict, match="only a title yet"):
        choose_candidate(candidate=title, by=supervisor, now=NOW)


def test_decided_candidate_stays(usage, supervisor):
    chosen = considered(usage, supervisor, published("Calm"))
    choose_candidate(candidate=chosen, by=supervisor, now=NOW)
    chosen.refresh_from_db()
    with pytest.raises(Conflict, match="part of the trail"):
        remove_candidate(candidate=chosen, by=supervisor, now=NOW)


def test_open_candidate_is_removed(usage, supervisor):
    remove_candidate(candidate=considered(usage, supervisor, published("A")), by=supervisor, now=NOW)
    assert Candidate.objects.count() == 0


def test_stale_change_is_refused(usage, supervisor):
    candidate = considered(usage, supervisor, published("A"))
    change_candidate(candidate=candidate, fields={"notes": "first"}, version=1, by=supervisor, now=NOW)
    with pytest.raises(StaleEdit):
        change_candidate(candidate=candidate, fields={"notes": "second"}, version=1, by=supervisor, now=NOW)


def test_composer_considers_songs_but_says_no_estimates(usage):
    composer = MembershipFactory(production=usage.episode.season.production, role=Role.COMPOSER).user
    assert considered(usage, composer, published("A")).pk
    with pytest.raises(NotAllowed):
        considered(usage, composer, published("B"), sync_estimate_minor=1, estimate_currency="EUR")


def test_viewer_considers_nothing(usage):
    viewer = MembershipFactory(production=usage.episode.season.production, role=Role.VIEWER).user
    with pytest.raises(NotAllowed):
        considered(usage, viewer, published("A"))
