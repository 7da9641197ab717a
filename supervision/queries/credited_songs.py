"""What the catalogue says of the songs of credits: who wrote, publishes and owns them, as far as it holds in a country.

Read as columns and not as rows of the tables: a season has thousands of shares, and each would become three objects.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from typing import Any

from django.db.models import Q, QuerySet

from supervision.models import Recording, RecordingShare, RecordingWork, Usage, Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.rules.credits import CreditMaster, CreditName, CreditOwner, CreditWork
from supervision.rules.societies import NONE
from supervision.rules.territory import Territory

Song = Recording | Work

_PARTICIPANT = "PA"  # has income of a work and no part in publishing it


class CreditedSongs:
    """The songs of usages. Three queries, whatever their number.

    Of shares, those count that hold in the country; without one, those that hold wherever no list says so.
    """

    def __init__(self, usages: QuerySet[Usage], country: str) -> None:
        self._here = cache(lambda text: _holds(text, country))
        self._fixed: dict[int, list[int]] = defaultdict(list)
        self._titled: dict[int, tuple[str, bool]] = {}
        self._made: dict[int, CreditWork] = {}
        fixed = RecordingWork.objects.filter(recording__in=usages.values("recording"))
        titled = ("recording", "work", "work__title", "work__public_domain")
        for recording, work, title, public_domain in fixed.order_by("position", "pk").values_list(*titled):
            self._fixed[recording].append(work)
            self._titled[work] = (title, public_domain)
        self._shares = self._read_shares(
            WorkShare.objects.filter(Q(work__in=usages.values("work")) | Q(work__in=fixed.values("work")))
        )
        self._owners = self._read_owners(RecordingShare.objects.filter(recording__in=usages.values("recording")))

    def works_of(self, song: Song | None) -> dict[int, CreditWork]:
        """The works of a song by number, in the order in which they are heard."""
        if isinstance(song, Work):
            self._titled.setdefault(song.pk, (song.title, song.public_domain))
            return {song.pk: self._work(song.pk)}
        return {work: self._work(work) for work in self._fixed[song.pk]} if song is not None else {}

    def master_of(self, recording: Recording) -> CreditMaster:
        """The recording with its owners."""
        return CreditMaster(
            title=recording.title,
            artist=recording.artist,
            label=recording.label,
            public_domain=recording.public_domain,
            samples=tuple(line.strip() for line in recording.samples.splitlines() if line.strip()),
            owners=tuple(self._owners[recording.pk]),
        )

    def _work(self, number: int) -> CreditWork:
        if number not in self._made:
            title, public_domain = self._titled[number]
            named = self._shares[number]
            self._made[number] = CreditWork(
                title=title,
                public_domain=public_domain,
                writers=tuple(name for interest, name in named if interest == WRITER),
                publishers=tuple(name for interest, name in named if interest != WRITER and name.role != _PARTICIPANT),
            )
        return self._made[number]

    def _read_shares(self, shares: QuerySet[WorkShare]) -> dict[int, list[tuple[str, CreditName]]]:
        found: dict[int, list[tuple[str, CreditName]]] = defaultdict(list)
        columns = (
            "work",
            "interest",
            "role",
            "territory",
            "party__name",
            "party__society__name",
            "administrator__name",
        )
        for work, interest, role, territory, *names in shares.order_by("position", "pk").values_list(*columns):
            if self._here(territory):
                found[work].append((interest, _name(role, *names)))
        return found

    def _read_owners(self, owners: QuerySet[RecordingShare]) -> dict[int, list[CreditOwner]]:
        found: dict[int, list[CreditOwner]] = defaultdict(list)
        columns = ("recording", "territory", "party__name", "party__is_ours", "administrator__name")
        for recording, territory, name, ours, administrator in owners.order_by("position", "pk").values_list(*columns):
            if self._here(territory):
                found[recording].append(CreditOwner(name=name, administrator=administrator or "", ours=ours))
        return found


def _holds(territory: str, country: str) -> bool:
    where = Territory.parse(territory)
    return where.contains(country) if country else where.is_open


def _name(role: str, name: Any, society: Any, administrator: Any) -> CreditName:
    stated = "" if society == NONE else society or ""  # no credit says that somebody is with none
    return CreditName(name=name, role=role, society=stated, administrator=administrator or "")
