"""The cue sheet: what the performing-rights societies are told about the music of one episode.

``CueSheetFacts`` is what the log and the catalogue know; ``set_sheet`` turns it into a ``CueSheet``, the value that is
shown, printed, exported and frozen alike. A sheet shows whole seconds and shares with two decimals, and both add up on
paper: totals are sums of what is printed, and shares that total 100 but for rounding print as exactly 100.00.

Shares are stated on the 200 % basis: all writers of a work total 100, all its publishers total 100 (BMI, Work
Registration Terms: shares "cannot exceed 100% for the writer share and 100% for the publisher share on a 200% basis").
A medley is one cue with several works, each with its own parties. A work in the public domain is listed with shares of
0 (CISAC CWR19-1070, transaction edit 24: public-domain writers only, so ownership totals 0), and its cue still counts
in the total. The vocabulary of ``CueUse`` maps to the DDEX allowed-value sets (CueUseType, ThemeType, VocalType,
VisualPerceptionType, CueOrigin); field names are our own.

A sheet is a working paper: the rules of a society and local law prevail.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from supervision.rules.durations import music_share, total_seconds, whole_seconds
from supervision.rules.percent import TOLERANCE, exact_total, printed_shares
from supervision.rules.territory import Territory
from supervision.rules.timecode import FrameRate, format_timecode, wrapped
from supervision.rules.usage import Facets, Function, Origin, ThemePosition, Vocal, bltvr, sheet_code

SHARE_BASIS = "200"
"""Writers 100 plus publishers 100 in each work."""

SCHEMA = "ledger-line/cue-sheet/1"
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
    """A work as the catalogue states it; ``arrangement_of`` is the title of the work it arranges."""

    title: str
    parties: tuple[StatedParty, ...]
    iswc: str = ""
    public_domain: bool = False
    arrangement_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CueRecording:
    """The recording that is heard; label, catalogue and track number identify library music."""

    title: str
    version: str = ""
    artist: str = ""
    isrc: str = ""
    label: str = ""
    library: bool = False
    catalogue_number: str = ""
    track_number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedUse:
    """One usage in the cut: frames ``[in_frame, out_frame)``.

    ``uncleared`` says in words what its clearance lacks, ``elsewhere`` whether another episode has the same song.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class CueSheetHeader:
    """What the sheet says about the production; ``season`` is ``None`` where seasons are not worth naming.

    ``revision`` is ``None`` on a draft. ``kind`` is series, feature, pilot, game or trailer; ``country`` is ISO 3166-1.
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
    """A party of a work as printed: ``role`` is a CISAC code, ``share`` has two decimals, ``ipi`` eleven digits."""

    interest: Interest
    role: str
    name: str
    share: Decimal
    ipi: str = ""
    society: str = ""
    society_code: str = ""
    public_domain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CueWork:
    """A work of a cue with its parties, writers first."""

    title: str
    parties: tuple[CueParty, ...]
    iswc: str = ""
    public_domain: bool = False
    arrangement_of: str = ""

    def of(self, interest: Interest) -> tuple[CueParty, ...]:
        """The writers or the publishers, in the order stated."""
        return tuple(party for party in self.parties if party.interest is interest)


@dataclass(frozen=True, slots=True, kw_only=True)
class CueUse:
    """How a cue is used: our facets, the short sheet code, the CISAC letter, and the DDEX terms."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """One cue: ``seconds`` is what is printed, ``start`` the exact seconds from the programme's first frame."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class CueSheet:
    """A cue sheet, ready to be shown, printed, exported or frozen. Seconds are whole and add up."""

    header: CueSheetHeader
    rate: str
    drop: bool
    running_seconds: int
    music_seconds: int
    cues: tuple[Cue, ...]
    share_basis: str = SHARE_BASIS
    schema: str = SCHEMA

    @property
    def music_share(self) -> Fraction:
        """Total music as printed ÷ running time as printed; common practice, no published source."""
        return music_share(self.music_seconds, self.running_seconds)


# --- from one to the other ----------------------------------------------------------------------------------------


def set_sheet(facts: CueSheetFacts) -> CueSheet:
    """The sheet of the facts: cues in order of their in points, numbered from 1."""
    ordered = sorted(facts.uses, key=lambda use: (use.in_frame, use.out_frame, use.number))
    cues = tuple(_cue(sequence, use, facts) for sequence, use in enumerate(ordered, start=1))
    return CueSheet(
        header=facts.header,
        rate=facts.rate.exact,
        drop=facts.rate.drop,
        running_seconds=whole_seconds(facts.running_frames, facts.rate),
        music_seconds=total_seconds(cue.seconds for cue in cues),
        cues=cues,
    )


