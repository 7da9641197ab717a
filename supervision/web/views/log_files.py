"""An episode's log taken away."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_safe

from supervision.actions.log_files import print_log
from supervision.queries.log_export import log_sheet
from supervision.queries.productions import episode_for
from supervision.queries.spotting import cut_of
from supervision.web.files import file_answer
from supervision.web.person import PersonRequest


@require_safe
def take_log(request: PersonRequest, code: str, form: str) -> HttpResponse:
    """The log of the current cut, or of the one that ``?cut=`` names, as csv, xlsx, edl or otio."""
    episode = episode_for(request.user, code)
    number = request.GET.get("cut", "")
    cut = cut_of(episode, int(number)) if number.isdecimal() else None
    return file_answer(print_log(sheet=log_sheet(episode, cut), form=form, on=timezone.localdate()))


urlpatterns = [path("episodes/<slug:code>/log.<slug:form>", take_log, name="log-file")]
