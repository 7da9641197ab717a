"""A season's cue sheets as one ZIP with an index: each as it was last issued, or as a draft where none is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.template.loader import render_to_string
from django.utils import timezone, translation

from supervision.actions.printing import Printed, print_draft, print_revision
from supervision.documents.letter_bundle import File, packed
from supervision.documents.paper import PageSize
from supervision.interchange.csv_text import csv_bytes
from supervision.models import Episode, Season
from supervision.queries.cue_sheets import draft_of, sheet_of
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.durations import clock
from supervision.rules.errors import Conflict
from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import say

ZIP = "application/zip"
INDEX_HEAD = ("episode", "title", "first broadcast", "sheet", "profile", "cues", "music", "in doubt", "digest", "file")
Row = tuple[str, ...]


def print_season(
    *,
    season: Season,
    form: str,
    prepared_by: str,
    now: datetime,
    profile: str = "",
    page: PageSize | None = None,
) -> Printed:
    """The sheets of all episodes that have a cut, in order, with an index to read and one to calculate.

    ``profile`` asks for drafts of today by that profile, whatever was issued; else each sheet is as it was last issued,
    by the profile of the time, and a draft where none was. ``Conflict`` where no episode has a cut. Queries grow with
    the episodes: each sheet is one deed.
    """
    episodes = season.episodes.filter(current_cut__isnull=False).select_related("current_cut", "season__production")
    made = [
        _sheet(episode, form, prepared_by=prepared_by, now=now, profile=profile, page=page)
        for episode in episodes.order_by("position", "pk")
    ]
    if not made:
        raise Conflict("cut-missing", say("No episode has a cut yet."), place="cut", mend=say("Add a cut first."))
    rows = [row for row, _ in made]
    name = f"{season.production.code}-{season.number}-cue-sheets"
    files: list[File] = [
        ("index.html", _index(rows, title=f"Cue sheets: {season.production.title}, {season}")),
        ("index.csv", csv_bytes(INDEX_HEAD, rows)),
        *(file for _, file in made),
    ]
    return Printed(f"{name}.zip", ZIP, packed(files, at=now))


def _sheet(
    episode: Episode, form: str, *, prepared_by: str, now: datetime, profile: str, page: PageSize | None
) -> tuple[Row, File]:
    revision = None if profile else episode.cue_sheets.order_by("-number").first()
    if revision is not None:
        sheet = sheet_of(revision)
        printed = print_revision(revision=revision, form=form, page=page or _paper(sheet))
        return _row(sheet, str(revision), (), revision.digest, printed), (printed.name, printed.body)
    draft = draft_of(episode, prepared_by=prepared_by, today=timezone.localdate(now), profile=profile)
    printed = print_draft(draft=draft, form=form, page=page or _paper(draft.sheet))
    return _row(draft.sheet, "Draft", draft.findings, "", printed), (printed.name, printed.body)


def _paper(sheet: CueSheet) -> PageSize:
    return PageSize.read(sheet.set_by.page.value)


def _row(sheet: CueSheet, state: str, findings: Sequence[Finding], digest: str, printed: Printed) -> Row:
    header = sheet.header
    doubts = sum(finding.level is not Level.NOTE for finding in findings)
    return (
        header.episode_code,
        header.episode_title,
        header.first_broadcast.isoformat() if header.first_broadcast else "",
        state,
        sheet.set_by.name,
        str(len(sheet.cues)),
        clock(sheet.music_seconds),
        str(doubts),
        digest,
        printed.name,
    )


def _index(rows: Sequence[Row], *, title: str) -> bytes:
    """The index as a page that opens the files beside it: in English, whoever takes it away."""
    shown = [(row[:-1], row[-1]) for row in rows]
    context = {"title": title, "head": [name.capitalize() for name in INDEX_HEAD], "rows": shown}
    with translation.override("en"):
        return render_to_string("documents/cue_sheet_index.html", context).encode()
