"""What the pages of the log are given: rows as text for the grid, the key figures, the bars of the stave.

Rows are text (``templates/log/rows.html``), and become fields (``log/line.html``) when they are entered: a form per row
would take longer to draw than the log takes to read, and 300 of them would be a megabyte.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS
from django.core.paginator import Page, Paginator
from django.urls import reverse
from django.utils.html import format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from supervision.actions.log_files import TABLES, TIMELINES
from supervision.models import Cut, Episode, Usage
from supervision.queries.spotting import Log
from supervision.rules.durations import clock
from supervision.rules.errors import StaleEdit
from supervision.rules.findings import Finding, Level
from supervision.rules.log import LogRow, LogTotals
from supervision.rules.money import Money, money_text
from supervision.rules.percent import percent_text
from supervision.rules.sentence import counted, joined, say, say_as
from supervision.rules.usage import Facets, music_kind, next_cue_number, sheet_code
from supervision.web.forms.spotting import ESTIMATES, ORIGINS, USES, LogForm, shown, usage_label
from supervision.web.language import read_figures
from supervision.web.marks import Bar
from supervision.web.navigation import episode_page

NEW = "usage-new"

# Beyond any frame; the heading of what is not in the cut stands between them (templates/log/log.html).
_NEW_ORDER, _UNPLACED_ORDER = 10**12, 3 * 10**12

#: Placed usages on one page: with 250 rows of text and the stave it stays below 300 kB.
WINDOW = 250

#: Numbers of other episodes named in a row; the rest is counted.
MOST_NAMED = 6


def _options(choices: list[tuple[str, str]]) -> dict[str, SafeString]:
    """A list's options by the one that is chosen. There are few lists and many rows, so each is written once."""
    selected = {True: SafeString(" selected"), False: ""}
    return {
        chosen: format_html_join(
            "", "<option value={}{}>{}", ((value, selected[value == chosen], label) for value, label in choices)
        )
        for chosen, _ in choices
    }


# By language, since the options are written out in one.
@lru_cache(maxsize=16)
def _lists(_language: str | None) -> tuple[dict[str, SafeString], dict[str, SafeString]]:
    return _options(USES), _options(ORIGINS)


class _Sentences(dict[str, Sequence[str]]):
    """Sentences by field, none for a field without any: a template asks for each, and a missing key costs it dearly."""

    def __missing__(self, name: str) -> Sequence[str]:
        return ()


@dataclass(frozen=True, slots=True)
class Line:
    """A row of the grid.

    ``values`` are texts by field, ``errors`` sentences, ``saved`` what another person saved; ``url`` is the page of the
    usage, blank for the empty row.
    """

    id: str
    values: Mapping[str, Any]
    row: LogRow | None = None
    errors: Mapping[str, Sequence[str]] = field(default_factory=_Sentences)
    saved: Mapping[str, str] = field(default_factory=dict)
    focus: str = ""
    url: str = ""

    @property
    def key(self) -> str:
        """A short id for the row's form and fields."""
        return f"u{self.row.usage}" if self.row else "new"

    @property
    def uses(self) -> SafeString:
        """The options of the list of uses."""
        uses, _ = _lists(get_language())
        return uses.get(self.values["use"], uses[USES[0][0]])

    @property
    def origins(self) -> SafeString:
        """The options of the list of origins."""
        _, origins = _lists(get_language())
        return origins.get(self.values["origin"], origins[ORIGINS[0][0]])

    @property
    def use_words(self) -> str:
        """The use in words."""
        return dict(USES)[self.values["use"]]

    @property
    def wrongs(self) -> list[tuple[str, str]]:
        """Each reason why the row is not saved, with the name of its cell."""
        return [(_cell(name), sentence) for name, sentences in self.errors.items() for sentence in sentences]

    @property
    def others(self) -> list[tuple[str, str]]:
        """What another person saved meanwhile, with the name of its cell."""
        return [(_cell(name), value) for name, value in self.saved.items()]

    @property
    def length(self) -> str:
        """The shown length, blank outside the cut."""
        return clock(self.row.seconds) if self.row and self.row.seconds is not None else ""

    @property
    def also(self) -> str:
        """The other episodes with the same song: ``103, 105 and 2 more``."""
        numbers = self.row.elsewhere if self.row else ()
        named = ", ".join(numbers[:MOST_NAMED])
        more = len(numbers) - MOST_NAMED
        return (
            counted(more, "{episodes} and {number} more", "{episodes} and {number} more", episodes=named)
            if more > 0
            else named
        )

    @property
    def order(self) -> int:
        """Where the row stands in the grid: by its in point, then the empty row, then what is not in the cut."""
        if self.row is None:
            return _NEW_ORDER
        return self.row.span.start if self.row.span else _UNPLACED_ORDER

    @property
    def findings(self) -> Sequence[Finding]:
        """What is odd about the usage."""
        return self.row.findings if self.row else ()


