"""The cue sheet on paper: a double-entry table, writers on the left and publishers on the right.

``cue_sheet_html`` lays a sheet out, ``paper.to_pdf`` sets it; they are apart so that each can be timed by itself. Every
cue is one group of rows that is kept on one page where it fits, and the two-line head returns on each page. What rows
that stand for several cues contain follows in a table of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.safestring import SafeString, mark_safe

from supervision.documents.cue_sheet import (
    cue_blocks,
    episode_text,
    header_facts,
    left_out_text,
    part_of_programme,
    role_legend,
    status_text,
    use_legend,
    words_of,
)
from supervision.documents.paper import PageSize, to_pdf
from supervision.rules.cue_sheet import Cue, CueSheet, RolledCue
from supervision.rules.cue_sheet_profile import Identifier
from supervision.rules.durations import clock
from supervision.rules.findings import Finding, Level

_SPOKEN = {"en": "en-GB", "fr": "fr-FR"}


def cue_sheet_pdf(
    sheet: CueSheet, *, page: PageSize = PageSize.A4, findings: Sequence[Finding] = (), digest: str = ""
) -> bytes:
    """The sheet as PDF; without a revision number it is marked as a draft and carries its errors and warnings."""
    return to_pdf(cue_sheet_html(sheet, page=page, findings=findings, digest=digest))


def cue_sheet_html(
    sheet: CueSheet, *, page: PageSize = PageSize.A4, findings: Sequence[Finding] = (), digest: str = ""
) -> str:
    """The sheet as HTML for ``paper.to_pdf``, its style included; in its own language, whoever prints it."""
    with translation.override(sheet.set_by.language):
        return render_to_string("documents/cue_sheet.html", _told(sheet, page, findings, digest))


def _told(sheet: CueSheet, page: PageSize, findings: Sequence[Finding], digest: str) -> dict[str, Any]:
    header, profile = sheet.header, sheet.set_by
    words = words_of(sheet)
    return {
        "sheet": sheet,
        "header": header,
        "page": page.css,
        "language": _SPOKEN[profile.language],
        "words": words.table,
        "draft": header.revision is None,
        "status": status_text(sheet),
        "amends": words.text("amends", number=number - 1) if (number := header.revision or 0) > 1 else "",
        "page_of": _page_of(words.text("page_of", page="\0", pages="\0")),
        "partial": words.text("partial_reason", reason=header.partial) if header.partial else "",
        "episode": episode_text(sheet),
        "facts": header_facts(sheet),
        "blocks": cue_blocks(sheet),
        "points": profile.in_out,
        "ipi": Identifier.IPI in profile.identifiers,
        "music": clock(sheet.music_seconds),
        "total": words.text("of_running_time", part=part_of_programme(sheet)),
        "inside": [(cue, [(each, clock(each.seconds)) for each in cue.inside]) for cue in sheet.cues if cue.inside],
        "left_out": left_out_text(sheet),
        "uses": use_legend(sheet),
        "roles": role_legend(sheet),
        "shares": words.text(f"shares_on_{sheet.share_basis}"),
        "times": f"{words.text(f'times_{profile.rounding}')} {_overlaps(sheet)}".strip(),
        "before_issue": words.text("before_issue"),
        "findings": [
            (words.text(f"level.{finding.level}"), finding) for finding in findings if finding.level is not Level.NOTE
        ],
        "digest": digest,
    }


def _page_of(said: str) -> SafeString:
    """The sentence as CSS puts it together: the numbers are known to the renderer alone."""
    before, between, after = said.split("\0")
    return mark_safe(f'"{before}" counter(page) "{between}" counter(pages) "{after}"')  # noqa: S308 # our own words


def _overlaps(sheet: CueSheet) -> str:
    """How cues that sound at once were counted, where any do."""
    rate, end = Fraction(sheet.rate), Fraction(0)
    sounding: list[Cue | RolledCue] = [each for cue in sheet.cues for each in (cue.inside or (cue,))]
    for each in sorted(sounding, key=lambda each: each.start):
        if each.start < end:
            return words_of(sheet).text(f"carving_{sheet.set_by.carving}")
        end = max(end, each.start + each.frames / rate)
    return ""
