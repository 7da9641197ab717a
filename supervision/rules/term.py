"""Term: the days for which something is granted, as a half-open interval ``[start, end)``; ``None`` is open.

People say terms inclusively ("2027-01-01 to 2031-12-31" includes New Year's Eve) and by length ("5 years from
2027-01-01"); both become half-open days here, and nowhere else is a day added or taken. A term that hangs on an
event which has no date yet ("3 years from first broadcast") is a ``TermWording``: it becomes a ``Term`` once the date
is known, and until then it proves nothing.

Years are added as by python-dateutil: a day that the month lacks becomes its last day (29 Feb 2024 + 3 years is
28 Feb 2027). That the last day of "5 years from 2027-01-01" is 2031-12-31 is common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

# Its stubs are a package of their own, and this is the only use.
from dateutil.relativedelta import relativedelta  # type: ignore[import-untyped]

from supervision.rules.errors import BadValue
from supervision.rules.sentence import Sentence, counted, english, say, say_as
from supervision.rules.term_reading import TermReading, read_length, read_term

ONE_DAY = timedelta(days=1)
MOST_YEARS = 999

PERPETUITY = say("in perpetuity")
# The events that terms mostly hang on, so that they are told in any language; others stay as they are typed.
_EVENTS: Mapping[str, Sentence] = {
    english(event): event
    for event in (
        say_as("of a term", "first broadcast"),
        say_as("of a term", "first use"),
        say_as("of a term", "release"),
        say_as("of a term", "signature"),
        say_as("of a term", "delivery"),
    )
}


@dataclass(frozen=True)
class Term:
    """Days from ``start`` up to but not including ``end``; ``None`` leaves a side open. BadValue when no day is in it."""

    start: date | None = None
    end: date | None = None

    def __post_init__(self) -> None:
        if self.start is not None and self.end is not None and self.end <= self.start:
            last = self.end - ONE_DAY
            text = say("The term ends on {last}, before it starts on {first}.", last=last, first=self.start)
            raise BadValue("term-empty", text, place="term", mend=say("Swap or correct the dates."))

    @classmethod
    def parse(cls, text: str, *, place: str = "term") -> Term:
        """Reads "5 years from 2027-01-01", "2027-01-01 to 2031-12-31", "in perpetuity"; BadValue otherwise.

        A term that starts with an event ("from first broadcast") is refused here; ``TermWording.parse`` keeps it.
        """
        return TermWording.parse(text, place=place).on(None, place=place)

    @classmethod
    def numbered(cls, first: int, end: int) -> Term:
        """The term of these day numbers, as ``first_number`` and ``end_number`` give them."""
        start = None if first == _BEFORE_ALL else date.fromordinal(first)
        return cls(start, None if end == _AFTER_ALL else date.fromordinal(end))

    @property
    def text(self) -> str:
        """As people say it, the last day included: "2027-01-01 to 2031-12-31", "from 2027-01-01 in perpetuity"."""
        if self.end is None:
            return PERPETUITY if self.start is None else say("from {first} in perpetuity", first=self.start)
        if self.start is None:
            return say("until {last}", last=self.last_day)
        return say_as("of days", "{first} to {last}", first=self.start, last=self.last_day)

    @property
    def spoken(self) -> str:
        """By length where it is a whole number of years or months, else as ``text``: "5 years from 2027-01-01"."""
        if self.start is None or self.end is None:
            return self.text
        length = relativedelta(self.end, self.start)
        months = length.years * 12 + length.months
        if length.days or not months or _plus(self.start, months) != self.end:
            return self.text
        return say("{length} from {first}", length=_months_text(months), first=self.start)

    @property
    def last_day(self) -> date | None:
        """The last day included, None when open."""
        return None if self.end is None else self.end - ONE_DAY

    @property
    def days(self) -> int | None:
        """How many days, None when a side is open."""
        return None if self.start is None or self.end is None else (self.end - self.start).days

    def contains(self, other: Term | date) -> bool:
        """Whether a day, or every day of another term, lies in it."""
        if isinstance(other, date):
            return self.first_number <= other.toordinal() < self.end_number
        return self.first_number <= other.first_number and other.end_number <= self.end_number

    def overlaps(self, other: Term) -> bool:
        """Whether they share a day."""
        return self.first_number < other.end_number and other.first_number < self.end_number

    def intersection(self, other: Term) -> Term | None:
        """The days in both, None when they share none."""
        return _between(max(self.first_number, other.first_number), min(self.end_number, other.end_number))

    def subtract(self, *others: Term) -> tuple[Term, ...]:
        """The days that are in none of the others, earliest first."""
        left: list[Term] = []
        low = self.first_number
        for other in merge(others):
            piece = _between(low, min(other.first_number, self.end_number))
            if piece is not None:
                left.append(piece)
            low = max(low, other.end_number)
        piece = _between(low, self.end_number)
        return (*left, piece) if piece is not None else tuple(left)

    @property
    def first_number(self) -> int:
        """The ordinal of the first day; before all days when open."""
        return _BEFORE_ALL if self.start is None else self.start.toordinal()

    @property
    def end_number(self) -> int:
        """The ordinal of the day after the last; after all days when open."""
        return _AFTER_ALL if self.end is None else self.end.toordinal()

    def __str__(self) -> str:
        return self.text


_BEFORE_ALL = date.min.toordinal() - 1
_AFTER_ALL = date.max.toordinal() + 1

ALWAYS = Term()


def _between(low: int, high: int) -> Term | None:
    """The term of these day numbers, None when there is no day between them."""
    return Term.numbered(low, high) if low < high else None


def merge(terms: Iterable[Term]) -> tuple[Term, ...]:
    """The same days as the fewest terms, earliest first: terms that overlap or touch become one."""
    merged: list[tuple[int, int]] = []
    for low, high in sorted((term.first_number, term.end_number) for term in terms):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(term for low, high in merged if (term := _between(low, high)) is not None)


def months_from(start: date, months: int) -> Term:
    """The term of so many months from a day on; 29 Feb 2024 and 36 months end on 28 Feb 2027, exclusive.

    BadValue unless it has a month and ends before the year 10000.
    """
    return Term(start, _plus(start, _checked_length(months)))


def _checked_length(months: int) -> int:
    if not 0 < months <= MOST_YEARS * 12:
        text = say("A term has between 1 month and {years} years.", years=MOST_YEARS)
        raise BadValue("term-length", text, place="term", mend=say("Write “in perpetuity” for a term without end."))
    return months


def inclusive(first: date | None, last: date | None) -> Term:
    """The term whose last day is ``last``, as people and contracts write it."""
    if last == date.max:
        raise BadValue("term-end", say("The last day is too late."), place="term", mend=say("Write “in perpetuity”."))
    return Term(first, None if last is None else last + ONE_DAY)


def _plus(start: date, months: int) -> date:
    try:
        later: date = start + relativedelta(months=months)
    except (ValueError, OverflowError):
        text = say("{length} from {first} end after the year 9999.", length=_months_text(months), first=start)
        raise BadValue("term-end", text, place="term", mend=say("Write “in perpetuity”.")) from None
    return later


def _months_text(months: int) -> str:
    if months % 12 == 0:
        return counted(months // 12, "{number} year", "{number} years")
    return counted(months, "{number} month", "{number} months")


@dataclass(frozen=True)
class TermWording:
    """A term as agreed: a length in months or without end, from a day or from an event that has no day yet.

    ``term`` holds the days where the wording fixes them; otherwise ``months`` (None: in perpetuity) run from ``event``.
    """

    term: Term | None = None
    months: int | None = None
    event: str = ""

    @classmethod
    def parse(cls, text: str, *, place: str = "term") -> TermWording:
        """Reads every form of ``Term.parse`` and "n years from <event>"; BadValue with place and mend otherwise."""
        try:
            return _worded(read_term(text))
        except BadValue as refusal:
            raise BadValue(refusal.code, refusal.text, place=place, mend=refusal.mend) from None

    @property
    def text(self) -> str:
        """As people say it: "3 years from first broadcast", or the days where they are fixed."""
        if self.term is not None:
            return self.term.text
        length = PERPETUITY if self.months is None else _months_text(self.months)
        if self.event in _EVENTS:
            event = _EVENTS[self.event]
            return say_as("an event that has a name", "{length} from {event}", length=length, event=event)
        return say("{length} from {event}", length=length, event=self.event)

    @property
    def spoken(self) -> str:
        """By length where it has one, else as ``text``."""
        return self.text if self.term is None else self.term.spoken

    def on(self, day: date | None, *, place: str = "term") -> Term:
        """The days, given the day of the event; BadValue when they depend on an event without a day."""
        if self.term is not None:
            return self.term
        if day is None:
            text = say("The term runs from {event}, whose date is not known.", event=self.event)
            mend = say("Enter that date, or write the start date.")
            raise BadValue("term-unknown-start", text, place=place, mend=mend)
        return Term(day) if self.months is None else months_from(day, self.months)


def term_said(stored: str) -> str:
    """A term as it is stored, so that it can be told in any language; other text is given back as it is."""
    return next((said for said in _sayings(stored) if said == stored), stored)


def _sayings(text: str) -> tuple[str, ...]:
    """The ways in which the house says what a text means; none where nobody can tell."""
    months = read_length(text)
    if months is not None:
        return (_months_text(months),)
    try:
        wording = TermWording.parse(text)
    except BadValue:
        return ()
    return wording.text, wording.spoken


def _worded(reading: TermReading) -> TermWording:
    if reading.event:
        if reading.months is not None:
            _checked_length(reading.months)
        return TermWording(months=reading.months, event=reading.event)
    if reading.months is not None and reading.first is not None:
        return TermWording(months_from(reading.first, reading.months))
    return TermWording(inclusive(reading.first, reading.last))
