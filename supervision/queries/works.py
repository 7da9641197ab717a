"""Works: lists with writers and publishers, and one by number."""

from __future__ import annotations

import django_filters as filters
from django import forms
from django.db.models import Prefetch, Q, QuerySet

from supervision.models import Recording, RecordingWork, Work, WorkShare
from supervision.models.catalogue import PUBLISHER, WRITER
from supervision.models.rows import LIVE
from supervision.queries.search import SearchFilters, number_filter
from supervision.rules.errors import NotVisible
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.sentence import say


def works() -> QuerySet[Work]:
    """All works, deleted ones as well, with the works that they arrange. One query."""
    return Work.objects.select_related("arrangement_of")


def listed_works() -> QuerySet[Work]:
    """Works with what lists show: titles, ``writers`` and ``publishers``, ``live_recordings``. Five queries.

    The shares have their parties with societies, and administrators.
    """
    shares = WorkShare.objects.select_related("party__society", "administrator").order_by("position", "pk")
    # Under names of their own: what is filtered must not stand in for all that ``shares`` and ``recorded_in`` have.
    return works().prefetch_related(
        "alternative_titles",
        Prefetch("shares", shares.filter(interest=WRITER), to_attr="writers"),
        Prefetch("shares", shares.filter(interest=PUBLISHER), to_attr="publishers"),
        Prefetch("recorded_in", RecordingWork.objects.filter(recording__deleted_at=None), to_attr="live_recordings"),
    )


def work_for(pk: int, *, live: bool = False) -> Work:
    """A work by number with its alternative titles, a deleted one as well unless ``live``. Two queries."""
    work = works().filter(pk=pk).prefetch_related("alternative_titles").first()
    if work is None or (live and work.deleted_at):
        raise NotVisible("work-unknown", say("There is no work {number}.", number=pk))
    return work


def recordings_of(work: Work) -> QuerySet[Recording]:
    """Live recordings of a work by title. One query."""
    return Recording.objects.filter(LIVE, works=work)


def arrangements_of(work: Work) -> QuerySet[Work]:
    """Live arrangements of a work by title. One query."""
    return Work.objects.filter(LIVE, arrangement_of=work)


def work_filtered_by(chosen: filters.FilterSet) -> Work | None:
    """The work to whose recordings a list is narrowed. One query, or none."""
    number = chosen.form.cleaned_data.get("work") if chosen.form.is_valid() else None
    return None if number is None else Work.objects.filter(pk=number).first()


class WorkFilter(SearchFilters):
    """Filters of the list of works, on the page and in the API."""

    iswc = filters.CharFilter(label="ISWC", method="by_iswc", widget=forms.HiddenInput)
    party = number_filter("of_party", say("Party"))
    public_domain = filters.BooleanFilter(
        label=say("Public domain"), widget=forms.CheckboxInput, method="only_public_domain"
    )

    class Meta:
        model = Work
        fields = ("search", "iswc", "party", "public_domain", "deleted")

    def by_iswc(self, rows: QuerySet[Work], _name: str, text: str) -> QuerySet[Work]:
        """The one with this ISWC, with or without punctuation."""
        return rows.filter(iswc=check_identifier(Scheme.ISWC, text).canonical or text)

    def of_party(self, rows: QuerySet[Work], _name: str, party: int) -> QuerySet[Work]:
        """Works in which the party has or administers a share."""
        shares = WorkShare.objects.filter(Q(party=party) | Q(administrator=party))
        return rows.filter(pk__in=shares.values("work"))

    def only_public_domain(self, rows: QuerySet[Work], _name: str, value: bool) -> QuerySet[Work]:
        """Works in the public domain alone, or all."""
        return rows.filter(public_domain=True) if value else rows
