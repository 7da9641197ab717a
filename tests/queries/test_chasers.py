"""Which reminders are due, and what they remind of."""

from datetime import UTC, date, datetime, timedelta

import pytest

from supervision.actions.letters import send_letters
from supervision.models import AskTemplate, Clearance
from supervision.queries.chasers import due_chasers
from supervision.rules.clearance import Stage
from supervision.rules.letter import FirstLetter, LetterKind
from tests.factories.accounts import MembershipFactory
from tests.factories.paper import episode_with_music, more_music

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
TODAY = date(2026, 11, 25)


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def coordinator(episode):
    return MembershipFactory(production=episode.season.production, role="coordinator").user


def ask(episode, by, days_ago=7, **more):
    return send_letters(episode=episode, by=by, now=NOW - timedelta(days=days_ago), **more)


def template(episode, side="sync", **more):
    return AskTemplate.objects.create(production=episode.season.production, side=side, media="all media", **more)


def test_reminder_is_due_a_week_after_the_request(episode, coordinator):
    first, other = ask(episode, coordinator)
    assert due_chasers(episode, TODAY - timedelta(days=1)) == []
    chasers = due_chasers(episode, TODAY, answer_by=date(2026, 12, 1))
    assert [(letter.first_pk, letter.key) for letter in chasers] == [
        (first.pk, f"{first.holder_id}-sync-{first.pk}"),
        (other.pk, f"{other.holder_id}-master-{other.pk}"),
    ]
    facts = chasers[0].facts
    assert facts.kind is LetterKind.CHASER
    assert facts.first == FirstLetter(reference="WEIR-101/S-0001", dated=date(2026, 11, 18))
    assert (facts.answer_by, chasers[0].last_written, chasers[0].uses) == (date(2026, 12, 1), date(2026, 11, 18), 2)


def test_template_of_the_side_says_after_how_many_days(episode, coordinator):
    template(episode, chase_days=3)
    template(episode, "master", chase_days=10)
    ask(episode, coordinator, days_ago=5)
    assert [letter.side for letter in due_chasers(episode, TODAY)] == ["sync"]


def test_who_has_answered_is_not_reminded(episode, coordinator):
    first, _ = ask(episode, coordinator)
    answered = first.clearances.order_by("pk")[0]
    Clearance.objects.filter(pk=answered.pk).update(stage=Stage.DENIED)
    sync, _ = due_chasers(episode, TODAY)
    assert [clearance.pk for clearance in sync.clearances] == [
        pk for pk in first.clearances.values_list("pk", flat=True) if pk != answered.pk
    ]
    first.clearances.update(stage=Stage.WITHDRAWN)
    assert [letter.side for letter in due_chasers(episode, TODAY)] == ["master"]


def test_reminder_is_counted_from_the_last_letter(episode, coordinator):
    ask(episode, coordinator, days_ago=20)
    send_letters(episode=episode, kind=LetterKind.CHASER, by=coordinator, now=NOW - timedelta(days=6))
    assert due_chasers(episode, TODAY) == []
    again = due_chasers(episode, TODAY + timedelta(days=1))
    assert [letter.facts.first.reference for letter in again] == ["WEIR-101/S-0001", "WEIR-101/M-0002"]
    assert {letter.last_written for letter in again} == {date(2026, 11, 19)}


def test_reminder_asks_what_was_asked_in_its_language(episode, coordinator):
    ask(episode, coordinator, language="fr", rights={"territory": "Benelux"})
    facts = due_chasers(episode, TODAY)[0].facts
    assert (facts.language, facts.rights.territory, facts.rights.term) == ("fr", "Benelux", "à perpétuité")
    assert due_chasers(episode, TODAY, language="en")[0].facts.language == "en"


def test_holder_asked_without_a_letter_is_not_reminded(episode):
    Clearance.objects.update(stage=Stage.REQUESTED)
    assert due_chasers(episode, TODAY) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(episode, coordinator, usages, django_assert_num_queries):
    more_music(episode, usages)
    ask(episode, coordinator)
    with django_assert_num_queries(7):
        assert len(due_chasers(episode, TODAY)) == usages + 2
