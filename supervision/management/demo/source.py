"""The files of ``fixtures/demo``."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "demo"
PRODUCTIONS = ("marram", "lanterns", "undertow")


def read(name: str) -> dict[str, Any]:
    """One of the files, by its name without ending."""
    told: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return told


def morning(day: date | str) -> datetime:
    """Ten o'clock of a day: when the demo's deeds are done."""
    return datetime.combine(date.fromisoformat(str(day)), time(10), tzinfo=UTC)
