"""What a revision says that another does not: cue by cue, and for whom, in seconds and shares.

Cues are the same where they have the same number, else where the same title comes in the same order. A row that stands
for several cues is opened first, so that rolling up changes nothing. What a party is credited with is the sum over its
works of the printed seconds of the cue × its exact share of its side; in a medley every work has the whole cue, since a
sheet does not say how long each sounds. ``common practice, no published source``
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import zip_longest

from supervision.rules.cue_sheet import Cue, CueParty, CueSheet, CueUse, CueWork, Interest
from supervision.rules.durations import clock
from supervision.rules.percent import TOLERANCE, share_words
from supervision.rules.sentence import joined, say, say_as
from supervision.rules.territory_atlas import BITS, country_name


class Kind(StrEnum):
    """What happened to a cue."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"

    @property
    def label(self) -> str:
        """In words."""
        return _KINDS[self]


_KINDS = {
    Kind.ADDED: say_as("of a cue", "Added"),
    Kind.REMOVED: say_as("of a cue", "Removed"),
    Kind.CHANGED: say_as("of a cue", "Changed"),
}


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that says something else now: ``what`` it is, and how it stood ``before`` and ``after``, as texts."""

    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class CueChange:
    """A cue that came, went or says something else; ``seconds`` is how much longer it is now."""

    kind: Kind
    cue: str
    seconds: int
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PartyChange:
    """What changed for one party: credited seconds before and after, exactly, and shares that are others now."""

    interest: Interest
    name: str
    society: str
    before: Fraction
    after: Fraction
    shares: tuple[Change, ...] = ()

    @property
    def seconds(self) -> Fraction:
        """How many more credited seconds there are now."""
        return self.after - self.before

    @property
    def text(self) -> str:
        """``1:30 → 2:05 (+0:35)``; to the nearest second, half up."""
        sign = "+" if self.seconds >= 0 else "−"
        return f"{_clock(self.before)} → {_clock(self.after)} ({sign}{_clock(abs(self.seconds))})"


@dataclass(frozen=True, slots=True)
class Difference:
    """Everything that is different, in the order of the new sheet; parties by how much changes for them."""

    header: tuple[Change, ...]
    cues: tuple[CueChange, ...]
    parties: tuple[PartyChange, ...]

    def __bool__(self) -> bool:
        return bool(self.header or self.cues or self.parties)


def difference(before: CueSheet, after: CueSheet) -> Difference:
    """What ``after`` says that ``before`` does not."""
    pairs = _pairs(_opened(before), _opened(after))
    return Difference(
        header=tuple(_header(before, after)),
        cues=tuple(change for old, new in pairs if (change := _cue_change(old, new))),
        parties=tuple(_parties(before, after)),
    )


# --- the head of the sheet ----------------------------------------------------------------------------------------

_HEADER: tuple[tuple[str, Callable[[CueSheet], str]], ...] = (
    (say("Production"), lambda sheet: sheet.header.production),
    (say("Also known as"), lambda sheet: "; ".join(title.text for title in sheet.header.production_titles)),
    (say("Episode"), lambda sheet: f"{sheet.header.episode_number} {sheet.header.episode_title}".strip()),
    (say("Episode also known as"), lambda sheet: "; ".join(title.text for title in sheet.header.episode_titles)),
    (say("Production number"), lambda sheet: sheet.header.production_number),
    ("ISAN", lambda sheet: sheet.header.isan),
    ("EIDR", lambda sheet: sheet.header.eidr),
    (say("Country of origin"), lambda sheet: _country(sheet.header.country)),
    (say("Year of production"), lambda sheet: str(sheet.header.year or "")),
    (say("Company"), lambda sheet: sheet.header.company),
    (say("Network or platform"), lambda sheet: sheet.header.network),
    (say("First broadcast"), lambda sheet: str(sheet.header.first_broadcast or "")),
    (say("Country of the first broadcast"), lambda sheet: _country(sheet.header.broadcast_country)),
    (say("Version"), lambda sheet: sheet.header.version.label if sheet.header.version else ""),
    (say("Director"), lambda sheet: sheet.header.directors),
    (say("Cast"), lambda sheet: sheet.header.cast),
    (say("Partial, since"), lambda sheet: sheet.header.partial),
    (say("Cut"), lambda sheet: sheet.header.cut),
    (say("Running time"), lambda sheet: clock(sheet.running_seconds)),
    (say("Total music"), lambda sheet: clock(sheet.music_seconds)),
    (say("Shares out of"), lambda sheet: sheet.share_basis),
    (say("Profile"), lambda sheet: sheet.set_by.name),
)


def _header(before: CueSheet, after: CueSheet) -> Iterator[Change]:
    for what, told in _HEADER:
        if told(before) != told(after):
            yield Change(what, told(before), told(after))


def _country(code: str) -> str:
    return country_name(code) if code in BITS else code


# --- cue by cue ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Unit:
    """A cue by itself, also where a row stands for several: then the row's works have no title of the cue's own."""

    number: str
    title: str
    timecode_in: str
    seconds: int
    use: CueUse
    works: tuple[CueWork, ...]
    collated: bool = False

    @property
    def name(self) -> str:
        return f"{self.number} {self.title}".strip() or say("Cue without a title")


def _opened(sheet: CueSheet) -> list[_Unit]:
    return [unit for cue in sheet.cues for unit in _units(cue)]


def _units(cue: Cue) -> Iterator[_Unit]:
    for one in cue.inside:
        yield _Unit(one.number, one.title, one.timecode_in, one.seconds, cue.use, cue.works, collated=True)
    if not cue.inside:
        yield _Unit(cue.number, cue.title, cue.timecode_in, cue.seconds, cue.use, cue.works)


def _pairs(old: Sequence[_Unit], new: Sequence[_Unit]) -> list[tuple[_Unit | None, _Unit | None]]:
    """Each cue with what it was, those that went at the end."""
    by_number = {unit.number: unit for unit in old if unit.number}
    found: dict[int, _Unit] = {}
    taken: set[int] = set()
    for position, unit in enumerate(new):
        if unit.number in by_number:
            found[position] = by_number.pop(unit.number)
            taken.add(id(found[position]))
    by_title: defaultdict[str, list[_Unit]] = defaultdict(list)
    for unit in old:
        if id(unit) not in taken:
            by_title[unit.title].append(unit)
    for position, unit in enumerate(new):
        if position not in found and by_title[unit.title]:
            found[position] = by_title[unit.title].pop(0)
            taken.add(id(found[position]))
    gone = [unit for unit in old if id(unit) not in taken]
    return [*((found.get(position), unit) for position, unit in enumerate(new)), *((unit, None) for unit in gone)]


def _cue_change(old: _Unit | None, new: _Unit | None) -> CueChange | None:
    if new is None:
        return CueChange(Kind.REMOVED, old.name, -old.seconds) if old else None
    if old is None:
        return CueChange(Kind.ADDED, new.name, new.seconds)
    changes = tuple(_changes(old, new))
    return CueChange(Kind.CHANGED, new.name, new.seconds - old.seconds, changes) if changes else None


_CUE: tuple[tuple[str, Callable[[_Unit], str]], ...] = (
    (say("Number"), lambda unit: unit.number),
    (say("Title"), lambda unit: unit.title),
    (say("In"), lambda unit: unit.timecode_in),
    (say("Time"), lambda unit: clock(unit.seconds)),
    (say("Use"), lambda unit: _use(unit.use)),
    (say("Origin"), lambda unit: unit.use.origin.label),
)


def _changes(old: _Unit, new: _Unit) -> Iterator[Change]:
    for what, told in _CUE:
        if told(old) != told(new):
            yield Change(what, told(old), told(new))
    collated = old.collated or new.collated
    for before, after in zip_longest(old.works, new.works):
        if before is None or after is None:
            yield Change(say("Work"), before.title if before else "", after.title if after else "")
        else:
            yield from () if collated else _work_changes(before, after)
            yield from _share_changes(before, after)


def _use(use: CueUse) -> str:
    """The use in plain words, whatever the codes of the profiles."""
    position = f"({use.theme_position.label.lower()})" if use.theme_position else ""
    part = use.part.label.lower() if use.part else ""
    return joined([joined([use.function.label, position]), use.vocal.label.lower(), part], between=", ")


def _work_changes(before: CueWork, after: CueWork) -> Iterator[Change]:
    for what, told in _WORK:
        if told(before) != told(after):
            yield Change(say("{what} of {title}", what=what, title=after.title), told(before), told(after))


_WORK: tuple[tuple[str, Callable[[CueWork], str]], ...] = (
    (say("Title"), lambda work: work.title),
    ("ISWC", lambda work: work.iswc),
    (say("Copyright"), lambda work: say("public domain") if work.public_domain else say("protected")),
    (say("Arrangement"), lambda work: work.arrangement_of),
)


def _share_changes(before: CueWork, after: CueWork) -> Iterator[Change]:
    old, new = _shares(before), _shares(after)
    for key in dict.fromkeys((*new, *old)):
        if key not in old or key not in new or abs(old[key] - new[key]) > TOLERANCE:
            texts = [share_words(side[key]) if key in side else "" for side in (old, new)]
            yield Change(_share_of(*key, after.title), *texts)


def _share_of(interest: Interest, role: str, name: str, title: str) -> str:
    told = {"name": name or say_as("party", "Unnamed"), "role": role, "title": title}
    if interest is Interest.WRITER:
        return say("{name} (writer, {role}) in {title}", **told)
    return say("{name} (publisher, {role}) in {title}", **told)


def _shares(work: CueWork) -> dict[tuple[Interest, str, str], Fraction]:
    shares: defaultdict[tuple[Interest, str, str], Fraction] = defaultdict(Fraction)
    for party in work.parties:
        shares[party.interest, party.role, party.name] += party.stated
    return shares


# --- for whom -----------------------------------------------------------------------------------------------------

_Who = tuple[Interest, str, str]  # interest, name, IPI name number


def credited_seconds(sheet: CueSheet) -> dict[_Who, Fraction]:
    """Seconds × share, by interest, name and IPI name number, in the order in which the parties first stand."""
    credited: defaultdict[_Who, Fraction] = defaultdict(Fraction)
    for cue in sheet.cues:
        for party in _parties_of(cue.works):
            credited[_who(party)] += cue.seconds * party.stated / 100
    return dict(credited)


def _parties(before: CueSheet, after: CueSheet) -> list[PartyChange]:
    old, new = credited_seconds(before), credited_seconds(after)
    shares = _changed_shares(before, after)
    society = {_who(party): party.society_text for sheet in (before, after) for party in _all_parties(sheet)}
    changes = [
        PartyChange(
            interest=who[0],
            name=who[1],
            society=society[who],
            before=old.get(who, Fraction()),
            after=new.get(who, Fraction()),
            shares=tuple(shares.get((who[0], who[1]), ())),
        )
        for who in dict.fromkeys((*new, *old))
    ]
    told = [change for change in changes if abs(change.seconds) >= Fraction(1, 2) or change.shares]
    return sorted(told, key=lambda change: -abs(change.seconds))


def _changed_shares(before: CueSheet, after: CueSheet) -> dict[tuple[Interest, str], list[Change]]:
    """Shares of one work that are others on the two sheets, by party."""
    old = {work.title: work for cue in before.cues for work in cue.works}
    new = {work.title: work for cue in after.cues for work in cue.works}
    found: defaultdict[tuple[Interest, str], list[Change]] = defaultdict(list)
    for title in (title for title in new if title in old):
        there, here = _shares(old[title]), _shares(new[title])
        for key in dict.fromkeys((*here, *there)):
            if abs(there.get(key, Fraction()) - here.get(key, Fraction())) > TOLERANCE:
                texts = [share_words(side.get(key, Fraction())) for side in (there, here)]
                found[key[0], key[2]].append(Change(title, *texts))
    return found


def _who(party: CueParty) -> _Who:
    return party.interest, party.name, party.ipi


def _all_parties(sheet: CueSheet) -> Iterator[CueParty]:
    for cue in sheet.cues:
        yield from _parties_of(cue.works)


def _parties_of(works: Iterable[CueWork]) -> Iterator[CueParty]:
    for work in works:
        yield from work.parties


def _clock(seconds: Fraction) -> str:
    return clock(int(seconds + Fraction(1, 2)))
