"""A season of any size, written in bulk: every usage with its own song, both sides, quotes and licences."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from itertools import islice
from typing import Any, TypeVar

from django.db import models, transaction

from supervision.models import (
    Clearance,
    Cut,
    Episode,
    ExchangeRate,
    Licence,
    Membership,
    Party,
    Placement,
    Production,
    Quote,
    Recording,
    RecordingShare,
    RecordingWork,
    Season,
    Usage,
    User,
    Work,
    WorkShare,
)
from supervision.rules.clearance import Side, Stage
from supervision.rules.fees import Basis
from supervision.rules.roles import Role
from supervision.rules.search_text import search_key

HOLDERS = 40
STAGES = (Stage.DRAFT, Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED, Stage.LICENSED)
DAY = date(2026, 11, 2)
Row = TypeVar("Row", bound=models.Model)


@transaction.atomic
def make_season(code: str, episodes: int, usages: int) -> Season:
    """A season of so many episodes with so many usages each, and a supervisor called ``bench``."""
    user, _ = User.objects.get_or_create(username="bench")
    production = Production.objects.create(code=code, title=f"Bench {code}", company="Bench")
    Membership.objects.create(production=production, user=user, role=Role.SUPERVISOR)
    season = Season.objects.create(production=production, number=1)
    _write(
        ExchangeRate,
        (
            {"production": production, "base": base, "quote": "USD", "rate": Decimal(rate), "on": DAY}
            for base, rate in (("GBP", "1.3131"), ("EUR", "1.0837"))
        ),
    )
    cuts = _episodes(season, episodes)
    parties = _write(Party, ({"name": f"Holder {n}", "search_key": f"holder {n}"} for n in range(HOLDERS)))
    recordings = _songs(code, episodes * usages, parties)
    logged = _log(cuts, usages, recordings)
    _clear(logged, parties, user)
    return season


def _write(table: type[Row], rows: Iterable[dict[str, Any]]) -> list[Row]:
    return table._default_manager.bulk_create((table(**row) for row in rows), batch_size=500)


def _episodes(season: Season, count: int) -> list[Cut]:
    episodes = _write(
        Episode,
        (
            {
                "season": season,
                "code": f"{season.production.code}-{n}",
                "number": str(n),
                "position": n,
                "title": f"Episode {n}",
                "air_date": DAY + timedelta(weeks=n),
            }
            for n in range(1, count + 1)
        ),
    )
    frame = 25 * 60
    cuts = _write(
        Cut,
        ({"episode": episode, "rate": "25", "start_frame": 0, "running_frames": 50 * frame} for episode in episodes),
    )
    for episode, cut in zip(episodes, cuts, strict=True):
        episode.current_cut = cut
    Episode.objects.bulk_update(episodes, ["current_cut"])
    return cuts


def _songs(code: str, count: int, parties: list[Party]) -> list[Recording]:
    names = [f"{code} Song {n} of the Tide" for n in range(count)]
    works = _write(Work, ({"title": name, "search_key": search_key(name)} for name in names))
    recordings = _write(
        Recording,
        (
            {"title": name, "artist": f"Band {n % 97}", "search_key": search_key(name, f"Band {n % 97}")}
            for n, name in enumerate(names)
        ),
    )
    _write(
        RecordingWork,
        ({"recording": recording, "work": work} for recording, work in zip(recordings, works, strict=True)),
    )
    hundred = Decimal(100)
    _write(
        WorkShare,
        (
            {
                "work": work,
                "party": parties[(n + place) % HOLDERS],
                "interest": interest,
                "role": role,
                "performance": hundred,
                "control": control,
                "position": place,
            }
            for n, work in enumerate(works)
            for place, (interest, role, control) in enumerate(
                (("writer", "CA", Decimal(0)), ("publisher", "E", hundred))
            )
        ),
    )
    _write(
        RecordingShare,
        (
            {"recording": recording, "party": parties[n % HOLDERS], "share": hundred}
            for n, recording in enumerate(recordings)
        ),
    )
    return recordings


def _log(cuts: list[Cut], usages: int, recordings: list[Recording]) -> list[Usage]:
    songs = iter(recordings)
    logged = _write(
        Usage,
        (
            {
                "episode": cut.episode,
                "cue_number": f"{1 + n // 15}M{n + 1}",
                "recording": next(songs),
                "scene": f"Scene {n + 1}",
                "sync_estimate_minor": 150_000,
                "master_estimate_minor": 150_000,
                "estimate_currency": "USD",
            }
            for cut in cuts
            for n in range(usages)
        ),
    )
    slot = 50 * 60 * 25 // usages
    _write(
        Placement,
        (
            {
                "usage": usage,
                "cut": cuts[index // usages],
                "in_frame": (index % usages) * slot,
                "out_frame": (index % usages) * slot + slot // 2,
            }
            for index, usage in enumerate(logged)
        ),
    )
    return logged


def _clear(logged: list[Usage], parties: list[Party], user: User) -> None:
    """Two sync holders and a master holder for each usage, at stages that take turns."""
    work_of = dict(RecordingWork.objects.values_list("recording", "work"))
    clearances = _write(Clearance, _drafts(logged, parties, work_of))
    quoted = [clearance for n, clearance in enumerate(clearances) if STAGES[n % len(STAGES)] >= Stage.QUOTED]
    quotes = _write(
        Quote,
        (
            {
                "clearance": clearance,
                "amount_minor": 120_000,
                "payable_minor": 60_000,
                "currency": ("USD", "GBP", "EUR")[n % 3],
                "basis": Basis.FULL,
                "received_on": DAY,
                "recorded_by": user,
            }
            for n, clearance in enumerate(quoted)
        ),
    )
    for clearance, quote in zip(quoted, quotes, strict=True):
        clearance.standing_quote = quote
    for n, clearance in enumerate(clearances):
        clearance.stage = STAGES[n % len(STAGES)]
    _in_batches(clearances, lambda batch: Clearance.objects.bulk_update(batch, ["stage", "standing_quote"]))
    _write(
        Licence,
        (
            {
                "clearance": clearance,
                "number": f"L-{clearance.pk}",
                "executed_on": DAY,
                "fee_minor": 60_000,
                "currency": "USD",
                "recorded_by": user,
            }
            for clearance in clearances
            if clearance.stage == Stage.LICENSED
        ),
    )


def _drafts(logged: list[Usage], parties: list[Party], work_of: dict[int, int]) -> Iterator[dict[str, Any]]:
    for n, usage in enumerate(logged):
        for place, share in enumerate((60, 40)):
            yield {
                "usage": usage,
                "side": Side.SYNC,
                "work_id": work_of[usage.recording_id or 0],
                "holder": parties[(n + place) % HOLDERS],
                "share": Decimal(share),
            }
        yield {
            "usage": usage,
            "side": Side.MASTER,
            "recording_id": usage.recording_id,
            "holder": parties[n % HOLDERS],
            "share": Decimal(100),
        }


def _in_batches(rows: list[Row], write: Callable[[list[Row]], object]) -> None:
    left = iter(rows)
    while batch := list(islice(left, 200)):
        write(batch)
