"""The form of coverage: plan, shares, grants and options as four sets of rows, put together by side and holder."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils import timezone

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.media import Media
from supervision.rules.sentence import Sentence, say, say_as
from supervision.rules.term import inclusive
from supervision.web.forms.fields import AmountField, TerritoryField
from supervision.web.forms.reckoner import Question, ReadField
from supervision.web.forms.reckoner_rows import CURRENCY_CHOICES, SIDE_CHOICES, minor, share_field
from supervision.web.forms.row_sets import SetRow, row_set
from supervision.web.forms.rows import DayInput


def territory_field() -> TerritoryField:
    """A territory, blank for the world: a row that nobody has touched has nothing in it."""
    return TerritoryField(label=say("Territory"), initial="", widget=forms.TextInput({"placeholder": say("World")}))


class _WindowRow(SetRow):
    """Media × territory × term. The last day is included, as contracts write it; blank days are open."""

    media_words = ReadField(
        lambda text: list(Media.parse(text).codes),
        label=say("Media"),
        max_length=300,
        widget=forms.TextInput({"placeholder": say("such as all media")}),
    )
    territory = territory_field()
    from_day = forms.DateField(label=say_as("a day", "From"), required=False, widget=DayInput())
    last_day = forms.DateField(label=say("Last day"), required=False, widget=DayInput())

    def clean(self) -> dict[str, Any]:
        """The term has a day in it."""
        data = super().clean() or {}
        try:
            inclusive(data.get("from_day"), data.get("last_day"))
        except BadValue as refused:
            self.add_error("last_day", str(refused))
        return data


def _no_share(side: str, holder: str) -> Sentence:
    if side == Side.SYNC:
        return say("{holder} has no share of the sync side above.", holder=holder)
    return say("{holder} has no share of the master side above.", holder=holder)


class PlanRow(_WindowRow):
    """A window of the release plan."""


class ShareRow(SetRow):
    """A holder's share of a side in a territory."""

    side = forms.ChoiceField(label=say("Side"), choices=SIDE_CHOICES, initial=Side.SYNC)
    holder = forms.CharField(label=say("Holder"), max_length=200)
    territory = territory_field()
    share = share_field()


class GrantRow(_WindowRow):
    """What a holder has granted."""

    side = forms.ChoiceField(label=say("Side"), choices=SIDE_CHOICES, initial=Side.SYNC)
    holder = forms.CharField(label=say("Holder"), max_length=200)
    field_order: tuple[str, ...] = ("side", "holder", "media_words", "territory", "from_day", "last_day")


class OptionRow(GrantRow):
    """What a holder would still grant for a fee."""

    option = forms.CharField(label=say("Option"), max_length=200)
    fee = AmountField(
        label=say("Fee"), max_length=40, widget=forms.TextInput({"inputmode": "decimal", "autocomplete": "off"})
    )
    deadline = forms.DateField(label=say("Take up by"), required=False, widget=DayInput())
    field_order = (*GrantRow.field_order, "option", "fee", "deadline")


class CoverageForm(Question):
    """Where a plan is not covered."""

    rule = "coverage"
    set_classes = {
        "plan": row_set(PlanRow, extra=2),
        "shares": row_set(ShareRow, extra=3),
        "grants": row_set(GrantRow, extra=3),
        "options": row_set(OptionRow, extra=1),
    }
    example_rows = {
        "plan": [{"media_words": "SVOD", "territory": say("World excl. US"), "from_day": date(2027, 1, 1)}],
        "shares": [
            {"side": "sync", "holder": "pub-a", "territory": say("World"), "share": "60"},
            {"side": "sync", "holder": "pub-b", "territory": say("World"), "share": "40"},
        ],
        "grants": [
            {
                "side": "sync",
                "holder": "pub-a",
                "media_words": say("all media"),
                "territory": say("World"),
                "from_day": date(2027, 1, 1),
                "last_day": date(2031, 12, 31),
            },
            {
                "side": "sync",
                "holder": "pub-b",
                "media_words": say("all media"),
                "territory": say("World"),
                "from_day": date(2027, 1, 1),
            },
        ],
    }
    renamed = {"media": "media_words", "from": "from_day", "to": "last_day", "id": "option"}

    currency = forms.ChoiceField(label=say("Currency of options"), choices=CURRENCY_CHOICES, initial="USD")

    @property
    def has_options(self) -> bool:
        """Whether the options are worth showing: something stands in them, or a row was asked for."""
        return self.data.get("add_row") == "options" or any(row.has_changed() for row in self.sets["options"])

    def given(self) -> dict[str, Any]:
        """The plan, and the sides in the order in which their shares stand; ``today`` where there are options."""
        plan = [_window(row) for row in self.rows_of("plan", say("There is no window of the release plan yet."))]
        sides = self._sides()
        today = {"today": timezone.localdate().isoformat()} if self.entries("options") else {}
        return {"plan": plan, "sides": sides, **today}

    def _sides(self) -> list[dict[str, Any]]:
        self.rows_at: dict[str, str] = {}
        sides: dict[str, dict[str, dict[str, Any]]] = {}
        for number, row in enumerate(self.rows_of("shares", say("There is no share yet."))):
            holders = sides.setdefault(row["side"], {})
            holder = holders.setdefault(row["holder"], {"id": row["holder"], "shares": [], "grants": []})
            self._add(sides, row, "shares", number, holder, {"territory": row["territory"], "share": row["share"]})
        for name in ("grants", "options"):
            for number, row in enumerate(self.entries(name)):
                entry = _window(row) | (self._fee(row, number) if name == "options" else {})
                self._add(sides, row, name, number, self._holder(sides, row, f"{name}.{number}"), entry)
        return [{"id": side, "holders": list(holders.values())} for side, holders in sides.items()]

    def _add(
        self,
        sides: dict[str, dict[str, dict[str, Any]]],
        row: dict[str, Any],
        name: str,
        number: int,
        holder: dict[str, Any],
        entry: dict[str, Any],
    ) -> None:
        """Put an entry with its holder, and remember which row it came from."""
        side, position = list(sides).index(row["side"]), list(sides[row["side"]]).index(row["holder"])
        entries = holder.setdefault(name, [])
        self.rows_at[f"sides[{side}].holders[{position}].{name}[{len(entries)}]"] = f"{name}.{number}"
        entries.append(entry)

    def _holder(self, sides: dict[str, dict[str, dict[str, Any]]], row: dict[str, Any], place: str) -> dict[str, Any]:
        holder = sides.get(row["side"], {}).get(row["holder"])
        if holder is None:
            text = _no_share(row["side"], row["holder"])
            mend = say("Write the holder as there, or add the share.")
            raise BadValue("holder-without-share", text, place=f"{place}.holder", mend=mend)
        return holder

    def _fee(self, row: dict[str, Any], number: int) -> dict[str, Any]:
        currency = self.cleaned_data["currency"]
        fee = minor(row["fee"], currency, f"options.{number}.fee")
        return {"id": row["option"], "fee": fee, "currency": currency, "deadline": _day(row["deadline"])}

    def place_of(self, place: str) -> str:
        """The row that an entry came from, with its field."""
        for at, row in self.rows_at.items():
            if place.startswith(f"{at}."):
                return super().place_of(row + place.removeprefix(at))
        return super().place_of(place)


def _window(row: dict[str, Any]) -> dict[str, Any]:
    term = inclusive(row["from_day"], row["last_day"])
    days = {"from": _day(term.start), "to": _day(term.end)}
    return {"media": row["media_words"], "territory": row["territory"], **days}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
