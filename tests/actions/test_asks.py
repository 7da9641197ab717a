"""Asking keeps the question; a usage that outgrows it is asked again, and nothing is lost."""

import pytest
from django.utils import timezone

from supervision.actions.asks import set_template
from supervision.actions.clearance import request_clearance
from supervision.actions.holders import renew_clearances
from supervision.actions.spotting import change_usage
from supervision.models import AskTemplate, AuditEntry, Clearance
from supervision.rules.clearance import Side, Stage
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue, NotAllowed
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import WorkFactory, WorkShareFactory
from tests.factories.clearance import QuoteFactory
from tests.factories.productions import ProductionFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
START = 25 * 3600 * 10


@pytest.fixture
def usage():
    work = WorkFactory()
    WorkShareFactory(work=work)
    return UsageFactory(work=work, scene="On the pier", placed=(START, START + 250))


@pytest.fixture
def supervisor(usage):
    return MembershipFactory(production=usage.episode.season.production).user


def asked(usage, by, stage=Stage.REQUESTED):
    renew_clearances(usage=usage, by=by, now=NOW)
    draft = usage.clearances.get(side=Side.SYNC)
    clearance = request_clearance(clearance=draft, by=by, now=NOW)
    if stage > Stage.REQUESTED:
        quote = QuoteFactory(clearance=clearance)
        Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote)
    return Clearance.objects.get(pk=clearance.pk)


def test_asking_keeps_the_question(usage, supervisor):
    # 250 frames at 25 are 10 s; common practice, no published source
    kept = asked(usage, supervisor).asked
    assert (kept["seconds"], kept["uses"], kept["scene"]) == (10, 1, "On the pier")


@pytest.mark.parametrize("stage", [Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED])
def test_longer_usage_reopens_and_keeps_the_quote_in_history(usage, supervisor, stage):
    clearance = asked(usage, supervisor, stage)
    quotes = clearance.quotes.count()
    change_usage(usage=usage, fields={"span": Span(START, START + 500)}, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert (clearance.stage, clearance.standing_quote, clearance.quotes.count()) == (Stage.DRAFT, None, quotes)
    assert clearance.stage_note == "It is 0:20 long now; it was asked for up to 0:10."
    assert AuditEntry.objects.filter(object_id=clearance.pk, verb="re-opened").count() == 1


def test_shorter_usage_leaves_the_clearance(usage, supervisor):
    clearance = asked(usage, supervisor, Stage.QUOTED)
    change_usage(usage=usage, fields={"span": Span(START, START + 100)}, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert clearance.stage == Stage.QUOTED


def test_licensed_clearance_is_left_to_the_proof(usage, supervisor):
    clearance = asked(usage, supervisor, Stage.LICENSED)
    change_usage(usage=usage, fields={"span": Span(START, START + 500)}, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert clearance.stage == Stage.LICENSED


def test_second_use_of_the_song_in_the_episode_reopens_the_first_when_it_changes(usage, supervisor):
    clearance = asked(usage, supervisor)
    UsageFactory(episode=usage.episode, work=usage.work)
    change_usage(usage=usage, fields={"notes": "again in reel 3"}, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert clearance.stage == Stage.DRAFT


def test_template_is_set_and_changed_in_canonical_words():
    production = ProductionFactory()
    by = MembershipFactory(production=production, role=Role.COORDINATOR).user
    fields = {"media": "ALL MEDIA", "territory": "world excl. us, ca", "term": "5 years"}
    first = set_template(production=production, side=Side.SYNC, fields=fields, version=None, by=by, now=NOW)
    second = set_template(
        production=production, side=Side.SYNC, fields=fields | {"term": "10 years"}, version=1, by=by, now=NOW
    )
    assert (first.territory, second.term, AskTemplate.objects.count()) == ("World excl. CA, US", "10 years", 1)


def test_template_with_unknown_media_is_refused():
    production = ProductionFactory()
    by = MembershipFactory(production=production).user
    with pytest.raises(BadValue):
        set_template(
            production=production,
            side=Side.SYNC,
            fields={"media": "gramophone", "territory": "World"},
            version=None,
            by=by,
            now=NOW,
        )


def test_template_by_viewer_is_refused():
    production = ProductionFactory()
    by = MembershipFactory(production=production, role=Role.VIEWER).user
    with pytest.raises(NotAllowed):
        set_template(
            production=production,
            side=Side.SYNC,
            fields={"media": "all media", "territory": "World"},
            version=None,
            by=by,
            now=NOW,
        )
