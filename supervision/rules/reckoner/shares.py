"""``shares``: what a split comes to, what is wrong with it, and the same split in the other convention."""

from __future__ import annotations

from collections.abc import Iterable

from supervision.rules.findings import Finding, Level, has_errors, worst_first
from supervision.rules.percent import share_text
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import joined
from supervision.rules.shares import check_shares
from supervision.rules.split import ShareEntry, converted, read_convention, read_entry, totals


def reckon_shares(given: Fields) -> Answer:
    """In: ``convention`` ("100" or "200") and ``parties`` with ``name``, ``role``, ``share``.

    Out: what ``writers`` and ``publishers`` come to, ``ok`` when nothing is an error, ``findings``, and the split
    ``converted`` into the other convention, exactly.
    """
    given.only("convention", "parties")
    convention = read_convention(given.number_text("convention"))
    entries = read_entries(given)
    stated = totals(entries)
    findings = check_shares(entries, convention)
    other = converted(entries, convention)
    return {
        "writers": share_text(stated.writers),
        "publishers": share_text(stated.publishers),
        "ok": not has_errors(findings),
        "findings": told(findings),
        "converted": {
            "convention": other.convention.value,
            "parties": [
                {"name": party.name, "role": party.role.value, "share": share_text(party.share)}
                for party in other.parties
            ],
        },
    }


def read_entries(given: Fields) -> list[ShareEntry]:
    """The parties of the question."""
    return [_entry(party) for party in given.objects("parties")]


def _entry(party: Fields) -> ShareEntry:
    party.only("name", "role", "share")
    return read_entry(party.text("name"), party.text("role"), party.number_text("share"), place=party.place)


def told(findings: Iterable[Finding]) -> list[dict[str, str]]:
    """Errors and warnings as ``level`` and ``text``, the mend in the same text; errors first. Notes are for screens."""
    return [
        {"level": finding.level.value, "text": joined([finding.text, finding.mend])}
        for finding in worst_first(findings)
        if finding.level is not Level.NOTE
    ]
