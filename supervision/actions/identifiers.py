"""Identifiers of the catalogue and of episodes: stored in their canonical form, checked when they are typed, and held by one live row."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from supervision.models import Episode, Party, Recording, Work
from supervision.models.rows import LIVE
from supervision.rules.errors import BadRow
from supervision.rules.identifiers import Scheme, canonical
from supervision.rules.sentence import say

Row = Episode | Party | Recording | Work

_UNIQUE = frozenset({Scheme.IPI, Scheme.ISRC, Scheme.ISWC})


def read_identifiers(row: Row, fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields with their identifiers in canonical form. Raises ``BadValue`` or ``BadRow`` naming the field.

    What the row has already is taken as it is: an import may have brought an identifier with a wrong check digit, which
    is a warning on the row's page and no reason to refuse a change of its title.
    """
    read = dict(fields)
    for scheme in Scheme:
        typed = read.get(scheme)
        if typed and typed != getattr(row, scheme):
            read[scheme] = canonical(scheme, typed)
            refuse_taken(row, scheme, read[scheme])
    return read


def refuse_taken(row: Row, scheme: Scheme, identifier: str) -> None:
    """Refuse an identifier that another live row has, naming that row (``BadRow``)."""
    if scheme not in _UNIQUE or not identifier:
        return
    other = type(row)._default_manager.filter(LIVE, **{scheme: identifier}).exclude(pk=row.pk).first()
    if other is not None:
        text = say(
            "“{other}” has this {scheme} already. Use that one, or compare the identifier with its source.",
            other=str(other),
            scheme=scheme.label,
        )
        raise BadRow({scheme: [text]})
