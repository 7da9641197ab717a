"""What a log and a shortlist read alike: a song by its text, and estimates of both sides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from supervision.queries.songs import song_of
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, WITHDRAWN, Money, parse_money
from supervision.rules.sentence import listed, say


def song_fields(text: str) -> dict[str, Any]:
    """The columns of a song's text: a recording or a work by its code, else a working title."""
    song = song_of(text)
    if song is None:
        return {"recording": None, "work": None, "title": text}
    kind, other = ("work", "recording") if song._meta.model_name == "work" else ("recording", "work")
    return {kind: song, other: None, "title": ""}


def estimate_fields(typed: Mapping[str, str], currency: str) -> dict[str, Any]:
    """The columns of typed estimates (``sync_estimate``, ``master_estimate``), in ``currency`` unless they say another."""
    monies = {name: _money(text, name, currency) for name, text in typed.items() if text}
    currencies = sorted({money.currency for money in monies.values()})
    if len(currencies) > 1:
        raise BadValue(
            "currencies-differ",
            say("Both estimates are in one currency, not in {currencies}.", currencies=listed(currencies)),
            place="master_estimate",
            mend=say("State both in one of them."),
        )
    minors = {f"{name}_minor": monies[name].minor if name in monies else None for name in typed}
    return minors | {"estimate_currency": currencies[0] if currencies else ""}


def _money(text: str, place: str, currency: str) -> Money:
    """The amount, in the currency unless a code stands before it."""
    code = text[:3].upper()
    try:
        return parse_money(text, code if code in CURRENCIES or code in WITHDRAWN else currency)
    except BadValue as refused:
        refused.place = place
        raise
