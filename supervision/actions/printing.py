"""Taking paper and files away: a sheet or letters as bytes with their name and type. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from supervision.documents.coverage import coverage_pdf
from supervision.documents.cue_sheet_pdf import cue_sheet_pdf
from supervision.documents.cue_sheet_xlsx import cue_sheet_workbook
from supervision.documents.letter import letter_pdf
from supervision.documents.money_xlsx import money_workbook
from supervision.documents.paper import PageSize
from supervision.documents.spreadsheet import XLSX
from supervision.interchange.cue_sheet_csv import write_cue_sheet
from supervision.interchange.cue_sheet_cu01 import write_cu01
from supervision.interchange.cue_sheet_difference_csv import write_difference
from supervision.models import CueSheetRevision
from supervision.queries.cue_sheets import Draft, sheet_of
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_difference import difference
from supervision.rules.errors import NotVisible
from supervision.rules.findings import Finding, Level
from supervision.rules.frozen import Plain, canonical, to_plain
from supervision.rules.letter import LetterContent
from supervision.rules.money_book import MoneyBook
from supervision.rules.proof import Proof
from supervision.rules.sentence import say


@dataclass(frozen=True, slots=True)
class Printed:
    """A file: what it is called, its media type, its bytes."""

    name: str
    media_type: str
    body: bytes


@dataclass(frozen=True, slots=True)
class _Sheet:
    sheet: CueSheet
    page: PageSize
    findings: Sequence[Finding] = ()
    digest: str = ""
    payload: Plain | None = None


# The JSON of a revision is the canonical text of what was stored, so that anybody can check its SHA-256 against the
# printed digest; a sheet of an older schema read back and written again would have fields that it never had.
_FORMS: Mapping[str, tuple[str, Callable[[_Sheet], bytes]]] = {
    "pdf": (
        "application/pdf",
        lambda of: cue_sheet_pdf(of.sheet, page=of.page, findings=of.findings, digest=of.digest),
    ),
    "xlsx": (XLSX, lambda of: cue_sheet_workbook(of.sheet, findings=_in_doubt(of), digest=of.digest)),
    "csv": ("text/csv; charset=utf-8", lambda of: write_cue_sheet(of.sheet)),
    "json": ("application/json", lambda of: canonical(of.payload or to_plain(of.sheet))),
    "cu01": ("text/tab-separated-values; charset=utf-8", lambda of: write_cu01(of.sheet)),
}
_ENDINGS = {"cu01": "cu01.tsv"}
CUE_SHEET_FORMS = tuple(_FORMS)


def print_draft(*, draft: Draft, form: str, page: PageSize = PageSize.A4) -> Printed:
    """The draft of a cue sheet as pdf, xlsx, csv, json or cu01; the pdf carries its errors and warnings."""
    return _print(_Sheet(draft.sheet, page, draft.findings), form, "draft")


def print_revision(*, revision: CueSheetRevision, form: str, page: PageSize = PageSize.A4) -> Printed:
    """An issued revision, as it was issued."""
    of = _Sheet(sheet_of(revision), page, digest=revision.digest, payload=revision.payload)
    return _print(of, form, f"revision-{revision.number}")


def print_changes(*, before: CueSheetRevision, revision: CueSheetRevision) -> Printed:
    """What a revision says that another does not, as csv."""
    changes = difference(sheet_of(before), sheet_of(revision))
    name = f"{revision.episode.code}-cue-sheet-revision-{revision.number}-against-{before.number}.csv"
    return Printed(name, "text/csv; charset=utf-8", write_difference(changes))


def print_letters(*, letters: Sequence[LetterContent], name: str, page: PageSize = PageSize.A4) -> Printed:
    """One or more letters as one pdf."""
    return Printed(f"{name.replace('/', '-')}.pdf", "application/pdf", letter_pdf(letters, page=page))


def print_coverage(*, proof: Proof, page: PageSize = PageSize.A4) -> Printed:
    """The proof of an episode as pdf."""
    return Printed(f"{proof.episode.code}-proof-{proof.on}.pdf", "application/pdf", coverage_pdf(proof, page=page))


def print_money(*, book: MoneyBook) -> Printed:
    """The money of a season or an episode as a workbook."""
    return Printed(f"{book.name}.xlsx", XLSX, money_workbook(book))


def _in_doubt(of: _Sheet) -> int:
    return sum(finding.level is not Level.NOTE for finding in of.findings)


def _print(of: _Sheet, form: str, state: str) -> Printed:
    if form not in _FORMS:
        text = say("There is no cue sheet as {form}.", form=form)
        raise NotVisible("form-unknown", text, mend=say("Ask for {forms}.", forms=", ".join(_FORMS)))
    media_type, write = _FORMS[form]
    return Printed(
        f"{of.sheet.header.episode_code}-cue-sheet-{state}.{_ENDINGS.get(form, form)}", media_type, write(of)
    )
