"""``coverage``: where a release plan is not covered by what the holders have granted.

Beside the fields of design.md, section 5, these may be given: ``today``; of a side ``seconds`` and ``uses``; of a
grant ``max_seconds``, ``uses`` and ``id``; of a holder ``options``, each a grant with ``id``, ``fee`` in minor units,
``currency`` and ``deadline``. What they bring about is answered only then: ``findings`` about grants that do not count,
``closable_by`` and ``unknown`` of a gap, and the ``cheapest`` options that close all they can.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from supervision.rules.coverage import (
    Gap,
    Grant,
    Holder,
    Option,
    PlanWindow,
    SideRights,
    TerritoryShare,
    cheapest_closing,
    find_gaps,
)
from supervision.rules.errors import BadValue
from supervision.rules.media import Media, media_union
from supervision.rules.money import minor_units
from supervision.rules.percent import parse_share, share_text
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.shares import told
from supervision.rules.sentence import figures, say
from supervision.rules.term import Term
from supervision.rules.territory import Territory

WINDOW = ("media", "territory", "from", "to")
GRANT = (*WINDOW, "max_seconds", "uses", "id")
OPTION = (*GRANT, "fee", "currency", "deadline")

#: Plan windows, shares, grants and options together.
MOST_ENTRIES = 50_000
#: Different territories of gaps: a season has some dozens, and finding the shortest text takes two milliseconds for each.
MOST_TERRITORIES = 500


def reckon_coverage(given: Fields) -> Answer:
    """In: ``plan`` and ``sides``. Out: ``covered`` and ``gaps``.

    Each gap has ``side``, ``media``, ``territory``, ``countries``, ``from``, ``to``, ``granted`` and ``lacking``.
    """
    given.only("plan", "sides", "today")
    plan, sides = read_plan(given), read_sides(given)
    _bounded(plan, sides)
    _distinct([side.id for side in sides], "sides")
    today = given.day("today") if given.has("today") else None
    coverage = find_gaps(plan, sides, today=today)
    if len({gap.territory for gap in coverage.gaps}) > MOST_TERRITORIES:
        raise _too_large(say("The gaps differ in too many territories to be told in words."))
    answer: Answer = {"covered": coverage.covered, "gaps": [_gap(gap) for gap in coverage.gaps]}
    if coverage.findings:
        answer["findings"] = told(coverage.findings)
    if any(holder.options for side in sides for holder in side.holders):
        answer["cheapest"] = _cheapest(plan, sides, today)
    return answer


def _bounded(plan: list[PlanWindow], sides: list[SideRights]) -> None:
    entries = len(plan) + sum(
        1 + len(holder.shares) + len(holder.grants) + len(holder.options) for side in sides for holder in side.holders
    )
    if entries > MOST_ENTRIES:
        most = figures(f"{MOST_ENTRIES:,}")
        raise _too_large(say("There are more than {most} windows, shares, grants and options.", most=most))


def _too_large(text: str) -> BadValue:
    return BadValue("coverage-too-large", text, place="sides", mend=say("Check fewer sides at a time."))


def _distinct(ids: list[str], place: str) -> None:
    seen: set[str] = set()
    for number, name in enumerate(ids):
        if name in seen:
            text, mend = say("This id stands here twice."), say("Give each an id of its own.")
            raise BadValue("id-twice", text, place=f"{place}[{number}].id", mend=mend)
        seen.add(name)


# In


def read_plan(given: Fields) -> list[PlanWindow]:
    """The windows of the question."""
    return [_window(window) for window in given.objects("plan")]


def read_sides(given: Fields) -> list[SideRights]:
    """The sides of the question, with holders, shares, grants and options."""
    return [_side(side) for side in given.objects("sides")]


def _window(given: Fields) -> PlanWindow:
    given.only(*WINDOW)
    return PlanWindow(_media(given), _territory(given), _term(given))


def _media(given: Fields) -> Media:
    media = media_union(Media.parse(text, place=place) for text, place in given.texts("media"))
    if media.is_empty:
        text, mend = say("No medium is named."), say("Name one, as in “all”.")
        raise BadValue("media-missing", text, place=given.at("media"), mend=mend)
    return media


def _territory(given: Fields) -> Territory:
    territory = Territory.parse(given.text("territory"), place=given.at("territory"))
    if territory.is_empty:
        text, mend = say("No country is left in it."), say("Name a country, or exclude less.")
        raise BadValue("territory-empty", text, place=given.at("territory"), mend=mend)
    return territory


def _term(given: Fields) -> Term:
    start, end = given.day("from"), given.day("to")
    if start is not None and end is not None and end <= start:
        text = say("The end is not after the start.")
        mend = say("“to” is the first day that is no longer in it.")
        raise BadValue("term-empty", text, place=given.at("to"), mend=mend)
    return Term(start, end)


def _side(given: Fields) -> SideRights:
    given.only("id", "holders", "seconds", "uses")
    holders = tuple(_holder(holder) for holder in given.objects("holders"))
    _distinct([holder.id for holder in holders], given.at("holders"))
    seconds = given.exact("seconds") if given.has("seconds") else None
    return SideRights(given.text("id"), holders, seconds, _count(given, "uses") or 1)


def _holder(given: Fields) -> Holder:
    given.only("id", "shares", "grants", "options")
    return Holder(
        given.text("id"),
        tuple(_share(line) for line in given.objects("shares")),
        tuple(_grant(grant, GRANT) for grant in given.objects("grants")),
        tuple(_option(option) for option in given.objects("options")) if given.has("options") else (),
    )


def _share(given: Fields) -> TerritoryShare:
    given.only("territory", "share")
    share = parse_share(given.number_text("share"), place=given.at("share"))
    if share > _WHOLE:
        text, mend = say("A share is more than 100."), say("Give 100 or less.")
        raise BadValue("share-over", text, place=given.at("share"), mend=mend)
    return TerritoryShare(_territory(given), share)


def _grant(given: Fields, names: tuple[str, ...]) -> Grant:
    given.only(*names)
    length = given.exact("max_seconds") if given.has("max_seconds") else None
    if length == 0:
        text, mend = say("This length is 0."), say("Give more than 0 seconds, or leave it out.")
        raise BadValue("grant-length", text, place=given.at("max_seconds"), mend=mend)
    name = given.text("id") if given.has("id") else ""
    return Grant(_media(given), _territory(given), _term(given), length, _count(given, "uses"), name)


def _option(given: Fields) -> Option:
    fee = given.whole("fee")
    if fee < 0:
        text, mend = say("A fee is below 0."), say("Give 0 or more.")
        raise BadValue("option-fee", text, place=given.at("fee"), mend=mend)
    deadline = given.day("deadline") if given.has("deadline") else None
    return Option(given.text("id"), _grant(given, OPTION), fee, _currency(given), deadline)


def _currency(given: Fields) -> str:
    currency = given.text("currency")
    try:
        minor_units(currency)
    except BadValue as unknown:
        raise BadValue(unknown.code, unknown.text, place=given.at("currency"), mend=unknown.mend) from None
    return currency


def _count(given: Fields, name: str) -> int | None:
    count = given.whole(name) if given.has(name) else None
    if count is not None and count < 1:
        text, mend = say("This is less than 1."), say("Give 1 or more.")
        raise BadValue("count", text, place=given.at(name), mend=mend)
    return count


_WHOLE = Fraction(100)


# Out


def _gap(gap: Gap) -> Answer:
    answer: Answer = {
        "side": gap.side,
        "media": list(gap.media.codes),
        "territory": gap.territory.text,
        "countries": list(gap.countries),
        "from": _day(gap.term.start),
        "to": _day(gap.term.end),
        "granted": share_text(gap.granted),
        "lacking": list(gap.lacking),
    }
    if gap.unknown:
        answer["unknown"] = share_text(gap.unknown)
    if gap.closable_by:
        answer["closable_by"] = [_offer(option) for option in gap.closable_by]
    return answer


def _cheapest(plan: list[PlanWindow], sides: list[SideRights], today: date | None) -> Answer:
    closing = cheapest_closing(plan, sides, today=today)
    return {
        "options": [_offer(option) for option in closing.options],
        "fee": closing.fee,
        "currency": closing.currency or None,
        "exact": closing.exact,
        "covered": not closing.left,
    }


def _offer(option: Option) -> Answer:
    return {
        "option": option.id,
        "fee": option.fee,
        "currency": option.currency,
        "deadline": _day(option.deadline),
    }


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
