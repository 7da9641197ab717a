"""How clearances come about: one a holder and side, from the shares of what a usage uses."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.db.models import Q

from supervision.actions.rows import change, create
from supervision.models import (
    Clearance,
    Episode,
    LibraryAgreement,
    Party,
    Recording,
    RecordingShare,
    Usage,
    User,
    Work,
    WorkShare,
)
from supervision.queries.accounts import require
from supervision.rules.clearance import Reason, Stage
from supervision.rules.holders import Ask, Interest, ask_of_no_recording, asks_of_recording, asks_of_work
from supervision.rules.noted import RETIRED
from supervision.rules.roles import Deed
from supervision.rules.usage import Origin

Key = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class _Wanted:
    ask: Ask
    work: Work | None = None
    recording: Recording | None = None
    agreement: LibraryAgreement | None = None

    @property
    def key(self) -> Key:
        ask = self.ask
        return (
            ask.side.value,
            self.work and self.work.pk,
            self.recording and self.recording.pk,
            ask.holder,
            ask.on_behalf_of,
            ask.territory,
        )


def _key(clearance: Clearance) -> Key:
    return (
        clearance.side,
        clearance.work_id,
        clearance.recording_id,
        clearance.holder_id,
        clearance.on_behalf_of_id,
        clearance.territory,
    )


@transaction.atomic
def renew_clearances(*, usage: Usage, by: User | None, now: datetime) -> list[Clearance]:
    """Make the usage's live clearances fit its song and the song's shares; return them.

    What already fits is left alone. What no longer fits is retired, never erased: asked ones become withdrawn first.
    Callers have checked the deed; a removed usage keeps what it has.
    """
    wanted = {found.key: found for found in _covered(usage, _wanted(usage))}
    live = list(usage.clearances.filter(retired_at__isnull=True).select_for_update())
    kept = []
    for clearance in live:
        found = wanted.pop(_key(clearance), None)
        if found is None:
            _retire(clearance, usage, by=by, now=now)
        else:
            kept.append(_fit(clearance, found, usage, by=by, now=now))
    return kept + [_open(usage, found, by=by, now=now) for found in wanted.values()]


def renew_clearances_of(
    *, work: Work | None = None, recording: Recording | None = None, by: User, now: datetime
) -> int:
    """Renew the clearances of every live usage of a work or recording whose shares changed; return how many usages."""
    song = Q(work=work) | Q(recording__works=work) if work else Q(recording=recording)
    usages = (
        Usage.objects.filter(song, deleted_at__isnull=True).distinct().select_related("episode__season__production")
    )
    for usage in usages:
        renew_clearances(usage=usage, by=by, now=now)
    return len(usages)


@transaction.atomic
def renew_episode(*, episode: Episode, by: User, now: datetime) -> int:
    """Renew the clearances of every live usage of an episode; return how many usages."""
    require(episode.season.production, by, Deed.ASK)
    usages = episode.usages.filter(deleted_at__isnull=True).select_related("episode__season__production")
    for usage in usages:
        renew_clearances(usage=usage, by=by, now=now)
    return len(usages)


def _covered(usage: Usage, wanted: Iterable[_Wanted]) -> Iterable[_Wanted]:
    """What is wanted, where library music under an agreement in force needs no permission of its own."""
    agreements: dict[int | None, LibraryAgreement] = {}
    if usage.origin == Origin.LIBRARY:
        episode = usage.episode
        in_force = episode.season.production.agreements.all()
        if episode.air_date is not None:
            ends_later = Q(ends_on__isnull=True) | Q(ends_on__gt=episode.air_date)
            in_force = in_force.filter(ends_later, starts_on__lte=episode.air_date)
        agreements = {agreement.party_id: agreement for agreement in in_force.order_by("-starts_on", "-pk")}
    for found in wanted:
        agreement = agreements.get(found.ask.holder) or agreements.get(found.ask.on_behalf_of)
        if found.ask.holder is None or found.ask.stage is not Stage.DRAFT or agreement is None:
            yield found
        else:
            ask = replace(found.ask, stage=Stage.NOT_NEEDED, reason=Reason.BLANKET)
            yield replace(found, ask=ask, agreement=agreement)


def _wanted(usage: Usage) -> Iterable[_Wanted]:
    origin = Origin(usage.origin)
    if usage.recording is not None:
        recording = usage.recording
        for fixed in recording.recorded_works.select_related("work").order_by("position"):
            yield from _wanted_of_work(fixed.work, origin)
        owners = [_interest(share, share.share) for share in _shares(recording.shares)]
        for ask in asks_of_recording(owners, public_domain=recording.public_domain, origin=origin):
            yield _Wanted(ask, recording=recording)
    elif usage.work is not None:
        yield from _wanted_of_work(usage.work, origin)
        yield _Wanted(ask_of_no_recording())


def _wanted_of_work(work: Work, origin: Origin) -> Iterable[_Wanted]:
    interests = [_interest(share, share.control) for share in _shares(work.shares)]
    for ask in asks_of_work(interests, public_domain=work.public_domain, origin=origin):
        yield _Wanted(ask, work=work)


def _shares(shares: Any) -> Iterable[Any]:
    """The rows of a related manager of either kind of share, with their parties."""
    rows: Iterable[Any] = shares.select_related("party", "administrator")
    return rows


def _interest(share: WorkShare | RecordingShare, percent: object) -> Interest:
    administrator: Party | None = share.administrator
    return Interest(
        party=share.party_id,
        administrator=share.administrator_id,
        share=Fraction(str(percent)),
        territory=share.territory,
        ours=share.party.is_ours or (administrator is not None and administrator.is_ours),
    )


def _fit(clearance: Clearance, found: _Wanted, usage: Usage, *, by: User | None, now: datetime) -> Clearance:
    """Bring share and standing of a kept clearance up to date; a stage that people set is theirs."""
    ask, changes = found.ask, dict[str, object]()
    if Fraction(clearance.share) != ask.share:
        changes["share"] = _decimal(ask.share)
    if clearance.stage_now in {Stage.DRAFT, Stage.NOT_NEEDED} and ask.reason and clearance.reason != ask.reason:
        changes |= {"stage": ask.stage, "reason": ask.reason, "stage_note": ask.reason.label}
    if clearance.agreement_id is not None and found.agreement is None:
        changes |= {"stage": ask.stage, "reason": ask.reason or "", "stage_note": "", "agreement": None}
    if found.agreement is not None and clearance.stage_now in {Stage.DRAFT, Stage.NOT_NEEDED}:
        changes["agreement"] = found.agreement
    if not changes:
        return clearance
    production = usage.episode.season.production
    return change(clearance, changes, by=by, now=now, production=production, verb="brought up to date")


def _retire(clearance: Clearance, usage: Usage, *, by: User | None, now: datetime) -> None:
    changes: dict[str, object] = {"retired_at": now}
    note = RETIRED
    if clearance.stage_now not in {Stage.DRAFT, Stage.NOT_NEEDED, Stage.DENIED, Stage.WITHDRAWN}:
        changes |= {"stage": Stage.WITHDRAWN, "stage_note": note}
    production = usage.episode.season.production
    change(clearance, changes, by=by, now=now, production=production, verb="retired", note=note)


def _open(usage: Usage, found: _Wanted, *, by: User | None, now: datetime) -> Clearance:
    ask, production = found.ask, usage.episode.season.production
    return create(
        Clearance(
            usage=usage,
            side=ask.side,
            work=found.work,
            recording=found.recording,
            holder_id=ask.holder,
            on_behalf_of_id=ask.on_behalf_of,
            share=_decimal(ask.share),
            territory=ask.territory,
            stage=ask.stage,
            reason=ask.reason or "",
            stage_note=ask.reason.label if ask.reason else "",
            agreement=found.agreement,
        ),
        by=by,
        now=now,
        production=production,
    )


def _decimal(percent: Fraction) -> Decimal:
    """Exact: shares come from columns of six decimals, and so do their sums and differences."""
    return Decimal(percent.numerator) / Decimal(percent.denominator)
