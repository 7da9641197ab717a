"""What the reckoner's page shows of an answer: a sentence, figures, tables and lists, all as text for people.

The answer is the rule's as the API gives it; nothing is reckoned here. ``SHOWN`` has a function for each rule.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from supervision.rules.findings import Finding, Level
from supervision.rules.media import Media, media_union
from supervision.rules.money import Money, amount_text, money_text
from supervision.rules.party_roles import read_role
from supervision.rules.reckoner.reading import Answer
from supervision.rules.reckoner.workings import workings
from supervision.rules.split import Convention
from supervision.rules.term import Term
from supervision.rules.territory_atlas import country_name

#: As many countries as are named without being asked for.
FEW_COUNTRIES = 30


@dataclass(frozen=True, slots=True)
class Column:
    """A table's column; ``number`` sets it flush right, ``wide`` keeps it from being squeezed."""

    label: str
    number: bool = False
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells as text; the first cell names the row, "" is shown as a dash."""

    caption: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]

    @property
    def lines(self) -> list[list[tuple[Column, str]]]:
        """The rows, each cell with its column."""
        return [list(zip(self.columns, row, strict=True)) for row in self.rows]


@dataclass(frozen=True, slots=True)
class Names:
    """A list behind a heading, open where it is short."""

    heading: str
    names: Sequence[str]
    is_open: bool


@dataclass(frozen=True, slots=True)
class Shown:
    """An answer for people. ``verdict`` is one sentence; ``wrong`` says that it needs somebody."""

    verdict: str
    wrong: bool = False
    figures: Sequence[dict[str, Any]] = ()
    tables: Sequence[Table] = ()
    names: Sequence[Names] = ()
    findings: Sequence[Finding] = field(default=())


def shown(rule: str, given: dict[str, Any], answer: Answer) -> dict[str, Any]:
    """Context of the answer: what is shown, the workings, and question and answer as JSON."""
    return {
        "shown": SHOWN[rule](given, answer),
        "workings": workings(rule, given, answer),
        "question_json": json.dumps(given, ensure_ascii=False, indent=2),
        "answer_json": json.dumps(answer, ensure_ascii=False, indent=2),
    }


def _figure(label: str, value: object, note: str = "") -> dict[str, Any]:
    return {"label": label, "value": value, "note": note}


def _timecode(_given: dict[str, Any], answer: Answer) -> Shown:
    figures = [
        _figure("Frame", f"{answer['frames']:,}", "counted from 0"),
        _figure("Timecode", answer["timecode"]),
        _figure("Seconds", _decimal(answer["seconds"]), _exactly(answer["seconds"])),
    ]
    return Shown(f"{answer['timecode']} is frame {answer['frames']:,}.", figures=figures)


def _duration(_given: dict[str, Any], answer: Answer) -> Shown:
    figures = [
        _figure("On the cue sheet", answer["text"], "nearest second, half up"),
        _figure("Frames", f"{answer['frames']:,}"),
        _figure("Seconds", _decimal(answer["seconds"]), _exactly(answer["seconds"])),
    ]
    return Shown(f"It lasts {answer['text']}.", figures=figures)


def _decimal(seconds: str) -> str:
    """The seconds to the millisecond; the note beside them is exact."""
    thousandths = round(Fraction(seconds) * 1000)
    return f"{thousandths // 1000:,}.{thousandths % 1000:03d}"


def _exactly(seconds: str) -> str:
    return f"exactly {seconds}"


def _identifier(_given: dict[str, Any], answer: Answer) -> Shown:
    if not answer["valid"]:
        return Shown(f"It is wrong: {answer['reason']}", wrong=True)
    figures = [_figure("Written", answer["display"]), _figure("Stored", answer["canonical"])]
    caution = answer.get("caution")
    return Shown(f"It can be right, but: {caution}" if caution else "It can be right.", bool(caution), figures)


def _shares(given: dict[str, Any], answer: Answer) -> Shown:
    to = answer["converted"]["convention"]
    columns = [
        Column("Party"),
        Column("Role"),
        Column(f"Out of {given['convention']}", number=True),
        Column(f"Out of {to}", number=True),
    ]
    rows = [
        (
            stated["name"] or "unknown",
            f"{stated['role']} {read_role(stated['role']).label}",
            stated["share"],
            party["share"],
        )
        for stated, party in zip(given["parties"], answer["converted"]["parties"], strict=True)
    ]
    figures = [_figure("Writers", f"{answer['writers']} %"), _figure("Publishers", f"{answer['publishers']} %")]
    return Shown(
        "The split adds up." if answer["ok"] else "Something is wrong with the split.",
        wrong=not answer["ok"],
        figures=figures,
        tables=[Table(f"The split, and stated as {Convention(to).label}", columns, rows)],
        findings=_findings(answer),
    )


def _favoured(given: dict[str, Any], answer: Answer) -> Shown:
    currency = given["currency"]
    raised = sum(party["raised_by"] is not None for party in answer["parties"])
    figures = [
        _figure("Sync", money_text(Money(answer["sides"]["sync"], currency))),
        _figure("Master", money_text(Money(answer["sides"]["master"], currency))),
        _figure("Both sides", money_text(Money(answer["total"], currency))),
    ]
    columns = [
        Column("Party"),
        Column("Side"),
        Column("Share %", number=True),
        Column("Asks on 100 %", number=True),
        Column("Gets on 100 %", number=True),
        Column("Raised by"),
        Column("Fee", number=True),
    ]
    rows = [
        (
            stated["id"],
            stated["side"],
            stated["share"],
            amount_text(Money(stated["rate"], currency)),
            amount_text(Money(party["rate"], currency)),
            party["raised_by"] or "",
            amount_text(Money(party["fee"], currency)),
        )
        for stated, party in zip(given["parties"], answer["parties"], strict=True)
    ]
    who = "Nobody is" if not raised else "1 party is" if raised == 1 else f"{raised} parties are"
    verdict = f"{who} raised; both sides come to {money_text(Money(answer['total'], currency))}."
    return Shown(verdict, False, figures, [Table(f"Amounts in {currency}", columns, rows)], (), _findings(answer))


def _coverage(_given: dict[str, Any], answer: Answer) -> Shown:
    gaps = answer["gaps"]
    columns = [
        Column("Gap"),
        Column("Side"),
        Column("Media"),
        Column("Territory"),
        Column("Days"),
        Column("Granted %", number=True),
        Column("Lacking", wide=True),
        Column("Closable by"),
    ]
    rows = [(str(number), *_gap(gap)) for number, gap in enumerate(gaps, start=1)]
    return Shown(
        "Not covered: 1 gap." if len(gaps) == 1 else f"Not covered: {len(gaps):,} gaps." if gaps else "Covered.",
        wrong=bool(gaps),
        tables=[Table("Where the plan is not covered", columns, rows)] if gaps else (),
        names=[_countries(f"Countries of gap {number}", gap) for number, gap in enumerate(gaps, start=1)],
        findings=_findings(answer),
    )


def _gap(gap: dict[str, Any]) -> tuple[str, ...]:
    term = Term(*(date.fromisoformat(day) if day else None for day in (gap["from"], gap["to"])))
    unknown = [f"nobody known for {gap['unknown']} %"] if "unknown" in gap else []
    offers = (f"{each['option']}, {money_text(Money(each['fee'], each['currency']))}" for each in _offers(gap))
    return (
        gap["side"],
        media_union(map(Media.parse, gap["media"])).text,
        gap["territory"],
        term.text,
        gap["granted"],
        ", ".join([*gap["lacking"], *unknown]),
        "; ".join(offers),
    )


def _offers(gap: dict[str, Any]) -> list[dict[str, Any]]:
    offers: list[dict[str, Any]] = gap.get("closable_by", [])
    return offers


def _territory(_given: dict[str, Any], answer: Answer) -> Shown:
    count = len(answer["countries"])
    figures = [_figure("Shortest text", answer["display"]), _figure("Countries today", count)]
    names = [_countries("The countries", answer)] if count else []
    return Shown(f"It means {answer['display']}.", wrong=not count, figures=figures, names=names)


def _countries(heading: str, holding: dict[str, Any]) -> Names:
    codes = holding["countries"]
    names = [f"{country_name(code)} ({code})" for code in codes]
    return Names(f"{heading}: {len(codes)}", names, len(codes) <= FEW_COUNTRIES)


def _mechanical(given: dict[str, Any], answer: Answer) -> Shown:
    figures = [
        _figure("For a copy", f"USD {answer['per_copy']}"),
        _figure(f"For {given['copies']:,} {'copy' if given['copies'] == 1 else 'copies'}", f"USD {answer['total']}"),
    ]
    return Shown(f"USD {answer['total']} for {given['copies']:,} of this work in {given['year']}.", figures=figures)


def _findings(answer: Answer) -> list[Finding]:
    return [Finding(Level(each["level"]), "", "", each["text"]) for each in answer.get("findings", ())]


SHOWN: MappingProxyType[str, Callable[[dict[str, Any], Answer], Shown]] = MappingProxyType(
    {
        "timecode": _timecode,
        "duration": _duration,
        "identifier": _identifier,
        "shares": _shares,
        "favoured": _favoured,
        "coverage": _coverage,
        "territory": _territory,
        "mechanical": _mechanical,
    }
)
