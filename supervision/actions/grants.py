"""What a licence or an option allows, from trade language to values: "all media", "World excl. US", a term of days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from supervision.actions.row_sets import place_of, placed
from supervision.models import Grant, Licence
from supervision.rules import rights
from supervision.rules.errors import BadValue
from supervision.rules.grants import check_grants
from supervision.rules.media import Media
from supervision.rules.sentence import say
from supervision.rules.term import Term
from supervision.rules.territory import Territory


@dataclass(frozen=True, slots=True)
class GrantTerms:
    """What is allowed, in trade language, for a term of whole days; at most so long and so often (None: no limit)."""

    media: str
    territory: str
    term: Term
    max_seconds: int | None = None
    max_uses: int | None = None


def read_terms(terms: GrantTerms) -> rights.Grant:
    """The terms as the rules reckon with them; unreadable words are a ``BadValue``."""
    grant = rights.Grant(
        Media.parse(terms.media),
        Territory.parse(terms.territory),
        terms.term,
        None if terms.max_seconds is None else Fraction(terms.max_seconds),
        terms.max_uses,
    )
    first_day(grant)
    return grant


def first_day(grant: rights.Grant) -> date:
    """The day on which the grant starts; ``BadValue`` where its term has no beginning."""
    if grant.term.start is None:
        raise BadValue(
            "grant-start-missing", say("A grant starts on a day."), place="starts_on", mend=say("Give its first day.")
        )
    return grant.term.start


def read_grants(terms: Sequence[GrantTerms]) -> list[rights.Grant]:
    """The grants of one licence; ``BadValue`` names the place of the one that cannot stand: ``grants.1.territory``."""
    read = []
    for index, each in enumerate(terms):
        with placed(place_of("grants", index)):
            read.append(read_terms(each))
    check_grants(read)
    return read


def grant_row(licence: Licence, grant: rights.Grant) -> Grant:
    """The grant's row, its words in their shortest readable form."""
    return Grant(
        licence=licence,
        media=grant.media.text,
        territory=grant.territory.text,
        starts_on=first_day(grant),
        ends_on=grant.term.end,
        max_seconds=None if grant.max_seconds is None else int(grant.max_seconds),
        max_uses=grant.uses,
    )


def grants_of(licence: Licence) -> list[rights.Grant]:
    """The licence's grants as the rules reckon with them. One query."""
    return [
        read_terms(
            GrantTerms(row.media, row.territory, Term(row.starts_on, row.ends_on), row.max_seconds, row.max_uses)
        )
        for row in licence.grants.all()
    ]
