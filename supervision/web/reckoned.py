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

from supervision.rules.clearance import Side
from supervision.rules.findings import Finding, Level
from supervision.rules.media import Media, media_union
from supervision.rules.money import Money, amount_text, money_text
from supervision.rules.party_roles import read_role
from supervision.rules.reckoner.reading import Answer
from supervision.rules.reckoner.workings import workings
from supervision.rules.reckoner.workings.coverage import side_text
from supervision.rules.sentence import counted, figures, joined, say, say_as
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
    frames = figures(f"{answer['frames']:,}")
    shown = [
        _figure(say("Frame"), frames, say("counted from 0")),
        _figure(say("Timecode"), answer["timecode"]),
        _figure(say("Seconds"), _decimal(answer["seconds"]), _exactly(answer["seconds"])),
    ]
    verdict = say("{timecode} is frame {frame}.", timecode=answer["timecode"], frame=frames)
    return Shown(verdict, figures=shown)


def _duration(_given: dict[str, Any], answer: Answer) -> Shown:
    shown = [
        _figure(say("On the cue sheet"), answer["text"], say("nearest second, half up")),
        _figure(say("Frames"), figures(f"{answer['frames']:,}")),
        _figure(say("Seconds"), _decimal(answer["seconds"]), _exactly(answer["seconds"])),
    ]
    return Shown(say("It lasts {time}.", time=answer["text"]), figures=shown)


def _decimal(seconds: str) -> str:
    """The seconds to the millisecond; the note beside them is exact."""
    thousandths = round(Fraction(seconds) * 1000)
    return figures(f"{thousandths // 1000:,}.{thousandths % 1000:03d}")


def _exactly(seconds: str) -> str:
    return say("exactly {seconds}", seconds=seconds)


def _identifier(_given: dict[str, Any], answer: Answer) -> Shown:
    if not answer["valid"]:
        return Shown(say("It is wrong: {reason}", reason=answer["reason"]), wrong=True)
    shown = [
        _figure(say_as("an identifier", "Written"), answer["display"]),
        _figure(say_as("an identifier", "Stored"), answer["canonical"]),
    ]
    if caution := answer.get("caution"):
        return Shown(say("It can be right, but: {caution}", caution=caution), True, shown)
    return Shown(say("It can be right."), figures=shown)


def _shares(given: dict[str, Any], answer: Answer) -> Shown:
    to = answer["converted"]["convention"]
    columns = [
        Column(say("Party")),
        Column(say("Role")),
        Column(say("Out of {total}", total=given["convention"]), number=True),
        Column(say("Out of {total}", total=to), number=True),
    ]
    rows = [
        (
            stated["name"] or say_as("a party", "unknown"),
            joined([stated["role"], read_role(stated["role"]).label]),
            figures(stated["share"]),
            figures(party["share"]),
        )
        for stated, party in zip(given["parties"], answer["converted"]["parties"], strict=True)
    ]
    shown = [
        _figure(say("Writers"), figures(f"{answer['writers']} %")),
        _figure(say("Publishers"), figures(f"{answer['publishers']} %")),
    ]
    return Shown(
        say("The split adds up.") if answer["ok"] else say("Something is wrong with the split."),
        wrong=not answer["ok"],
        figures=shown,
        tables=[
            Table(say("The split, and stated as {convention}", convention=Convention(to).label), columns, rows),
        ],
        findings=_findings(answer),
    )


