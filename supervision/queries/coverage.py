"""Proofs of episodes: rows as values of ``rules.proof``.

Every live usage is proven, also one that the current cut has no place for; a usage that is no more wanted is removed
from the log. Who need not be asked counts as granting everything, a library's agreement what it says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from supervision.models import Episode, Option, Season
from supervision.queries.coverage_rows import ClearanceRow, CoverageRows, GrantRow, UsageRow, Uses, rows_of
from supervision.queries.fees import rates_of
from supervision.queries.releases import plans_of
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.findings import Finding, Level
from supervision.rules.media import EVERY_MEDIUM, Media
from supervision.rules.proof import Offer, Proof, ProofEpisode, ProofHolder, ProofSide, prove
from supervision.rules.rights import Grant as Granted
from supervision.rules.sentence import joined, say
from supervision.rules.term import ALWAYS, Term
from supervision.rules.territory import WORLD, Territory
from supervision.rules.usage import SCORED_ORIGINS, Origin

EVERYTHING = Granted(EVERY_MEDIUM, WORLD, ALWAYS)
NOBODY_KNOWN = say("an unknown holder")


def proof_of(episode: Episode, *, today: date, fees: bool) -> Proof:
    """The proof of an episode loaded with its cut, season and production. Eight queries, whatever it holds."""
    return _proofs([episode], today=today, fees=fees, closing=True)[0]


def proofs_of(season: Season, *, today: date) -> list[Proof]:
    """The proofs of a season's episodes in order, without fees and cheapest options. Nine queries, whatever it holds."""
    episodes = season.episodes.select_related("current_cut", "season__production").order_by("position", "pk")
    return _proofs(list(episodes), today=today, fees=False, closing=False)


def _proofs(episodes: Sequence[Episode], *, today: date, fees: bool, closing: bool) -> list[Proof]:
    if not episodes:
        return []
    plans, rows, rates = plans_of(episodes), rows_of(episodes), rates_of(episodes[0].season.production)
    found = []
    for episode in episodes:
        reading = _Reading(rows, rows.used_before(episode), [])
        sides = [side for usage in rows.usages[episode.pk] for side in reading.sides_of(usage)]
        proof = prove(
            _heading(episode),
            plans[episode.pk],
            _distinct(sides),
            today=today,
            rates=rates,
            findings=reading.findings,
            fees=fees,
            closing=closing,
        )
        found.append(proof)
    return found


def _heading(episode: Episode) -> ProofEpisode:
    production = episode.season.production
    series = production.is_series
    return ProofEpisode(
        episode.code,
        production.title,
        str(episode.season) if series else "",
        str(episode) if series else episode.title,
        production.company,
        production.currency,
        episode.air_date,
    )


