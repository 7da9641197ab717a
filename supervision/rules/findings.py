"""Findings: what a rule notices about data that it can still work with.

A finding says how bad it is, where it is, what is wrong and what would mend it. Checks return lists of findings and
never raise; deeds that are refused raise ``errors.Refusal``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """How bad: an ``ERROR`` stops a document from being issued, a ``WARNING`` and a ``NOTE`` do not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing noticed: ``code`` is stable, ``place`` names row or party, ``text`` and ``mend`` are sentences."""

    level: Level
    code: str
    place: str
    text: str
    mend: str = ""


_ORDER = {Level.ERROR: 0, Level.WARNING: 1, Level.NOTE: 2}


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """The findings, errors before warnings before notes, else in the order given."""
    return sorted(findings, key=lambda finding: _ORDER[finding.level])


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether any of the findings is an error."""
    return any(finding.level is Level.ERROR for finding in findings)
