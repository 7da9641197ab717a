"""Profiles that people make; which one an episode goes by; and what programmes say for their sheets."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from supervision.actions.cue_sheet_profiles import add_profile, change_profile, remove_profile
from supervision.actions.productions import change_episode, change_production
from supervision.models import AuditEntry, CueSheetProfile, Episode
from supervision.queries.cue_sheet_profiles import (
    check_choice,
    chosen_profile,
    house_profiles,
    known_profile,
    own_profile,
    profiles,
    said_by_the_house,
)
from supervision.rules.cue_sheet_profile import FIRST
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, NotVisible, StaleEdit
from supervision.rules.frozen import to_plain
from supervision.rules.sentence import Sentence
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import EpisodeFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
COPY = replace(house_profiles()[1], code="north-sea", name="North Sea")


@pytest.fixture
def supervisor():
    return MembershipFactory().user


@pytest.fixture
def own(supervisor):
    return add_profile(profile=COPY, by=supervisor, now=NOW)


def test_page_tells_what_every_profile_of_the_house_says():
    said = [said_by_the_house(text) for one in (FIRST, *house_profiles()) for text in (one.name, one.description)]
    assert [text for text in said if not isinstance(text, Sentence)] == []
    assert said_by_the_house("North Sea") == "North Sea"


def test_copy_is_kept_whole_and_listed_after_those_of_the_house(own):
    assert own.body == to_plain(COPY)
    assert own_profile("north-sea") == (own, COPY)
    assert [known.profile.code for known in profiles()] == [*(one.code for one in house_profiles()), "north-sea"]


def test_code_of_the_house_or_of_another_is_refused(own, supervisor):
    with pytest.raises(BadValue, match="profile of the house"):
        add_profile(profile=replace(COPY, code="international"), by=supervisor, now=NOW)
    with pytest.raises(BadRow, match="Another profile has this code"):
        add_profile(profile=COPY, by=supervisor, now=NOW)


def test_change_is_written_down_and_stale_one_refused(own, supervisor):
    changed = replace(COPY, roll_up=True)
    row = change_profile(row=own, profile=changed, version=own.version, by=supervisor, now=NOW)
    assert own_profile("north-sea") == (row, changed)
    assert AuditEntry.objects.latest("pk").before["body"]["roll_up"] is False
    with pytest.raises(StaleEdit):
        change_profile(row=own, profile=COPY, version=own.version, by=supervisor, now=NOW)


def test_profile_of_the_house_is_never_changed():
    with pytest.raises(Conflict, match="Copy it"):
        own_profile("us-practice")


@pytest.mark.parametrize("role", ["coordinator", "viewer"])
def test_role_that_manages_nothing_may_not(own, role):
    user = MembershipFactory(role=role).user
    for deed in (
        lambda: add_profile(profile=replace(COPY, code="other"), by=user, now=NOW),
        lambda: change_profile(row=own, profile=COPY, version=None, by=user, now=NOW),
        lambda: remove_profile(row=own, by=user, now=NOW),
    ):
        with pytest.raises(NotAllowed):
            deed()


def test_removed_profile_falls_back_to_the_next_choice_and_frees_its_code(own, supervisor):
    episode = EpisodeFactory(sheet_profile="north-sea", season__production__sheet_profile="us-practice")
    assert chosen_profile(episode) == COPY
    remove_profile(row=own, by=supervisor, now=NOW)
    assert chosen_profile(episode).code == "us-practice"
    with pytest.raises(NotVisible):
        known_profile("north-sea")
    assert add_profile(profile=COPY, by=supervisor, now=NOW).pk != own.pk


def test_episode_goes_by_its_own_choice_then_the_productions_then_the_houses():
    episode = EpisodeFactory()
    assert chosen_profile(episode).code == "international"
    episode.season.production.sheet_profile = "european-practice"
    assert chosen_profile(episode).code == "european-practice"
    episode.sheet_profile = "us-practice"
    assert chosen_profile(episode).code == "us-practice"
    assert chosen_profile(episode, "european-french").code == "european-french"


def test_choice_that_there_is_not_is_refused():
    check_choice("")
    with pytest.raises(BadValue) as refused:
        check_choice("moon")
    assert refused.value.place == "sheet_profile"


# --- what programmes say ------------------------------------------------------------------------------------------


def told(episode, **fields):
    by = MembershipFactory(production=episode.season.production).user
    return change_episode(episode=episode, fields=fields, version=None, by=by, now=NOW)


def test_programme_keeps_titles_countries_and_profile():
    titles = [{"title": " Marée  haute ", "language": "fr"}, {"title": "Ebb"}]
    episode = told(EpisodeFactory(), alternative_titles=titles, broadcast_country="gb", sheet_profile="us-practice")
    assert episode.alternative_titles == [{"title": "Marée haute", "language": "fr"}, {"title": "Ebb", "language": ""}]
    assert (episode.broadcast_country, episode.sheet_profile) == ("GB", "us-practice")
    assert [title.text for title in episode.other_titles] == ["Marée haute [fr]", "Ebb"]


@pytest.mark.parametrize(
    ("fields", "place"),
    [
        ({"alternative_titles": [{"title": "", "language": "fr"}]}, "alternative_titles"),
        ({"alternative_titles": [{"title": "Ebb", "language": "not a tag"}]}, "alternative_titles"),
        ({"alternative_titles": [{"title": "x" * 301}]}, "alternative_titles"),
        ({"broadcast_country": "XX"}, "broadcast_country"),
        ({"sheet_profile": "moon"}, "sheet_profile"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place(fields, place):
    with pytest.raises(BadValue) as refused:
        told(EpisodeFactory(), **fields)
    assert refused.value.place == place
    assert Episode.objects.get().version == 1


def test_country_of_a_production_is_one_there_is():
    episode = EpisodeFactory()
    production = episode.season.production
    by = MembershipFactory(production=production).user
    with pytest.raises(BadValue, match="“ZZ” is no country"):
        change_production(production=production, fields={"country": "ZZ"}, version=None, by=by, now=NOW)


def test_stranger_makes_no_profile():
    with pytest.raises(NotAllowed):
        add_profile(profile=COPY, by=UserFactory(), now=NOW)
    assert CueSheetProfile.objects.count() == 0
