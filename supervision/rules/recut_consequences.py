"""What a recut does to rights and money: each change held against what holders were asked, quoted and granted.

Only what the recut itself brings about is told: a length that broke its licence before and still does is no news. The
consequences are ``common practice, no published source``; what a licence says of fees for music that is not used, and
whether a usage in two pieces is one use or two, its own words decide, and counsel reviews them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from supervision.rules.asks import broken
from supervision.rules.clearance import CLEARED, Stage
from supervision.rules.durations import clock
from supervision.rules.fees import uses_charged
from supervision.rules.money import total
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_effects import Blanket, Consequence, Effect, Held, Length, Standing, Stated
from supervision.rules.sentence import counted, joined, say

__all__ = [
    "Blanket",
    "Consequence",
    "Effect",
    "Held",
    "Length",
    "Standing",
    "Stated",
    "consequences",
    "in_question",
    "money_back",
]


def consequences(
    changes: Iterable[Change], standings: Mapping[int, Standing], carried: Mapping[int, int]
) -> list[Consequence]:
    """What comes of the changes, gravest first, else in their order.

    Keys of the old cut are usages; ``carried`` says which usage each key of the new cut is, where it is one already.
    """
    listed = list(changes)
    was: Counter[str] = Counter()
    now: Counter[str] = Counter()
    for change in listed:
        was[change.song] += len(change.before)
        now[change.song] += len(change.after)
    found: list[Consequence] = []
    for change in listed:
        uses = (max(was[change.song], 1), max(now[change.song], 1)) if change.song else (1, 1)
        keys = dict.fromkeys([*change.before, *(carried[key] for key in change.after if key in carried)])
        for standing in (standings[key] for key in keys if key in standings):
            told = _of_usage(standing, uses, change)
            found += (replace(one, name=standing.name, change=change, usage=standing.usage) for one in told)
        loose = sum(key not in carried for key in change.after)
        if loose:
            found.append(_unlogged(loose, change))
    found += _uses(listed, standings, was, now)
    order = list(Effect)
    return sorted(found, key=lambda one: order.index(one.effect))


def _of_usage(standing: Standing, uses: tuple[int, int], change: Change) -> Iterator[Consequence]:
    yield from (one for blanket in standing.blankets for one in _agreement_fee(standing, blanket))
    if standing.now is None:
        yield from (one for held in standing.held for one in _no_longer(held, change))
        return
    for held in standing.held:
        yield from _over_maximum(standing.was, standing.now, held)
        yield from _ask(standing, standing.now, held, uses)
    if standing.was is None:
        yield from _uncleared(standing)


def _over_maximum(was: Length | None, now: Length, held: Held) -> Iterator[Consequence]:
    """A use longer than a grant allows, to the frame; not one that was as long before."""
    broken_now = [most for most in held.maxima if now.exact > most and (was is None or now.exact > was.exact)]
    if broken_now and held.stage is Stage.LICENSED:
        yield Consequence(
            effect=Effect.OVER_MAXIMUM,
            holder=held.who,
            reason=say(
                "It is {length} long now; the licence allows up to {most}.",
                length=clock(now.shown),
                most=clock(min(broken_now)),
            ),
            mend=say("Ask for the longer use, or shorten the usage."),
            clearance=held.clearance,
            stated=held.stated,
        )


def _ask(standing: Standing, now: Length, held: Held, uses: tuple[int, int]) -> Iterator[Consequence]:
    """An ask, a quote or an agreed quote that answers another question than the usage now puts."""
    if held.asked is None or held.stage not in {Stage.DRAFT, Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED}:
        return
    was = standing.was and broken(held.asked, replace(held.asked, seconds=standing.was.shown, uses=uses[0]))
    reasons = broken(held.asked, replace(held.asked, seconds=now.shown, uses=uses[1]))
    shorter = held.asked.seconds is not None and now.shown < held.asked.seconds
    if reasons and reasons != was:
        yield Consequence(
            effect=Effect.ASK_BROKEN,
            holder=_written(held),
            reason=joined(reasons),
            mend=_ask_again(held),
            clearance=held.clearance,
            stated=held.stated,
        )
    elif shorter and standing.was is not None and now.shown < standing.was.shown and held.stage is not Stage.DRAFT:
        yield Consequence(
            effect=Effect.ASK_GENEROUS,
            holder=held.who,
            reason=say(
                "It is {length} long now; it was asked for up to {most}.",
                length=clock(now.shown),
                most=clock(held.asked.seconds or 0),
            ),
            mend=say("The answer still holds. A shorter use may cost less: ask, before it is licensed."),
            clearance=held.clearance,
            stated=held.stated,
        )


def _ask_again(held: Held) -> str:
    tied = say("Its rate is most favoured nations: whoever it is tied to is reckoned anew.") if held.favoured else ""
    return joined([say("Ask again for the use as it is now."), tied])


def _written(held: Held) -> str:
    """Who was asked, and by which letters."""
    asked = say("asked by {letters}", letters=", ".join(held.letters)) if held.letters else ""
    return joined([held.who, asked], between=", ")


def _no_longer(held: Held, change: Change) -> Iterator[Consequence]:
    """A usage that the new cut has no place for: what was promised for it, and what is only asked."""
    if held.stage in {Stage.QUOTED, Stage.APPROVED, Stage.LICENSED}:
        yield Consequence(
            effect=Effect.MONEY_BACK,
            holder=held.who,
            reason=_LEFT[_way_out(change)],
            mend=_MENDS["paid" if held.paid else held.stage],
            clearance=held.clearance,
            stated=held.stated,
        )
    elif held.stage is Stage.REQUESTED:
        yield Consequence(
            effect=Effect.ASK_LAPSED,
            holder=held.who,
            reason=_LEFT_OPEN[_way_out(change)],
            mend=say("Tell them that the request has lapsed, and withdraw the clearance."),
            clearance=held.clearance,
        )


_MENDS: Mapping[Stage | str, str] = {
    Stage.QUOTED: say("Nothing is owed. Tell them that it is not used, and withdraw the clearance."),
    Stage.APPROVED: say("No licence is signed. Tell them that it is not used, and withdraw the clearance."),
    Stage.LICENSED: say("Ask whether the licence can be cancelled before it is paid, by its own terms."),
    "paid": say("Ask for the fee back or for a credit, by the licence’s own terms, or find the song another scene."),
}


_LEFT: Mapping[str, str] = {
    "gone": say("It is not in the new cut."),
    "joined": say("It has become one with another usage of the song."),
    "anew": say("It is logged anew as another usage of the song."),
}
_LEFT_OPEN: Mapping[str, str] = {
    "gone": say("It is not in the new cut, and they have not answered."),
    "joined": say("It has become one with another usage of the song, and they have not answered."),
    "anew": say("It is logged anew as another usage of the song, and they have not answered."),
}


def _way_out(change: Change) -> str:
    """How a usage left the cut: altogether, or in favour of another usage of the same song."""
    if change.kind is Kind.GONE:
        return "gone"
    return "joined" if change.kind is Kind.JOINED else "anew"


def _agreement_fee(standing: Standing, blanket: Blanket) -> Iterator[Consequence]:
    """What a library's agreement charges otherwise: a use, or minutes begun, more or less."""
    was, now = (
        uses_charged(length.shown, per_minute=blanket.per_minute) if length else 0
        for length in (standing.was, standing.now)
    )
    if was == now:
        return
    minutes = counted(
        now,
        "{number} minute begun is charged now, {was} before.",
        "{number} minutes begun are charged now, {was} before.",
        was=was,
    )
    uses = counted(
        now, "{number} use is charged now, {was} before.", "{number} uses are charged now, {was} before.", was=was
    )
    what = "more" if now > was else "less"
    yield Consequence(
        effect=Effect.AGREEMENT_FEE,
        holder=blanket.name,
        reason=minutes if blanket.per_minute else uses,
        mend=say("Nothing is to be asked; the library’s account changes."),
        stated=(Stated(what, blanket.fee.times(abs(now - was))),) if blanket.fee else (),
    )


