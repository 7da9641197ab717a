"""The reckoner's questions and answers, described for the API's documentation.

What is sent is read by ``rules.reckoner`` alone, so that all doors refuse the same with the same words; a test holds
these descriptions to the worked examples. Exact values travel as text, money as whole minor units, ``to`` is exclusive.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from drf_spectacular.utils import inline_serializer
from rest_framework import serializers

from supervision.models.rows import choices_of
from supervision.rules.clearance import Side
from supervision.rules.identifiers import Scheme
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.split import Convention

Described = serializers.Serializer[Any]

# No enumeration of its own, which the schema would have to tell from the roles of members.
ROLES = ", ".join(dict.fromkeys([*WriterRole, *PublisherRole]))
CONVENTIONS = choices_of(Convention)
SCHEMES = choices_of(Scheme)


def _text(help_text: str = "", **kwargs: Any) -> serializers.CharField:
    return serializers.CharField(help_text=help_text, **kwargs)


def _whole(help_text: str = "", **kwargs: Any) -> serializers.IntegerField:
    return serializers.IntegerField(help_text=help_text, **kwargs)


def _texts(help_text: str = "", **kwargs: Any) -> serializers.ListField:
    return serializers.ListField(child=serializers.CharField(), help_text=help_text, **kwargs)


def _day(help_text: str = "", **kwargs: Any) -> serializers.DateField:
    return serializers.DateField(allow_null=True, help_text=help_text, **kwargs)


def _named(name: str, fields: dict[str, Any], **kwargs: Any) -> Described:
    return inline_serializer(f"Reckon{name}", fields, **kwargs)


def _rate() -> dict[str, Any]:
    return {
        "rate": _text('Exact frames a second, such as "30000/1001", or as spoken: "29.97".'),
        "drop": serializers.BooleanField(required=False, help_text="Whether labels are counted drop-frame."),
    }


def _share_line(name: str) -> dict[str, Any]:
    return {
        "name": _text(allow_blank=True),
        "role": _text(f"CISAC role code: {ROLES}."),
        "share": _text(f'{name} in per cent, exactly: "33.34" or "100/3".'),
    }


def _window(**more: Any) -> dict[str, Any]:
    return {
        "media": _texts('Such as "svod" or "all excl. theatrical".'),
        "territory": _text('Such as "World excl. US, CA".'),
        "from": _day("First day; null is from the beginning."),
        "to": _day("First day that is no longer in it; null is without end."),
        **more,
    }


def _limits(**more: Any) -> dict[str, Any]:
    limits = {
        "max_seconds": _text("Longest use, exactly.", required=False),
        "uses": _whole("Most uses.", required=False, min_value=1),
    }
    return _window(**limits, **more)


def _findings(name: str, **kwargs: Any) -> Described:
    return _named(f"{name}Finding", {"level": _text("error or warning"), "text": _text()}, many=True, **kwargs)


def _offer(name: str, **kwargs: Any) -> Described:
    fields = {"option": _text(), "fee": _whole("In minor units."), "currency": _text(), "deadline": _day()}
    return _named(name, fields, many=True, **kwargs)


def _holder() -> Described:
    share = {"territory": _text(), "share": _text("Per cent of the side, exactly.")}
    option = {"id": _text(), "fee": _whole("In minor units."), "currency": _text()}
    return _named(
        "Holder",
        {
            "id": _text(),
            "shares": _named("TerritoryShare", share, many=True),
            "grants": _named("Grant", _limits(id=_text(required=False)), many=True),
            "options": _named("Option", _limits(**option, deadline=_day(required=False)), many=True, required=False),
        },
        many=True,
    )


QUESTIONS: MappingProxyType[str, Described] = MappingProxyType(
    {
        "timecode": _named(
            "TimecodeQuestion",
            _rate()
            | {
                "timecode": _text("In place of frames.", required=False),
                "frames": _whole("In place of the timecode.", required=False, min_value=0),
            },
        ),
        "duration": _named(
            "DurationQuestion",
            _rate()
            | {
                "in": _text("Timecode of the first frame."),
                "out": _text("Timecode of the first frame without the music."),
                "wraps": serializers.BooleanField(required=False, help_text="The picture runs across midnight."),
            },
        ),
        "identifier": _named("IdentifierQuestion", {"scheme": serializers.ChoiceField(SCHEMES), "value": _text()}),
        "shares": _named(
            "SharesQuestion",
            {
                "convention": serializers.ChoiceField(CONVENTIONS, help_text="What writers and publishers come to."),
                "parties": _named("ShareLine", _share_line("Share"), many=True),
            },
        ),
        "favoured": _named(
            "FavouredQuestion",
            {
                "currency": _text("ISO 4217."),
                "parties": _named(
                    "FavouredParty",
                    {
                        "id": _text(),
                        "side": serializers.ChoiceField(choices_of(Side)),
                        "share": _text("Per cent of its side, exactly."),
                        "rate": _whole("Asked for 100 % of its side, in minor units.", min_value=0),
                        "favoured_with": _texts('"side", "all", or ids of parties.', required=False),
                    },
                    many=True,
                ),
            },
        ),
        "coverage": _named(
            "CoverageQuestion",
            {
                "plan": _named("PlanWindow", _window(), many=True),
                "sides": _named(
                    "SideOfRights",
                    {
                        "id": _text(),
                        "holders": _holder(),
                        "seconds": _text("Longest single use, exactly.", required=False),
                        "uses": _whole("How often the music is used.", required=False, min_value=1),
                    },
                    many=True,
                ),
                "today": serializers.DateField(required=False, help_text="Leaves out options whose deadline is past."),
            },
        ),
        "territory": _named("TerritoryQuestion", {"expression": _text('Such as "World excl. US, CA".')}),
        "mechanical": _named(
            "MechanicalQuestion",
            {
                "country": _text("US; others have no such rate here."),
                "year": _whole("When the copies are made and distributed."),
                "seconds": serializers.IntegerField(help_text='Playing time; exact text such as "312.5" is taken too.'),
                "copies": _whole("1 when left out.", required=False, min_value=1),
            },
        ),
    }
)

ANSWERS: MappingProxyType[str, dict[str, Any]] = MappingProxyType(
    {
        "timecode": {"frames": _whole(), "timecode": _text(), "seconds": _text("Exactly.")},
        "duration": {
            "frames": _whole(),
            "seconds": _text("Exactly."),
            "rounded": _whole("As a cue sheet prints it."),
            "text": _text(),
        },
        "identifier": {
            "valid": serializers.BooleanField(),
            "canonical": _text(allow_null=True),
            "display": _text(allow_null=True),
            "reason": _text("Why it is not valid.", allow_null=True),
            "caution": _text("What is odd about a valid one.", required=False),
        },
        "shares": {
            "writers": _text("What the writers' shares come to, exactly."),
            "publishers": _text("What the publishers' shares come to, exactly."),
            "ok": serializers.BooleanField(help_text="Nothing is an error."),
            "findings": _findings("Shares"),
            "converted": _named(
                "ConvertedShares",
                {
                    "convention": serializers.ChoiceField(CONVENTIONS),
                    "parties": _named("ConvertedLine", _share_line("Share"), many=True),
                },
            ),
        },
        "favoured": {
            "parties": _named(
                "FavouredStanding",
                {
                    "id": _text(),
                    "rate": _whole("On 100 %, in minor units."),
                    "fee": _whole("For its share, in minor units."),
                    "raised_by": _text(allow_null=True),
                },
                many=True,
            ),
            "sides": _named("FavouredSides", {"sync": _whole(), "master": _whole()}),
            "total": _whole("In minor units."),
            "findings": _findings("Favoured", required=False),
        },
        "coverage": {
            "covered": serializers.BooleanField(),
            "gaps": _named(
                "Gap",
                {
                    "side": _text(),
                    **_window(countries=_texts("ISO 3166-1 alpha-2, of today.")),
                    "granted": _text("Per cent, exactly."),
                    "lacking": _texts("Holders with a share there and no grant that counts."),
                    "unknown": _text("Per cent that nobody is known to hold.", required=False),
                    "closable_by": _offer("ClosingOption", required=False),
                },
                many=True,
            ),
            "findings": _findings("Coverage", required=False),
            "cheapest": _named(
                "CheapestOptions",
                {
                    "options": _offer("CheapestOption"),
                    "fee": _whole("In minor units."),
                    "currency": _text(allow_null=True),
                    "exact": serializers.BooleanField(help_text="No cheaper set would do."),
                    "covered": serializers.BooleanField(help_text="Nothing is left open."),
                },
                required=False,
            ),
        },
        "territory": {"countries": _texts("ISO 3166-1 alpha-2, in order."), "display": _text()},
        "mechanical": {
            "per_copy": _text("Dollars, exactly."),
            "total": _text("Dollars, exactly."),
            "working": _text(),
            "source": _text(),
        },
    }
)

WORKINGS = {"workings": _texts("Only when asked for: how the answer was come to.", required=False)}
PROBLEM = inline_serializer(
    "ReckonProblem",
    {
        "type": _text(),
        "title": _text(),
        "status": _whole(),
        "code": _text("Stable."),
        "detail": _text(),
        "place": _text('Such as "parties[3].share".'),
        "mend": _text(),
    },
)


def answer_of(rule: str) -> Described:
    """The description of a rule's answer."""
    return _named(f"{rule.title()}Answer", ANSWERS[rule] | WORKINGS)


class RuleSerializer(Described):
    """A rule of the reckoner with a worked example."""

    rule = serializers.CharField()
    title = serializers.CharField()
    answers = serializers.CharField(help_text="What it answers.")
    url = serializers.URLField(help_text="Where the question is posted.")
    example = inline_serializer(
        "ReckonExample", {"in": serializers.DictField(), "out": serializers.DictField(), **WORKINGS}
    )
