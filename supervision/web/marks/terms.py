"""The term chart: along the years, the plan's windows, what each side grants, the gaps, and the last days of options.

The same chart of a song has a row for each holder of each side in each production, without plan and gaps.

Bars run from their first day up to the day after their last; one without an end runs to the edge and has an arrow.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from supervision.rules.clearance import Side, Stage
from supervision.rules.media import media_said
from supervision.rules.proof import PlanLine, Proof, ProofGap, ProofSide
from supervision.rules.sentence import joined, say
from supervision.rules.song_rights import SongLicence, SongRight
from supervision.rules.term import Term
from supervision.rules.territory import territory_said
from supervision.web.marks.scale import percent

BAR, LANE, MARGIN = 8, 13, 5
_YEAR = 366
_MOST_TICKS = 8
_STEPS = (3, 6, 12, 24, 60, 120, 300, 600, 1200)
"""Months from tick to tick, the first that makes no more than ``_MOST_TICKS``."""
# A year is written to the right of its tick: beyond this there is no room for it.
_LAST_LABEL = 93


@dataclass(frozen=True, slots=True)
class TermBar:
    """A stretch of days: ``kind`` is plan, grant, gap or option, ``term`` its days, ``words`` what or whose it is."""

    kind: str
    x: str
    end: str
    width: str
    y: int
    term: Term
    words: str = ""
    until: date | None = None

    @property
    def open_end(self) -> bool:
        """Whether it runs on beyond the chart."""
        return self.term.end is None

    @property
    def heading(self) -> str:
        """Its kind as the legend has it."""
        return _HEADINGS[self.kind]

    @property
    def name(self) -> str:
        """All of it in words."""
        term, words = self.term.text, self.words
        if self.kind == "plan":
            return say("planned {term}", term=term)
        if self.kind == "gap":
            return say("gap {term} ({words})", term=term, words=words)
        if self.kind == "grant":
            return say("granted {term} ({words})", term=term, words=words)
        return say("option {term} ({words})", term=term, words=words)

    @property
    def middle(self) -> int:
        """Half way down the bar."""
        return self.y + BAR // 2


_HEADINGS = {"plan": say("Planned"), "gap": say("Gap"), "grant": say("Granted"), "option": say("Option")}


@dataclass(frozen=True, slots=True)
class TermFlag:
    """The last day of an option."""

    x: str
    y: int
    name: str


@dataclass(frozen=True, slots=True)
class TermRow:
    """A window of the plan, or a side with gaps, which has a ``number`` among those; else it is None."""

    label: str
    number: int | None
    bars: tuple[TermBar, ...]
    flags: tuple[TermFlag, ...]
    height: int

    @property
    def name(self) -> str:
        """Everything in the row, in words."""
        names = [bar.name for bar in self.bars] + [flag.name for flag in self.flags]
        return joined(names, between="; ") if names else say("nothing granted")


@dataclass(frozen=True, slots=True)
class TermChart:
    """The rows of the plan and those of the sides, over ``ticks`` (place and label); ``today`` is a place.

    ``hidden`` counts the sides that are left out.
    """

    groups: tuple[tuple[TermRow, ...], ...]
    ticks: tuple[tuple[str, str], ...]
    today: str
    hidden: int


@dataclass(frozen=True, slots=True)
class _Scale:
    first: int
    days: int

    def at(self, number: int) -> str:
        return percent(number - self.first, self.days)

    def bar(self, kind: str, term: Term, lane: int, words: str = "", until: date | None = None) -> TermBar:
        start = min(max(term.first_number, self.first), self.first + self.days)
        end = min(max(term.end_number, start), self.first + self.days)
        width, y = percent(end - start, self.days), MARGIN + LANE * lane
        return TermBar(kind, self.at(start), self.at(end), width, y, term, words, until)


def draw_terms(proof: Proof) -> TermChart:
    """The chart of a proof. Sides that need nobody's permission and have no gap are left out and counted."""
    gaps = {side.name: [gap for gap in proof.gaps if gap.side is side] for side in proof.sides}
    shown = [side for side in proof.sides if gaps[side.name] or any(_asked(side))]
    scale = _scale(proof, shown)
    numbers = {name: number for number, name in enumerate((name for name, own in gaps.items() if own), start=1)}
    plan = tuple(_plan_row(line, scale) for line in proof.plan.lines)
    sides = tuple(_side_row(side, gaps[side.name], numbers.get(side.name), scale) for side in shown)
    return TermChart(
        (plan, sides),
        tuple(_ticks(scale)),
        scale.at(proof.on.toordinal()),
        len(proof.sides) - len(shown),
    )


def draw_licences(licences: Sequence[SongLicence], *, today: date) -> TermChart:
    """The chart of a song's licences and open options, the rows of each production together."""
    rights = [licence.right for licence in licences]
    scale = _span((right.term for right in rights), (right.deadline for right in rights), today)
    productions: dict[str, dict[tuple[Side, str, str], list[SongLicence]]] = {}
    for licence in licences:
        right = licence.right
        holders = productions.setdefault(right.production, {})
        holders.setdefault((right.side, right.song, right.holder), []).append(licence)
    groups = tuple(tuple(_holder_row(own, scale) for own in holders.values()) for holders in productions.values())
    return TermChart(groups, tuple(_ticks(scale)), scale.at(today.toordinal()), 0)


