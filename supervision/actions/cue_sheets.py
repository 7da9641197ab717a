"""Issuing a cue sheet: the sheet of the moment becomes a numbered revision that never changes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.rows import audited, create
from supervision.models import CueSheetRevision, Episode, User
from supervision.queries.accounts import require
from supervision.queries.cue_sheets import draft_of
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_setting import issued
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.findings import Finding, Level
from supervision.rules.frozen import Plain, digest, to_plain
from supervision.rules.roles import Deed
from supervision.rules.sentence import counted, joined, say

_MOST_TOLD = 3
LONGEST_REASON = 500


@transaction.atomic
def issue_cue_sheet(
    *, episode: Episode, by: User, now: datetime, profile: str = "", override_reason: str = ""
) -> CueSheetRevision:
    """Issue the sheet of the current cut, by the profile of this code or else the episode's, as the next revision.

    Refused (``Conflict``) while there are errors, and when it would say the same as the revision before. Warnings do not
    stop it. With an ``override_reason`` a supervisor issues it with its errors; reason and errors stay with the revision
    and in the log.
    """
    production = episode.season.production
    require(production, by, Deed.ISSUE)
    # One at a time: two people issuing at once would else get the same number.
    Episode.objects.select_for_update().get(pk=episode.pk)
    today = timezone.localdate(now)
    draft = draft_of(episode, prepared_by=str(by), today=today, profile=profile)
    last = episode.cue_sheets.order_by("-number").first()
    errors = [finding for finding in draft.findings if finding.level is Level.ERROR]
    reason = _reason(override_reason) if errors else ""
    if errors and not reason:
        raise _errors(errors)
    if reason:
        require(production, by, Deed.OVERRIDE)
    # Sheets of one profile amend one another; another profile's say something else by their nature.
    alike = episode.cue_sheets.filter(profile=draft.sheet.set_by.code).order_by("-number").first()
    if alike is not None:
        _refuse_unchanged(draft.sheet, alike)
    number = last.number + 1 if last else 1
    payload: Plain = to_plain(issued(draft.sheet, revision=number, by=str(by), on=today))
    revision = create(
        CueSheetRevision(
            episode=episode,
            cut=episode.current_cut,
            number=number,
            issued_at=now,
            issued_by=by,
            payload=payload,
            digest=digest(payload),
            profile=draft.sheet.set_by.code,
            override_reason=reason,
            overridden=[to_plain(error) for error in errors],
        ),
        by=by,
        now=now,
        production=production,
    )
    told: dict[str, object] = {"revision": number, "profile": draft.sheet.set_by.code}
    if reason:
        told |= {"errors": [f"{error.place}: {error.text}" for error in errors]}
    verb = "issued with errors the cue sheet of" if reason else "issued the cue sheet of"
    audited(verb, episode, by=by, now=now, production=production, after=told, note=reason)
    return revision


def _reason(text: str) -> str:
    """The reason as it is kept; ``BadValue`` for one that is too long."""
    reason = " ".join(text.split())
    if len(reason) > LONGEST_REASON:
        raise BadValue(
            "reason-too-long",
            counted(len(reason), "The reason has {number} character.", "The reason has {number} characters."),
            place="override_reason",
            mend=say("Say it in {most}.", most=LONGEST_REASON),
        )
    return reason


def _errors(errors: Sequence[Finding]) -> Conflict:
    told = [say("{place}: {text}", place=error.place, text=error.text) for error in errors[:_MOST_TOLD]]
    left = len(errors) - _MOST_TOLD
    more = [counted(left, "And {number} more.", "And {number} more.")] if left > 0 else []
    return Conflict(
        "cue-sheet-errors",
        joined([say("A cue sheet with errors cannot be issued."), *told, *more]),
        place="cue_sheet",
        mend=say(
            "Mend them and issue it then; until then it prints as a draft. A supervisor may issue it with a reason."
        ),
    )


def _refuse_unchanged(sheet: CueSheet, last: CueSheetRevision) -> None:
    """Whether the sheet, dressed as the last revision, would have its digest."""
    header = last.payload["header"]
    again = to_plain(issued(sheet, revision=last.number, by=header["prepared_by"], on=sheet.header.prepared_on))
    again["header"]["prepared_on"] = header["prepared_on"]
    if digest(again) == last.digest:
        raise Conflict(
            "cue-sheet-unchanged",
            say("Nothing has changed since revision {number}.", number=last.number),
            place="cue_sheet",
            mend=say("Print revision {number} again.", number=last.number),
        )
