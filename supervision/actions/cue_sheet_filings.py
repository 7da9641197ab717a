"""Filing cue sheets: with which society or broadcaster a revision was handed in, when and how."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.rows import audited, change, create, held
from supervision.models import CueSheetFiling, CueSheetRevision, Society, User
from supervision.queries.accounts import require
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.filing import Means
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def file_cue_sheet(
    *,
    revision: CueSheetRevision,
    filed_on: date,
    means: Means,
    by: User,
    now: datetime,
    society: Society | None = None,
    recipient: str = "",
    reference: str = "",
    note: str = "",
) -> CueSheetFiling:
    """Record that a revision was handed in with a society, or with a ``recipient`` by name.

    Refused (``BadValue``) for a day to come or one before the revision was issued.
    """
    production = revision.episode.season.production
    require(production, by, Deed.ISSUE)
    _check_day(filed_on, revision, now)
    filing = create(
        CueSheetFiling(
            revision=revision,
            society=society,
            recipient=" ".join(recipient.split()),
            filed_on=filed_on,
            means=means,
            reference=reference.strip(),
            note=note.strip(),
            filed_by=by,
        ),
        by=by,
        now=now,
        production=production,
    )
    after = {"revision": revision.number, "with": filing.whom, "on": filed_on.isoformat()}
    audited("filed the cue sheet of", revision.episode, by=by, now=now, production=production, after=after, note=note)
    return filing


@transaction.atomic
def withdraw_filing(*, filing: CueSheetFiling, by: User, now: datetime, reason: str = "") -> CueSheetFiling:
    """Take back a filing that was recorded by mistake. ``Conflict`` when it is taken back already."""
    production = filing.revision.episode.season.production
    require(production, by, Deed.ISSUE)
    if held(filing, None).deleted_at is not None:
        raise Conflict("filing-withdrawn", say("This filing is taken back already."), place="filing")
    kept = change(filing, {"deleted_at": now}, by=by, now=now, production=production, verb="took back", note=reason)
    before = {"revision": filing.revision.number, "with": filing.whom, "on": filing.filed_on.isoformat()}
    episode = filing.revision.episode
    audited("took back a filing of", episode, by=by, now=now, production=production, before=before, note=reason)
    return kept


@transaction.atomic
def restore_filing(*, filing: CueSheetFiling, by: User, now: datetime) -> CueSheetFiling:
    """Record again a filing that was taken back.

    ``Conflict`` when it is not taken back, or when the revision was filed with the same body meanwhile.
    """
    production = filing.revision.episode.season.production
    require(production, by, Deed.ISSUE)
    if held(filing, None).deleted_at is None:
        raise Conflict("filing-stands", say("This filing is not taken back."), place="filing")
    live = CueSheetFiling.objects.filter(revision=filing.revision, deleted_at__isnull=True)
    if live.filter(society=filing.society, recipient=filing.recipient).exists():
        text = say("The revision is filed with {name} again already.", name=filing.whom)
        raise Conflict("filing-made-again", text, place="filing")
    kept = change(filing, {"deleted_at": None}, by=by, now=now, production=production, verb="restored")
    after = {"revision": filing.revision.number, "with": filing.whom, "on": filing.filed_on.isoformat()}
    episode = filing.revision.episode
    audited("restored a filing of", episode, by=by, now=now, production=production, after=after)
    return kept


def _check_day(filed_on: date, revision: CueSheetRevision, now: datetime) -> None:
    today, issued = timezone.localdate(now), timezone.localdate(revision.issued_at)
    if filed_on > today:
        text, mend = say("{day} is still to come.", day=filed_on), say("Give the day on which it was handed in.")
        raise BadValue("filed-in-future", text, place="filed_on", mend=mend)
    if filed_on < issued:
        text = say("Revision {number} was issued on {day}, after that day.", number=revision.number, day=issued)
        raise BadValue("filed-before-issue", text, place="filed_on", mend=say("Give a day from then on."))
