"""The form of a party with its contacts."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import Party
from supervision.rules.identifiers import Scheme
from supervision.rules.sentence import say, say_as
from supervision.rules.societies import NONE
from supervision.web.forms.fields import IdentifierField
from supervision.web.forms.row_sets import FormWithRows, SetRow, row_set


class ContactRow(SetRow):
    """A person or desk to whom letters go."""

    name = forms.CharField(label=say("Name"), max_length=120)
    department = forms.CharField(label=say("Department"), max_length=120, required=False)
    email = forms.EmailField(label=say("E-mail"), required=False)
    phone = forms.CharField(label=say("Phone"), max_length=40, required=False)
    address = forms.CharField(label=say("Address"), required=False, widget=forms.Textarea({"rows": 2}))


class PartyForm(FormWithRows):
    """A party with its numbers and contacts."""

    set_classes = {"contacts": row_set(ContactRow)}
    ipi = IdentifierField(Scheme.IPI, help_text=say("11 digits; leading zeros may be left out."))
    isni = IdentifierField(Scheme.ISNI)

    class Meta:
        model = Party
        fields = ("name", "kind", "ipi", "isni", "society", "is_ours", "notes")
        widgets = {"notes": forms.Textarea({"rows": 3})}
        labels = {
            "name": say("Name"),
            "kind": say("Kind"),
            "society": say("Society"),
            "is_ours": say("Our own company"),
            "notes": say("Notes"),
        }
        help_texts = {
            "name": say("As cue sheets and letters show it."),
            "society": say("Of performing rights. Choose “{none}” where it is known to have none.", none=NONE),
            "is_ours": say("Nobody is asked for what our own company holds."),
        }

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        party: Party | None = kwargs.get("instance")
        if party is not None:
            contacts = party.contacts.values("name", "department", "email", "phone", "address")
            kwargs["rows"] = {"contacts": list(contacts)}
        super().__init__(data, **kwargs)
        self.fields["society"].empty_label = say_as("a society", "not known")  # type: ignore[attr-defined]
        for name in ("ipi", "isni"):
            self.fields[name].stored = getattr(self.instance, name)  # type: ignore[attr-defined]

    def told_sets(self) -> dict[str, list[dict[str, Any]]]:
        """The sets as the actions take them."""
        return {"contacts": self.entries("contacts")}
