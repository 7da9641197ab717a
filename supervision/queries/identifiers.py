"""What is wrong with the identifiers that a row has: warnings, since they were typed elsewhere."""

from __future__ import annotations

from supervision.models import Party, Recording, Work
from supervision.rules.findings import Finding, Level
from supervision.rules.identifiers import Scheme, check_identifier


def identifier_findings(row: Party | Recording | Work) -> list[Finding]:
    """Warnings about the row's ISWC, ISRC, IPI name number and ISNI, as far as it has them. No query."""
    stored = [(scheme, getattr(row, scheme, "")) for scheme in Scheme]
    checked = [check_identifier(scheme, text).finding(Level.WARNING, scheme.label) for scheme, text in stored if text]
    return [finding for finding in checked if finding is not None]
