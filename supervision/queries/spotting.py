"""The log of an episode as page, API and cue sheet need it.

Durations are shown in whole seconds by ``rules.durations``; totals add what is shown, so that a reader can add the
column. Fees are left out, not merely hidden, for whoever may not read them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_
from typing import Any
from uuid import UUID

import django_filters
from django.db.models import Exists, F, FilteredRelation, OuterRef, Q, QuerySet

from supervision.models import Cut, Episode, Placement, Usage, User
from supervision.queries.accounts import require, role_in
from supervision.queries.elsewhere import Sibling, siblings_of, songs_elsewhere
from supervision.rules.durations import Span, whole_seconds
from supervision.rules.errors import NotVisible
from supervision.rules.findings import Finding, worst_first
from supervision.rules.log import LogRow, LogTotals, totals_of
from supervision.rules.money import Money
from supervision.rules.roles import Deed, may
from supervision.rules.search_text import fold
from supervision.rules.sentence import say
from supervision.rules.spotting import Entry, check_log, check_rate
from supervision.rules.timecode import format_timecode, wrapped
from supervision.rules.usage import (
    Facets,
    Function,
    Origin,
    ProgrammePart,
    ThemePosition,
    Vocal,
    cue_order,
    sheet_code,
)

LIVE_USAGE = Q(deleted_at__isnull=True)

_COLUMNS = (
    "pk",
    "version",
    "cue_number",
    "title",
    "function",
    "theme_position",
    "seen",
    "vocal",
    "origin",
    "part",
    "scene",
    "notes",
    "recording_id",
    "work_id",
    "recording__title",
    "recording__version_title",
    "recording__artist",
    "work__title",
)
_MONEY_COLUMNS = ("sync_estimate_minor", "master_estimate_minor", "estimate_currency")


@dataclass(frozen=True, slots=True)
class Log:
    """The log of one cut: ``rows`` in the order of the picture, ``unplaced`` usages by cue number.

    ``may_log`` is about the person and the cut: only the current one can be changed; ``may_time`` also wants it
    unlocked. ``findings`` are about the cut, those of a usage are in its row.
    """

    cut: Cut | None
    rows: tuple[LogRow, ...]
    unplaced: tuple[LogRow, ...]
    totals: LogTotals
    findings: tuple[Finding, ...]
    reads_money: bool
    may_log: bool
    may_time: bool

    @property
    def all_rows(self) -> tuple[LogRow, ...]:
        """The placed rows, then the others."""
        return self.rows + self.unplaced

    def row(self, usage: int) -> LogRow:
        """The row of a usage by its id; ``NotVisible`` when the log has none."""
        found = next((row for row in self.all_rows if row.usage == usage), None)
        if found is None:
            raise _unknown_usage()
        return found


def _unknown_usage() -> NotVisible:
    return NotVisible("usage-unknown", say("There is no such usage in the log."))


def log_of(episode: Episode, user: User, cut: Cut | None = None) -> Log:
    """The log of a cut, by default the current one, as far as the user may see it. At most six queries."""
    production = episode.season.production
    role = role_in(production, user)
    here = cut or episode.current_cut
    reads_money = may(role, Deed.READ_MONEY)
    raw = _usages(episode, here, reads_money=reads_money)
    siblings = siblings_of(production)
    songs = {found["pk"]: (found["recording_id"], found["work_id"]) for found in raw}
    elsewhere = songs_elsewhere(episode, songs, siblings)
    rows = [_row(found, here, elsewhere[found["pk"]]) for found in raw]
    if here is not None:
        rows = _checked(rows, here, series=production.is_series)
    placed = tuple(row for row in rows if row.span)
    unplaced = sorted((row for row in rows if row.span is None), key=lambda row: cue_order(row.cue_number))
    current = here is None or here.pk == episode.current_cut_id
    may_log = current and may(role, Deed.LOG)
    return Log(
        cut=here,
        rows=placed,
        unplaced=tuple(unplaced) if current else (),
        totals=totals_of(
            placed,
            unplaced=len(unplaced) if current else 0,
            running_frames=here.running_frames if here else 0,
            rate=here.frame_rate if here else None,
        ),
        findings=tuple(_of_cut(episode, here, siblings)),
        reads_money=reads_money,
        may_log=may_log,
        may_time=may_log and here is not None and not here.locked,
    )


def cut_of(episode: Episode, number: int) -> Cut:
    """A cut of an episode by number. One query."""
    found = episode.cuts.filter(number=number).first()
    if found is None:
        raise NotVisible("cut-unknown", say("There is no cut {number} of this episode.", number=number))
    return found


def usage_for(user: User, pk: int, deed: Deed = Deed.READ, *, removed: bool = False) -> Usage:
    """A usage by id, live unless ``removed``, where the user's role includes the deed. Two queries."""
    usage = (
        Usage.objects.filter(pk=pk, deleted_at__isnull=not removed, episode__season__production__memberships__user=user)
        .select_related("episode__season__production", "episode__current_cut", "recording", "work")
        .first()
    )
    if usage is None:
        raise _unknown_usage()
    require(usage.episode.season.production, user, deed)
    return usage