def _favoured(given: dict[str, Any], answer: Answer) -> Shown:
    currency = given["currency"]
    raised = sum(party["raised_by"] is not None for party in answer["parties"])
    both = money_text(Money(answer["total"], currency))
    shown = [
        _figure(Side.SYNC.label, money_text(Money(answer["sides"]["sync"], currency))),
        _figure(Side.MASTER.label, money_text(Money(answer["sides"]["master"], currency))),
        _figure(say("Both sides"), both),
    ]
    columns = [
        Column(say("Party")),
        Column(say("Side")),
        Column(say("Share %"), number=True),
        Column(say("Asks on 100 %"), number=True),
        Column(say("Gets on 100 %"), number=True),
        Column(say("Raised by")),
        Column(say("Fee"), number=True),
    ]
    rows = [
        (
            stated["id"],
            side_text(stated["side"]),
            figures(stated["share"]),
            amount_text(Money(stated["rate"], currency)),
            amount_text(Money(party["rate"], currency)),
            party["raised_by"] or "",
            amount_text(Money(party["fee"], currency)),
        )
        for stated, party in zip(given["parties"], answer["parties"], strict=True)
    ]
    verdict = say("Nobody is raised; both sides come to {amount}.", amount=both)
    if raised:
        verdict = counted(
            raised,
            "{number} party is raised; both sides come to {amount}.",
            "{number} parties are raised; both sides come to {amount}.",
            amount=both,
        )
    caption = say("Amounts in {currency}", currency=currency)
    return Shown(verdict, False, shown, [Table(caption, columns, rows)], (), _findings(answer))


def _coverage(_given: dict[str, Any], answer: Answer) -> Shown:
    gaps = answer["gaps"]
    columns = [
        Column(say("Gap")),
        Column(say("Side")),
        Column(say("Media")),
        Column(say("Territory")),
        Column(say("Days")),
        Column(say("Granted %"), number=True),
        Column(say("Lacking"), wide=True),
        Column(say("Closable by")),
    ]
    rows = [(str(number), *_gap(gap)) for number, gap in enumerate(gaps, start=1)]
    verdict = say("Covered.")
    if gaps:
        many = figures(f"{len(gaps):,}")
        verdict = counted(len(gaps), "Not covered: {gaps} gap.", "Not covered: {gaps} gaps.", gaps=many)
    return Shown(
        verdict,
        wrong=bool(gaps),
        tables=[Table(say("Where the plan is not covered"), columns, rows)] if gaps else (),
        names=[
            _countries(say("Countries of gap {number}", number=number), gap) for number, gap in enumerate(gaps, start=1)
        ],
        findings=_findings(answer),
    )


def _gap(gap: dict[str, Any]) -> tuple[str, ...]:
    term = Term(*(date.fromisoformat(day) if day else None for day in (gap["from"], gap["to"])))
    unknown = [say("nobody known for {share}", share=figures(f"{gap['unknown']} %"))] if "unknown" in gap else []
    offers = (
        joined([each["option"], money_text(Money(each["fee"], each["currency"]))], between=", ")
        for each in _offers(gap)
    )
    return (
        side_text(gap["side"]),
        media_union(map(Media.parse, gap["media"])).text,
        gap["territory"],
        term.text,
        figures(gap["granted"]),
        joined([*gap["lacking"], *unknown], between=", "),
        joined(offers, between="; "),
    )


def _offers(gap: dict[str, Any]) -> list[dict[str, Any]]:
    offers: list[dict[str, Any]] = gap.get("closable_by", [])
    return offers


def _territory(_given: dict[str, Any], answer: Answer) -> Shown:
    count = len(answer["countries"])
    shown = [_figure(say("Shortest text"), answer["display"]), _figure(say("Countries today"), count)]
    names = [_countries(say("The countries"), answer)] if count else []
    verdict = say("It means {territory}.", territory=answer["display"])
    return Shown(verdict, wrong=not count, figures=shown, names=names)


def _countries(heading: str, holding: dict[str, Any]) -> Names:
    codes = holding["countries"]
    names = [say("{country} ({code})", country=country_name(code), code=code) for code in codes]
    return Names(say("{heading}: {number}", heading=heading, number=len(codes)), names, len(codes) <= FEW_COUNTRIES)


def _mechanical(given: dict[str, Any], answer: Answer) -> Shown:
    copies = figures(f"{given['copies']:,}")
    total = say("{currency} {amount}", currency="USD", amount=figures(answer["total"]))
    shown = [_figure(say("For a copy"), say("{currency} {amount}", currency="USD", amount=figures(answer["per_copy"])))]
    if given["copies"] > 1:
        shown.append(_figure(say("For {copies} copies", copies=copies), total))
    verdict = counted(
        given["copies"],
        "{amount} for {copies} copy of this work in {year}.",
        "{amount} for {copies} copies of this work in {year}.",
        amount=total,
        copies=copies,
        year=given["year"],
    )
    return Shown(verdict, figures=shown)


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
