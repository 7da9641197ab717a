"""The cue sheet: what the performing-rights societies are told about the music of one episode.

``CueSheetFacts`` is what the log and the catalogue know; ``cue_sheet_setting.set_sheet`` turns it into a ``CueSheet`` by
a profile. That value is shown, printed, exported and frozen alike, and holds the profile it was set by. A sheet shows
whole seconds and shares with two decimals, and both add up on paper: totals are sums of what is printed, and shares
that come to a whole but for rounding print as exactly that.

The catalogue states shares for each side: all writers of a work total 100, all its publishers total 100 (BMI, Work
Registration Terms: shares "cannot exceed 100% for the writer share and 100% for the publisher share on a 200% basis").
A sheet prints them so, or out of 100 for both together, as its ``share_basis`` says; ``CueParty.exact`` is always the
unrounded percentage of the side. A medley is one cue with several works, each with its own parties. A work in the public
domain is listed with shares of 0 (CISAC CWR19-1070, transaction edit 24), and its cue still counts in the total. The
vocabulary of ``CueUse`` maps to the DDEX allowed-value sets (CueUseType, ThemeType, VocalType, VisualPerceptionType,
CueOrigin); field names are our own.

Values stored as ``ledger-line/cue-sheet/1`` lack every field that has a default here and are read as they are: they
have no profile, and ``CueSheet.set_by`` then says the one that sheets were set by.

A sheet is a working paper: the rules of a society and local law prevail.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from supervision.rules.cue_sheet_profile import FIRST, SheetProfile
from supervision.rules.durations import music_share
from supervision.rules.programme import AlternativeTitle, CutVersion, ProductionType
from supervision.rules.societies import society_text
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal

SHARE_BASIS = "200"
"""Writers 100 plus publishers 100 in each work; "100" is both together."""

SCHEMA = "ledger-line/cue-sheet/2"
"""What a stored or exported sheet says it is; the number rises when a field changes its meaning."""


class Interest(StrEnum):
    """The two groups of interested parties in a work, each totalling 100 on the 200 % basis."""

    WRITER = "writer"
    PUBLISHER = "publisher"


# --- what is known ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedParty:
    """A party of a work as the catalogue states it; ``share`` is its exact percentage of the writers' or publishers' 100."""

    interest: Interest
    role: str
    name: str
    share: Fraction
    ipi: str = ""
    society: str = ""
    society_code: str = ""
    territory: str = "World"
    public_domain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedWork:
    """A work as the catalogue states it; ``arrangement_of`` is the title of the work it arranges.

    ``number`` is what the owner or a society calls it by, whose number it is included ("PRS 1234567A"); ``row`` names
    the work in the catalogue.
    """

    title: str
    parties: tuple[StatedParty, ...]
    iswc: str = ""
    public_domain: bool = False
    arrangement_of: str = ""
    alternative_titles: tuple[AlternativeTitle, ...] = ()
    number: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CueRecording:
    """The recording that is heard; label, catalogue and track number identify library music.

    A recording may be protected where its work is not, and the reverse: ``public_domain`` is the recording's alone.
    """

    title: str
    version: str = ""
    artist: str = ""
    isrc: str = ""
    label: str = ""
    library: bool = False
    catalogue_number: str = ""
    track_number: str = ""
    public_domain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedUse:
    """One usage in the cut: frames ``[in_frame, out_frame)``.

    ``title`` is what was logged. ``uncleared`` says in words what its clearance lacks, ``elsewhere`` whether another
    episode has the same song, ``row`` names the usage in the log.
    """

    number: str
    title: str
    in_frame: int
    out_frame: int
    facets: Facets
    works: tuple[StatedWork, ...] = ()
    recording: CueRecording | None = None
    uncleared: tuple[str, ...] = ()
    elsewhere: bool = False
    row: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CueSheetHeader:
    """What the sheet says about the production; ``season`` is ``None`` where seasons are not worth naming.

    ``revision`` is ``None`` on a draft. ``kind`` is series, feature, pilot, game or trailer in words, ``production_type``
    what the societies call it; ``country`` and ``broadcast_country`` (of the first broadcast) are ISO 3166-1.
    ``directors`` and ``cast`` are names as typed, blank where not known. ``partial`` is the reason why the sheet is not
    complete; blank says that it is (APRA AMCOS accepts a partial sheet that says so, with the reason).
    """

    production: str
    production_code: str
    kind: str
    episode_code: str
    company: str
    prepared_by: str
    prepared_on: date
    revision: int | None = None
    season: int | None = None
    episode_number: str = ""
    episode_title: str = ""
    production_number: str = ""
    isan: str = ""
    eidr: str = ""
    country: str = ""
    year: int | None = None
    company_address: str = ""
    contact_name: str = ""
    contact_email: str = ""
    contact_phone: str = ""
    network: str = ""
    first_broadcast: date | None = None
    cut: str = ""
    cut_locked: bool = False
    production_type: ProductionType = ProductionType.NONE
    production_titles: tuple[AlternativeTitle, ...] = ()
    season_title: str = ""
    episode_titles: tuple[AlternativeTitle, ...] = ()
    broadcast_country: str = ""
    version: CutVersion = CutVersion.NONE
    directors: str = ""
    cast: str = ""
    distributor: str = ""
    partial: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CueSheetFacts:
    """Everything a sheet is made from; ``missing_from_cut`` names usages that have no place in the cut."""

    header: CueSheetHeader
    rate: FrameRate
    start_frame: int
    running_frames: int
    uses: tuple[PlacedUse, ...]
    missing_from_cut: tuple[str, ...] = ()


# --- what is printed ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class CueParty:
    """A party of a work as printed: ``role`` is a CISAC code, ``share`` has two decimals, ``ipi`` eleven digits.

    ``share`` is on the sheet's basis; ``exact`` is the unrounded percentage of the writers' or publishers' 100 (``None``
    on sheets stored before it was kept).
    """

    interest: Interest
    role: str
    name: str
    share: Decimal
    ipi: str = ""
    society: str = ""
    society_code: str = ""
    public_domain: bool = False
    exact: Fraction | None = None

    @property
    def society_text(self) -> str:
        """The society, for people."""
        return society_text(self.society)

    @property
    def stated(self) -> Fraction:
        """The percentage of the side, exact where it was kept; sheets that did not keep it print it as it is."""
        return Fraction(self.share) if self.exact is None else self.exact


@dataclass(frozen=True, slots=True, kw_only=True)
class CueWork:
    """A work of a cue with its parties, writers first; ``number`` is what its owner or a society calls it by."""

    title: str
    parties: tuple[CueParty, ...]
    iswc: str = ""
    public_domain: bool = False
    arrangement_of: str = ""
    alternative_titles: tuple[AlternativeTitle, ...] = ()
    number: str = ""

    def of(self, interest: Interest) -> tuple[CueParty, ...]:
        """The writers or the publishers, in the order stated."""
        return tuple(party for party in self.parties if party.interest is interest)


@dataclass(frozen=True, slots=True, kw_only=True)
class CueUse:
    """How a cue is used: our facets, the printed ``code`` of the profile, the CISAC letter, and the DDEX terms.

    The facets are those that count. ``logged`` is the function in the log where that is another one: a theme that only
    this episode uses, or of a recap, counts as background or on-screen music. ``part`` is recap, teaser, play-on, promo.
    """

    function: Function
    theme_position: ThemePosition
    seen: bool
    vocal: Vocal
    origin: Origin
    code: str
    bltvr: str
    cue_use_type: str
    cue_theme_type: str
    cue_vocal_type: str
    cue_visual_perception_type: str
    cue_origin: str
    part: ProgrammePart = ProgrammePart.NONE
    logged: Function | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Carved:
    """Time that a cue gave to another that sounds at once: the other's number and title, and exact frames."""

    number: str
    title: str
    frames: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class RolledCue:
    """A cue inside a row that stands for several: what it would have said by itself."""

    number: str
    title: str
    timecode_in: str
    timecode_out: str
    start: Fraction
    frames: int
    seconds: int
    counted: Fraction
    carved: tuple[Carved, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A cue that is not listed, since the profile leaves its kind out: ``why`` is ``logo`` or ``promo``."""

    number: str
    title: str
    why: str
    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """One row: ``seconds`` is what is printed, ``start`` the exact seconds from the programme's first frame.

    ``frames`` is how long it sounds, ``counted`` how many of them count after overlaps are carved (``None``: all), and
    ``carved`` where the others went. A row that stands for several cues has them ``inside``, in the order of the picture:
    its frames and seconds are their sums, its start is the first's, and its number and timecodes are blank.
    """

    sequence: int
    number: str
    title: str
    use: CueUse
    timecode_in: str
    timecode_out: str
    start: Fraction
    frames: int
    seconds: int
    works: tuple[CueWork, ...]
    recording: CueRecording | None = None
    counted: Fraction | None = None
    carved: tuple[Carved, ...] = ()
    inside: tuple[RolledCue, ...] = ()

    @property
    def counted_frames(self) -> Fraction:
        """The frames that count."""
        return Fraction(self.frames) if self.counted is None else self.counted


@dataclass(frozen=True, slots=True, kw_only=True)
class CueSheet:
    """A cue sheet, ready to be shown, printed, exported or frozen. Seconds are whole and add up.

    ``share_basis`` is "200" (each side of a work 100) or "100" (both together); ``profile`` is the one it was set by.
    ``left_out`` are cues that the profile does not list; they are in no total.
    """

    header: CueSheetHeader
    rate: str
    drop: bool
    running_seconds: int
    music_seconds: int
    cues: tuple[Cue, ...]
    share_basis: str = SHARE_BASIS
    schema: str = SCHEMA
    profile: SheetProfile | None = None
    left_out: tuple[LeftOut, ...] = ()

    @property
    def set_by(self) -> SheetProfile:
        """The profile it was set by, also where it was stored before there were profiles."""
        return self.profile or FIRST

    @property
    def music_share(self) -> Fraction:
        """Total music as printed ÷ running time as printed; common practice, no published source."""
        return music_share(self.music_seconds, self.running_seconds)