def is_sent(episode: Episode, sending: UUID | None) -> bool:
    """Whether the row of a page that is called so was logged in the episode, be it removed since. At most one query."""
    return sending is not None and episode.usages.filter(sending=sending).exists()


def _usages(episode: Episode, cut: Cut | None, *, reads_money: bool) -> list[dict[str, Any]]:
    """The live usages with their place in the cut, in the order of the picture."""
    here = FilteredRelation("placements", condition=Q(placements__cut=cut.pk if cut else None))
    return list(
        Usage.objects.filter(LIVE_USAGE, episode=episode)
        .annotate(here=here)
        .order_by("here__in_frame", "here__out_frame", "pk")
        .values(
            *_COLUMNS, *(_MONEY_COLUMNS if reads_money else ()), start=F("here__in_frame"), end=F("here__out_frame")
        )
    )


def _row(found: Mapping[str, Any], cut: Cut | None, elsewhere: tuple[str, ...]) -> LogRow:
    facets = Facets(
        Function(found["function"]),
        ThemePosition(found["theme_position"]),
        found["seen"],
        Vocal(found["vocal"]),
        Origin(found["origin"]),
        ProgrammePart(found["part"]),
    )
    recording, work = found["recording_id"], found["work_id"]
    song = found["work__title"] or found["title"]
    if recording:
        song = " ".join(filter(None, (found["recording__title"], found["recording__version_title"])))
    return LogRow(
        usage=found["pk"],
        version=found["version"],
        cue_number=found["cue_number"],
        title=found["title"],
        song=song,
        artist=found["recording__artist"] or "",
        recording=recording,
        work=work,
        facets=facets,
        code=sheet_code(facets),
        scene=found["scene"],
        notes=found["notes"],
        elsewhere=elsewhere,
        sync_estimate=_estimate(found, "sync_estimate_minor"),
        master_estimate=_estimate(found, "master_estimate_minor"),
        **_times(found["start"], found["end"], cut),
    )


def _times(start: int | None, end: int | None, cut: Cut | None) -> dict[str, Any]:
    if start is None or end is None or cut is None:
        return {}
    rate = cut.frame_rate
    return {
        "span": Span(start, end),
        "in_timecode": format_timecode(wrapped(start, rate), rate),
        "out_timecode": format_timecode(wrapped(end, rate), rate),
        "seconds": whole_seconds(end - start, rate),
    }


def _estimate(found: Mapping[str, Any], column: str) -> Money | None:
    minor = found.get(column)
    return None if minor is None else Money(minor, found["estimate_currency"])


def _checked(rows: Sequence[LogRow], cut: Cut, *, series: bool) -> list[LogRow]:
    entries = [
        Entry(
            key=row.usage,
            name=row.name,
            cue_number=row.cue_number,
            facets=row.facets,
            span=row.span,
            song=bool(row.song_code),
            titled=bool(row.title),
            elsewhere=bool(row.elsewhere),
        )
        for row in rows
    ]
    found = check_log(entries, Span(cut.start_frame, cut.end_frame), cut.frame_rate, series=series)
    return [replace(row, findings=tuple(worst_first(found[row.usage]))) if row.usage in found else row for row in rows]


def _of_cut(episode: Episode, cut: Cut | None, siblings: Sequence[Sibling]) -> list[Finding]:
    """Findings about the cut itself, against the season's other current cuts."""
    if cut is None:
        return []
    others = (other for other in siblings if other.season == episode.season_id and other.pk != episode.pk)
    return check_rate(cut.frame_rate, [other.rate for other in others if other.rate])


class UsageFilter(django_filters.FilterSet):
    """An episode's usages by facets, song, place in the cut, and a part of their words."""

    placed = django_filters.BooleanFilter(label="In the current cut", method="by_place")
    q = django_filters.CharFilter(label="Part of cue number, title, artist or scene", method="by_text")

    class Meta:
        model = Usage
        fields = ("function", "theme_position", "seen", "vocal", "origin", "recording", "work")

    def by_place(self, rows: QuerySet[Usage], _name: str, value: bool) -> QuerySet[Usage]:
        """Those that stand in the episode's current cut, or those that do not."""
        here = Placement.objects.filter(usage=OuterRef("pk"), cut=OuterRef("episode__current_cut"))
        return rows.filter(Exists(here) if value else ~Exists(here))

    def by_text(self, rows: QuerySet[Usage], _name: str, text: str) -> QuerySet[Usage]:
        """Those with every word somewhere in their own words or their song's."""
        for word in fold(text).split():
            keys = Q(recording__search_key__contains=word) | Q(work__search_key__contains=word)
            own = (Q(**{f"{name}__icontains": word}) for name in ("cue_number", "title", "scene"))
            rows = rows.filter(reduce(or_, own, keys))
        return rows
