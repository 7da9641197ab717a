"""Windows of release plans: added, changed, removed; and what is refused."""

from datetime import UTC, date, datetime

import pytest

from supervision.actions.releases import add_window, bring_window_back, change_window, remove_window
from supervision.models import AuditEntry, ReleaseWindow
from supervision.rules.errors import BadValue, Conflict, NotAllowed, NotVisible, StaleEdit
from supervision.rules.roles import Role
from supervision.rules.territory import WORLD
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.releases import WindowFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
FIELDS = {
    "media": "television, download",
    "territory": "Great Britain, Eire",
    "starts_on": date(2026, 12, 2),
    "ends_on": date(2031, 12, 2),
    "note": "first run",
}


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def coordinator(season):
    return MembershipFactory(production=season.production, role=Role.COORDINATOR).user


def test_window_is_stored_in_its_shortest_words_and_audited(season, coordinator):
    window = add_window(season=season, fields=FIELDS, by=coordinator, now=NOW)
    assert (window.media, window.territory, window.episode) == ("all TV + download", "IE + UK", None)
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.by, entry.after["territory"]) == ("created", coordinator, "IE + UK")


def test_window_of_an_episode_of_another_season_is_refused(season, coordinator):
    with pytest.raises(BadValue, match="is no episode of"):
        add_window(season=season, episode=EpisodeFactory(), fields=FIELDS, by=coordinator, now=NOW)


@pytest.mark.parametrize(
    ("fields", "place", "sentence"),
    [
        ({"media": "carrier pigeon"}, "media", "carrier pigeon"),
        ({"media": "SVOD excl. SVOD"}, "media", "No medium is left in it."),
        ({"territory": "Atlantis"}, "territory", "tlantis"),
        ({"territory": "UK excl. GB"}, "territory", "No country is left in it."),
        ({"ends_on": date(2026, 12, 2)}, "ends_on", "The window ends before it starts."),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(season, coordinator, fields, place, sentence):
    with pytest.raises(BadValue) as refused:
        add_window(season=season, fields=FIELDS | fields, by=coordinator, now=NOW)
    assert (refused.value.place, sentence in refused.value.text, bool(refused.value.mend)) == (place, True, True)
    assert ReleaseWindow.objects.count() == 0


def test_territory_too_long_in_words_is_refused(season, coordinator):
    every_other = ", ".join(sorted(WORLD.countries)[::2])
    with pytest.raises(BadValue, match="more than 300 characters"):
        add_window(season=season, fields=FIELDS | {"territory": every_other}, by=coordinator, now=NOW)


def test_window_that_stands_there_already_is_refused_however_it_is_written(season, coordinator):
    add_window(season=season, fields=FIELDS, by=coordinator, now=NOW)
    again = FIELDS | {"media": "all TV + download", "territory": "Ireland, UK"}
    with pytest.raises(Conflict, match="This window stands in the plan already"):
        add_window(season=season, fields=again, by=coordinator, now=NOW)


def test_changed_window_keeps_what_is_not_told(season, coordinator):
    window = WindowFactory(season=season, note="abroad")
    changed = change_window(window=window, fields={"media": "AVOD"}, version=1, by=coordinator, now=NOW)
    assert (changed.media, changed.territory, changed.note, changed.version) == ("AVOD", "World", "abroad", 2)


def test_stale_change_is_refused(season, coordinator):
    window = WindowFactory(season=season, version=3)
    with pytest.raises(StaleEdit):
        change_window(window=window, fields={"note": "x"}, version=2, by=coordinator, now=NOW)


def test_change_into_another_window_is_refused(season, coordinator):
    WindowFactory(season=season, media="AVOD")
    window = WindowFactory(season=season)
    with pytest.raises(Conflict, match="stands in the plan already"):
        change_window(window=window, fields={"media": "AVOD"}, version=1, by=coordinator, now=NOW)


def test_removed_window_stays_in_the_audit(season, coordinator):
    remove_window(window=WindowFactory(season=season), by=coordinator, now=NOW)
    entry = AuditEntry.objects.get()
    assert (ReleaseWindow.objects.count(), entry.verb, entry.before["media"]) == (0, "removed", "SVOD")


def test_removed_window_comes_back_as_it_was_once(season, coordinator):
    window = WindowFactory(season=season)
    number, was = window.pk, ReleaseWindow.objects.values().get()
    line = remove_window(window=window, by=coordinator, now=NOW)
    viewer = MembershipFactory(production=season.production, role=Role.VIEWER).user
    with pytest.raises(NotAllowed):
        bring_window_back(removed=line, by=viewer, now=NOW)
    assert bring_window_back(removed=line, by=coordinator, now=NOW).pk == number
    assert ReleaseWindow.objects.values().get() == was
    with pytest.raises(Conflict):
        bring_window_back(removed=line, by=coordinator, now=NOW)


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.FINANCE, Role.VIEWER])
def test_plan_is_not_for_every_role(season, role):
    user = MembershipFactory(production=season.production, role=role).user
    window = WindowFactory(season=season)
    for deed, told in ((add_window, {"season": season, "fields": FIELDS}), (remove_window, {"window": window})):
        with pytest.raises(NotAllowed):
            deed(**told, by=user, now=NOW)
    with pytest.raises(NotAllowed):
        change_window(window=window, fields={}, version=1, by=user, now=NOW)


def test_plan_of_somebody_else_s_production_is_not_there(season):
    with pytest.raises(NotVisible):
        add_window(season=season, fields=FIELDS, by=UserFactory(), now=NOW)