def _cell(name: str) -> str:
    """The head of a cell's column, blank for the row as a whole."""
    return _CELLS[name]


_CELLS: Mapping[str, str] = {
    "row": "",
    "cue_number": say("Cue number"),
    "in_timecode": say_as("point", "In"),
    "out_timecode": say_as("point", "Out"),
    "song": say("Song"),
    "use": say("Use"),
    "theme_position": say("Theme position"),
    "seen": say("Seen"),
    "vocal": say("Vocal"),
    "origin": say("Origin"),
    "scene": say("Scene"),
    "notes": say("Notes"),
    "sync_estimate": say("Sync estimate"),
    "master_estimate": say("Master estimate"),
    "version": say("Version"),
    "sending": "",
}


def line_of(row: LogRow, currency: str, focus: str = "") -> Line:
    """A row as it is."""
    return Line(f"usage-{row.usage}", shown(row, currency), row, focus=focus, url=_url(row))


def model_line() -> Line:
    """The row that app.js makes fields from: it replaces the number 0 and the cue number 0M0."""
    facets = Facets()
    row = LogRow(0, 0, "0M0", "", "", "", None, None, facets, sheet_code(facets))
    return Line("usage-0", {**new_line("").values, "version": 0}, row, url=_url(row))


def _url(row: LogRow) -> str:
    return reverse("usage", args=[row.usage])


def new_line(cue_number: str) -> Line:
    """The empty row, with the next cue number in it."""
    typed = ("in_timecode", "out_timecode", "song", "scene", "sync_estimate", "master_estimate", "sending")
    empty = dict.fromkeys(typed, "")
    return Line(
        NEW, empty | {"cue_number": cue_number, "proposed": cue_number, "use": USES[0][0], "origin": ORIGINS[0][0]}
    )


def refused_line(form: LogForm, row: LogRow | None, currency: str) -> Line:
    """A row as it was typed, with the reasons why it is not saved; ``row`` is the usage as it is now.

    After a stale edit it says what is saved now, and saving it again means it.
    """
    lists = {"use": USES[0][0], "origin": ORIGINS[0][0]}
    values = {name: lists.get(name, "") if value is None else value for name, value in _typed(form).items()}
    saved = {}
    if row is not None and isinstance(getattr(form, "refusal", None), StaleEdit):
        values["version"] = row.version
        now = shown(row, currency)
        saved = {name: _in_words(name, now[name]) for name in values if _read(name, values[name]) != now[name]}
    errors = _Sentences(
        {
            "row" if name == NON_FIELD_ERRORS else name: [str(sentence) for sentence in sentences]
            for name, sentences in form.errors.items()
        }
    )
    if row is None:
        return Line(NEW, values, errors=errors)
    return Line(f"usage-{row.usage}", values, row, errors=errors, saved=saved, url=_url(row))


def _typed(form: LogForm) -> dict[str, Any]:
    return {name: form[name].value() for name in form.fields}


def _read(name: str, value: Any) -> Any:
    return read_figures(value) if name in ESTIMATES else value


def _in_words(name: str, value: Any) -> str:
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    return {"use": dict(USES), "origin": dict(ORIGINS)}.get(name, {}).get(value, value) or say("nothing")


def bars(log: Log, page: Page[LogRow] | None = None) -> Iterator[Bar]:
    """The placed usages as bars of the stave, each a link to its row, on another page where it is not on this one."""
    here = {row.usage for row in page} if page else None
    for row in log.rows:
        if row.span is not None:
            problems = (finding.text for finding in row.findings if finding.level is not Level.NOTE)
            yield Bar(
                start=row.span.start,
                end=row.span.end,
                lane=music_kind(row.facets),
                label=row.name,
                kind=row.facets.origin,
                href=f"#usage-{row.usage}" if here is None or row.usage in here else _address(row),
                problem=joined(problems),
            )


def _address(row: LogRow) -> str:
    return f"?row={row.usage}#usage-{row.usage}"


def figures(log: Log) -> list[dict[str, Any]]:
    """The key figures of a log."""
    totals = log.totals
    shown_figures: list[dict[str, Any]] = [
        {"label": say("Cues"), "value": totals.cues, "note": _unplaced(totals.unplaced)},
        {"label": say("Music"), "value": clock(totals.music_seconds), "note": _share(totals)},
        {"label": say("Time with music"), "value": clock(totals.covered_seconds), "note": say("each moment once")},
        {
            "label": say_as("music", "Licensed"),
            "value": clock(totals.licensed_seconds),
            "note": say("pre-existing, library"),
        },
        {"label": say("Scored"), "value": clock(totals.scored_seconds), "note": say("commissioned, owned")},
    ]
    if log.reads_money:
        shown_figures += [
            _estimate(say("Sync estimated"), totals.sync_estimates),
            _estimate(say("Master estimated"), totals.master_estimates),
        ]
    return shown_figures


