"""By when a cue sheet is filed: what societies publish, and what contracts commonly say.

Sources: APRA AMCOS, "Cue Sheets" (quarter table: broadcasts of January to March by the end of April, and so on);
ASCAP, "Everything You Need To Know About Cue Sheets" (ideally within three months of the first broadcast; a film before
its first theatrical performance abroad). Thirty days after the first broadcast, as licences commonly ask:
``common practice, no published source``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from supervision.rules.errors import BadValue
from supervision.rules.sentence import Sentence, counted, say, say_as
from supervision.rules.term import months_from


class FilingBasis(StrEnum):
    """What the last day of filing is counted from."""

    NONE = ""
    DAYS = "days"
    MONTHS = "months"
    QUARTER = "quarter"

    @property
    def label(self) -> str:
        """The basis in words."""
        return _BASES[self]


_BASES = {
    FilingBasis.NONE: say("No day published"),
    FilingBasis.DAYS: say("Days after the first broadcast"),
    FilingBasis.MONTHS: say("Months after the first broadcast"),
    FilingBasis.QUARTER: say("The month after the quarter of the first broadcast"),
}


class Means(StrEnum):
    """How a sheet reached whom it is filed with."""

    PORTAL = "portal"
    EMAIL = "email"
    POST = "post"
    HAND = "hand"
    OTHER = "other"

    @property
    def label(self) -> str:
        """The way in words."""
        return _MEANS[self]


_MEANS = {
    Means.PORTAL: say("Through their portal"),
    Means.EMAIL: say("By e-mail"),
    Means.POST: say("By post"),
    Means.HAND: say("By hand"),
    Means.OTHER: say("Another way"),
}

#: Days of filing past this year would run out of the calendar; such a broadcast is a slip of the keyboard.
_LAST_YEAR = 9900
#: The largest count that a basis takes.
MOST = {FilingBasis.DAYS: 3650, FilingBasis.MONTHS: 120}


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingRule:
    """How the last day is found; ``count`` is of days or months. ``BadValue`` where they do not fit.

    ``before_foreign_theatrical``: a film is also filed before its first showing in a cinema abroad.
    """

    basis: FilingBasis = FilingBasis.NONE
    count: int = 0
    before_foreign_theatrical: bool = False

    def __post_init__(self) -> None:
        """Refuse a count that means nothing."""
        most = MOST.get(self.basis, 0)
        if not (1 if most else 0) <= self.count <= most:
            raise self._miscounted(most)

    def _miscounted(self, most: int) -> BadValue:
        basis = self.basis.label
        if most:
            text = say("“{basis}” takes a number from 1 to {most}.", basis=basis, most=most)
            mend = say("Give a number from 1 to {most}.", most=most)
        else:
            text, mend = say("“{basis}” takes no number.", basis=basis), say("Give no number.")
        return BadValue("filing-count", text, place="filing.count", mend=mend)

    @property
    def text(self) -> Sentence:
        """The rule as a phrase: ``90 days after the first broadcast``."""
        theatrical = say("before the first theatrical showing abroad")
        if self.basis is FilingBasis.NONE:
            return theatrical if self.before_foreign_theatrical else say("no day published")
        broadcast = self._after_broadcast()
        if not self.before_foreign_theatrical:
            return broadcast
        return say("{broadcast}, and {theatrical}", broadcast=broadcast, theatrical=theatrical)

    def _after_broadcast(self) -> Sentence:
        # The texts stand in the calls, since the catalogue is collected from there.
        if self.basis is FilingBasis.DAYS:
            return counted(
                self.count, "{number} day after the first broadcast", "{number} days after the first broadcast"
            )
        if self.basis is FilingBasis.MONTHS:
            return counted(
                self.count, "{number} month after the first broadcast", "{number} months after the first broadcast"
            )
        return say("by the end of the month after the quarter of the first broadcast")


NO_DAY = FilingRule()


def due_on(rule: FilingRule, first_broadcast: date | None, foreign_theatrical: date | None = None) -> date | None:
    """The last day on which the sheet is filed in time; ``None`` where nothing says one.

    ``foreign_theatrical`` is the first showing in a cinema abroad: a sheet that is due before it is due the day before.
    """
    sensible = first_broadcast is not None and first_broadcast.year <= _LAST_YEAR
    days = [_after_broadcast(rule, first_broadcast)] if first_broadcast and sensible else []
    if rule.before_foreign_theatrical and foreign_theatrical:
        days.append(foreign_theatrical - timedelta(days=1))
    return min((day for day in days if day is not None), default=None)


def _after_broadcast(rule: FilingRule, day: date) -> date | None:
    match rule.basis:
        case FilingBasis.DAYS:
            return day + timedelta(days=rule.count)
        case FilingBasis.MONTHS:
            return months_from(day, rule.count).end
        case FilingBasis.QUARTER:
            return end_of_quarter_month(day)
    return None


def end_of_quarter_month(day: date) -> date:
    """The end of the month after the quarter: January to March by 30 April … October to December by 31 January."""
    month = (day.month - 1) // 3 * 3 + 5  # the month after that one, counted from January of the year
    return date(day.year + (month - 1) // 12, (month - 1) % 12 + 1, 1) - timedelta(days=1)


class FilingState(StrEnum):
    """How far the filing of an episode's sheet is."""

    NOT_ISSUED = "not_issued"
    TO_FILE = "to_file"
    AMENDED = "amended"
    FILED = "filed"

    @property
    def label(self) -> str:
        """In words."""
        return _STATES[self]


_STATES = {
    FilingState.NOT_ISSUED: say_as("of a cue sheet", "Not issued"),
    FilingState.TO_FILE: say("Issued, to be filed"),
    FilingState.AMENDED: say("Amended since it was filed"),
    FilingState.FILED: say_as("of a cue sheet", "Filed"),
}


@dataclass(frozen=True, slots=True)
class IssuedSheet:
    """A revision as far as filing goes: its number, the profile it was set by, and whether it is filed with anybody."""

    number: int
    profile: str
    filed: bool


def filing_state(issued: Iterable[IssuedSheet]) -> FilingState:
    """How far it is. A sheet set by another profile is for another recipient, and amends nothing."""
    newest = sorted(issued, key=lambda sheet: sheet.number, reverse=True)
    if not newest:
        return FilingState.NOT_ISSUED
    latest = {sheet.profile: sheet for sheet in reversed(newest)}
    if any(sheet.filed and not latest[sheet.profile].filed for sheet in newest):
        return FilingState.AMENDED
    return FilingState.FILED if newest[0].filed else FilingState.TO_FILE


@dataclass(frozen=True, slots=True)
class Due:
    """By when a sheet is filed, and ``why``: by the profile's rule, or by what contracts say."""

    day: date
    why: str


def earliest_due(
    rule: FilingRule, contract_days: int, first_broadcast: date | None, foreign_theatrical: date | None
) -> Due | None:
    """The earlier of the profile's day and that of contracts, so many days after the first broadcast."""
    by_rule = due_on(rule, first_broadcast, foreign_theatrical)
    contract = FilingRule(basis=FilingBasis.DAYS, count=contract_days) if contract_days else NO_DAY
    by_contract = due_on(contract, first_broadcast)
    found = [
        Due(day, why)
        for day, why in (
            (by_rule, say("profile: {rule}", rule=rule.text)),
            (by_contract, say("contracts: {rule}", rule=contract.text)),
        )
        if day is not None
    ]
    return min(found, key=lambda due: due.day, default=None)
