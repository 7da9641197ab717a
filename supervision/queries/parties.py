"""Parties and societies: lists, one by number, and what a party has shares in."""

from __future__ import annotations

import django_filters as filters
from django import forms
from django.db.models import Q, QuerySet

from supervision.models import Party, Recording, Society, Work
from supervision.models.rows import LIVE
from supervision.queries.search import SearchFilters
from supervision.rules.errors import NotVisible
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.sentence import say, say_as


def societies() -> QuerySet[Society]:
    """All societies by name. One query."""
    return Society.objects.all()


def parties() -> QuerySet[Party]:
    """All parties, deleted ones as well, with their societies. One query."""
    return Party.objects.select_related("society")


def listed_parties() -> QuerySet[Party]:
    """Parties with their contacts. Two queries."""
    return parties().prefetch_related("contacts")


def party_for(pk: int, *, live: bool = False) -> Party:
    """A party by number, a deleted one as well unless ``live``. One query."""
    party = parties().filter(pk=pk).first()
    if party is None or (live and party.deleted_at):
        raise NotVisible("party-unknown", say("There is no party {number}.", number=pk))
    return party


def works_of_party(party: Party) -> QuerySet[Work]:
    """Live works in which a party has or administers a share, by title. One query."""
    shared = Q(shares__party=party) | Q(shares__administrator=party)
    return Work.objects.filter(LIVE & shared).distinct()


def recordings_of_party(party: Party) -> QuerySet[Recording]:
    """Live recordings in which a party has or administers a share, by title. One query."""
    shared = Q(shares__party=party) | Q(shares__administrator=party)
    return Recording.objects.filter(LIVE & shared).distinct()


def party_filtered_by(chosen: filters.FilterSet) -> Party | None:
    """The party whose shares a list of works or recordings is narrowed to. One query, or none."""
    number = chosen.form.cleaned_data.get("party") if chosen.form.is_valid() else None
    return None if number is None else Party.objects.filter(pk=number).first()


class PartyFilter(SearchFilters):
    """Filters of the list of parties, on the page and in the API."""

    kind = filters.ChoiceFilter(label=say("Kind"), choices=Party.Kind.choices, empty_label=say_as("a kind", "Any"))
    society = filters.ModelChoiceFilter(
        label=say("Society"), queryset=Society.objects.all(), empty_label=say_as("a society", "Any")
    )
    ipi = filters.CharFilter(label=say("IPI name number"), method="by_ipi", widget=forms.HiddenInput)
    is_ours = filters.BooleanFilter(label=say("Our own company"), widget=forms.CheckboxInput, method="only_ours")

    class Meta:
        model = Party
        fields = ("search", "kind", "society", "ipi", "is_ours", "deleted")

    def by_ipi(self, rows: QuerySet[Party], _name: str, text: str) -> QuerySet[Party]:
        """The one with this IPI name number, with or without leading zeros."""
        return rows.filter(ipi=check_identifier(Scheme.IPI, text).canonical or text)

    def only_ours(self, rows: QuerySet[Party], _name: str, value: bool) -> QuerySet[Party]:
        """Our own companies alone, or everybody."""
        return rows.filter(is_ours=True) if value else rows
