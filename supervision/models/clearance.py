"""Clearances: one holder's permission for one side of one usage; quotes, licences and grants."""

from __future__ import annotations

from fractions import Fraction

from django.conf import settings
from django.db import models
from django.db.models.functions import Coalesce

from supervision.models.catalogue import Party, Recording, Work
from supervision.models.rows import VersionedRow, choices_of, is_currency, one_of, percentage
from supervision.models.spotting import Usage
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.favoured_terms import Scope
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.noted import said_again
from supervision.rules.percent import share_words
from supervision.rules.sentence import say, say_as

QUOTE_KINDS = (("quote", say("Their quote")), ("counter", say("Our counter-offer")))
LIVE_CLEARANCE = models.Q(retired_at__isnull=True)


class Clearance(VersionedRow):
    """The matter of one holder's permission.

    ``holder`` is whom we ask (the administrator where there is one) and ``on_behalf_of`` whose share it is; a clearance
    without a holder stands for a share whose holder is unknown, or for a side that needs nobody's permission.
    ``asked`` keeps what the holder was asked for (``rules.asks.Asked`` as JSON), so that a change that breaks it shows;
    an offer without an amount reads "please quote". ``agreement`` covers a clearance that needs no permission of its own.
    A sync clearance names its ``work`` (a medley has several), a master clearance its ``recording``. When the usage's
    song changes, its clearances are retired and kept.
    """

    usage = models.ForeignKey(Usage, on_delete=models.CASCADE, related_name="clearances", db_index=False)
    side = models.CharField(max_length=6, choices=choices_of(Side))
    work = models.ForeignKey(Work, null=True, blank=True, on_delete=models.PROTECT, related_name="clearances")
    recording = models.ForeignKey(Recording, null=True, blank=True, on_delete=models.PROTECT, related_name="clearances")
    holder = models.ForeignKey(Party, null=True, blank=True, on_delete=models.PROTECT, related_name="clearances")
    on_behalf_of = models.ForeignKey(
        Party, null=True, blank=True, on_delete=models.PROTECT, related_name="represented_clearances"
    )
    share = percentage()
    territory = models.CharField(max_length=300, default="World")
    stage = models.PositiveSmallIntegerField(
        choices=[(stage.value, stage.label) for stage in Stage], default=Stage.DRAFT
    )
    reason = models.CharField(max_length=13, choices=choices_of(Reason), blank=True)
    stage_note = models.CharField(max_length=300, blank=True)
    answer_due = models.DateField(null=True, blank=True)
    asked = models.JSONField(null=True, blank=True, editable=False)
    offered_minor = models.PositiveBigIntegerField(null=True, blank=True)
    offered_currency = models.CharField(max_length=3, blank=True)
    agreement = models.ForeignKey(
        "supervision.LibraryAgreement", null=True, blank=True, on_delete=models.PROTECT, related_name="clearances"
    )
    standing_quote = models.ForeignKey(
        "supervision.Quote", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ("usage", "side", "pk")
        constraints = (
            # Unknown holders are null; SQLite takes nulls as distinct, so they are compared as 0.
            models.UniqueConstraint(
                "usage",
                "side",
                Coalesce("work", 0),
                Coalesce("recording", 0),
                Coalesce("holder", 0),
                Coalesce("on_behalf_of", 0),
                "territory",
                condition=LIVE_CLEARANCE,
                name="clearance_once_a_holder",
                violation_error_message=say("This holder is asked for this side already."),
            ),
            models.CheckConstraint(
                condition=one_of("side", Side),
                name="clearance_side_known",
                violation_error_message=say("A side is sync or master."),
            ),
            models.CheckConstraint(
                condition=one_of("stage", Stage),
                name="clearance_stage_known",
                violation_error_message=say("There is no such stage."),
            ),
            models.CheckConstraint(
                condition=models.Q(share__gt=0, share__lte=100),
                name="clearance_share_percent",
                violation_error_message=say("A share lies above 0 and up to 100 %."),
            ),
            models.CheckConstraint(
                condition=models.Q(side=Side.SYNC, work__isnull=False, recording__isnull=True)
                | models.Q(side=Side.MASTER, work__isnull=True, recording__isnull=False)
                | models.Q(side=Side.MASTER, work__isnull=True, recording__isnull=True, stage=Stage.NOT_NEEDED),
                name="clearance_of_work_or_recording",
                violation_error_message=say("A sync clearance is of a work, a master clearance of a recording."),
            ),
            models.CheckConstraint(
                condition=models.Q(offered_minor__isnull=True) | is_currency("offered_currency"),
                name="clearance_offer_has_currency",
                violation_error_message=say("An offer has a currency."),
            ),
            models.CheckConstraint(
                condition=models.Q(holder__isnull=False)
                | models.Q(stage__in=[Stage.DRAFT, Stage.WITHDRAWN, Stage.NOT_NEEDED]),
                name="clearance_unknown_holder_not_asked",
                violation_error_message=say("Nobody is known to ask."),
            ),
            models.CheckConstraint(
                condition=~models.Q(stage__in=[Stage.QUOTED, Stage.APPROVED, Stage.LICENSED])
                | models.Q(standing_quote__isnull=False),
                name="clearance_quoted_has_quote",
                violation_error_message=say("A clearance is quoted, approved or licensed only with a quote."),
            ),
        )
        # The first is all that a season's weakest stages, holders and quotes are found by (see the index of Usage).
        indexes = (
            models.Index(
                fields=("usage", "retired_at", "stage", "side", "holder", "standing_quote"), name="clearance_of_usage"
            ),
            models.Index(fields=("holder", "stage"), name="clearance_of_holder"),
        )

    def __str__(self) -> str:
        share, side = share_words(Fraction(self.share)), Side(self.side).label.lower()
        return say("the clearance of {share} of the {side} side", share=share, side=side)

    @property
    def stage_now(self) -> Stage:
        """The stage as a value of the rules."""
        return Stage(self.stage)

    @property
    def asked_of(self) -> str:
        """Who is asked: the holder by name, nobody where nobody's permission is needed, or somebody unknown."""
        if self.holder is not None:
            return self.holder.name
        return say("Nobody to ask") if self.stage_now is Stage.NOT_NEEDED else say("Holder unknown")

    @property
    def note(self) -> str:
        """What was noted at the stage; what the house itself noted is told in the reader's language."""
        return said_again(self.stage_note)


class Quote(models.Model):
    """A fee that a holder offers. ``payable_minor`` is what its share costs, worked out when it was recorded."""

    clearance = models.ForeignKey(Clearance, on_delete=models.CASCADE, related_name="quotes")
    amount_minor = models.PositiveBigIntegerField()
    currency = models.CharField(max_length=3)
    basis = models.CharField(max_length=5, choices=choices_of(Basis))
    payable_minor = models.PositiveBigIntegerField()
    received_on = models.DateField()
    valid_until = models.DateField(null=True, blank=True)
    kind = models.CharField(max_length=7, choices=QUOTE_KINDS, default="quote")
    favoured = models.BooleanField("most favoured nations", default=False)
    favoured_with = models.CharField(
        "favoured with", max_length=12, choices=[(scope.value, scope.words) for scope in Scope], blank=True
    )
    similar = models.BooleanField("songs used similarly only", default=False)
    conditions = models.TextField(blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("clearance", "-received_on", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=is_currency("currency"),
                name="quote_currency_iso",
                violation_error_message=say("A currency is three capital letters (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=one_of("basis", Basis),
                name="quote_basis_known",
                violation_error_message=say("A quote is for 100 % of the side or for the holder’s share."),
            ),
            models.CheckConstraint(
                condition=models.Q(valid_until__isnull=True) | models.Q(valid_until__gte=models.F("received_on")),
                name="quote_valid_after_received",
                violation_error_message=say("A quote is valid at least on the day it was received."),
            ),
            models.CheckConstraint(
                condition=one_of("kind", ("quote", "counter")),
                name="quote_kind_known",
                violation_error_message=say("It is their quote or our counter-offer."),
            ),
            models.CheckConstraint(
                condition=models.Q(favoured_with="") | (models.Q(favoured=True) & one_of("favoured_with", Scope)),
                name="quote_favoured_scope",
                violation_error_message=say("Only a most-favoured-nations quote names with whom it is favoured."),
            ),
            models.CheckConstraint(
                condition=models.Q(payable_minor__lte=models.F("amount_minor")),
                name="quote_payable_within_amount",
                violation_error_message=say("A share costs at most the whole."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.currency} {self.amount_minor}"

    @property
    def amount(self) -> Money:
        """What the holder named."""
        return Money(self.amount_minor, self.currency)

    @property
    def payable(self) -> Money:
        """What the holder's share costs."""
        return Money(self.payable_minor, self.currency)

    @property
    def condition_lines(self) -> list[str]:
        """Its other words line by line; what the house itself noted there is told in the reader's language."""
        return [said_again(line) for line in self.conditions.splitlines()]

    @property
    def clause(self) -> str:
        """Its most-favoured-nations clause as a sentence; blank without one."""
        if not self.favoured:
            return ""
        if not self.favoured_with:
            return say("Most favoured nations with nobody named.")
        whom = Scope(self.favoured_with).words
        if self.similar:
            return say("Most favoured nations with {whom}, used similarly.", whom=whom)
        return say("Most favoured nations with {whom}.", whom=whom)


class QuoteCondition(models.Model):
    """What a holder makes its quote depend on; an approval is met on a day, a restriction is kept."""

    class Kind(models.TextChoices):
        ARTIST = "artist", say("Artist approval")
        WRITER = "writer", say("Writer approval")
        EDIT = "edit", say("Approval of the edit")
        VIOLENCE = "violence", say("No violence")
        ALCOHOL = "alcohol", say("No alcohol or tobacco")
        OTHER = "other", say_as("a condition", "Other")

    APPROVALS = ("artist", "writer", "edit")

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="condition_list")
    kind = models.CharField(max_length=8, choices=Kind)
    text = models.CharField(max_length=300, blank=True)
    met_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ("quote", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(kind__in=("artist", "writer", "edit", "violence", "alcohol", "other")),
                name="quote_condition_kind_known",
                violation_error_message=say("There is no such kind of condition."),
            ),
            models.UniqueConstraint(
                fields=("quote", "kind", "text"),
                name="quote_condition_once",
                violation_error_message=say("This condition stands here already."),
            ),
        )

    def __str__(self) -> str:
        return self.text or str(self.get_kind_display())

    @property
    def words(self) -> str:
        """The condition in words: "Artist approval", "Approval of the edit: final mix"."""
        kind = self.get_kind_display()
        return say("{kind}: {text}", kind=kind, text=self.text) if self.text else kind

    @property
    def is_open(self) -> bool:
        """Whether an approval is still to be had."""
        return self.kind in self.APPROVALS and self.met_on is None


class Licence(models.Model):
    """An executed agreement for one clearance, with its fee and its signed file.

    The file lies outside the web root under a name of ours; its own name, size and SHA-256 are kept. One that is
    withdrawn is kept with the moment it ended.
    """

    clearance = models.ForeignKey(Clearance, on_delete=models.PROTECT, related_name="licences")
    number = models.CharField(max_length=60)
    executed_on = models.DateField()
    fee_minor = models.PositiveBigIntegerField()
    currency = models.CharField(max_length=3)
    file = models.FileField(upload_to="licences/%Y/%m", blank=True)
    file_name = models.CharField(max_length=200, blank=True)
    file_size = models.PositiveIntegerField(null=True, blank=True)
    file_sha256 = models.CharField(max_length=64, blank=True)
    invoice_number = models.CharField(max_length=60, blank=True)
    invoiced_on = models.DateField(null=True, blank=True)
    paid_on = models.DateField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-executed_on", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("clearance",),
                condition=models.Q(withdrawn_at__isnull=True),
                name="licence_in_force_once",
                violation_error_message=say("The clearance has a licence in force already."),
            ),
            models.CheckConstraint(
                condition=is_currency("currency"),
                name="licence_currency_iso",
                violation_error_message=say("A currency is three capital letters (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=models.Q(file="") | models.Q(file_sha256__regex=r"^[0-9a-f]{64}$"),
                name="licence_file_has_hash",
                violation_error_message=say("A file is kept with its SHA-256."),
            ),
            models.CheckConstraint(
                condition=models.Q(paid_on__isnull=True) | models.Q(invoiced_on__isnull=False),
                name="licence_paid_after_invoice",
                violation_error_message=say("What is paid has been invoiced."),
            ),
            models.CheckConstraint(
                condition=~models.Q(number=""),
                name="licence_numbered",
                violation_error_message=say("A licence has a number."),
            ),
        )

    def __str__(self) -> str:
        return self.number

    @property
    def fee(self) -> Money:
        """What the licence costs."""
        return Money(self.fee_minor, self.currency)


class Grant(models.Model):
    """What a licence allows: media × territory × ``[starts_on, ends_on)``, in trade language; no end is perpetuity."""

    licence = models.ForeignKey(Licence, on_delete=models.CASCADE, related_name="grants")
    media = models.CharField(max_length=300, default="all media")
    territory = models.CharField(max_length=300, default="World")
    starts_on = models.DateField()
    ends_on = models.DateField(null=True, blank=True)
    max_seconds = models.PositiveIntegerField(null=True, blank=True)
    max_uses = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ("licence", "starts_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(ends_on__isnull=True) | models.Q(ends_on__gt=models.F("starts_on")),
                name="grant_ends_after_start",
                violation_error_message=say("A term ends after it starts."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.media}, {self.territory}"
