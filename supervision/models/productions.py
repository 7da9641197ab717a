"""Productions, their seasons and episodes, and the cuts of an episode."""

from __future__ import annotations

from fractions import Fraction

from django.db import models

from supervision.models.rows import VersionedRow, choices_of, is_currency, one_of
from supervision.rules.durations import whole_seconds
from supervision.rules.programme import AlternativeTitle, CutVersion, ProductionType
from supervision.rules.roles import Role
from supervision.rules.sentence import say, say_as
from supervision.rules.timecode import FrameRate, format_timecode

RATES = ("24000/1001", "24", "25", "30000/1001", "30", "48000/1001", "48", "50", "60000/1001", "60")
LETTER_LANGUAGES = (("en", "English"), ("fr", "French"))
KINDS = ("series", "feature", "pilot", "game", "trailer")

#: What people say of a production and of an episode, in the order in which a form asks for it; last what its cue sheets say.
PRODUCTION_ON_SHEETS = (
    "alternative_titles",
    "production_type",
    "director",
    "cast",
    "distributor",
    "sheet_profile",
    "filing_days",
    "lead_days",
)
PRODUCTION_FIELDS = (
    "title",
    "code",
    "kind",
    "currency",
    "company",
    "network",
    "country",
    "year",
    "company_address",
    "contact_name",
    "contact_email",
    "contact_phone",
    "letter_language",
    "paper",
    "synopsis",
    *PRODUCTION_ON_SHEETS,
)
EPISODE_ON_SHEETS = (
    "alternative_titles",
    "broadcast_country",
    "director",
    "cast",
    "partial_reason",
    "sheet_profile",
)
EPISODE_FIELDS = (
    "number",
    "title",
    "code",
    "position",
    "air_date",
    "production_number",
    "isan",
    "eidr",
    "synopsis",
    *EPISODE_ON_SHEETS,
)


class TitledRow(models.Model):
    """What has other titles: ``alternative_titles`` are objects with ``title`` and ``language`` (BCP 47 or blank)."""

    alternative_titles = models.JSONField(default=list, blank=True)
    director = models.CharField(max_length=300, blank=True)
    cast = models.TextField(blank=True)
    sheet_profile = models.CharField("cue-sheet profile", max_length=24, blank=True)

    class Meta:
        abstract = True

    @property
    def other_titles(self) -> tuple[AlternativeTitle, ...]:
        """The alternative titles as values of the rules."""
        return tuple(AlternativeTitle(told["title"], told["language"]) for told in self.alternative_titles)


class Production(VersionedRow, TitledRow):
    """A series, feature, pilot, game or trailer, with the letterhead of the company that makes it.

    Director, cast and cue-sheet profile (its code; blank for the house's) hold for episodes that say none of their own.
    """

    class Kind(models.TextChoices):
        SERIES = "series", say_as("kind of production", "Series")
        FEATURE = "feature", say_as("kind of production", "Feature")
        PILOT = "pilot", say_as("kind of production", "Pilot")
        GAME = "game", say_as("kind of production", "Game")
        TRAILER = "trailer", say_as("kind of production", "Trailer")

    #: The role of who reads the production, once ``queries.accounts.role_in`` has looked it up; not stored.
    read_as: Role | None = None

    code = models.CharField(
        max_length=16, unique=True, error_messages={"unique": say("Another production has this code already.")}
    )
    title = models.CharField(max_length=200)
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.SERIES)
    company = models.CharField(max_length=200)
    company_address = models.TextField(blank=True)
    contact_name = models.CharField(max_length=120, blank=True)
    contact_email = models.EmailField(blank=True)
    contact_phone = models.CharField(max_length=40, blank=True)
    currency = models.CharField(max_length=3, default="USD")
    country = models.CharField(max_length=2, blank=True)
    year = models.PositiveSmallIntegerField(null=True, blank=True)
    network = models.CharField("network or platform", max_length=120, blank=True)
    production_type = models.CharField(
        "what societies call it", max_length=14, choices=choices_of(ProductionType), blank=True, default=""
    )
    distributor = models.CharField("distributor abroad", max_length=200, blank=True)
    synopsis = models.TextField(blank=True)
    letter_language = models.CharField(max_length=5, choices=LETTER_LANGUAGES, default="en")
    paper = models.CharField(max_length=6, choices=(("a4", "A4"), ("letter", "US Letter")), default="a4")
    lead_days = models.PositiveSmallIntegerField("days before broadcast by which all is cleared", default=14)
    filing_days = models.PositiveSmallIntegerField("days after broadcast by which cue sheets are filed", default=30)
    demo = models.BooleanField("demo data", default=False)
    members = models.ManyToManyField("supervision.User", through="supervision.Membership", related_name="productions")

    class Meta:
        ordering = ("title", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(code__regex=r"^[A-Z0-9]+(-[A-Z0-9]+)*$"),
                name="production_code_shape",
                violation_error_message=say(
                    "A code has capital letters and digits, joined by single hyphens, such as TIDE-2."
                ),
            ),
            models.CheckConstraint(
                condition=one_of("kind", KINDS),
                name="production_kind_known",
                violation_error_message=say("There is no such kind of production."),
            ),
            models.CheckConstraint(
                condition=is_currency("currency"),
                name="production_currency_iso",
                violation_error_message=say("A currency is three capital letters (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=one_of("production_type", ProductionType),
                name="production_type_known",
                violation_error_message=say("Societies know no such type of production."),
            ),
        )

    def __str__(self) -> str:
        return self.title

    @property
    def is_series(self) -> bool:
        """Whether seasons and episodes are worth naming on the screen."""
        return self.kind == self.Kind.SERIES