def issued(sheet: CueSheet, *, revision: int, by: str, on: date) -> CueSheet:
    """The sheet as a numbered revision."""
    return replace(sheet, header=replace(sheet.header, revision=revision, prepared_by=by, prepared_on=on))


def cue_title(use: PlacedUse) -> str:
    """What the cue is called: its work; the recording where it is a medley; what was logged where there is no song."""
    if len(use.works) == 1:
        return use.works[0].title
    return use.recording.title if use.recording else use.title


def cue_place(use: PlacedUse) -> str:
    """How findings name a cue: ``2M14 Evening Tide``."""
    return f"{use.number} {cue_title(use)}".strip()


def parties_in(parties: Iterable[StatedParty], country: str) -> tuple[StatedParty, ...]:
    """The parties whose shares hold in a country (ISO 3166-1); without one, those that hold wherever no list says so."""
    return tuple(party for party in parties if _holds(Territory.parse(party.territory), country))


def _holds(territory: Territory, country: str) -> bool:
    return territory.contains(country) if country else territory.is_open


def _cue(sequence: int, use: PlacedUse, facts: CueSheetFacts) -> Cue:
    rate, frames = facts.rate, use.out_frame - use.in_frame
    return Cue(
        sequence=sequence,
        number=use.number,
        title=cue_title(use),
        use=cue_use(use.facets),
        timecode_in=format_timecode(wrapped(use.in_frame, rate), rate),
        timecode_out=format_timecode(wrapped(use.out_frame, rate), rate),
        start=rate.seconds(use.in_frame - facts.start_frame),
        frames=frames,
        seconds=whole_seconds(frames, rate),
        works=tuple(_cue_work(work, facts.header.country) for work in use.works),
        recording=use.recording,
    )


def _cue_work(work: StatedWork, country: str) -> CueWork:
    here = parties_in(work.parties, country)
    interests = [[party for party in here if party.interest is interest] for interest in Interest]
    return CueWork(
        title=work.title,
        iswc=work.iswc,
        public_domain=work.public_domain,
        arrangement_of=work.arrangement_of,
        parties=tuple(printed for stated in interests for printed in _printed(stated, owned=not work.public_domain)),
    )


def _printed(stated: Sequence[StatedParty], *, owned: bool) -> list[CueParty]:
    exact = [party.share if owned else Fraction() for party in stated]
    near = abs(exact_total(exact) - 100) <= TOLERANCE
    shares = printed_shares(exact, total=100 if near else None)  # what misses 100 by more is printed as it is
    return [
        CueParty(
            interest=party.interest,
            role=party.role,
            name=party.name,
            share=share,
            ipi=party.ipi,
            society=party.society,
            society_code=party.society_code,
            public_domain=party.public_domain,
        )
        for party, share in zip(stated, shares, strict=True)
    ]


def cue_use(facets: Facets) -> CueUse:
    """The use in our words and in those of CISAC (CWR08-3615R1, BLTVR) and DDEX."""
    seen = facets.seen or facets.function is Function.ON_SCREEN
    theme = facets.function is Function.THEME
    return CueUse(
        function=facets.function,
        theme_position=facets.theme_position,
        seen=facets.seen,
        vocal=facets.vocal,
        origin=facets.origin,
        code=sheet_code(facets),
        bltvr=bltvr(facets),
        cue_use_type=_USE_TYPES[facets.function],
        cue_theme_type=_THEME_TYPES[facets.theme_position] if theme else "",
        cue_vocal_type=_VOCAL_TYPES[facets.vocal],
        cue_visual_perception_type="Visual" if seen else "Background",
        cue_origin=_ORIGINS[facets.origin],
    )


_USE_TYPES = {
    Function.BACKGROUND: "Background",
    Function.ON_SCREEN: "OnScreenMusic",
    Function.THEME: "Theme",
    Function.LOGO: "AudioLogo",
    Function.BUMPER: "Bumper",
    Function.ROLLED_UP: "RolledUpCue",
}
_THEME_TYPES = {
    ThemePosition.NONE: "",
    ThemePosition.OPENING: "OpeningTheme",
    ThemePosition.CLOSING: "ClosingTheme",
    ThemePosition.SEGMENT: "SegmentTheme",
}
_VOCAL_TYPES = {Vocal.VOCAL: "Vocal", Vocal.INSTRUMENTAL: "Instrumental"}
# Who owns music says nothing about whether it was written for the programme; DDEX has a term for not knowing.
_ORIGINS = {
    Origin.PRE_EXISTING: "PreexistingMusic",
    Origin.LIBRARY: "LibraryMusic",
    Origin.COMMISSIONED: "SpeciallyCommissionedMusic",
    Origin.OWNED: "Unknown",
}
