"""Home: groups of what needs a person, each line with the deed that comes next."""

from datetime import UTC, date, datetime

import pytest
import time_machine
from django.urls import reverse

from supervision.models import Clearance, Episode, Membership
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import CutFactory
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
TODAY = datetime(2026, 11, 26, 12, tzinfo=UTC)


@pytest.fixture
def season():
    season = season_of(2, episodes=1)
    Episode.objects.update(air_date="2026-12-03")
    return season


@pytest.fixture
def user(season, client):
    user = MembershipFactory(production=season.production).user
    client.force_login(user)
    return user


@pytest.fixture
def groups(client, user):
    """A call that gives the groups of the home page, by key."""

    def read():
        with time_machine.travel(TODAY, tick=False):
            response = client.get(reverse("home"))
        assert response.status_code == 200
        return {group.key: group for group in response.context["groups"]}

    return read


def lines(group):
    return [(need.day, need.standing, need.deed, need.late) for need in group.needs]


def test_groups_stand_in_the_order_in_which_they_cost_air_time(groups):
    assert list(groups()) == ["blocked", "answers", "ending", "cuts", "filing"]


def test_blocked_episode_says_how_long_and_what(groups):
    assert lines(groups()["blocked"]) == [(date(2026, 12, 3), "in 7 days: 6 open", "Clear what is open", True)]
    Clearance.objects.filter(stage=Stage.DRAFT).update(stage=Stage.DENIED)
    Episode.objects.update(air_date="2026-12-24")
    assert lines(groups()["blocked"]) == [
        (date(2026, 12, 24), "in 28 days: 6 open, 2 denied", "Replace what was denied", False)
    ]


def test_answers_due_late_ones_first_and_those_far_off_not_at_all(groups):
    first, second = Clearance.objects.filter(stage=Stage.DRAFT).order_by("pk")
    Clearance.objects.filter(pk=first.pk).update(stage=Stage.REQUESTED, answer_due="2026-11-25")
    Clearance.objects.filter(pk=second.pk).update(stage=Stage.REQUESTED, answer_due="2026-11-27")
    found = groups()["answers"]
    assert lines(found) == [
        (date(2026, 11, 25), "1 day late", "Chase, or record the answer", True),
        (date(2026, 11, 27), "tomorrow", "Chase, or record the answer", False),
    ]
    assert (found.total, found.late, found.more) == (2, 1, 0)
    assert found.needs[0].url == reverse("clearance", args=[first.pk])
    Clearance.objects.filter(pk=second.pk).update(answer_due="2026-12-11")
    assert groups()["answers"].total == 1


def test_quotes_that_run_out(groups):
    quoted = Clearance.objects.filter(stage=Stage.QUOTED).order_by("pk").first()
    quoted.standing_quote.valid_until = date(2026, 11, 26)
    quoted.standing_quote.save()
    assert lines(groups()["ending"]) == [(date(2026, 11, 26), "today", "Approve, or ask to extend", False)]


def test_cut_that_left_music_behind_leads_to_what_changed(groups, season):
    episode = season.episodes.get()
    episode.current_cut = CutFactory(episode=episode, number=2, label="Fine cut")
    episode.save()
    [need] = groups()["cuts"].needs
    assert need.standing == f"2 usages have no place in {episode.current_cut}"
    assert need.url == reverse("episode-last-recut", args=[episode.code, 2])


def test_cue_sheet_to_be_filed(groups, season):
    Episode.objects.update(air_date="2026-11-01")
    season.production.filing_days = 30
    season.production.save()
    assert lines(groups()["filing"]) == [(date(2026, 12, 1), "in 5 days", "Check and issue it", False)]


def test_deeds_are_those_of_the_role(groups, user):
    """A viewer is sent to look, not to ask or to issue."""
    first = Clearance.objects.filter(stage=Stage.DRAFT).order_by("pk").first()
    Clearance.objects.filter(pk=first.pk).update(stage=Stage.REQUESTED, answer_due="2026-11-27")
    assert [groups()[key].needs[0].deed for key in ("blocked", "answers")] == [
        "Clear what is open",
        "Chase, or record the answer",
    ]
    Membership.objects.filter(user=user).update(role=Role.VIEWER)
    assert [groups()[key].needs[0].deed for key in ("blocked", "answers")] == ["See how it stands"] * 2


def test_somebody_without_a_production_is_told_what_to_do(client):
    client.force_login(UserFactory())
    assert "A supervisor adds you" in client.get(reverse("home")).content.decode()


def test_nothing_that_needs_anybody(client, user):
    Episode.objects.update(air_date=None)
    assert "Nothing needs you today" in client.get(reverse("home")).content.decode()


def test_staff_without_a_production_may_begin_one(client):
    client.force_login(UserFactory(is_staff=True))
    page = client.get(reverse("home")).content.decode()
    assert f'href="{reverse("production-new")}">Begin a production</a>' in page
    assert reverse("deadlines") + '">All deadlines' not in page