def _unplaced(count: int) -> str:
    return counted(count, "{number} more not in the cut", "{number} more not in the cut") if count else ""


def _share(totals: LogTotals) -> str:
    if totals.share is None or totals.running_seconds is None:
        return ""
    return say("{share} of {time}", share=percent_text(totals.share), time=clock(totals.running_seconds))


def _estimate(label: str, monies: Sequence[Money]) -> dict[str, Any]:
    first, *rest = [money_text(money) for money in monies] or ["\N{EN DASH}"]
    return {"label": label, "value": first, "note": joined(say("+ {amount}", amount=text) for text in rest)}


def log_page(
    episode: Episode, log: Log, cuts: Iterable[Cut], *, refused: Line | None = None, number: str = "", row: str = ""
) -> dict[str, Any]:
    """Context of the log's page by ``number``, or of the one with a ``row``; a ``refused`` row stands where it was typed."""
    context = episode_page(episode, "log")
    page = window(log, number, refused.id.removeprefix("usage-") if refused else row)
    return (
        context
        | _summary(episode, log, page)
        | {
            "title": context["crumbs"].pop()[0],
            "page": page,
            "lines": _lines(page, episode, refused),
            "unplaced": [] if page.has_next() else _lines(log.unplaced, episode, refused),
            "new": _new(log, refused) if log.may_log else None,
            "model": model_line() if log.may_log else None,
            "cuts": list(cuts),
            "log_files": (TABLES | TIMELINES if log.cut else TABLES).items(),
        }
    )


def window(log: Log, number: str = "", row: str = "") -> Page[LogRow]:
    """``WINDOW`` placed rows: those with the usage ``row``, else those of a page's number, else the first."""
    at = next((place for place, found in enumerate(log.rows) if str(found.usage) == row), None)
    return Paginator(log.rows, WINDOW).get_page(number if at is None else at // WINDOW + 1)


def answer_to(
    episode: Episode,
    before: Log,
    log: Log,
    *,
    rows: Sequence[LogRow] = (),
    focus: str = "",
    new: bool = False,
    refused: Line | None = None,
    removed: Usage | None = None,
    told: tuple[int, str] | None = None,
) -> dict[str, Any]:
    """Context of the answer to a change by htmx: ``rows`` or the ``refused`` one, and the notes that differ elsewhere.

    ``told`` is a refusal to be told in the notes of a usage's row.
    """
    currency = episode.season.production.currency
    lines = [refused] if refused else [line_of(row, currency, focus) for row in rows]
    sent = {row.usage for row in rows}
    known = {row.usage: row for row in before.all_rows}
    noted = [
        line_of(row, currency) for row in log.all_rows if row.usage not in sent and _differ(row, known.get(row.usage))
    ]
    if told:
        usage, sentence = told
        noted.append(Line(f"usage-{usage}", {}, errors=_Sentences(row=[sentence])))
    sent_to = window(log, row=str(rows[0].usage)) if rows else None
    return _summary(episode, log, sent_to) | {
        "episode": episode,
        "lines": lines,
        "new": _new(log) if new else None,
        "noted": noted,
        "removed": removed,
        "removed_name": usage_label(removed) if removed else "",
    }


def _differ(row: LogRow, before: LogRow | None) -> bool:
    return before is not None and (row.findings, row.elsewhere) != (before.findings, before.elsewhere)


def _lines(rows: Iterable[LogRow], episode: Episode, refused: Line | None) -> list[Line]:
    currency = episode.season.production.currency
    lines = (line_of(row, currency) for row in rows)
    return [refused if refused and refused.id == line.id else line for line in lines]


def _new(log: Log, refused: Line | None = None) -> Line:
    """The empty row, with the number after the last one that stands in the cut."""
    if refused and refused.id == NEW:
        return refused
    numbers = [row.cue_number for row in log.rows if row.cue_number]
    taken = {row.cue_number for row in log.all_rows}
    return new_line(next_cue_number(numbers[-1] if numbers else "", taken))


def _summary(episode: Episode, log: Log, page: Page[LogRow] | None = None) -> dict[str, Any]:
    return {
        "log": log,
        "bars": list(bars(log, page)),
        "figures": figures(log),
        "stave_label": say("Music of {episode}", episode=str(episode)),
    }
