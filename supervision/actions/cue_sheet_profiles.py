"""Cue-sheet profiles that people make: by copying one and changing it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from supervision.actions.rows import change, create, held
from supervision.models import CueSheetProfile, User
from supervision.queries.accounts import require_anywhere
from supervision.queries.cue_sheet_profiles import house_profile
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.frozen import to_plain
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


def add_profile(*, profile: SheetProfile, by: User, now: datetime) -> CueSheetProfile:
    """Add a profile for everybody in the house. ``BadValue`` for a code that another has."""
    require_anywhere(by, Deed.MANAGE)
    _refuse_house_code(profile.code)
    return create(CueSheetProfile(code=profile.code, name=profile.name, body=to_plain(profile)), by=by, now=now)


def change_profile(
    *, row: CueSheetProfile, profile: SheetProfile, version: int | None, by: User, now: datetime
) -> CueSheetProfile:
    """Change a profile; sheets that were issued by it keep the copy they were set by."""
    require_anywhere(by, Deed.MANAGE)
    _refuse_house_code(profile.code)
    fields = {"code": profile.code, "name": profile.name, "body": to_plain(profile)}
    return change(row, fields, version=version, by=by, now=now)


@transaction.atomic
def remove_profile(*, row: CueSheetProfile, by: User, now: datetime) -> CueSheetProfile:
    """Take a profile away; what had chosen it falls back to the next choice, and issued sheets keep their copy."""
    require_anywhere(by, Deed.MANAGE)
    return change(row, {"deleted_at": now}, by=by, now=now, verb="removed")


@transaction.atomic
def restore_profile(*, row: CueSheetProfile, by: User, now: datetime) -> CueSheetProfile:
    """Bring a removed profile back. ``Conflict`` when it is back already, ``BadRow`` when another has its code meanwhile."""
    require_anywhere(by, Deed.MANAGE)
    kept = held(row, None)
    if kept.deleted_at is None:
        raise Conflict("row-is-back", say("{row} is back already.", row=kept.name))
    return change(kept, {"deleted_at": None}, by=by, now=now, verb="restored")


def _refuse_house_code(code: str) -> None:
    if house_profile(code):
        raise BadValue(
            "profile-of-the-house",
            say("“{name}” is a profile of the house and stays as it is.", name=code),
            place="code",
            mend=say("Give the copy a code of its own."),
        )