def _uncleared(standing: Standing) -> Iterator[Consequence]:
    """A usage that the old cut did not have, on a side that is not cleared."""
    open_sides = {
        side: min(held.stage for held in standing.held if held.side is side)
        for side in dict.fromkeys(held.side for held in standing.held)
    }
    lacking = [
        say("{side} {stage}", side=side.label.lower(), stage=stage.label.lower())
        for side, stage in open_sides.items()
        if stage not in CLEARED
    ]
    if lacking or not standing.held:
        yield Consequence(
            effect=Effect.UNCLEARED,
            reason=say(
                "It is new in the cut: {sides}.",
                sides=joined(lacking, between=", ") or say("nobody is to be asked yet"),
            ),
            mend=say("Choose its song and ask its holders.") if not standing.held else say("Ask its holders."),
        )


def _unlogged(pieces: int, change: Change) -> Consequence:
    """New music that no usage stands for yet."""
    if change.kind is Kind.SPLIT:
        text = counted(
            pieces,
            "{number} more piece is to be logged, each a usage of its own.",
            "{number} more pieces are to be logged, each a usage of its own.",
        )
        return Consequence(
            effect=Effect.UNCLEARED, reason=text, mend=say("Ask the holders for the further uses."), change=change
        )
    text = say("It is new in the cut, and nobody has been asked.")
    return Consequence(
        effect=Effect.UNCLEARED, reason=text, mend=say("Log it with its song and ask its holders."), change=change
    )


