"""Credits and label copy as files. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from supervision.actions.printing import Printed
from supervision.documents.credits import credits_pdf, credits_text
from supervision.documents.credits_docx import credits_docx, label_copy_docx
from supervision.documents.label_copy import label_copy_text
from supervision.documents.paper import PageSize
from supervision.documents.word_document import DOCX
from supervision.interchange.label_copy_csv import write_label_copy
from supervision.rules.credits import Credits
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.label_copy import LabelCopy
from supervision.rules.sentence import say

_TEXT = "text/plain; charset=utf-8"
_CREDITS: Mapping[str, tuple[str, Callable[[Sequence[Credits], date, PageSize], bytes]]] = {
    "txt": (_TEXT, lambda of, _on, _page: credits_text(of)),
    "docx": (DOCX, lambda of, on, page: credits_docx(of, on=on, page=page)),
    "pdf": ("application/pdf", lambda of, on, page: credits_pdf(of, on=on, page=page)),
}
_LABEL_COPY: Mapping[str, tuple[str, Callable[[LabelCopy, date, PageSize], bytes]]] = {
    "txt": (_TEXT, lambda of, _on, _page: label_copy_text(of)),
    "docx": (DOCX, lambda of, on, page: label_copy_docx(of, on=on, page=page)),
    "csv": ("text/csv; charset=utf-8", lambda of, _on, _page: write_label_copy(of)),
}
CREDIT_FORMS, LABEL_COPY_FORMS = tuple(_CREDITS), tuple(_LABEL_COPY)


def print_credits(
    *, credits_: Sequence[Credits], name: str, form: str, on: date, page: PageSize = PageSize.A4
) -> Printed:
    """The credits of one or more episodes as txt, docx or pdf; ``Conflict`` where no episode has a cut."""
    if form not in _CREDITS:
        raise NotVisible(
            "form-unknown",
            say("There are no credits as {form}.", form=form),
            mend=say("Ask for {forms}.", forms=", ".join(_CREDITS)),
        )
    if not credits_:
        raise Conflict("cut-missing", say("No episode has a cut yet."), place="cut", mend=say("Add a cut first."))
    media_type, write = _CREDITS[form]
    return Printed(f"{name}-credits.{form}", media_type, write(credits_, on, page))


def print_label_copy(*, copy: LabelCopy, form: str, on: date, page: PageSize = PageSize.A4) -> Printed:
    """A season's label copy as txt, docx or csv."""
    if form not in _LABEL_COPY:
        raise NotVisible(
            "form-unknown",
            say("There is no label copy as {form}.", form=form),
            mend=say("Ask for {forms}.", forms=", ".join(_LABEL_COPY)),
        )
    media_type, write = _LABEL_COPY[form]
    return Printed(f"{copy.name}-label-copy.{form}", media_type, write(copy, on, page))
