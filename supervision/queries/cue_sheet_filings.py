"""Filing: with whom each episode's sheet is filed, by when it has to be, and what is late."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, Q, QuerySet

from supervision.models import CueSheetFiling, CueSheetRevision, Episode, ReleaseWindow, Season, User
from supervision.models.rows import LIVE
from supervision.queries.cue_sheet_profiles import house_profiles, profiles
from supervision.queries.rows import row_for
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.errors import NotVisible
from supervision.rules.filing import Due, FilingState, IssuedSheet, earliest_due, filing_state
from supervision.rules.media import Media, Medium
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.territory import Territory
from supervision.rules.territory_atlas import BITS


@dataclass(frozen=True, slots=True, kw_only=True)
class EpisodeFiling:
    """How an episode's filing stands; ``filings`` are those of all its revisions, newest first."""

    episode: Episode
    profile: SheetProfile
    latest: CueSheetRevision | None
    filings: tuple[CueSheetFiling, ...]
    due: Due | None
    state: FilingState
    today: date

    @property
    def late(self) -> bool:
        """Whether its day is past and it is filed with nobody."""
        return self.due is not None and self.due.day < self.today and not self.filings

    @property
    def with_whom(self) -> dict[str, CueSheetFiling]:
        """The newest filing by the name of whom it is with."""
        found: dict[str, CueSheetFiling] = {}
        for filing in self.filings:
            found.setdefault(filing.whom, filing)
        return found


def season_filings(season: Season, today: date) -> list[EpisodeFiling]:
    """How each episode of a season stands, late ones first, then by the day they are due. Five queries."""
    found = filings_of(season.episodes.select_related("season__production"), today)
    return sorted(found, key=lambda row: (not row.late, _settled(row), row.due.day if row.due else date.max))


def _settled(row: EpisodeFiling) -> bool:
    return row.state is FilingState.FILED


def filing_of(episode: Episode, today: date) -> EpisodeFiling:
    """How one episode stands. Five queries."""
    (found,) = filings_of(Episode.objects.filter(pk=episode.pk).select_related("season__production"), today)
    return found


def filings_of(episodes: QuerySet[Episode], today: date) -> list[EpisodeFiling]:
    """How each of the episodes stands, in their order; season and production are loaded. Five queries."""
    live = CueSheetFiling.objects.filter(LIVE).select_related("society", "filed_by", "revision")
    revisions = CueSheetRevision.objects.defer("payload").order_by("-number")
    rows = list(
        episodes.prefetch_related(
            Prefetch("cue_sheets", revisions.prefetch_related(Prefetch("filings", live)), to_attr="revisions")
        )
    )
    dues = Dues.of(rows)
    return [_row(episode, dues, today) for episode in rows]


def _row(episode: Episode, dues: Dues, today: date) -> EpisodeFiling:
    revisions: list[CueSheetRevision] = episode.revisions  # type: ignore[attr-defined] # prefetched above
    latest = revisions[0] if revisions else None
    filings = [filing for revision in revisions for filing in revision.filings.all()]
    return EpisodeFiling(
        episode=episode,
        profile=dues.profile_of(episode),
        latest=latest,
        filings=tuple(sorted(filings, key=lambda filing: (filing.filed_on, filing.pk), reverse=True)),
        due=dues.due_of(episode),
        state=filing_state(
            IssuedSheet(revision.number, revision.profile, bool(revision.filings.all())) for revision in revisions
        ),
        today=today,
    )


@dataclass(frozen=True, slots=True)
class Dues:
    """What tells by when sheets are filed: the profiles by code, and first showings in cinemas abroad by episode."""

    profiles: Mapping[str, SheetProfile]
    abroad: Mapping[int, date]

    @classmethod
    def of(cls, episodes: Sequence[Episode]) -> Dues:
        """For these episodes, with season and production loaded. Two queries."""
        known = {found.profile.code: found.profile for found in profiles()}
        return cls(known, _first_abroad(episodes))

    def profile_of(self, episode: Episode) -> SheetProfile:
        """The profile that the episode or its production chose, else the house's."""
        choices = (episode.sheet_profile, episode.season.production.sheet_profile)
        return next((self.profiles[code] for code in choices if code in self.profiles), house_profiles()[0])

    def due_of(self, episode: Episode) -> Due | None:
        """By when the episode's sheet is filed; ``None`` where nothing says a day."""
        production, rule = episode.season.production, self.profile_of(episode).filing
        return earliest_due(rule, production.filing_days, episode.air_date, self.abroad.get(episode.pk))


def _first_abroad(episodes: Sequence[Episode]) -> dict[int, date]:
    """By episode, the first day of a window of cinemas outside the country of origin. One query."""
    seasons = {episode.season_id for episode in episodes}
    windows: defaultdict[tuple[int, int | None], list[ReleaseWindow]] = defaultdict(list)
    rows = ReleaseWindow.objects.filter(season__in=seasons).filter(
        Q(episode__isnull=True) | Q(episode__in=[episode.pk for episode in episodes])
    )
    for window in rows:
        windows[window.season_id, window.episode_id].append(window)
    found = {}
    for episode in episodes:
        # An episode's own windows replace those of its season.
        own = windows[episode.season_id, episode.pk] or windows[episode.season_id, None]
        days = list(_abroad(own, episode.season.production.country))
        if days:
            found[episode.pk] = min(days)
    return found


def _abroad(windows: Iterable[ReleaseWindow], country: str) -> Iterable[date]:
    home = Territory.of(country) if country in BITS else None
    for window in windows:
        if Media.parse(window.media).contains(Medium.THEATRICAL):
            territory = Territory.parse(window.territory)
            if home is None or not (territory - home).is_empty:
                yield window.starts_on


def filing_for(user: User, pk: int, deed: Deed = Deed.READ) -> CueSheetFiling:
    """A filing by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("filing-unknown", say("There is no such filing."))
    rows = CueSheetFiling.objects.select_related("society", "revision__episode__current_cut")
    return row_for(rows, user, pk, deed, production="revision__episode__season__production", unknown=unknown)


def filings_for(user: User) -> QuerySet[CueSheetFiling]:
    """The live filings of the user's productions, newest first. One query."""
    return (
        CueSheetFiling.objects.filter(LIVE, revision__episode__season__production__memberships__user=user)
        .select_related("society", "filed_by", "revision__episode")
        .defer("revision__payload")
        .order_by("-filed_on", "-pk")
    )
