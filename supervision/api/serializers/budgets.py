"""Money pages, budget lines and exchange rates as JSON."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.money import CURRENCY_CHOICES, FiguresSerializer, MoneySerializer
from supervision.models import BudgetLine, ExchangeRate
from supervision.models.rows import choices_of
from supervision.queries.budgets import EpisodeFees, SeasonMoney
from supervision.rules.clearance import Side

SIDE_CHOICES = choices_of(Side)


class CheckSerializer(serializers.Serializer[Any]):
    """A budget beside what is approved of it."""

    budget = MoneySerializer(source="line.money")
    approved = MoneySerializer(source="spent")
    remaining = MoneySerializer()
    over = MoneySerializer()
    complete = serializers.BooleanField()


class FeesSerializer(serializers.Serializer[Any]):
    """Sync, master and both together."""

    sync = FiguresSerializer()
    master = FiguresSerializer()
    total = FiguresSerializer()


class UsedRateSerializer(serializers.Serializer[Any]):
    """A rate that was used, with its working in words."""

    base = serializers.CharField()
    quote = serializers.CharField()
    rate = serializers.CharField(help_text="exact, as a fraction or a whole number")
    on = serializers.DateField()
    text = serializers.CharField()


class FindingSerializer(serializers.Serializer[Any]):
    """Something noticed, with its mend."""

    level = serializers.CharField()
    code = serializers.CharField()
    place = serializers.CharField()
    text = serializers.CharField()
    mend = serializers.CharField()


class ConversionSerializer(serializers.Serializer[Any]):
    """How a table was converted."""

    currency = serializers.CharField()
    on = serializers.DateField()
    rates = UsedRateSerializer(many=True)
    findings = FindingSerializer(many=True)


class EpisodeLineSerializer(serializers.Serializer[Any]):
    """An episode's line on the season's page; music in shown seconds."""

    episode = serializers.CharField(source="episode.code")
    fees = FeesSerializer()
    budget = CheckSerializer(allow_null=True)
    licensed_seconds = serializers.IntegerField(source="music.licensed_seconds")
    scored_seconds = serializers.IntegerField(source="music.scored_seconds")


class SeasonMoneySerializer(serializers.Serializer[SeasonMoney]):
    """The money of a season."""

    conversion = ConversionSerializer(source="table")
    total = FeesSerializer(source="table.total")
    budget = CheckSerializer(allow_null=True)
    licensed_seconds = serializers.IntegerField()
    scored_seconds = serializers.IntegerField()
    episodes = EpisodeLineSerializer(source="lines", many=True)


class UsageLineSerializer(serializers.Serializer[Any]):
    """A usage's line on the episode's page."""

    usage = serializers.IntegerField(source="usage.pk")
    cue_number = serializers.CharField(source="usage.cue_number")
    title = serializers.CharField()
    fees = FeesSerializer()


class EpisodeMoneySerializer(serializers.Serializer[EpisodeFees]):
    """The money of an episode."""

    conversion = ConversionSerializer(source="table")
    total = FeesSerializer(source="table.total")
    budget = CheckSerializer(allow_null=True)
    usages = UsageLineSerializer(source="lines", many=True)


class BudgetLineSerializer(serializers.ModelSerializer[BudgetLine]):
    """A budget line; ``episode`` is null for the season's reserve."""

    episode: serializers.SlugRelatedField[Any] = serializers.SlugRelatedField("code", read_only=True)

    class Meta:
        model = BudgetLine
        fields = ("id", "episode", "category", "amount_minor", "version")
        read_only_fields = fields


class NewBudgetLineSerializer(serializers.Serializer[Any]):
    """A budget line to set; a null amount takes it away. ``version`` is what you read (0 for none)."""

    episode = serializers.CharField(allow_null=True, default=None)
    category = serializers.ChoiceField(choices=SIDE_CHOICES)
    amount = MoneySerializer(allow_null=True)
    version = serializers.IntegerField(required=False)


class ExchangeRateSerializer(serializers.ModelSerializer[ExchangeRate]):
    """One unit of ``base`` is ``rate`` units of ``quote`` on a day."""

    base = serializers.ChoiceField(choices=CURRENCY_CHOICES)
    quote = serializers.ChoiceField(choices=CURRENCY_CHOICES)

    class Meta:
        model = ExchangeRate
        fields = ("id", "base", "quote", "rate", "on", "source")
