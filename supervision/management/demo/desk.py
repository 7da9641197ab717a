"""What the demo's music department keeps beside the log: library agreements, what is usually asked, shortlists."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from supervision.actions.agreements import add_agreement
from supervision.actions.asks import set_template
from supervision.actions.shortlists import add_candidate
from supervision.management.demo.catalogue import Catalogue
from supervision.models import Production, Usage, User
from supervision.rules.clearance import Side
from supervision.rules.money import parse_money


def load_agreements(
    production: Production, told: Iterable[dict[str, str]], *, catalogue: Catalogue, by: User, now: datetime
) -> None:
    """Record the agreements with libraries."""
    for entry in told:
        fee = parse_money(entry["fee"], entry["currency"])
        fields = {name: entry[name] for name in ("number", "media", "territory", "per")} | {
            "party": catalogue.parties[entry["library"]],
            "starts_on": date.fromisoformat(entry["starts_on"]),
            "ends_on": date.fromisoformat(entry["ends_on"]),
            "fee_minor": fee.minor,
            "currency": fee.currency,
        }
        add_agreement(production=production, fields=fields, by=by, now=now)


def load_asks(production: Production, told: dict[str, dict[str, Any]], *, by: User, now: datetime) -> None:
    """Say what is usually asked on each side."""
    for side, fields in told.items():
        set_template(production=production, side=Side(side), fields=fields, version=None, by=by, now=now)


def load_shortlist(
    usage: Usage, told: Iterable[dict[str, Any]], *, catalogue: Catalogue, by: User, now: datetime
) -> None:
    """Note the songs that could play under the usage."""
    for entry in told:
        fields: dict[str, Any] = {name: entry[name] for name in ("title", "notes", "difficulty") if name in entry}
        if "recording" in entry:
            fields["recording"] = catalogue.recordings[tuple(entry["recording"])]
        if "last_contact_on" in entry:
            fields["last_contact_on"] = date.fromisoformat(entry["last_contact_on"])
        if "estimate" in entry:
            minor = parse_money(entry["estimate"], entry["currency"]).minor
            fields |= {
                "sync_estimate_minor": minor,
                "master_estimate_minor": minor,
                "estimate_currency": entry["currency"],
            }
        add_candidate(usage=usage, fields=fields, by=by, now=now)
