"""The catalogue: societies, parties, works and recordings with their shares."""

from __future__ import annotations

from django.db import models

from supervision.models.rows import LIVE, DeletableRow, VersionedRow, one_of, percentage
from supervision.rules.party_roles import read_role
from supervision.rules.sentence import say
from supervision.rules.societies import society_text

WRITER, PUBLISHER = "writer", "publisher"
WRITER_ROLES = ("C", "A", "CA", "AR", "AD", "SR", "SA", "TR", "PA")
PUBLISHER_ROLES = ("E", "AM", "AQ", "ES", "SE", "PA")


def between_0_and_100(field: str) -> models.Q:
    """The condition of a check constraint on a percentage."""
    return models.Q(**{f"{field}__gte": 0, f"{field}__lte": 100})


class Society(models.Model):
    """A performing-rights or mechanical society, by its CISAC code (three digits, leading zeros kept)."""

    code = models.CharField(max_length=3, unique=True)
    name = models.CharField(max_length=60, unique=True)
    country = models.CharField(max_length=2, blank=True)

    class Meta:
        ordering = ("name",)
        verbose_name_plural = "societies"
        constraints = (
            models.CheckConstraint(
                condition=models.Q(code__regex=r"^[0-9]{3}$"),
                name="society_code_three_digits",
                violation_error_message=say("A society’s code has three digits, such as 052."),
            ),
        )

    def __str__(self) -> str:
        return society_text(self.name)


class Party(VersionedRow, DeletableRow):
    """A writer, publisher, label, artist or representative."""

    class Kind(models.TextChoices):
        PERSON = "person", say("Person")
        ORGANISATION = "organisation", say("Organisation")

    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=12, choices=Kind, default=Kind.ORGANISATION)
    ipi = models.CharField("IPI name number", max_length=11, blank=True)
    isni = models.CharField("ISNI", max_length=16, blank=True)
    society = models.ForeignKey(Society, null=True, blank=True, on_delete=models.PROTECT, related_name="members")
    is_ours = models.BooleanField("is our own company", default=False)
    notes = models.TextField(blank=True)
    demo = models.BooleanField("demo data", default=False)
    search_key = models.TextField(editable=False, blank=True)

    class Meta:
        ordering = ("name", "pk")
        verbose_name_plural = "parties"
        constraints = (
            models.UniqueConstraint(
                fields=("ipi",),
                condition=LIVE & ~models.Q(ipi=""),
                name="party_ipi_once",
                violation_error_message=say("Another party has this IPI name number already."),
            ),
            models.CheckConstraint(
                condition=models.Q(ipi__regex=r"^([0-9]{11})?$"),
                name="party_ipi_digits",
                violation_error_message=say("An IPI name number has eleven digits."),
            ),
            models.CheckConstraint(
                condition=~models.Q(name=""), name="party_named", violation_error_message=say("A party has a name.")
            ),
        )

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """A person or desk at a party, to whom letters go."""

    party = models.ForeignKey(Party, on_delete=models.CASCADE, related_name="contacts")
    name = models.CharField(max_length=120)
    department = models.CharField(max_length=120, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)

    class Meta:
        ordering = ("party", "pk")

    def __str__(self) -> str:
        return self.name


class Work(VersionedRow, DeletableRow):
    """A composition. ``arrangement_of`` makes it a version of another work (CWR version type MOD)."""

    title = models.CharField(max_length=300)
    iswc = models.CharField("ISWC", max_length=11, blank=True)
    work_number = models.CharField("work number", max_length=40, blank=True)
    public_domain = models.BooleanField(default=False)
    arrangement_of = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="arrangements"
    )
    notes = models.TextField(blank=True)
    demo = models.BooleanField("demo data", default=False)
    search_key = models.TextField(editable=False, blank=True)

    class Meta:
        ordering = ("title", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("iswc",),
                condition=LIVE & ~models.Q(iswc=""),
                name="work_iswc_once",
                violation_error_message=say("Another work has this ISWC already."),
            ),
            models.CheckConstraint(
                condition=models.Q(iswc__regex=r"^(T[0-9]{10})?$"),
                name="work_iswc_shape",
                violation_error_message=say("An ISWC is T and ten digits."),
            ),
            models.CheckConstraint(
                condition=~models.Q(title=""), name="work_titled", violation_error_message=say("A work has a title.")
            ),
            models.CheckConstraint(
                condition=~models.Q(arrangement_of=models.F("pk")),
                name="work_not_arranged_from_itself",
                violation_error_message=say("A work is not an arrangement of itself."),
            ),
        )

    def __str__(self) -> str:
        return self.title


class WorkTitle(models.Model):
    """An alternative title of a work, with its language (BCP 47) where known."""

    work = models.ForeignKey(Work, on_delete=models.CASCADE, related_name="alternative_titles")
    title = models.CharField(max_length=300)
    language = models.CharField(max_length=12, blank=True)

    class Meta:
        ordering = ("work", "pk")

    def __str__(self) -> str:
        return self.title


