"""Reading a cue sheet back: the file, what it would put into catalogue and log, and its acceptance."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import cue_sheet_readings as deeds
from supervision.models import CueSheetReading
from supervision.models.cue_sheet_readings import DRAFT
from supervision.queries.accounts import allows
from supervision.queries.cue_sheet_readings import SheetPlan, plan_of, reading_for, readings_of, table_of
from supervision.queries.productions import episode_for
from supervision.rules.column_mapping import guess_columns, mapping_from_plain
from supervision.rules.cue_sheet_mapped import CUE_SHEET
from supervision.rules.cue_sheet_use import cue_use
from supervision.rules.durations import clock, whole_seconds
from supervision.rules.errors import BadValue, Conflict, FileTooLarge
from supervision.rules.roles import Deed
from supervision.rules.sentence import counted, joined, say
from supervision.rules.timecode import FrameRate, format_timecode, parse_rate, wrapped
from supervision.web.errors import status_of
from supervision.web.forms.cue_sheet_readings import SheetColumnsForm, SheetFileForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable


def read_sheet(request: PersonRequest, code: str) -> HttpResponse:
    """Read a cue sheet as a draft, and the drafts that are open."""
    episode = episode_for(request.user, code, Deed.LOG)
    form = SheetFileForm(*((request.POST, request.FILES) if request.method == "POST" else ()))

    def begin(data: dict[str, Any]) -> CueSheetReading:
        file = data["file"]
        return deeds.begin_reading(
            episode=episode, name=file.name, data=file.read(), by=request.user, now=timezone.now()
        )

    if request.method == "POST" and (row := submitted(form, begin)) is not None:
        return redirect("cue-sheet-reading", row.pk)
    context = episode_page(episode, "cue-sheet") | {
        "title": say("Read a cue sheet"),
        "form": form,
        "drafts": readings_of(episode),
    }
    answer = page(request, "cue_sheets/read.html", context, form)
    if isinstance(refusal := getattr(form, "refusal", None), FileTooLarge):
        answer.status_code = status_of(refusal)
    return answer


def _columns(row: CueSheetReading, data: Any = None) -> SheetColumnsForm | None:
    table = table_of(row)
    if table is None or row.state != DRAFT:
        return None
    mapping = mapping_from_plain(row.mapping)
    return SheetColumnsForm(data, version=row.version, mapping=mapping, guesses=guess_columns(table, CUE_SHEET))


def show_reading(request: PersonRequest, pk: int) -> HttpResponse:
    """What a sheet would put into catalogue and log; posting says which column is which."""
    row = reading_for(request.user, pk, Deed.LOG if request.method == "POST" else Deed.READ)
    form = _columns(row, request.POST or None)

    def map_it(data: dict[str, Any]) -> CueSheetReading:
        assert form is not None  # noqa: S101 # it was submitted
        return deeds.map_reading(
            reading=row, columns=form.chosen, version=data["version"], by=request.user, now=timezone.now()
        )

    if request.method == "POST" and form is not None and submitted(form, map_it) is not None:
        messages.success(request, say("The columns are read so, and will be in the next table of this make."))
        return redirect("cue-sheet-reading", pk)
    return _page(request, row, form)


def _page(request: PersonRequest, row: CueSheetReading, form: SheetColumnsForm | None, status: int = 0) -> HttpResponse:
    plan = plan_of(row)
    context = episode_page(row.episode, "cue-sheet") | {
        "title": say("Cue sheet from {file}", file=str(row)),
        "row": row,
        "open": row.state == DRAFT,
        "plan": plan,
        "uses": _uses(plan),
        "form": form,
        "may_log": allows(row.episode.season.production, request.user, Deed.LOG),
    }
    answer = page(request, "cue_sheets/reading.html", context, *([form] if form else []))
    if status:
        answer.status_code = status
    return answer


def _uses(plan: SheetPlan) -> list[dict[str, Any]]:
    """The usages as the preview lists them, with their times in the cut that they go into."""
    rate = plan.cut.frame_rate if plan.cut else _rate(plan)
    rows = []
    for found in plan.uses:
        span = found.use.span
        rows.append(
            {
                "found": found,
                "start": format_timecode(wrapped(span.start, rate), rate) if span else "",
                "end": format_timecode(wrapped(span.end, rate), rate) if span else "",
                "length": clock(whole_seconds(span.frames, rate)) if span else "",
                "code": cue_use(found.use.facets).code,
            }
        )
    return rows


def _rate(plan: SheetPlan) -> FrameRate:
    return parse_rate(plan.reading.rate or "25", plan.reading.drop)


@require_POST
def accept(request: PersonRequest, pk: int) -> HttpResponse:
    """Put it into catalogue and log; what is refused is said above the preview."""
    row = reading_for(request.user, pk, Deed.LOG)
    version = request.POST.get("version", "")
    try:
        added = deeds.accept_reading(
            reading=row, version=int(version) if version.isdecimal() else None, by=request.user, now=timezone.now()
        )
    except (BadValue, Conflict) as refused:
        messages.error(request, str(refused))
        return _page(request, row, _columns(row), status=status_of(refused) if isinstance(refused, Conflict) else 422)
    messages.success(request, _told(added))
    return redirect("episode-log", row.episode.code)


def _told(added: Counter[str]) -> str:
    counts = (
        (added["usages"], counted(added["usages"], "{number} usage", "{number} usages")),
        (added["works"], counted(added["works"], "{number} work", "{number} works")),
        (added["recordings"], counted(added["recordings"], "{number} recording", "{number} recordings")),
        (added["parties"], counted(added["parties"], "{number} party", "{number} parties")),
        (added["cut"], counted(added["cut"], "{number} cut", "{number} cuts")),
    )
    things = [told for count, told in counts if count]
    return say("Added: {things}.", things=joined(things, between=", ")) if things else say("Added: nothing new.")


@require_POST
def drop(request: PersonRequest, pk: int) -> HttpResponse:
    """Drop the draft."""
    row = reading_for(request.user, pk, Deed.LOG)
    try:
        deeds.drop_reading(reading=row, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        told = say("{file} is dropped; nothing was added.", file=str(row))
        undoable(request, told, reverse("cue-sheet-reading-restore", args=[row.pk]))
    return redirect("cue-sheet-read", row.episode.code)


@require_POST
def restore(request: PersonRequest, pk: int) -> HttpResponse:
    """Make a draft again of a reading that was dropped."""
    row = reading_for(request.user, pk, Deed.LOG)
    try:
        deeds.restore_reading(reading=row, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    return redirect("cue-sheet-reading", row.pk)


urlpatterns = [
    path("episodes/<slug:code>/cue-sheet/read/", read_sheet, name="cue-sheet-read"),
    path("cue-sheet-readings/<int:pk>/", show_reading, name="cue-sheet-reading"),
    path("cue-sheet-readings/<int:pk>/accept/", accept, name="cue-sheet-reading-accept"),
    path("cue-sheet-readings/<int:pk>/drop/", drop, name="cue-sheet-reading-drop"),
    path("cue-sheet-readings/<int:pk>/restore/", restore, name="cue-sheet-reading-restore"),
]
