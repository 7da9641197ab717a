"""What taking in a production would do here, before anything is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from supervision.models import Episode, Letter, Production, Society, User
from supervision.queries.production_cells import completed
from supervision.queries.production_export import export_production
from supervision.queries.production_match import CatalogueMatch, match_catalogue
from supervision.queries.production_tables import TABLES
from supervision.rules.findings import Finding, Level
from supervision.rules.frozen import digest
from supervision.rules.production_file import Person, Plain, ProductionContent
from supervision.rules.sentence import say

# Who is a member may differ: whoever takes a production in becomes one.
_OF_THE_HOUSE = ("membership",)


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What would happen.

    ``unchanged``: the production is here with the same content, so nothing is to do. ``match`` says what of the catalogue
    is here. ``conflicts`` stop it; those in ``differing`` can be passed by taking what is here. ``unknown`` people have no
    account here.
    """

    content: ProductionContent
    match: CatalogueMatch
    unchanged: bool = False
    conflicts: tuple[Finding, ...] = ()
    differing: tuple[Finding, ...] = ()
    unknown: tuple[Person, ...] = ()

    @property
    def new(self) -> dict[str, int]:
        """How many rows of each table would be new, tables without any left out."""
        if self.unchanged:
            return {}
        counts = {}
        for table, rows in self.content.tables.items():
            here, parent = self.match.here.get(table, {}), TABLES[table].parent
            told = enumerate(rows, start=1)
            counts[table] = sum(
                row[parent] not in self.match.here[parent] if parent else number not in here for number, row in told
            )
        return {table: count for table, count in counts.items() if count}


def plan_import(content: ProductionContent) -> ImportPlan:
    """What taking in the content would do. Constant queries for each table and 500 rows."""
    content = replace(content, tables=completed(content.tables))
    known = set(
        User.objects.filter(username__in=[person.username for person in content.people]).values_list(
            "username", flat=True
        )
    )
    match = match_catalogue(content.tables)
    plan = ImportPlan(
        content=content,
        match=match,
        differing=tuple(match.conflicts),
        unknown=tuple(person for person in content.people if person.username not in known),
    )
    here = Production.objects.filter(code__iexact=content.code).first()
    if here is None:
        return replace(plan, conflicts=tuple(_taken(content.tables, match)))
    if _same(export_production(here), content):
        return replace(plan, unchanged=True, differing=())
    text = say("There is a production {code} here, and it is not the same as the one in the file.", code=content.code)
    mend = say("Export the one that is here and compare; a production is not merged into another.")
    return replace(plan, conflicts=(Finding(Level.ERROR, "production-exists", "production[1].code", text, mend),))


def _same(one: ProductionContent, other: ProductionContent) -> bool:
    return _mark(one) == _mark(other)


def _mark(content: ProductionContent) -> str:
    tables = {
        table: [dict(row) for row in rows] for table, rows in content.tables.items() if table not in _OF_THE_HOUSE
    }
    return digest({"tables": tables, "files": sorted(content.files)})


def _taken(tables: Mapping[str, Sequence[Plain]], match: CatalogueMatch) -> Iterator[Finding]:
    """What only one production or society may have, and something else has here."""
    codes = {row["code"]: number for number, row in enumerate(tables["episode"], start=1)}
    for code in Episode.objects.filter(code__in=codes).values_list("code", flat=True):
        yield _conflict("episode", codes[code], say("Another production here has the episode {code}.", code=code))
    references = {row["reference"]: number for number, row in enumerate(tables["letter"], start=1)}
    for reference in Letter.objects.filter(reference__in=references).values_list("reference", flat=True):
        yield _conflict(
            "letter", references[reference], say("There is a letter {reference} here already.", reference=reference)
        )
    named = {
        row["name"]: number
        for number, row in enumerate(tables["society"], start=1)
        if number not in match.here["society"]
    }
    for society in Society.objects.filter(name__in=named):
        text = say(
            "{society} has the code {code} here, and another one in the file.", society=society.name, code=society.code
        )
        yield _conflict("society", named[society.name], text)


def _conflict(table: str, number: int, text: str) -> Finding:
    return Finding(Level.ERROR, f"{table}-taken", f"{table}[{number}]", text, say("Give one of them another."))