class WorkShare(models.Model):
    """One interested party of a work.

    ``performance`` is the cue-sheet share, stated per side (all writers 100, all publishers 100); ``control`` is the
    percentage of the composition that the party licenses for synchronisation (all parties 100 in each territory).
    ``administrator`` is asked in the party's place.
    """

    work = models.ForeignKey(Work, on_delete=models.CASCADE, related_name="shares")
    party = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="work_shares")
    interest = models.CharField(max_length=9, choices=((WRITER, say("Writer")), (PUBLISHER, say("Publisher"))))
    role = models.CharField(max_length=2)
    performance = percentage()
    control = percentage()
    territory = models.CharField(max_length=300, default="World")
    administrator = models.ForeignKey(
        Party, null=True, blank=True, on_delete=models.PROTECT, related_name="administered_work_shares"
    )
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ("work", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("work", "party", "interest", "role", "territory"),
                name="work_share_once",
                violation_error_message=say("This party stands here already in the same role and territory."),
            ),
            models.CheckConstraint(
                condition=between_0_and_100("performance"),
                name="work_share_performance_percent",
                violation_error_message=say("A share lies between 0 and 100 %."),
            ),
            models.CheckConstraint(
                condition=between_0_and_100("control"),
                name="work_share_control_percent",
                violation_error_message=say("A share lies between 0 and 100 %."),
            ),
            models.CheckConstraint(
                condition=(models.Q(interest=WRITER) & one_of("role", WRITER_ROLES))
                | (models.Q(interest=PUBLISHER) & one_of("role", PUBLISHER_ROLES)),
                name="work_share_role_of_interest",
                violation_error_message=say("Writers and publishers have roles of their own."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.role} {self.performance}"

    @property
    def role_label(self) -> str:
        """The role in words."""
        return read_role(self.role, writer=self.interest == WRITER).label


class Recording(VersionedRow, DeletableRow):
    """A fixation of one or more works, in the order of ``RecordingWork.position``."""

    title = models.CharField(max_length=300)
    version_title = models.CharField(max_length=120, blank=True)
    artist = models.CharField(max_length=200, blank=True)
    isrc = models.CharField("ISRC", max_length=12, blank=True)
    length_seconds = models.PositiveIntegerField(null=True, blank=True)
    year = models.PositiveSmallIntegerField(null=True, blank=True)
    label = models.CharField(max_length=200, blank=True)
    library = models.BooleanField("library (production) music", default=False)
    catalogue_number = models.CharField(max_length=60, blank=True)
    track_number = models.CharField(max_length=20, blank=True)
    p_year = models.PositiveSmallIntegerField("℗ year", null=True, blank=True)
    p_owner = models.CharField("℗ owner", max_length=200, blank=True)
    c_year = models.PositiveSmallIntegerField("© year", null=True, blank=True)
    c_owner = models.CharField("© owner", max_length=200, blank=True)
    samples = models.TextField("samples contained", blank=True)
    public_domain = models.BooleanField(default=False)
    works = models.ManyToManyField(Work, through="RecordingWork", related_name="recordings")
    notes = models.TextField(blank=True)
    demo = models.BooleanField("demo data", default=False)
    search_key = models.TextField(editable=False, blank=True)

    class Meta:
        ordering = ("title", "artist", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("isrc",),
                condition=LIVE & ~models.Q(isrc=""),
                name="recording_isrc_once",
                violation_error_message=say("Another recording has this ISRC already."),
            ),
            models.CheckConstraint(
                condition=models.Q(isrc__regex=r"^([A-Z]{2}[A-Z0-9]{3}[0-9]{7})?$"),
                name="recording_isrc_shape",
                violation_error_message=say("An ISRC has two letters, three letters or digits, and seven digits."),
            ),
            models.CheckConstraint(
                condition=~models.Q(title=""),
                name="recording_titled",
                violation_error_message=say("A recording has a title."),
            ),
        )

    def __str__(self) -> str:
        return self.title


class RecordingWork(models.Model):
    """A work that a recording fixes; a medley has several."""

    recording = models.ForeignKey(Recording, on_delete=models.CASCADE, related_name="recorded_works")
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="recorded_in")
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ("recording", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("recording", "work"),
                name="recording_work_once",
                violation_error_message=say("A work counts once in a recording."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.position}"


class RecordingShare(models.Model):
    """An owner of a recording: its percentage of the master side, for a territory."""

    recording = models.ForeignKey(Recording, on_delete=models.CASCADE, related_name="shares")
    party = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="recording_shares")
    share = percentage()
    territory = models.CharField(max_length=300, default="World")
    administrator = models.ForeignKey(
        Party, null=True, blank=True, on_delete=models.PROTECT, related_name="administered_recording_shares"
    )
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ("recording", "position", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("recording", "party", "territory"),
                name="recording_share_once",
                violation_error_message=say("This owner stands here already for the same territory."),
            ),
            models.CheckConstraint(
                condition=between_0_and_100("share"),
                name="recording_share_percent",
                violation_error_message=say("A share lies between 0 and 100 %."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.share}"
