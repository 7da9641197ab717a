"""What needs a person today, as groups of lines for the home page: each line says what, by when, and what to do next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse

from supervision.models import Episode
from supervision.rules.deadlines import Deadline, DeadlineKind
from supervision.rules.roles import Deed, Role, may
from supervision.rules.sentence import counted, joined, say, say_as
from supervision.web.navigation import episode_label
from supervision.web.views.deadlines import page_of

#: How far ahead answers, ends of quotes and options, and filings are shown.
SOON = timedelta(days=14)

#: Lines of a group; the rest is counted, and stands on the page of all.
SHOWN = 12


@dataclass(frozen=True, slots=True)
class Need:
    """One line: the ``day`` it is about, ``what`` with its page ``url``, ``where``, how it stands, and the next deed."""

    day: date | None
    what: str
    url: str
    where: str
    standing: str
    deed: str
    late: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """A group of needs; ``head`` names the column of days, ``nothing`` is said where there are none."""

    key: str
    title: str
    head: str
    nothing: str
    needs: Sequence[Need]
    total: int

    @property
    def late(self) -> int:
        """How many of the lines are past their day."""
        return sum(need.late for need in self.needs)

    @property
    def told(self) -> str:
        """How many there are, as part of a sentence."""
        return _SO_MANY[self.key](self.total)

    @property
    def more(self) -> int:
        """How many there are beyond the lines."""
        return self.total - len(self.needs)


_SO_MANY: Mapping[str, Callable[[int], str]] = {
    "blocked": lambda many: counted(many, "{number} blocked for air", "{number} blocked for air"),
    "answers": lambda many: counted(many, "{number} answer due", "{number} answers due"),
    "ending": lambda many: counted(
        many, "{number} quote or option running out", "{number} quotes and options running out"
    ),
    "cuts": lambda many: counted(many, "{number} cut changed", "{number} cuts changed"),
    "filing": lambda many: counted(many, "{number} cue sheet to file", "{number} cue sheets to file"),
}

_OF_DEADLINES = (
    (
        "answers",
        say("Answers due"),
        say("Answer by"),
        say("No answer is due within two weeks."),
        {DeadlineKind.ANSWER: (Deed.ASK, say("Chase, or record the answer"))},
    ),
    (
        "ending",
        say("Quotes and options running out"),
        say("Last day"),
        say("No quote or option ends within two weeks."),
        {
            DeadlineKind.QUOTE: (Deed.ASK, say("Approve, or ask to extend")),
            DeadlineKind.OPTION: (Deed.APPROVE, say("Take up, or let go")),
        },
    ),
    (
        "filing",
        say("Cue sheets to file"),
        say("File by"),
        say("No cue sheet is to be filed within two weeks."),
        {DeadlineKind.FILE: (Deed.ISSUE, say("Check and issue it"))},
    ),
)


def groups_of(
    *,
    blocked: Iterable[Episode],
    left: Iterable[Episode],
    deadlines: Sequence[Deadline],
    roles: Mapping[str, Role],
    today: date,
) -> list[Group]:
    """The groups in the order in which they cost air time; ``roles`` are the person's by the production's code."""
    first = say("First broadcast")
    found = [_group("blocked", say("Blocked for air"), first, _NOT_BLOCKED, list(_blocked(blocked, roles, today)))]
    of_deadlines = [
        _group(key, title, head, nothing, list(_due(deadlines, deeds, roles, today)))
        for key, title, head, nothing, deeds in _OF_DEADLINES
    ]
    cuts = _group("cuts", say("Cuts changed"), first, _NO_CUT, list(_left(left)))
    return [*found, *of_deadlines[:2], cuts, *of_deadlines[2:]]


_NOT_BLOCKED = say("No episode that is still to be broadcast waits for a permission.")
_NO_CUT = say("All music has its place in the current cut, or was taken off the log.")


def _group(key: str, title: str, head: str, nothing: str, needs: list[Need]) -> Group:
    return Group(key, title, head, nothing, needs[:SHOWN], len(needs))


def _next(role: Role, deed: Deed, words: str) -> str:
    """The deed that comes next, for a role that may do it; others look."""
    return words if may(role, deed) else say("See how it stands")


def _blocked(episodes: Iterable[Episode], roles: Mapping[str, Role], today: date) -> Iterator[Need]:
    """Episodes with ``open_count`` and ``denied_count`` (queries.home.blocked_for_air)."""
    for episode in episodes:
        missing, denied = episode.open_count, episode.denied_count  # type: ignore[attr-defined]
        days = (episode.air_date - today).days if episode.air_date else 0
        open_ = counted(missing, "{number} open", "{number} open")
        refused = counted(denied, "{number} denied", "{number} denied") if denied else ""
        yield Need(
            episode.air_date,
            episode_label(episode),
            reverse("episode-clearances", args=[episode.code]),
            str(episode.season.production),
            say("{when}: {missing}", when=_days(days), missing=joined([open_, refused], between=", ")),
            _next(
                roles[episode.season.production.code],
                Deed.ASK,
                say("Replace what was denied") if denied else say("Clear what is open"),
            ),
            late=days <= SOON.days,
        )


def _days(days: int) -> str:
    match days:
        case 0:
            return say_as("so many days from now", "today")
        case 1:
            return say_as("so many days from now", "tomorrow")
    return counted(days, "in {number} days", "in {number} days")


def _due(
    deadlines: Iterable[Deadline],
    deeds: Mapping[DeadlineKind, tuple[Deed, str]],
    roles: Mapping[str, Role],
    today: date,
) -> Iterator[Need]:
    for deadline in deadlines:
        if deadline.kind in deeds and deadline.day <= today + SOON:
            days = (deadline.day - today).days
            late = deadline.is_overdue(today)
            yield Need(
                deadline.day,
                deadline.matter,
                page_of(deadline),
                joined([deadline.production_title, deadline.episode], between=", "),
                counted(-days, "{number} day late", "{number} days late") if late else _days(days),
                _next(roles[deadline.production], *deeds[deadline.kind]),
                late=late,
            )


def _left(episodes: Iterable[Episode]) -> Iterator[Need]:
    """Episodes with ``left_count`` (queries.home.left_behind)."""
    for episode in episodes:
        count, cut = episode.left_count, episode.current_cut  # type: ignore[attr-defined]
        if cut is None:
            continue
        page = ("episode-last-recut", [episode.code, cut.number]) if cut.number > 1 else ("episode-log", [episode.code])
        yield Need(
            episode.air_date,
            episode_label(episode),
            reverse(page[0], args=page[1]),
            str(episode.season.production),
            counted(
                count, "{number} usage has no place in {cut}", "{number} usages have no place in {cut}", cut=str(cut)
            ),
            say("See what changed"),
        )
