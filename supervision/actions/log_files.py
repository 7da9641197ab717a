"""Taking an episode's log away as a file. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from supervision.actions.printing import Printed
from supervision.documents.log_xlsx import log_workbook
from supervision.documents.spreadsheet import XLSX
from supervision.interchange.log_csv import write_log
from supervision.interchange.log_timeline import write_log_edl, write_log_otio
from supervision.rules.errors import NotVisible
from supervision.rules.log_sheet import LogSheet
from supervision.rules.sentence import say

_FORMS: Mapping[str, tuple[str, Callable[[LogSheet, date], bytes]]] = {
    "csv": ("text/csv; charset=utf-8", lambda sheet, _: write_log(sheet)),
    "xlsx": (XLSX, lambda sheet, on: log_workbook(sheet, on=on)),
    "edl": ("text/plain; charset=utf-8", lambda sheet, _: write_log_edl(sheet)),
    "otio": ("application/json", lambda sheet, _: write_log_otio(sheet)),
}
LOG_FORMS = tuple(_FORMS)
TABLES = {"csv": say("The log as a table"), "xlsx": say("The log as a workbook")}
TIMELINES = {
    "edl": say("The music as an edit list with markers"),
    "otio": say("The music as an OpenTimelineIO timeline with markers"),
}
"""What each form is, for people; timelines are of a cut."""


def print_log(*, sheet: LogSheet, form: str, on: date) -> Printed:
    """The log as csv, xlsx, edl or otio, of the day ``on``. ``Conflict`` for a timeline of an episode without a cut."""
    if form not in _FORMS:
        raise NotVisible(
            "form-unknown",
            say("There is no log as {form}.", form=form),
            mend=say("Ask for {forms}.", forms=", ".join(_FORMS)),
        )
    media_type, write = _FORMS[form]
    return Printed(f"{sheet.code}-log.{form}", media_type, write(sheet, on))
