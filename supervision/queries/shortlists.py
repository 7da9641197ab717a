"""Shortlists as people read them."""

from __future__ import annotations

from django.db.models import F, QuerySet

from supervision.models import Candidate, Usage, User
from supervision.queries.rows import row_for
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


def candidates_of(usage: Usage) -> QuerySet[Candidate]:
    """What is considered for a usage: open ones by preference, then what was chosen and passed over. One query."""
    return usage.candidates.select_related("recording", "work").order_by(F("outcome").asc(), "position", "pk")


def candidate_for(user: User, pk: int, deed: Deed = Deed.READ) -> Candidate:
    """A candidate by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("candidate-unknown", say("There is no such candidate."))
    rows = Candidate.objects.select_related(
        "recording", "work", "usage__recording", "usage__work", "usage__episode__current_cut"
    )
    return row_for(rows, user, pk, deed, production="usage__episode__season__production", unknown=unknown)
