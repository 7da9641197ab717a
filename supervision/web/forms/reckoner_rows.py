"""Forms of the reckoner with a row for each party: shares, and most favoured nations."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, parse_money
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.percent import parse_share, share_text
from supervision.rules.sentence import figures, joined, say
from supervision.rules.split import Convention
from supervision.web.forms.fields import AmountField
from supervision.web.forms.reckoner import Question, ReadField
from supervision.web.forms.row_sets import SetRow, row_set

SIDE_CHOICES = [(side, side.label) for side in Side]
_NO_PARTY = say("There is no party yet.")
CURRENCY_CHOICES = [(code, code) for code in CURRENCIES]


def share_field() -> ReadField:
    """A share kept exactly: 33.34, or 100/3."""
    field = ReadField(lambda text: share_text(parse_share(text)), label=say("Share %"), max_length=40)
    field.widget.attrs["inputmode"] = "decimal"
    return field


class ShareLine(SetRow):
    """A writer or publisher of a split."""

    name = forms.CharField(label=say("Name"), max_length=300, required=False)
    # PA stands in both lists of codes; without a list said beside it the rule reads the publishers'.
    role = forms.ChoiceField(
        label=say("Role"),
        choices=[
            (
                say("Writers"),
                [(role, joined([role.value, role.label])) for role in WriterRole if role is not WriterRole.PA],
            ),
            (say("Publishers"), [(role, joined([role.value, role.label])) for role in PublisherRole]),
        ],
        initial=WriterRole.CA,
    )
    share = share_field()


class SharesForm(Question):
    """A split, checked and converted."""

    rule = "shares"
    set_classes = {"parties": row_set(ShareLine, extra=4)}
    example = {"convention": Convention.HUNDRED}
    example_rows = {
        "parties": [
            {"name": "Ada Weir", "role": "CA", "share": "50"},
            {"name": "Tide Music", "role": "E", "share": "30"},
            {"name": "Sluice Songs", "role": "E", "share": "20"},
        ]
    }

    convention = forms.ChoiceField(
        label=say("Stated as"),
        choices=[
            (each, say("{total} in all: {convention}", total=figures(f"{each} %"), convention=each.label))
            for each in Convention
        ],
    )

    def given(self) -> dict[str, Any]:
        """The convention and the rows as they are."""
        return {"convention": self.cleaned_data["convention"], "parties": self.rows_of("parties", _NO_PARTY)}


class FavouredLine(SetRow):
    """What one party asks, and whom its clause favours it with."""

    id = forms.CharField(label=say("Party"), max_length=200)
    side = forms.ChoiceField(label=say("Side"), choices=SIDE_CHOICES, initial=Side.SYNC)
    share = share_field()
    rate = AmountField(
        label=say("Asks on 100 %"),
        max_length=40,
        widget=forms.TextInput({"inputmode": "decimal", "autocomplete": "off"}),
    )
    favoured_with = forms.ChoiceField(
        label=say("Favoured with"),
        required=False,
        choices=[("", say("nobody")), ("side", say("this side")), ("all", say("every party"))],
    )
    by_name = forms.CharField(label=say("and by name"), max_length=1000, required=False)


class FavouredForm(Question):
    """Who is raised by whom."""

    rule = "favoured"
    set_classes = {"parties": row_set(FavouredLine, extra=3)}
    example = {"currency": "USD"}
    example_rows = {
        "parties": [
            {"id": "pub-a", "side": "sync", "share": "60", "rate": figures("8,000.00"), "favoured_with": "side"},
            {"id": "pub-b", "side": "sync", "share": "40", "rate": figures("10,000.00"), "favoured_with": ""},
            {"id": "label", "side": "master", "share": "100", "rate": figures("8,000.00"), "favoured_with": "all"},
        ]
    }

    currency = forms.ChoiceField(label=say("Currency"), choices=CURRENCY_CHOICES, initial="USD")

    def given(self) -> dict[str, Any]:
        """The parties with their rates in minor units and the parties named in their clauses."""
        currency = self.cleaned_data["currency"]
        parties = [self._party(number, row, currency) for number, row in enumerate(self.rows_of("parties", _NO_PARTY))]
        return {"currency": currency, "parties": parties}

    def _party(self, number: int, row: dict[str, Any], currency: str) -> dict[str, Any]:
        scope = [row["favoured_with"]] if row["favoured_with"] else []
        named = [name.strip() for name in row["by_name"].split(",") if name.strip()]
        if "," in row["id"]:
            text = say("A party's name has a comma.")
            mend = say("Leave it out: commas stand between the names of a clause.")
            raise BadValue("party-id-comma", text, place=f"parties.{number}.id", mend=mend)
        rate = minor(row["rate"], currency, f"parties.{number}.rate")
        return {
            "id": row["id"],
            "side": row["side"],
            "share": row["share"],
            "rate": rate,
            "favoured_with": [*scope, *named],
        }

    def place_of(self, place: str) -> str:
        """The rule names a party by its id where the terms of several parties have been compared."""
        for number, row in enumerate(self.entries("parties")):
            if place == row["id"]:
                return f"parties.{number}.id"
            if place == f"{row['id']}.favoured_with":
                return f"parties.{number}.by_name"
            if place.startswith(f"{row['id']}."):
                return f"parties.{number}.{place.removeprefix(row['id'] + '.')}"
        return super().place_of(place)


def minor(text: str, currency: str, place: str) -> int:
    """The minor units of an amount as typed; BadValue at the place."""
    try:
        return parse_money(text, currency).minor
    except BadValue as refused:
        raise BadValue(refused.code, refused.text, place=place, mend=refused.mend) from refused
