"""What if: an episode beside what it would be, with not one row changed."""

from datetime import UTC, date, datetime

import pytest
from django.apps import apps

from supervision.actions.holders import renew_clearances
from supervision.actions.what_if import rehearse
from supervision.models import BudgetLine, Candidate, Clearance, ReleaseWindow
from supervision.queries.what_if import alternatives_of, change_of
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadValue, NotAllowed, NotVisible
from supervision.rules.money import Money
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.clearance import QuoteFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def usd(minor):
    return Money(minor, "USD")


def song(title, publisher, label):
    work = WorkFactory(title=title)
    WorkShareFactory(work=work, party=publisher, control=100)
    recording = RecordingFactory(title=title, works=[work])
    RecordingShareFactory(recording=recording, party=label, share=100)
    return recording


@pytest.fixture
def episode():
    """Song A is quoted at 5,000 a side, ending in December; B is estimated at 700 and 300; there is a plan and a budget."""
    episode = EpisodeFactory()
    start = episode.current_cut.start_frame
    first = UsageFactory(
        episode=episode,
        cue_number="1M1",
        recording=song("A", PartyFactory(name="Weir Songs"), PartyFactory(name="Weir Records")),
        sync_estimate_minor=400_000,
        estimate_currency="USD",
        placed=(start, start + 500),
    )
    second = UsageFactory(
        episode=episode,
        cue_number="1M2",
        recording=song("B", PartyFactory(), PartyFactory()),
        sync_estimate_minor=70_000,
        master_estimate_minor=30_000,
        estimate_currency="USD",
        placed=(start + 600, start + 900),
    )
    for usage in (first, second):
        renew_clearances(usage=usage, by=UserFactory(), now=NOW)
    for clearance in first.clearances.all():
        quote = QuoteFactory(clearance=clearance, valid_until=date(2026, 12, 10))
        Clearance.objects.filter(pk=clearance.pk).update(stage=Stage.QUOTED, standing_quote=quote)
    ReleaseWindow.objects.create(season=episode.season, media="SVOD", territory="World", starts_on=date(2027, 1, 1))
    BudgetLine.objects.create(season=episode.season, episode=episode, category="sync", amount_minor=1_000_000)
    return type(episode).objects.select_related("season__production", "current_cut").get()


@pytest.fixture
def finance(episode):
    return MembershipFactory(production=episode.season.production, role=Role.FINANCE).user


def tried(episode, by, *texts):
    changes = [change_of(each, text) for each, text in zip(alternatives_of(episode), texts, strict=False)]
    return rehearse(episode=episode, changes=[each for each in changes if each], by=by, now=NOW, today=TODAY)


def amounts(outcome):
    return {line.label: (line.before.minor, line.after.minor) for line in outcome.amounts}


def every_row():
    return {
        model.__name__: sorted(model.objects.values_list(), key=repr)
        for model in apps.get_app_config("supervision").get_models()
    }


def candidate(episode, **fields):
    song_of_it = song("C", PartyFactory(name="Mole Music"), PartyFactory(name="Mole Records"))
    return Candidate.objects.create(usage=episode.usages.get(cue_number="1M1"), recording=song_of_it, **fields)


def test_candidate_brings_its_estimates_and_its_holders(episode, finance):
    found = candidate(episode, sync_estimate_minor=90_000, master_estimate_minor=60_000, estimate_currency="USD")
    outcome = tried(episode, finance, f"C{found.pk}")
    # now: quotes 5,000 + 5,000 and estimates 700 + 300; then: 900 + 600 instead of the quotes
    assert amounts(outcome) == {
        "Committed": (0, 0),
        "Exposed": (1_000_000, 0),
        "Forecast": (1_100_000, 250_000),
        "Remaining": (1_000_000, 1_000_000),
        "Remaining as forecast": (-100_000, 750_000),
    }
    assert sorted((one.holder, one.side) for one in outcome.new_permissions) == [
        ("Mole Music", "Sync"),
        ("Mole Records", "Master"),
    ]
    assert sorted(one.holder for one in outcome.gone_permissions) == ["Weir Records", "Weir Songs"]


