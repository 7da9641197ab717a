"""The form of a work: titles, identifiers, writers and publishers."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from supervision.models import Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.queries.picks import labels_of
from supervision.rules.identifiers import Scheme
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.sentence import joined, say
from supervision.web.forms.fields import IdentifierField, PartyField, ShareField, TerritoryField, WorkField
from supervision.web.forms.row_sets import FormWithRows, SetRow, row_set


class TitleRow(SetRow):
    """An alternative title."""

    title = forms.CharField(label=say("Title"), max_length=300)
    language = forms.CharField(
        label=say("Language"), max_length=12, required=False, widget=forms.TextInput({"placeholder": "de"})
    )


def _told(roles: type[WriterRole | PublisherRole]) -> list[tuple[str, str]]:
    """Roles as choices: the code, and the role in words."""
    return [(role, joined([role.value, role.label])) for role in roles]


class _ShareRow(SetRow):
    picks = ("party", "administrator")

    performance = ShareField(label=say("Performance %"))
    control = ShareField(label=say("Control %"), required=False)
    territory = TerritoryField(label=say("Territory"))
    administrator = PartyField(label=say("Administered by"), required=False)


class WriterRow(_ShareRow):
    """A writer's share."""

    party = PartyField(label=say("Writer"))
    role = forms.ChoiceField(label=say("Role"), choices=_told(WriterRole), initial=WriterRole.CA)
    field_order = ("party", "role", "performance", "control", "territory", "administrator", "new")


class PublisherRow(_ShareRow):
    """A publisher's share."""

    party = PartyField(label=say("Publisher"))
    role = forms.ChoiceField(label=say("Role"), choices=_told(PublisherRole), initial=PublisherRole.E)
    field_order = ("party", "role", "performance", "control", "territory", "administrator", "new")


class WorkForm(FormWithRows):
    """A work with its alternative titles, writers and publishers."""

    set_classes = {
        "alternative_titles": row_set(TitleRow),
        "writers": row_set(WriterRow, extra=2),
        "publishers": row_set(PublisherRow),
    }
    iswc = IdentifierField(Scheme.ISWC, help_text=say("With or without punctuation, such as T-034.524.680-1."))
    arrangement_of = WorkField(
        label=say("Arrangement of"),
        required=False,
        help_text=say("The work that this one arranges or adapts, by title or ISWC."),
    )

    class Meta:
        model = Work
        fields = ("title", "iswc", "work_number", "arrangement_of", "notes", "public_domain")
        widgets = {"notes": forms.Textarea({"rows": 2})}
        labels = {
            "title": say("Title"),
            "work_number": say("Work number"),
            "notes": say("Notes"),
            "public_domain": say("In the public domain"),
        }
        help_texts = {
            "public_domain": say("Nobody is asked for the sync side of such a work."),
            "work_number": say("Its owner’s or a society’s, with whose it is, such as PRS 1234567A."),
        }

    def __init__(self, data: Any = None, *, shares: Iterable[WorkShare] = (), **kwargs: Any) -> None:
        work: Work | None = kwargs.get("instance")
        if work is not None:
            kwargs["rows"] = _rows(work, list(shares))
            if work.arrangement_of is not None:
                kwargs["initial"] = {"arrangement_of": labels_of([work.arrangement_of])[work.arrangement_of.pk]}
        super().__init__(data, **kwargs)
        self.fields["iswc"].stored = self.instance.iswc  # type: ignore[attr-defined]

    def told_sets(self) -> dict[str, list[dict[str, Any]]]:
        """The sets as the actions take them."""
        return {name: self.entries(name) for name in self.set_classes}


def _rows(work: Work, shares: list[WorkShare]) -> dict[str, list[dict[str, Any]]]:
    parties = [party for share in shares for party in (share.party, share.administrator) if party is not None]
    labels = labels_of(parties)
    rows: dict[str, list[dict[str, Any]]] = {
        "alternative_titles": [{"title": row.title, "language": row.language} for row in work.alternative_titles.all()],
        "writers": [],
        "publishers": [],
    }
    for share in shares:
        rows["writers" if share.interest == WRITER else "publishers"].append(
            {
                "party": labels[share.party.pk],
                "role": share.role,
                "performance": share.performance,
                "control": share.control,
                "territory": share.territory,
                "administrator": labels[share.administrator.pk] if share.administrator else "",
            }
        )
    return rows
