"""Reading the cut: an episode's imports, a file and how it is read, and the rows that it proposes."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import imports as deeds
from supervision.interchange.cut_file import LARGEST
from supervision.models import CutImport
from supervision.queries.accounts import allows
from supervision.queries.imports import Opened, import_for, imports_of, mapping_for, open_import
from supervision.queries.matching import Catalogue
from supervision.queries.productions import episode_for
from supervision.rules.column_mapping import guess_columns
from supervision.rules.errors import BadValue, Conflict, FileTooLarge
from supervision.rules.import_setup import guess_tracks
from supervision.rules.roles import Deed
from supervision.rules.sentence import say, say_as
from supervision.rules.song_log import SONG_LOG
from supervision.web.errors import status_of
from supervision.web.forms.import_rows import RowsForm, row_of, state_of
from supervision.web.forms.imports import ColumnsForm, ReadFileForm, SetUpForm
from supervision.web.import_pages import import_page, timeline_of
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted

ROWS = 100
"""Rows of a page."""

SHOWN = (
    ("", say_as("of rows", "all")),
    ("open", say_as("of rows", "to look at")),
    ("taken", say_as("of rows", "taken")),
    ("skipped", say_as("of rows", "skipped")),
)


def list_imports(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's imports, and the form that reads a file."""
    episode = episode_for(request.user, code)
    production = episode.season.production
    form = ReadFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST":
        before = set(episode.imports.values_list("pk", flat=True))
        done = submitted(
            form, lambda _: deeds.begin_import(episode=episode, **form.told(), by=request.user, now=timezone.now())
        )
        if done is not None:
            if done.pk in before:
                messages.info(request, say("{file} is open as a draft already: here it is, as you left it.", file=done))
            return redirect("import-reading" if done.kind == "song_log" else "import", done.pk)
    context = episode_page(episode, "imports") | {
        "title": say("Read a cut"),
        "imports": imports_of(episode),
        "form": form,
        "largest": LARGEST // 1_000_000,
        "may_log": allows(production, request.user, Deed.LOG),
    }
    response = page(request, "imports/list.html", context, form)
    refusal = getattr(form, "refusal", None)
    if isinstance(refusal, FileTooLarge):
        response.status_code = status_of(refusal)
    return response


def show_rows(request: PersonRequest, pk: int) -> HttpResponse:
    """The rows that a file proposes, a hundred a page; sent back they are kept on the draft."""
    draft = import_for(request.user, pk, Deed.LOG if request.method == "POST" else Deed.READ)
    opened = open_import(draft)
    shown = request.GET.get("show", "")
    chosen = [each for each in opened.proposals if not shown or state_of(each) == shown]
    listed = Paginator(chosen, ROWS).get_page(request.GET.get("page"))
    context = import_page(opened, "songs", may_log=allows(draft.episode.season.production, request.user, Deed.LOG))
    status = 200
    if request.method == "POST":
        keys = {int(key) for key in request.POST.getlist("row") if key.isdecimal()}
        sent = RowsForm(opened, [each for each in opened.proposals if each.key in keys], request.POST)
        if sent.valid and (answer := _keep_rows(request, draft, sent, context)) is not None:
            return answer
        status = context.get("status", 422)
        context |= {"rows": sent.rows, "wrong": sent.wrong}
    else:
        context["rows"] = [row_of(opened, each) for each in listed.object_list]
    context |= {
        "page": listed,
        "shown": shown,
        "choices": _choices(opened, shown),
        "timeline": timeline_of(opened, {each.key for each in listed.object_list}),
    }
    return render(request, "imports/rows.html", context, status=status)


def _choices(opened: Opened, shown: str) -> list[tuple[str, str, int, bool]]:
    """Which rows there are to look at: value, words, how many, and whether these are shown."""
    states = Counter(map(state_of, opened.proposals))
    numbers = {"": len(opened.proposals)} | states
    return [(value, label, numbers.get(value, 0), value == shown) for value, label in SHOWN]