class Season(VersionedRow):
    """A season; a feature, pilot, game or trailer has exactly one."""

    production = models.ForeignKey(Production, on_delete=models.CASCADE, related_name="seasons")
    number = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("production", "number")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "number"),
                name="season_number_once",
                violation_error_message=say("The production has a season of this number already."),
            ),
        )

    def __str__(self) -> str:
        return self.title or say("Season {number}", number=self.number)


class Episode(VersionedRow, TitledRow):
    """An episode. ``number`` is text ("101", "1A"); ``position`` orders the season; ``code`` is unique everywhere.

    ``broadcast_country`` is that of the first broadcast (ISO 3166-1). ``partial_reason`` says why its cue sheet is not
    complete; blank says that it is.
    """

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="episodes")
    code = models.CharField(
        max_length=32, unique=True, error_messages={"unique": say("Another episode has this code already.")}
    )
    number = models.CharField(max_length=20)
    position = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(max_length=200, blank=True)
    air_date = models.DateField("first broadcast or release", null=True, blank=True)
    broadcast_country = models.CharField("country of the first broadcast", max_length=2, blank=True)
    partial_reason = models.CharField("why the cue sheet is partial", max_length=300, blank=True)
    production_number = models.CharField(max_length=20, blank=True)
    isan = models.CharField("ISAN", max_length=40, blank=True)
    eidr = models.CharField("EIDR", max_length=40, blank=True)
    synopsis = models.TextField(blank=True)
    closed_at = models.DateTimeField(null=True, blank=True, editable=False)
    current_cut = models.ForeignKey(
        "supervision.Cut", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ("season", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("season", "number"),
                name="episode_number_once",
                violation_error_message=say("The season has an episode of this number already."),
            ),
            models.CheckConstraint(
                condition=models.Q(code__regex=r"^[A-Z0-9]+(-[A-Z0-9]+)*$"),
                name="episode_code_shape",
                violation_error_message=say(
                    "A code has capital letters and digits, joined by single hyphens, such as TIDE-101."
                ),
            ),
        )

    def __str__(self) -> str:
        return f"{self.number} {self.title}".strip()


class Cut(VersionedRow):
    """One version of an episode's edit. ``start_frame`` and ``running_frames`` count frames at the cut's rate.

    ``made_for`` says which version of the programme it is, where there are several: domestic, syndicated, airline …
    """

    episode = models.ForeignKey(Episode, on_delete=models.CASCADE, related_name="cuts")
    number = models.PositiveSmallIntegerField(default=1)
    label = models.CharField(max_length=60, blank=True)
    dated = models.DateField(null=True, blank=True)
    rate = models.CharField(max_length=10, choices=[(rate, rate) for rate in RATES])
    drop = models.BooleanField("drop-frame", default=False)
    start_frame = models.PositiveIntegerField(default=0)
    running_frames = models.PositiveIntegerField()
    locked = models.BooleanField(default=False)
    made_for = models.CharField(
        "version of the programme", max_length=13, choices=choices_of(CutVersion), blank=True, default=""
    )

    class Meta:
        ordering = ("episode", "number")
        constraints = (
            models.UniqueConstraint(
                fields=("episode", "number"),
                name="cut_number_once",
                violation_error_message=say("The episode has a cut of this number already."),
            ),
            models.CheckConstraint(
                condition=one_of("rate", RATES),
                name="cut_rate_known",
                violation_error_message=say("There is no such frame rate."),
            ),
            models.CheckConstraint(
                condition=models.Q(running_frames__gt=0),
                name="cut_runs",
                violation_error_message=say("A cut runs at least one frame."),
            ),
            models.CheckConstraint(
                condition=models.Q(drop=False) | one_of("rate", ("30000/1001", "60000/1001")),
                name="cut_drop_only_at_ntsc_rates",
                violation_error_message=say("Only 29.97 and 59.94 are counted in drop-frame."),
            ),
            models.CheckConstraint(
                condition=one_of("made_for", CutVersion),
                name="cut_made_for_known",
                violation_error_message=say("There is no such version of a programme."),
            ),
        )

    def __str__(self) -> str:
        return self.label or say("Cut {number}", number=self.number)

    @property
    def frame_rate(self) -> FrameRate:
        """The rate as a value of the rules."""
        return FrameRate(Fraction(self.rate), drop=self.drop)

    @property
    def end_frame(self) -> int:
        """The first frame after the programme."""
        return self.start_frame + self.running_frames

    @property
    def running_seconds(self) -> int:
        """The running time in whole seconds, as documents show it."""
        return whole_seconds(self.running_frames, self.frame_rate)

    @property
    def start_timecode(self) -> str:
        """The timecode of the first frame."""
        return format_timecode(self.start_frame, self.frame_rate)
