"""Budgets and exchange rates of a production."""

from __future__ import annotations

from django.db import models

from supervision.models.productions import Episode, Production, Season
from supervision.models.rows import VersionedRow, is_currency
from supervision.rules.clearance import Side
from supervision.rules.sentence import say


class BudgetLine(VersionedRow):
    """Money set aside in the production's currency: for an episode, or for the season where no episode is named."""

    class Category(models.TextChoices):
        SYNC = Side.SYNC.value, Side.SYNC.label
        MASTER = Side.MASTER.value, Side.MASTER.label

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="budget_lines")
    episode = models.ForeignKey(Episode, null=True, blank=True, on_delete=models.CASCADE, related_name="budget_lines")
    category = models.CharField(max_length=6, choices=Category)
    amount_minor = models.PositiveBigIntegerField()

    class Meta:
        ordering = ("season", "episode", "category")
        constraints = (
            models.UniqueConstraint(
                fields=("season", "category"),
                condition=models.Q(episode__isnull=True),
                name="budget_line_once_a_season",
                violation_error_message=say("The season has a line for this side already."),
            ),
            models.UniqueConstraint(
                fields=("episode", "category"),
                name="budget_line_once_an_episode",
                violation_error_message=say("The episode has a line for this side already."),
            ),
            models.CheckConstraint(
                condition=models.Q(category__in=("sync", "master")),
                name="budget_line_category_known",
                violation_error_message=say("A budget line is for sync or master."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.category} {self.amount_minor}"


class ExchangeRate(VersionedRow):
    """One unit of ``base`` is ``rate`` units of ``quote`` on a day, as agreed for the production."""

    production = models.ForeignKey(Production, on_delete=models.CASCADE, related_name="exchange_rates")
    base = models.CharField(max_length=3)
    quote = models.CharField(max_length=3)
    rate = models.DecimalField(max_digits=20, decimal_places=10)
    on = models.DateField()
    source = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ("production", "base", "quote", "-on")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "base", "quote", "on"),
                name="exchange_rate_once_a_day",
                violation_error_message=say("This rate is recorded for this day already."),
            ),
            models.CheckConstraint(
                condition=is_currency("base") & is_currency("quote") & ~models.Q(base=models.F("quote")),
                name="exchange_rate_between_currencies",
                violation_error_message=say("A rate lies between two different currencies (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=models.Q(rate__gt=0),
                name="exchange_rate_positive",
                violation_error_message=say("A rate is above zero."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.base}/{self.quote} {self.rate.normalize():f}"
