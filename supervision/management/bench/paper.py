"""The cue sheet as PDF, beside the renderer on static HTML written by hand for the same cues and as many pages.

The static page is what somebody would write who wants this one cue sheet printed once: the same fourteen columns and
texts in plain ruled rows, the head on every page, type and padding of a size that fills as many pages. It goes through
the renderer with the same settings (tagged, PDF/UA-1), so what is compared is the setting of type.
"""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date
from html import escape
from typing import Any

import weasyprint

from supervision.documents.cue_sheet import cue_blocks
from supervision.documents.cue_sheet_pdf import cue_sheet_html, cue_sheet_pdf
from supervision.management.bench.measure import least_ms, peak_mb
from supervision.models import Season
from supervision.queries.cue_sheets import draft_of
from supervision.rules.cue_sheet import CueParty, CueSheet

RUNS = 5
_VARIANT = "pdf/ua-1"
_HEAD = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Cue sheet</title><style>
@page {{ size: A4 landscape; margin: 15mm 14mm; @bottom-right {{ content: counter(page) " / " counter(pages); }} }}
body {{ font: {size}pt "Noto Serif", serif; margin: 0; }}
table {{ width: 100%; border-collapse: separate; border-spacing: 0; table-layout: fixed; }}
th, td {{ text-align: left; vertical-align: top; border-bottom: 0.4pt solid; padding: {padding}mm 1mm; }}
th:nth-child(2) {{ width: 22%; }} th:nth-child(4), th:nth-child(9) {{ width: 12%; }}
</style></head><body><h1>{title}</h1><table><thead><tr>
<th>Cue</th><th>Title</th><th>Use</th><th>Writer</th><th>Role</th><th>Society</th><th>IPI</th><th>Share</th>
<th>Publisher</th><th>Role</th><th>Society</th><th>IPI</th><th>Share</th><th>Time</th></tr></thead><tbody>"""


def static_html(sheet: CueSheet, pages: int) -> str:
    """The sheet as somebody would write it by hand, in the largest type and padding that fill no more than so many pages."""
    rows = "".join(_rows(sheet))
    for size, padding in ((8, 1), (7.5, 0.8), (7, 0.6), (6.5, 0.4), (6, 0.3), (5.5, 0.2), (5, 0.1)):
        head = _HEAD.format(size=size, padding=padding, title=escape(sheet.header.production))
        html = f"{head}{rows}</tbody></table></body></html>"
        if _pages(html) <= pages:
            break
    return html


def _rows(sheet: CueSheet) -> Iterator[str]:
    for block in cue_blocks(sheet):
        cue = block.cue
        first = (f"{cue.number} {cue.timecode_in} {cue.timecode_out}", f"{cue.use.code} {block.use}", block.duration)
        for row in block.rows:
            title = [row.title.title, *row.title.notes, *row.title.identifiers] if row.title else []
            number, use, time = first
            cells = [number, "<br>".join(map(escape, title)), use, *_party(row.writer), *_party(row.publisher), time]
            yield f"<tr>{''.join(f'<td>{cell}</td>' for cell in cells)}</tr>"
            first = ("", "", "")


def _party(party: CueParty | None) -> list[str]:
    if party is None:
        return [""] * 5
    return [escape(party.name), party.role, party.society, party.ipi, str(party.share)]


def _pages(html: str) -> int:
    return len(weasyprint.HTML(string=html).render().pages)


def _bare(html: str) -> bytes:
    pdf: bytes = weasyprint.HTML(string=html).render(pdf_variant=_VARIANT).write_pdf(pdf_variant=_VARIANT)
    return pdf


def measure_cue_sheet(season: Season, today: date) -> dict[str, Any]:
    """Rows to PDF, and static HTML of as many pages through the bare renderer: milliseconds, and peak memory as a ratio."""
    episodes = season.episodes.select_related("current_cut", "season__production")
    episode = episodes.order_by("position")[0]

    def whole() -> bytes:
        draft = draft_of(episode, prepared_by="bench", today=today)
        return cue_sheet_pdf(draft.sheet, findings=draft.findings)

    draft = draft_of(episode, prepared_by="bench", today=today)
    pages = _pages(cue_sheet_html(draft.sheet, findings=draft.findings))
    static = static_html(draft.sheet, pages)
    bare_ms, page_ms = least_ms(lambda: _bare(static), whole, runs=RUNS)
    return {
        "page_ms": page_ms,
        "bare_ms": bare_ms,
        "pages": pages,
        "bytes": len(whole()),
        "peak_mb": peak_mb(),
        "memory_ratio": round(_peak(whole) / _peak(lambda: _bare(static)), 2),
    }


def _peak(call: Callable[[], object]) -> int:
    """The most bytes that Python held during a call."""
    tracemalloc.start()
    try:
        call()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
