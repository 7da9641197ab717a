"""Quotes with their conditions and options, counter-offers, and what acceptance would do, as JSON."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.actions.grants import GrantTerms
from supervision.actions.quotes import ConditionTerms, OptionTerms, QuoteTerms
from supervision.api.serializers.budgets import FindingSerializer
from supervision.api.serializers.clearance import StepSerializer
from supervision.api.serializers.money import MoneySerializer
from supervision.models import Option, Quote, QuoteCondition
from supervision.models.rows import choices_of
from supervision.queries.favoured import BudgetAfter, Entitled, Preview, RaisedParty
from supervision.rules.favoured_terms import Scope
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.term import Term

BASES = choices_of(Basis)
SCOPES = [(scope.value, scope.words) for scope in Scope]


class TermSerializer(serializers.Serializer[Any]):
    """Media × territory × ``[starts_on, ends_on)`` in trade language; no end is perpetuity."""

    media = serializers.CharField(max_length=300, default="all media")
    territory = serializers.CharField(max_length=300, default="World")
    starts_on = serializers.DateField()
    ends_on = serializers.DateField(allow_null=True, default=None)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """The term ends after it starts."""
        if attrs.get("ends_on") and attrs["ends_on"] <= attrs["starts_on"]:
            raise serializers.ValidationError({"ends_on": ["The term ends before it starts. Give a later day."]})
        return attrs


class ConditionSerializer(serializers.ModelSerializer[QuoteCondition]):
    """A condition: an approval (artist, writer, edit) is met on a day, a restriction is kept."""

    class Meta:
        model = QuoteCondition
        fields = ("id", "kind", "text", "met_on")
        read_only_fields = ("id", "met_on")


class MetSerializer(serializers.Serializer[Any]):
    """The day on which an approval was given; null takes the note back."""

    met_on = serializers.DateField(allow_null=True)


class NewOptionSerializer(TermSerializer):
    """A further grant for a further fee."""

    kind = serializers.ChoiceField(choices=Option.Kind.choices)
    amount = MoneySerializer()
    basis = serializers.ChoiceField(choices=BASES, default=Basis.FULL)
    exercisable_until = serializers.DateField(allow_null=True, default=None)


class OptionSerializer(serializers.ModelSerializer[Option]):
    """A recorded option, with what the holder's share of it costs."""

    amount = serializers.SerializerMethodField()
    payable = MoneySerializer(read_only=True)

    class Meta:
        model = Option
        fields = (
            "id",
            "kind",
            "media",
            "territory",
            "starts_on",
            "ends_on",
            "amount",
            "basis",
            "payable",
            "exercisable_until",
            "exercised_on",
            "version",
        )
        read_only_fields = fields

    @extend_schema_field(MoneySerializer)
    def get_amount(self, option: Option) -> dict[str, Any]:
        """What the holder named."""
        return MoneySerializer(Money(option.amount_minor, option.currency)).data


class NewQuoteSerializer(StepSerializer):
    """What a holder asks: an amount for 100 % of the side (basis "100") or for its own share ("share").

    ``favoured_with`` makes it a most-favoured-nations quote and says with whom; ``favoured`` alone leaves that open.
    """

    amount = MoneySerializer()
    basis = serializers.ChoiceField(choices=BASES)
    received_on = serializers.DateField()
    valid_until = serializers.DateField(required=False, allow_null=True, default=None)
    favoured = serializers.BooleanField(default=False)
    favoured_with = serializers.ChoiceField(choices=SCOPES, allow_blank=True, default="")
    similar = serializers.BooleanField(default=False)
    conditions = serializers.CharField(required=False, allow_blank=True, default="")
    condition_list = ConditionSerializer(many=True, default=list)
    options = NewOptionSerializer(many=True, default=list)

    def told(self) -> dict[str, Any]:
        """The quote as the action takes it."""
        data = self.validated_data
        same = ("valid_until", "favoured", "favoured_with", "similar", "conditions")
        terms = QuoteTerms(
            **{name: data[name] for name in same},
            condition_list=[ConditionTerms(each["kind"], each.get("text", "")) for each in data["condition_list"]],
            options=[option_terms(each) for each in data["options"]],
        )
        return {
            "amount": data["amount"],
            "basis": Basis(data["basis"]),
            "received_on": data["received_on"],
            "version": data["version"],
            "terms": terms,
        }


def option_terms(told: dict[str, Any]) -> OptionTerms:
    """A validated option as the action takes it."""
    return OptionTerms(
        told["kind"],
        GrantTerms(told["media"], told["territory"], Term(told["starts_on"], told["ends_on"])),
        told["amount"],
        Basis(told["basis"]),
        told["exercisable_until"],
    )


class NewCounterSerializer(StepSerializer):
    """What we offered in answer to a quote."""

    amount = MoneySerializer()
    basis = serializers.ChoiceField(choices=BASES)
    made_on = serializers.DateField()
    note = serializers.CharField(max_length=300, required=False, allow_blank=True, default="")


class QuoteSerializer(serializers.ModelSerializer[Quote]):
    """A recorded quote ("quote") or a counter-offer of ours ("counter"), with what the holder's share costs."""

    amount = MoneySerializer(read_only=True)
    payable = MoneySerializer(read_only=True)
    recorded_by = serializers.CharField(read_only=True)
    condition_list = ConditionSerializer(many=True, read_only=True)
    options = OptionSerializer(many=True, read_only=True)

    class Meta:
        model = Quote
        fields = (
            "id",
            "clearance",
            "kind",
            "amount",
            "basis",
            "payable",
            "received_on",
            "valid_until",
            "favoured",
            "favoured_with",
            "similar",
            "conditions",
            "condition_list",
            "options",
            "recorded_by",
        )
        read_only_fields = fields


class RaisedSerializer(serializers.Serializer[RaisedParty]):
    """Another holder whom accepting would raise."""

    clearance = serializers.IntegerField(source="clearance.pk")
    name = serializers.CharField()
    more = MoneySerializer()
    before = MoneySerializer()
    after = MoneySerializer()


class BudgetAfterSerializer(serializers.Serializer[BudgetAfter]):
    """The episode's budget beside it; ``after`` is null where a rate is missing."""

    budget = MoneySerializer()
    approved = MoneySerializer()
    left = MoneySerializer()
    after = MoneySerializer(allow_null=True)
    complete = serializers.BooleanField()


class AcceptanceSerializer(serializers.Serializer[Preview]):
    """What accepting the standing quote would do: ``change`` adds its fee and every raise, by currency."""

    known = serializers.BooleanField()
    text = serializers.CharField()
    rate = MoneySerializer()
    fee = MoneySerializer()
    own = MoneySerializer()
    raised_by = serializers.IntegerField(source="raised_by.pk", allow_null=True, default=None)
    raises = RaisedSerializer(many=True)
    steps = serializers.ListField(child=serializers.CharField())
    change = MoneySerializer(many=True)
    budget = BudgetAfterSerializer(allow_null=True)
    findings = FindingSerializer(many=True)


class EntitledSerializer(serializers.Serializer[Entitled]):
    """A holder whose clause gives it more than it stands at, on 100 % and for its share."""

    clearance = serializers.IntegerField(source="clearance.pk")
    raised_by = serializers.IntegerField(source="by.pk")
    now = MoneySerializer()
    due = MoneySerializer()
    more = MoneySerializer()
    signed = serializers.BooleanField(source="is_signed")