def _keep_rows(
    request: PersonRequest, draft: CutImport, sent: RowsForm, context: dict[str, Any]
) -> HttpResponse | None:
    """Keep the rows and go where the button leads; ``None`` with the refusal in the context."""
    version = request.POST.get("version", "")
    try:
        deeds.decide_import(
            draft=draft,
            decisions=sent.decisions,
            version=int(version) if version.isdecimal() else None,
            by=request.user,
            now=timezone.now(),
        )
    except (BadValue, Conflict) as refused:
        context |= {"told": str(refused), "status": status_of(refused)}
        return None
    if request.POST.get("do") == "next":
        return redirect("import-changes", draft.pk)
    messages.success(request, say("The rows are kept. Nothing is in the log yet."))
    return redirect(request.get_full_path())


def show_reading(request: PersonRequest, pk: int) -> HttpResponse:
    """How the file is read, with each guess and its reason; changing it lays the rows out anew."""
    draft = import_for(request.user, pk, Deed.LOG if request.method == "POST" else Deed.READ)
    opened = open_import(draft)
    form, extra = _reading_form(request, opened)
    if request.method == "POST" and (
        done := submitted(
            form,
            lambda data: deeds.set_up_import(
                draft=draft, setup=data["setup"], version=data["version"], by=request.user, now=timezone.now()
            ),
        )
    ):
        messages.success(request, say("{file} is read so. Nothing is in the log yet.", file=done))
        return redirect("import-reading" if request.POST.get("do") == "again" else "import", done.pk)
    may_log = allows(draft.episode.season.production, request.user, Deed.LOG)
    context = import_page(opened, "reading", may_log=may_log) | extra | {"form": form}
    return page(request, "imports/reading.html", context, form)


def _reading_form(request: PersonRequest, opened: Opened) -> tuple[SetUpForm, dict[str, Any]]:
    """The form for a cut file or a song log, and what its page shows besides."""
    data = request.POST if request.method == "POST" else None
    if (table := opened.table) is not None:
        mapping, why = mapping_for(table, opened.setup, opened.draft.episode.season.production)
        form = ColumnsForm(data, opened=opened, columns=mapping.columns, forms_of_times=dict(mapping.times))
        guesses = guess_columns(table, SONG_LOG)
        columns = list(zip(form.column_fields, guesses, strict=True))
        return form, {"table": table, "columns": columns, "columns_why": why}
    reading = opened.reading
    assert reading is not None  # noqa: S101 # a draft reads a table or a cut
    catalogue = Catalogue(opened.draft.episode.season.production)
    tracks = guess_tracks(reading.events, reading.rate, catalogue.knows, reading.track_names)
    return SetUpForm(data, opened=opened, tracks=tracks), {"tracks": tracks, "reading": reading}


@require_POST
def drop(request: PersonRequest, pk: int) -> HttpResponse:
    """Put a draft aside; the message offers the way back."""
    draft = import_for(request.user, pk, Deed.LOG)
    deeds.drop_import(draft=draft, by=request.user, now=timezone.now())
    undo = {
        "text": say("{file} is dropped; the log is as it was.", file=draft),
        "url": reverse("import-restore", args=[pk]),
    }
    messages.success(request, render_to_string("components/undo.html", undo, request))
    return redirect("episode-imports", draft.episode.code)


@require_POST
def restore(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a dropped draft up again."""
    draft = deeds.restore_import(draft=import_for(request.user, pk, Deed.LOG), by=request.user, now=timezone.now())
    messages.success(request, say("{file} is a draft again.", file=draft))
    return redirect("import", pk)


urlpatterns = [
    path("episodes/<slug:code>/imports/", list_imports, name="episode-imports"),
    path("imports/<int:pk>/", show_rows, name="import"),
    path("imports/<int:pk>/reading/", show_reading, name="import-reading"),
    path("imports/<int:pk>/drop/", drop, name="import-drop"),
    path("imports/<int:pk>/restore/", restore, name="import-restore"),
]