@dataclass(slots=True)
class _Reading:
    """An episode's rows on their way to be sides; ``findings`` collects what does not count and why."""

    rows: CoverageRows
    used_before: Mapping[Uses, int]
    findings: list[Finding]

    def sides_of(self, usage: UsageRow) -> Iterator[ProofSide]:
        """Both sides of a usage, the sync side once a work."""
        asked: dict[tuple[str, int | None], list[ClearanceRow]] = defaultdict(list)
        for clearance in self.rows.clearances[usage.pk]:
            asked[clearance.side, clearance.work].append(clearance)
        for side in Side:
            found = [clearances for (of, _), clearances in asked.items() if of == side]
            for clearances in found or [[]]:
                yield self._side(usage, side, clearances)

    def _side(self, usage: UsageRow, side: Side, clearances: Sequence[ClearanceRow]) -> ProofSide:
        title = _title(usage)
        song = (clearances[0].work_title if clearances else None) or title
        name = _side_name(usage.cue_number, title, side, song)
        holders = tuple(self._holder(name, holder, row) for holder, row in _named(clearances))
        if not clearances and Origin(usage.origin) in SCORED_ORIGINS:
            holders = (_ours(usage),)
        seconds = self.rows.seconds.get(usage.pk)
        return ProofSide(name, usage.pk, usage.cue_number, title, side, song, seconds, holders)

    def _holder(self, side: str, name: str, clearance: ClearanceRow) -> ProofHolder:
        return ProofHolder(
            name,
            clearance.pk,
            _fraction(clearance.share),
            _territory(clearance.territory),
            Stage(clearance.stage),
            Reason(clearance.reason).label if clearance.reason else "",
            tuple(self._grants(side, name, clearance)),
            tuple(_offer(name, option) for option in self.rows.options[clearance.pk]),
        )

    def _grants(self, side: str, name: str, clearance: ClearanceRow) -> Iterator[Granted]:
        if clearance.stage == Stage.NOT_NEEDED:
            yield self._without_asking(side, clearance)
        for row in self.rows.grants[clearance.pk]:
            yield from self._grant(side, name, clearance, row)

    def _without_asking(self, side: str, clearance: ClearanceRow) -> Granted:
        media, territory = clearance.agreed_media, clearance.agreed_territory
        if media is not None and territory is not None:
            term = Term(clearance.agreed_from, clearance.agreed_to)
            return Granted(Media.parse(media), Territory.parse(territory), term)
        if clearance.reason == Reason.BLANKET:
            text = say("It is covered by a library agreement that is not named, and counts as granted for everything.")
            mend = say("Name the agreement, so that its media, territory and term are checked.")
            self.findings.append(Finding(Level.WARNING, "agreement-unnamed", side, text, mend))
        return EVERYTHING

    def _grant(self, side: str, name: str, clearance: ClearanceRow, row: GrantRow) -> Iterator[Granted]:
        """The grant with the uses that are left of it; a finding in its place where none is."""
        media, territory, term = (
            Media.parse(row.media),
            Territory.parse(row.territory),
            Term(row.starts_on, row.ends_on),
        )
        longest = Fraction(row.max_seconds) if row.max_seconds else None
        if row.max_uses is None:
            yield Granted(media, territory, term, longest)
            return
        number = row.number
        spent = self.used_before.get((number, clearance.side, clearance.holder), 0)
        if spent < row.max_uses:
            key = f"{number} {clearance.side} {clearance.holder} {row.media} {row.territory} {term.text}"
            yield Granted(media, territory, term, longest, row.max_uses - spent, key)
            return
        text = say(
            "{holder} grants {granted} uses in {licence}; earlier episodes have spent them.",
            holder=name,
            granted=row.max_uses,
            licence=number,
        )
        mend = say("Ask for more uses, or use it less often.")
        self.findings.append(Finding(Level.WARNING, "grant-uses-spent", side, text, mend))


def _side_name(cue: str, title: str, side: Side, song: str) -> str:
    words, of = joined([cue, title]), side.label.lower()
    if song == title:
        return say("{usage}, {side}", usage=words, side=of)
    return say("{usage}, {side} of {song}", usage=words, side=of, song=song)


_territory = lru_cache(maxsize=1024)(Territory.parse)


@lru_cache(maxsize=256)
def _fraction(share: Decimal) -> Fraction:
    return Fraction(share)


def _title(usage: UsageRow) -> str:
    return usage.recording or usage.work or usage.title or say("no song chosen")


def _ours(usage: UsageRow) -> ProofHolder:
    """Music that is written for the production, or its own, and not in the catalogue yet."""
    reason = Reason.COMMISSIONED if Origin(usage.origin) is Origin.COMMISSIONED else Reason.OWNED
    return ProofHolder(
        say("the production"), None, Fraction(100), WORLD, Stage.NOT_NEEDED, reason.label, grants=(EVERYTHING,)
    )


def _named(clearances: Sequence[ClearanceRow]) -> Iterator[tuple[str, ClearanceRow]]:
    """Each clearance with a name that no other of its side has: holder, for whom, where, and a number at last."""
    taken: set[str] = set()
    for clearance in clearances:
        holder = clearance.holder_name or _without_holder(clearance)
        behalf = clearance.behalf_name
        name = say("{holder} for {owner}", holder=holder, owner=behalf) if behalf else holder
        if name in taken:
            name = say("{holder} in {territory}", holder=name, territory=clearance.territory)
        name = _unlike(name, taken)
        yield name, clearance


def _without_holder(clearance: ClearanceRow) -> str:
    return say("nobody") if clearance.stage == Stage.NOT_NEEDED else NOBODY_KNOWN


def _unlike(name: str, taken: set[str]) -> str:
    """The name, with a number where it is taken; it is taken from now on."""
    found, number = name, 2
    while found in taken:
        found, number = joined([name, f"({number})"]), number + 1
    taken.add(found)
    return found


def _distinct(sides: Sequence[ProofSide]) -> list[ProofSide]:
    """The sides with names that differ, since gaps come back by name."""
    taken: set[str] = set()
    return [
        side if name is side.name else replace(side, name=name)
        for side in sides
        for name in [_unlike(side.name, taken)]
    ]


def _offer(holder: str, option: Option) -> Offer:
    grant = Granted(
        Media.parse(option.media), Territory.parse(option.territory), Term(option.starts_on, option.ends_on)
    )
    deadline = option.exercisable_until or option.quote.valid_until
    return Offer(option.pk, str(option), holder, grant, option.payable, deadline)
