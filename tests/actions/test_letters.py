"""Sending letters: what is frozen, what becomes requested, and what is refused."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from supervision.actions.letters import send_letters
from supervision.models import AskTemplate, AuditEntry, Clearance, Letter
from supervision.queries.letters import content_of, open_letters
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import BadValue, Conflict, NotAllowed, NotVisible
from supervision.rules.frozen import digest
from supervision.rules.letter import LetterKind, Offer, usual_rights
from supervision.rules.money import Money
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101")


@pytest.fixture
def coordinator(episode):
    return MembershipFactory(production=episode.season.production, role="coordinator").user


@pytest.fixture
def holder(episode):
    """A publisher asked about two uses, and a label about one."""
    holder = PartyFactory(name="Reed Harbour Music")
    for number in (1, 2):
        ClearanceFactory(usage=UsageFactory(episode=episode, cue_number=f"{number}M1"), holder=holder)
    ClearanceFactory(
        usage=UsageFactory(episode=episode, cue_number="3M1"),
        side=Side.MASTER,
        work=None,
        recording=RecordingFactory(),
        holder=PartyFactory(name="Weirside Records"),
    )
    return holder


def test_all_open_letters_are_sent_and_their_clearances_requested(episode, coordinator, holder):
    letters = send_letters(episode=episode, by=coordinator, now=NOW, answer_by=date(2026, 12, 9))
    assert [(letter.reference, letter.side, letter.holder.name) for letter in letters] == [
        ("WEIR-101/S-0001", "sync", "Reed Harbour Music"),
        ("WEIR-101/M-0002", "master", "Weirside Records"),
    ]
    assert [letter.clearances.count() for letter in letters] == [2, 1]
    for letter in letters:
        for clearance in letter.clearances.all():
            assert (clearance.stage, clearance.answer_due) == (Stage.REQUESTED, date(2026, 12, 9))
    assert open_letters(episode) == []


def test_letter_is_frozen_as_it_was_sent(episode, coordinator, holder):
    rights = {"media": "free television", "territory": "World excl. US", "term": "five years", "promotion": "none"}
    sent = send_letters(episode=episode, by=coordinator, now=NOW, rights=rights)[0]
    kept = Letter.objects.get(pk=sent.pk)
    holder.name = "Renamed"
    holder.save()
    content = content_of(kept)
    assert content.rights == replace(usual_rights("series"), **rights)
    assert content.addressee.name == "Reed Harbour Music"
    assert (content.dated, content.reference) == (date(2026, 11, 25), kept.reference)
    assert kept.digest == digest(kept.payload)
    assert (kept.sent_by, kept.sent_at) == (coordinator, NOW)


def test_only_the_chosen_letters_are_sent(episode, coordinator, holder):
    send_letters(episode=episode, by=coordinator, now=NOW, keys=[f"{holder.pk}-sync"])
    assert [letter.holder.name for letter in open_letters(episode)] == ["Weirside Records"]


def test_references_count_on(episode, coordinator, holder):
    first = send_letters(episode=episode, by=coordinator, now=NOW, keys=[f"{holder.pk}-sync"])
    second = send_letters(episode=episode, by=coordinator, now=NOW)
    assert [letter.reference for letter in first + second] == ["WEIR-101/S-0001", "WEIR-101/M-0002"]


def test_sending_is_written_down(episode, coordinator, holder):
    send_letters(episode=episode, by=coordinator, now=NOW, keys=[f"{holder.pk}-sync"])
    told = AuditEntry.objects.order_by("pk").values_list("verb", "object_type", "by", "production")
    production = episode.season.production_id
    assert list(told) == [
        ("created", "letter", coordinator.pk, production),
        ("made requested", "clearance", coordinator.pk, production),
        ("made requested", "clearance", coordinator.pk, production),
    ]


def test_letter_that_is_no_longer_open_sends_nothing(episode, coordinator, holder):
    with pytest.raises(Conflict, match="no longer open"):
        send_letters(episode=episode, by=coordinator, now=NOW, keys=[f"{holder.pk}-sync", f"{holder.pk}-master"])
    assert Letter.objects.count() == 0


def test_choosing_no_letter_is_refused(episode, coordinator, holder):
    with pytest.raises(Conflict, match="No letter is chosen"):
        send_letters(episode=episode, by=coordinator, now=NOW, keys=[])


def test_episode_with_nobody_to_ask_is_refused(episode, coordinator):
    with pytest.raises(Conflict, match="nobody to write to"):
        send_letters(episode=episode, by=coordinator, now=NOW)


def test_answer_before_the_letter_is_refused(episode, coordinator, holder):
    with pytest.raises(BadValue) as refused:
        send_letters(episode=episode, by=coordinator, now=NOW, answer_by=date(2026, 11, 24))
    assert refused.value.place == "answer_by"


@pytest.mark.parametrize("role", ["composer", "finance", "viewer"])
def test_role_that_may_not_ask_is_refused(episode, holder, role):
    user = MembershipFactory(production=episode.season.production, role=role).user
    with pytest.raises(NotAllowed):
        send_letters(episode=episode, by=user, now=NOW)
    assert Letter.objects.count() == 0


def test_stranger_sees_no_episode(episode, holder):
    with pytest.raises(NotVisible):
        send_letters(episode=episode, by=UserFactory(), now=NOW)


def test_request_keeps_what_was_asked_and_offered_in_its_language(episode, coordinator, holder):
    Clearance.objects.filter(side="sync").update(offered_minor=150_000, offered_currency="USD")
    AskTemplate.objects.create(
        production=episode.season.production,
        side="sync",
        media="all media",
        options="soundtrack\n\n in-context promotion \n",
        favoured_offered=True,
        closing="The cut is locked.",
    )
    sent = send_letters(
        episode=episode,
        by=coordinator,
        now=NOW,
        keys=[f"{holder.pk}-sync"],
        rights={"term": "9 years"},
        language="fr",
    )[0]
    content = content_of(sent)
    assert (sent.kind, sent.language, content.language) == ("request", "fr", "fr")
    assert content.rights.options == ("album de la bande originale", "promotion avec la scène (in-context)")
    assert (content.rights.media, content.rights.term) == ("tous médias", "9 ans")
    assert content.rights.remarks == "The cut is locked."
    assert content.songs[0].uses[0].offers == (Offer(amount=Money(150_000, "USD")),)
    assert content.fee.startswith("Nous offrons les prix")
    assert "nation la plus favorisée" in content.fee


def test_production_says_in_which_language_letters_are_written(episode, coordinator, holder):
    production = episode.season.production
    production.letter_language = "fr"
    production.save()
    assert send_letters(episode=episode, by=coordinator, now=NOW)[0].language == "fr"


def test_language_that_letters_are_not_written_in_is_refused(episode, coordinator, holder):
    with pytest.raises(BadValue, match="not written in"):
        send_letters(episode=episode, by=coordinator, now=NOW, language="de")
    assert Letter.objects.count() == 0


def test_chaser_is_recorded_and_moves_the_day_and_no_stage(episode, coordinator, holder):
    first, _ = send_letters(episode=episode, by=coordinator, now=NOW, answer_by=date(2026, 12, 1))
    later = NOW + timedelta(days=8)
    key = f"{holder.pk}-sync-{first.pk}"
    (chaser,) = send_letters(
        episode=episode, kind=LetterKind.CHASER, by=coordinator, now=later, keys=[key], answer_by=date(2026, 12, 10)
    )
    content = content_of(chaser)
    assert (chaser.kind, chaser.reference, content.first.reference) == ("chaser", "WEIR-101/S-0003", first.reference)
    assert set(chaser.clearances.values_list("stage", "answer_due")) == {(Stage.REQUESTED, date(2026, 12, 10))}
    assert list(AuditEntry.objects.filter(verb="reminded").values_list("object_type", flat=True)) == ["clearance"] * 2


def test_chaser_without_a_new_day_leaves_the_old_one(episode, coordinator, holder):
    send_letters(episode=episode, by=coordinator, now=NOW, answer_by=date(2026, 12, 1))
    send_letters(episode=episode, kind=LetterKind.CHASER, by=coordinator, now=NOW + timedelta(days=8))
    assert set(Clearance.objects.values_list("stage", "answer_due")) == {(Stage.REQUESTED, date(2026, 12, 1))}


def test_nobody_is_reminded_twice_on_a_day(episode, coordinator, holder):
    send_letters(episode=episode, by=coordinator, now=NOW)
    later = NOW + timedelta(days=8)
    send_letters(episode=episode, kind=LetterKind.CHASER, by=coordinator, now=later)
    with pytest.raises(Conflict, match="nobody to write to"):
        send_letters(episode=episode, kind=LetterKind.CHASER, by=coordinator, now=later)


def test_confirmation_is_recorded_with_its_terms_and_changes_no_stage(episode, coordinator, holder):
    clearance = Clearance.objects.filter(side="sync").order_by("pk")[0]
    quote = QuoteFactory(clearance=clearance)
    Clearance.objects.filter(pk=clearance.pk).update(stage=Stage.APPROVED, standing_quote=quote)
    (sent,) = send_letters(episode=episode, kind=LetterKind.CONFIRMATION, by=coordinator, now=NOW)
    content = content_of(sent)
    assert (sent.kind, list(sent.clearances.all())) == ("confirmation", [clearance])
    assert content.songs[0].uses[0].accepted[0].payable == Money(500_000, "USD")
    assert content.countersign[1] == "Confirmed for Reed Harbour Music"
    clearance.refresh_from_db()
    assert clearance.stage == Stage.APPROVED


@pytest.mark.parametrize("kind", LetterKind)
@pytest.mark.parametrize("role", ["composer", "finance", "viewer"])
def test_no_kind_is_sent_by_a_role_that_may_not_ask(episode, holder, role, kind):
    user = MembershipFactory(production=episode.season.production, role=role).user
    with pytest.raises(NotAllowed):
        send_letters(episode=episode, kind=kind, by=user, now=NOW)