def test_quotes_that_fall_away_take_their_deadlines_along(episode, finance):
    outcome = tried(episode, finance, f"C{candidate(episode).pk}")
    assert [(each.day, each.kind) for each in outcome.gone_deadlines] == [(date(2026, 12, 10), "quote")] * 2
    assert outcome.new_deadlines == []


def test_gaps_follow_the_songs(episode, finance):
    outcome = tried(episode, finance, f"C{candidate(episode).pk}")
    assert outcome.closed_gaps == ["1M1 A, sync", "1M1 A, master"]
    assert outcome.new_gaps == ["1M1 C, sync", "1M1 C, master"]


def test_same_work_by_somebody_else_keeps_its_sync_quote(episode, finance):
    work = episode.usages.get(cue_number="1M1").recording.works.get()
    other = RecordingFactory(title="A again", works=[work])
    outcome = tried(episode, finance, f"A again · R{other.pk}")
    assert amounts(outcome)["Exposed"] == (1_000_000, 500_000)


def test_dropped_usage_costs_nothing_and_needs_nobody(episode, finance):
    outcome = tried(episode, finance, "drop")
    assert amounts(outcome)["Forecast"] == (1_100_000, 100_000)
    assert (len(outcome.gone_permissions), len(outcome.new_permissions)) == (2, 0)
    assert [each.words for each in outcome.changes] == ["1M1 A is dropped"]


def test_several_at_once(episode, finance):
    outcome = tried(episode, finance, "drop", "drop")
    assert (amounts(outcome)["Forecast"], outcome.after.open) == ((1_100_000, 0), ())


def test_not_one_row_changes(episode, finance):
    found = candidate(episode, sync_estimate_minor=90_000, estimate_currency="USD")
    before = every_row()
    outcome = tried(episode, finance, f"C{found.pk}", "drop")
    assert outcome.before.money.table != outcome.after.money.table
    assert every_row() == before


def test_no_change_is_the_same_before_and_after(episode, finance):
    outcome = tried(episode, finance)
    assert (outcome.before.money.table, outcome.before.open) == (outcome.after.money.table, outcome.after.open)


def test_without_budget_nothing_remains_to_be_told(episode, finance):
    BudgetLine.objects.all().delete()
    assert [line.change for line in tried(episode, finance, "drop").amounts][3:] == [None, None]


@pytest.mark.parametrize(("role", "refusal"), [(Role.VIEWER, NotAllowed), (Role.COMPOSER, NotAllowed)])
def test_who_may_not_see_money_is_refused(episode, role, refusal):
    user = MembershipFactory(production=episode.season.production, role=role).user
    with pytest.raises(refusal):
        tried(episode, user, "drop")


def test_strangers_see_nothing(episode):
    with pytest.raises(NotVisible):
        tried(episode, UserFactory(), "drop")


@pytest.mark.parametrize(
    ("text", "code"), [("C99999", "candidate-unknown"), ("R99999", "song-unknown"), ("a slow waltz", "song-unreadable")]
)
def test_text_that_means_nothing_is_refused(episode, text, code):
    with pytest.raises(BadValue) as refused:
        change_of(alternatives_of(episode)[0], text)
    assert (refused.value.code, refused.value.place) == (code, "song")


def test_work_alone_may_be_tried(episode, finance):
    work = WorkFactory(title="Low Tide")
    outcome = tried(episode, finance, f"W{work.pk}")
    assert [each.words for each in outcome.changes] == ["1M1 A becomes Low Tide"]
    # the sync estimate stays 4,000, and what is performed for the production has no master estimate
    assert amounts(outcome)["Forecast"] == (1_100_000, 500_000)
