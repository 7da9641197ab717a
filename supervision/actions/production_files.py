"""A whole production as a file to take away, and such a file read. Nothing is written."""

from __future__ import annotations

from supervision.actions.printing import Printed
from supervision.interchange.production_json import read_production, write_production
from supervision.models import Production
from supervision.queries.production_export import export_production
from supervision.queries.production_tables import shapes
from supervision.rules.production_file import ProductionContent


def production_file(production: Production) -> Printed:
    """The file. The caller has checked who asks: it says all, fees and signed licences included."""
    body = write_production(export_production(production))
    return Printed(f"{production.code}.production.json", "application/json", body)


def read_production_file(data: bytes) -> ProductionContent:
    """What a file says. ``BadValue`` with place and mend for what is not whole, current and sound."""
    return read_production(data, shapes())
