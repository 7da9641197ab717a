"""The demo's productions: seasons, episodes, budgets, rates and logged usages."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import transaction

from supervision.actions.budgets import add_rate, set_budget
from supervision.actions.letters import send_letters
from supervision.actions.productions import add_episode, add_production, admit_member
from supervision.actions.releases import add_window
from supervision.actions.spotting import add_usage
from supervision.management.demo.catalogue import Catalogue
from supervision.management.demo.clearances import clear
from supervision.management.demo.desk import load_agreements, load_asks, load_shortlist
from supervision.management.demo.recuts import recut
from supervision.management.demo.sheets import load_sheet
from supervision.management.demo.source import morning
from supervision.models import Episode, Production, Season, Usage, User
from supervision.queries.budgets import BudgetKey
from supervision.rules.durations import Span, read_length
from supervision.rules.money import Money, parse_money
from supervision.rules.roles import Role
from supervision.rules.term import inclusive
from supervision.rules.timecode import FrameRate, parse_timecode

FIRST_DAY = date(2026, 10, 5)
_FACETS = ("cue_number", "title", "function", "theme_position", "seen", "vocal", "origin", "scene", "notes")


@transaction.atomic
def load_production(told: dict[str, Any], *, people: dict[str, User], catalogue: Catalogue) -> Production | None:
    """Enter a production whole, or nothing where its code is taken."""
    by, now = people["supervisor"], morning(FIRST_DAY)
    if Production.objects.filter(code=told["production"]["code"]).exists():
        return None
    production = add_production(fields=told["production"] | {"demo": True}, by=by, now=now)
    for role in Role:
        if role is not Role.SUPERVISOR:
            admit_member(production=production, user=people[role.value], role=role, by=by, now=now)
    for rate in told["rates"]:
        day = date.fromisoformat(rate["on"])
        add_rate(production=production, **rate | {"rate": Decimal(rate["rate"]), "on": day}, by=by, now=morning(day))
    load_agreements(production, told.get("agreements", ()), catalogue=catalogue, by=by, now=now)
    load_asks(production, told.get("asks", {}), by=by, now=now)
    for season in told["seasons"]:
        _load_season(
            production.seasons.get(number=season["number"]), season, people=people, catalogue=catalogue, now=now
        )
    return production


def _load_season(
    season: Season, told: dict[str, Any], *, people: dict[str, User], catalogue: Catalogue, now: datetime
) -> None:
    budget = _amounts(None, told["budget"], season)
    _load_plan(season, None, told, by=people["coordinator"], now=now)
    for entry in told["episodes"]:
        episode = _load_episode(season, entry, by=people["supervisor"], now=now)
        _load_plan(season, episode, entry, by=people["coordinator"], now=now)
        budget |= _amounts(episode, entry["budget"], season)
        logged = [
            _load_usage(episode, usage, _rate(entry), by=people["coordinator"], catalogue=catalogue, now=now)
            for usage in entry["usages"]
        ]
        if letters := entry.get("letters"):
            due = date.fromisoformat(letters["answer_by"])
            send_letters(episode=episode, answer_by=due, by=people["coordinator"], now=morning(letters["sent"]))
        for usage, plans in zip(logged, entry["usages"], strict=True):
            for side, plan in plans.get("clear", {}).items():
                clear(usage, side, plan, people=people)
            load_shortlist(usage, plans.get("shortlist", ()), catalogue=catalogue, by=people["coordinator"], now=now)
        if told_recut := entry.get("recut"):
            recut(episode, told_recut, by=people["coordinator"])
            for usage in told_recut["usages"]:
                _load_usage(
                    episode,
                    usage,
                    _rate(entry),
                    by=people["coordinator"],
                    catalogue=catalogue,
                    now=morning(told_recut["dated"]),
                )
        if entry["locked"] and episode.current_cut is not None:
            episode.current_cut.locked = True
            episode.current_cut.save(update_fields=["locked"])
        if sheet := entry.get("sheet"):
            load_sheet(episode, sheet, by=people["coordinator"])
    set_budget(season=season, amounts=budget, by=people["finance"], now=now)


def _load_plan(season: Season, episode: Episode | None, told: dict[str, Any], *, by: User, now: datetime) -> None:
    """Enter the windows of a season, or of an episode; the last day is told inclusively, as people say it."""
    for window in told.get("windows", ()):
        last = date.fromisoformat(window["to"]) if "to" in window else None
        term = inclusive(date.fromisoformat(window["from"]), last)
        fields = {name: window[name] for name in ("media", "territory", "note")}
        days = {"starts_on": term.start, "ends_on": term.end}
        add_window(season=season, episode=episode, fields=fields | days, by=by, now=now)


def _amounts(episode: Episode | None, lines: Iterable[dict[str, str]], season: Season) -> dict[BudgetKey, Money | None]:
    currency = season.production.currency
    return {
        (episode.pk if episode else None, line["category"]): parse_money(line["amount"], currency) for line in lines
    }


def _rate(told: dict[str, Any]) -> FrameRate:
    return FrameRate(Fraction(told["rate"]), drop=told["drop"])


def _load_episode(season: Season, told: dict[str, Any], *, by: User, now: datetime) -> Episode:
    rate = _rate(told)
    cut = {
        "rate": told["rate"],
        "drop": told["drop"],
        "start_frame": parse_timecode(told["start_timecode"], rate),
        "running_frames": read_length(told["running_time"], rate),
        "label": told["label"],
    }
    fields: dict[str, Any] = {
        name: told[name] for name in ("code", "number", "title", "production_number") if name in told
    }
    fields["air_date"] = date.fromisoformat(told["air_date"])
    return add_episode(season=season, fields=fields, cut=cut, by=by, now=now)


def _load_usage(
    episode: Episode, told: dict[str, Any], rate: FrameRate, *, by: User, catalogue: Catalogue, now: datetime
) -> Usage:
    fields: dict[str, Any] = {name: told[name] for name in _FACETS if name in told}
    fields["span"] = Span(parse_timecode(told["in"], rate), parse_timecode(told["out"], rate))
    if "recording" in told:
        fields["recording"] = catalogue.recordings[tuple(told["recording"])]
    if "work" in told:
        fields["work"] = catalogue.works[told["work"]]
    if estimate := told.get("estimate"):
        fields["estimate_currency"] = estimate["currency"]
        for side in ("sync", "master"):
            if side in estimate:
                minor = parse_money(estimate[side], estimate["currency"]).minor
                fields[f"{side}_estimate_minor"] = minor
    return add_usage(episode=episode, fields=fields, by=by, now=now)
