"""Proofs of episodes: rows as values of ``rules.proof``.

Every live usage is proven, also one that the current cut has no place for; a usage that is no more wanted is removed
from the log. Who need not be asked counts as granting everything, a library's agreement what it says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from supervision.models import Clearance, Episode, Grant, Option, Season, Usage
from supervision.queries.coverage_rows import CoverageRows, Uses, rows_of
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

    def sides_of(self, usage: Usage) -> Iterator[ProofSide]:
        """Both sides of a usage, the sync side once a work."""
        asked: dict[tuple[str, int | None], list[Clearance]] = defaultdict(list)
        for clearance in self.rows.clearances[usage.pk]:
            asked[clearance.side, clearance.work_id].append(clearance)
        for side in Side:
            found = [clearances for (of, _), clearances in asked.items() if of == side]
            for clearances in found or [[]]:
                yield self._side(usage, side, clearances)

    def _side(self, usage: Usage, side: Side, clearances: Sequence[Clearance]) -> ProofSide:
        title = _title(usage)
        work = clearances[0].work if clearances else None
        song = work.title if work else title
        name = _side_name(usage.cue_number, title, side, song)
        holders = tuple(self._holder(name, holder, row) for holder, row in _named(clearances))
        if not clearances and Origin(usage.origin) in SCORED_ORIGINS:
            holders = (_ours(usage),)
        seconds = self.rows.seconds.get(usage.pk)
        return ProofSide(name, usage.pk, usage.cue_number, title, side, song, seconds, holders)

    def _holder(self, side: str, name: str, clearance: Clearance) -> ProofHolder:
        return ProofHolder(
            name,
            clearance.pk,
            Fraction(clearance.share),
            Territory.parse(clearance.territory),
            clearance.stage_now,
            Reason(clearance.reason).label if clearance.reason else "",
            tuple(self._grants(side, name, clearance)),
            tuple(_offer(name, option) for option in self.rows.options[clearance.pk]),
        )

    def _grants(self, side: str, name: str, clearance: Clearance) -> Iterator[Granted]:
        if clearance.stage_now is Stage.NOT_NEEDED:
            yield self._without_asking(side, clearance)
        for row in self.rows.grants[clearance.pk]:
            yield from self._grant(side, name, clearance, row)

    def _without_asking(self, side: str, clearance: Clearance) -> Granted:
        agreement = clearance.agreement
        if agreement is not None:
            term = Term(agreement.starts_on, agreement.ends_on)
            return Granted(Media.parse(agreement.media), Territory.parse(agreement.territory), term)
        if clearance.reason == Reason.BLANKET:
            text = say("It is covered by a library agreement that is not named, and counts as granted for everything.")
            mend = say("Name the agreement, so that its media, territory and term are checked.")
            self.findings.append(Finding(Level.WARNING, "agreement-unnamed", side, text, mend))
        return EVERYTHING

    def _grant(self, side: str, name: str, clearance: Clearance, row: Grant) -> Iterator[Granted]:
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
        number = row.licence.number
        spent = self.used_before.get((number, clearance.side, clearance.holder_id), 0)
        if spent < row.max_uses:
            key = f"{number} {clearance.side} {clearance.holder_id} {row.media} {row.territory} {term.text}"
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


def _title(usage: Usage) -> str:
    song = usage.recording or usage.work
    return song.title if song else usage.title or say("no song chosen")


def _ours(usage: Usage) -> ProofHolder:
    """Music that is written for the production, or its own, and not in the catalogue yet."""
    reason = Reason.COMMISSIONED if Origin(usage.origin) is Origin.COMMISSIONED else Reason.OWNED
    return ProofHolder(
        say("the production"), None, Fraction(100), WORLD, Stage.NOT_NEEDED, reason.label, grants=(EVERYTHING,)
    )


def _named(clearances: Sequence[Clearance]) -> Iterator[tuple[str, Clearance]]:
    """Each clearance with a name that no other of its side has: holder, for whom, where, and a number at last."""
    taken: set[str] = set()
    for clearance in clearances:
        holder = clearance.holder.name if clearance.holder else _without_holder(clearance)
        behalf = clearance.on_behalf_of
        name = say("{holder} for {owner}", holder=holder, owner=behalf.name) if behalf else holder
        if name in taken:
            name = say("{holder} in {territory}", holder=name, territory=clearance.territory)
        name = _unlike(name, taken)
        yield name, clearance


def _without_holder(clearance: Clearance) -> str:
    return say("nobody") if clearance.stage_now is Stage.NOT_NEEDED else NOBODY_KNOWN


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
    return [replace(side, name=_unlike(side.name, taken)) for side in sides]


def _offer(holder: str, option: Option) -> Offer:
    grant = Granted(
        Media.parse(option.media), Territory.parse(option.territory), Term(option.starts_on, option.ends_on)
    )
    deadline = option.exercisable_until or option.quote.valid_until
    return Offer(option.pk, str(option), holder, grant, option.payable, deadline)