def _uses(
    changes: Sequence[Change], standings: Mapping[int, Standing], was: Mapping[str, int], now: Mapping[str, int]
) -> Iterator[Consequence]:
    """Licences for so many uses of a song that is now used more often; each is told once, at the change that adds a use."""
    for song, uses in now.items():
        added = next(
            (change for change in changes if change.song == song and len(change.after) > len(change.before)), None
        )
        if not song or added is None or uses <= was[song]:
            continue
        told: set[str] = set()
        for standing in (standings[key] for change in changes if change.song == song for key in change.before):
            for held in standing.held:
                few = held.uses is not None and held.uses < uses and held.stage is Stage.LICENSED
                if few and held.who not in told:
                    told.add(held.who)
                    yield Consequence(
                        effect=Effect.USES_EXCEEDED,
                        name=standing.name,
                        holder=held.who,
                        reason=say(
                            "The song is used {uses} times in the new cut; the licence allows {allowed}.",
                            uses=uses,
                            allowed=held.uses,
                        ),
                        mend=say("Ask for the further use, or take one out."),
                        change=added,
                        usage=standing.usage,
                        clearance=held.clearance,
                        stated=held.stated,
                    )


def money_back(found: Iterable[Consequence]) -> list[Stated]:
    """What may come back, or need not be spent: quoted, approved, licensed and paid, each in its currencies."""
    return _summed(one for one in found if one.effect in {Effect.MONEY_BACK, Effect.AGREEMENT_FEE})


def in_question(found: Iterable[Consequence]) -> list[Stated]:
    """The amounts that licences and quotes name which no longer fit; each clearance counts once."""
    wrong = {Effect.OVER_MAXIMUM, Effect.USES_EXCEEDED, Effect.ASK_BROKEN}
    return _summed({one.clearance: one for one in found if one.effect in wrong}.values())


def _summed(found: Iterable[Consequence]) -> list[Stated]:
    stated = [one for consequence in found for one in consequence.stated]
    kinds = ("quoted", "approved", "licensed", "paid", "less")
    return [
        Stated(what, amount)
        for what in kinds
        for amount in total(one.amount for one in stated if one.what == what).values()
    ]