def _holder_row(licences: Sequence[SongLicence], scale: _Scale) -> TermRow:
    """Grants, then options, one below the other."""
    bars, flags = [], []
    for lane, licence in enumerate(licences):
        right = licence.right
        kind = "option" if right.is_option else "grant"
        bars.append(scale.bar(kind, right.term, lane, _right_words(right), right.deadline))
        if right.deadline:
            name = say("{option} open until {day}", option=_right_words(right), day=right.deadline)
            flags.append(TermFlag(scale.at(right.deadline.toordinal()), MARGIN + LANE * lane, name))
    first = licences[0].right
    label = say(
        "{holder}, {side} of {song}, {production}",
        holder=first.holder or say("Nobody named"),
        side=first.side.label.lower(),
        song=first.song,
        production=first.production,
    )
    return TermRow(label, None, tuple(bars), tuple(flags), _height(len(licences)))


def _right_words(right: SongRight) -> str:
    return say(
        "{licence}: {media} in {territory}",
        licence=right.number,
        media=media_said(right.media),
        territory=territory_said(right.territory),
    )


def _asked(side: ProofSide) -> Iterator[bool]:
    return (holder.stage is not Stage.NOT_NEEDED for holder in side.holders)


def _scale(proof: Proof, sides: Iterable[ProofSide]) -> _Scale:
    terms = [window.term for window in proof.plan.windows]
    deadlines: list[date | None] = []
    for side in sides:
        for holder in side.holders:
            terms += [grant.term for grant in holder.grants] + [offer.grant.term for offer in holder.offers]
            deadlines += [offer.deadline for offer in holder.offers]
    return _span(terms, deadlines, proof.on)


def _span(terms: Iterable[Term], deadlines: Iterable[date | None], today: date) -> _Scale:
    """From the first day that matters to a little after the last that is known, three years at least."""
    days = [
        today,
        *(day for day in deadlines if day),
        *(day for term in terms for day in (term.start, term.end) if day),
    ]
    first, last = min(days), max(days)
    length = max((last - first).days, 3 * _YEAR)
    quarter = date(first.year, 1 + 3 * ((first.month - 1) // 3), 1)
    return _Scale(quarter.toordinal(), length + _YEAR)


def _plan_row(line: PlanLine, scale: _Scale) -> TermRow:
    window = line.window
    label = joined([window.media.text, window.territory.text], between=", ")
    return TermRow(label, None, (scale.bar("plan", window.term, 0),), (), _height(1))


def _side_row(side: ProofSide, gaps: Sequence[ProofGap], number: int | None, scale: _Scale) -> TermRow:
    """Gaps first, each stretch of days once; then grants, then options."""
    bars, lanes = [], 0
    for kind, terms in (("gap", _gaps(gaps)), ("grant", _grants(side))):
        for term, names in terms.items():
            bars.append(scale.bar(kind, term, lanes, joined(names, between=", ")))
            lanes += 1
    flags = []
    for offer in (offer for holder in side.holders for offer in holder.offers):
        words = say("{option} of {holder}", option=offer.label.lower(), holder=offer.holder)
        bars.append(scale.bar("option", offer.grant.term, lanes, words, offer.deadline))
        if offer.deadline:
            y = MARGIN + LANE * lanes
            name = say("{option} open until {day}", option=words, day=offer.deadline)
            flags.append(TermFlag(scale.at(offer.deadline.toordinal()), y, name))
        lanes += 1
    return TermRow(side.name, number, tuple(bars), tuple(flags), _height(lanes or 1))


def _gaps(gaps: Iterable[ProofGap]) -> dict[Term, list[str]]:
    found: dict[Term, list[str]] = {}
    for each in gaps:
        found.setdefault(each.gap.term, []).append(
            say("{media} in {territory}", media=each.gap.media.text, territory=each.gap.territory.text)
        )
    return found


def _grants(side: ProofSide) -> dict[Term, list[str]]:
    found: dict[Term, list[str]] = {}
    for holder in side.holders:
        for grant in holder.grants:
            names = found.setdefault(grant.term, [])
            if holder.name not in names:
                names.append(holder.name)
    return found


def _height(lanes: int) -> int:
    return 2 * MARGIN + LANE * lanes - (LANE - BAR)


def _ticks(scale: _Scale) -> Iterator[tuple[str, str]]:
    """The first days of quarters, half-years or years; only years have words, the last none where it has no room."""
    start, end = date.fromordinal(scale.first), scale.first + scale.days
    step = next((step for step in _STEPS if scale.days <= step * _MOST_TICKS * 31), _STEPS[-1])
    for months in range(0, scale.days // 28, step):
        year, month = divmod(start.month - 1 + months + _to_tick(start, step), 12)
        if start.year + year > date.max.year:
            return
        day = date(start.year + year, month + 1, 1)
        if day.toordinal() >= end:
            return
        crowded = (day.toordinal() - scale.first) * 100 > _LAST_LABEL * scale.days
        yield scale.at(day.toordinal()), str(day.year) if day.month == 1 and not crowded else ""


def _to_tick(start: date, step: int) -> int:
    """Months from the first day of the chart to the first tick, so that every January that counts has one."""
    return -(start.month - 1) % min(step, 12)
