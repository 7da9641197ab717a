"""The cue sheet as PDF, beside the renderer on static HTML of the same pages."""

from __future__ import annotations

from datetime import date
from typing import Any

import weasyprint

from supervision.documents.cue_sheet_pdf import cue_sheet_html, cue_sheet_pdf
from supervision.management.bench.measure import least_ms, peak_mb
from supervision.models import Season
from supervision.queries.cue_sheets import draft_of

RUNS = 5


def measure_cue_sheet(season: Season, today: date) -> dict[str, Any]:
    """Rows to PDF, and the same finished HTML through the bare renderer, in milliseconds."""
    episodes = season.episodes.select_related("current_cut", "season__production")
    episode = episodes.order_by("position")[0]

    def whole() -> bytes:
        draft = draft_of(episode, prepared_by="bench", today=today)
        return cue_sheet_pdf(draft.sheet, findings=draft.findings)

    draft = draft_of(episode, prepared_by="bench", today=today)
    static = cue_sheet_html(draft.sheet, findings=draft.findings)
    bare_ms, page_ms = least_ms(lambda: weasyprint.HTML(string=static).write_pdf(), whole, runs=RUNS)
    return {
        "page_ms": page_ms,
        "bare_ms": bare_ms,
        "pages": len(weasyprint.HTML(string=static).render().pages),
        "bytes": len(whole()),
        "peak_mb": peak_mb(),
    }
