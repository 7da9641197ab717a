"""Setting a cue sheet: from what the log and the catalogue know to what is printed, by a profile.

In this order: what the profile lists; what each cue counts as; how much of overlapping cues counts; whole seconds that
add up and never exceed the running time; shares on the profile's basis; one row for cues that are rolled up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from supervision.rules.cue_carving import Counted, carve, fitted_seconds
from supervision.rules.cue_roll_up import roll_up
from supervision.rules.cue_sheet import (
    Carved,
    Cue,
    CueParty,
    CueSheet,
    CueSheetFacts,
    CueWork,
    Interest,
    LeftOut,
    PlacedUse,
    StatedParty,
    StatedWork,
)
from supervision.rules.cue_sheet_profile import FIRST, SheetProfile
from supervision.rules.cue_sheet_use import counted_facets, cue_use
from supervision.rules.durations import Span, total_seconds, whole_seconds
from supervision.rules.party_roles import read_role
from supervision.rules.percent import TOLERANCE, exact_total, intended_shares, printed_shares
from supervision.rules.split import WHOLE, Convention, ShareEntry, converted, printed
from supervision.rules.territory import Territory
from supervision.rules.timecode import format_timecode, wrapped
from supervision.rules.usage import Function, ProgrammePart


def set_sheet(facts: CueSheetFacts, profile: SheetProfile = FIRST) -> CueSheet:
    """The sheet of the facts: cues in order of their in points, numbered from 1."""
    listed, left_out = listed_uses(facts, profile)
    cues = _cues(listed, facts, profile)
    rows = roll_up(cues, profile, facts.header.production) if profile.roll_up else cues
    return CueSheet(
        header=facts.header,
        rate=facts.rate.exact,
        drop=facts.rate.drop,
        running_seconds=whole_seconds(facts.running_frames, facts.rate, profile.rounding),
        music_seconds=total_seconds(cue.seconds for cue in rows),
        cues=tuple(rows),
        share_basis=profile.share_basis.value,
        profile=profile,
        left_out=tuple(_left_out(use, facts, profile) for use in left_out),
    )


def issued(sheet: CueSheet, *, revision: int, by: str, on: date) -> CueSheet:
    """The sheet as a numbered revision."""
    return replace(sheet, header=replace(sheet.header, revision=revision, prepared_by=by, prepared_on=on))


def listed_uses(facts: CueSheetFacts, profile: SheetProfile) -> tuple[list[PlacedUse], list[PlacedUse]]:
    """The uses that the profile lists and those that it leaves out, both in the order of the picture."""
    ordered = sorted(facts.uses, key=lambda use: (use.in_frame, use.out_frame, use.number))
    listed = [use for use in ordered if not _unwanted(use, profile)]
    return listed, [use for use in ordered if _unwanted(use, profile)]


def _unwanted(use: PlacedUse, profile: SheetProfile) -> str:
    """Why the profile leaves a use out; blank where it is listed."""
    if use.facets.function is Function.LOGO and not profile.logos:
        return "logo"
    return "promo" if use.facets.part is ProgrammePart.PROMO and not profile.promos else ""


def _left_out(use: PlacedUse, facts: CueSheetFacts, profile: SheetProfile) -> LeftOut:
    seconds = whole_seconds(use.out_frame - use.in_frame, facts.rate, profile.rounding)
    return LeftOut(number=use.number, title=cue_title(use), why=_unwanted(use, profile), seconds=seconds)


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


# --- one cue ------------------------------------------------------------------------------------------------------


def _cues(uses: Sequence[PlacedUse], facts: CueSheetFacts, profile: SheetProfile) -> list[Cue]:
    counted = carve([Span(use.in_frame, use.out_frame) for use in uses], profile.carving)
    running = whole_seconds(facts.running_frames, facts.rate, profile.rounding)
    seconds = fitted_seconds([count.frames / facts.rate.fps for count in counted], running, profile.rounding)
    return [
        _cue(number, use, facts, profile, (count, shown, uses))
        for number, (use, count, shown) in enumerate(zip(uses, counted, seconds, strict=True), start=1)
    ]


def _cue(
    sequence: int,
    use: PlacedUse,
    facts: CueSheetFacts,
    profile: SheetProfile,
    time: tuple[Counted, int, Sequence[PlacedUse]],
) -> Cue:
    rate, (counted, seconds, others) = facts.rate, time
    counts_as = counted_facets(use, profile.themes, series=facts.header.season is not None)
    frames = use.out_frame - use.in_frame
    return Cue(
        sequence=sequence,
        number=use.number,
        title=cue_title(use),
        use=cue_use(counts_as, profile, logged=use.facets.function),
        timecode_in=format_timecode(wrapped(use.in_frame, rate), rate),
        timecode_out=format_timecode(wrapped(use.out_frame, rate), rate),
        start=rate.seconds(use.in_frame - facts.start_frame),
        frames=frames,
        seconds=seconds,
        works=tuple(_cue_work(work, facts.header.country, profile.share_basis) for work in use.works),
        recording=use.recording,
        counted=counted.frames,
        carved=tuple(
            Carved(number=others[to].number, title=cue_title(others[to]), frames=given) for to, given in counted.gave
        ),
    )


def _cue_work(work: StatedWork, country: str, basis: Convention) -> CueWork:
    here = parties_in(work.parties, country)
    ordered = [party for interest in Interest for party in here if party.interest is interest]
    return CueWork(
        title=work.title,
        iswc=work.iswc,
        public_domain=work.public_domain,
        arrangement_of=work.arrangement_of,
        alternative_titles=work.alternative_titles,
        number=work.number,
        parties=tuple(_printed(ordered, basis, owned=not work.public_domain)),
    )


# --- shares -------------------------------------------------------------------------------------------------------


def _printed(stated: Sequence[StatedParty], basis: Convention, *, owned: bool) -> list[CueParty]:
    exact = exact_shares(stated, owned=owned)
    as_stated = [party.share if owned else Fraction() for party in stated]
    shares = _on_100(stated, as_stated) if basis is Convention.HUNDRED else _on_200(stated, as_stated)
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
            exact=meant,
        )
        for party, share, meant in zip(stated, shares, exact, strict=True)
    ]


def exact_shares(stated: Sequence[StatedParty], *, owned: bool) -> list[Fraction]:
    """The fractions that were meant, of each side's 100: thirds where 33.34, 33.33, 33.33 are stated; else as stated.

    Nobody owns a work in the public domain: its shares are 0.
    """
    if not owned:
        return [Fraction()] * len(stated)
    sides = {
        interest: iter(intended_shares([party.share for party in stated if party.interest is interest]))
        for interest in Interest
    }
    return [next(sides[party.interest]) for party in stated]


def _on_200(stated: Sequence[StatedParty], shares: Sequence[Fraction]) -> list[Decimal]:
    figures = {}
    for interest in Interest:
        side = [share for party, share in zip(stated, shares, strict=True) if party.interest is interest]
        near = abs(exact_total(side) - WHOLE) <= TOLERANCE
        figures[interest] = iter(printed_shares(side, total=WHOLE if near else None))  # else printed as it is
    return [next(figures[party.interest]) for party in stated]


def _on_100(stated: Sequence[StatedParty], shares: Sequence[Fraction]) -> list[Decimal]:
    """Writers and publishers 50 each; all of it the writers' where no publisher is named. From the fractions meant."""
    entries = [
        ShareEntry(party.name, read_role(party.role, writer=party.interest is Interest.WRITER), share)
        for party, share in zip(stated, shares, strict=True)
    ]
    return printed(converted(entries, Convention.TWO_HUNDRED).parties, Convention.HUNDRED)
