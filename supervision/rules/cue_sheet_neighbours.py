"""What stands beside a sheet: sheets issued before, the rest of the catalogue, the locked cut; and what disagrees.

Whether two spellings are one name is a judgement: ``common practice, no published source``. Names are compared folded
(case, accents, punctuation), so that "Rezeda" and "Řezeda" are one spelling; what then still differs by little is told,
unless both have an identifier of their own, since then they are two.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from rapidfuzz import fuzz, process

from supervision.rules.cue_sheet import CueSheet, CueSheetFacts, CueWork, Interest
from supervision.rules.cue_sheet_setting import cue_place
from supervision.rules.durations import clock, rounded_seconds
from supervision.rules.findings import Finding, Level
from supervision.rules.percent import TOLERANCE, share_words
from supervision.rules.search_text import fold
from supervision.rules.sentence import joined, say

ALIKE = 87
"""From this likeness on (rapidfuzz ratio of folded names, 0 to 100; one letter of eight) two names are told as one spelled in two ways."""

_SHORTEST = 5  # letters of a name of which one may be a slip


@dataclass(frozen=True, slots=True)
class KnownName:
    """A name of the catalogue with its row and its identifier (ISWC or IPI name number; blank for none).

    ``folded`` is the name as it is searched, where that is known already: folding a whole catalogue takes its time.
    """

    row: int
    name: str
    identifier: str = ""
    folded: str = ""


@dataclass(frozen=True, slots=True)
class StatedElsewhere:
    """A work as another episode's last revision states it: ``shares`` by interest, role and name, of each side's 100."""

    sheet: str
    title: str
    iswc: str
    shares: frozenset[tuple[Interest, str, str, Fraction]]

    @property
    def writers(self) -> frozenset[str]:
        """The names of the writers, folded."""
        return frozenset(fold(name) for interest, _, name, _ in self.shares if interest is Interest.WRITER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbours:
    """What a sheet is compared with; ``locked_frames`` are lengths in the locked cut ``locked_cut`` by usage."""

    elsewhere: Sequence[StatedElsewhere] = ()
    works: Sequence[KnownName] = ()
    parties: Sequence[KnownName] = ()
    locked_cut: str = ""
    locked_frames: Mapping[int, int] = field(default_factory=dict)


NO_NEIGHBOURS = Neighbours()


def check_neighbours(facts: CueSheetFacts, sheet: CueSheet, neighbours: Neighbours) -> Iterator[Finding]:
    """Other shares in another episode, other spellings in the catalogue or the log, other times in the locked cut."""
    yield from _other_shares(sheet, neighbours.elsewhere)
    yield from _logged_titles(facts)
    yield from _spellings(facts, neighbours)
    yield from _locked_times(facts, neighbours)


def stated_shares(work: CueWork) -> frozenset[tuple[Interest, str, str, Fraction]]:
    """Who has what of a work, as it is compared between sheets."""
    return frozenset((party.interest, party.role, party.name, party.stated) for party in work.parties)


def _other_shares(sheet: CueSheet, elsewhere: Sequence[StatedElsewhere]) -> Iterator[Finding]:
    """The same work (by ISWC, else by title and a common writer) with other shares on another episode's sheet."""
    by_iswc: defaultdict[str, list[StatedElsewhere]] = defaultdict(list)
    by_title: defaultdict[str, list[StatedElsewhere]] = defaultdict(list)
    for stated in elsewhere:
        if stated.iswc:
            by_iswc[stated.iswc].append(stated)
        by_title[fold(stated.title)].append(stated)
    told = set()
    for work in (work for cue in sheet.cues if not cue.inside for work in cue.works):
        here = StatedElsewhere("", work.title, work.iswc, stated_shares(work))
        for other in [*by_iswc[work.iswc], *by_title[fold(work.title)]] if work.iswc else by_title[fold(work.title)]:
            same = (work.iswc and other.iswc == work.iswc) or bool(here.writers & other.writers)
            if same and (work.title, other.sheet) not in told and (differing := _differing(here, other)):
                told.add((work.title, other.sheet))
                text = say("On {sheet} it has other shares: {differing}.", sheet=other.sheet, differing=differing)
                mend = say("Find out which is right; if the sheet was wrong, issue it again.")
                yield Finding(Level.WARNING, "shares-differ-elsewhere", work.title, text, mend)


def _differing(here: StatedElsewhere, other: StatedElsewhere) -> str:
    """Who has other shares there: ``Ida Reed 50 % there, 100 % here``; blank where rounding explains it."""
    shares: defaultdict[str, list[Fraction]] = defaultdict(lambda: [Fraction(), Fraction()])
    for side, stated in enumerate((other, here)):
        for _, role, name, share in stated.shares:
            shares[f"{name} ({role})"][side] += share
    told = [
        say("{name} {there} there, {here} here", name=name, there=share_words(there), here=share_words(now))
        for name, (there, now) in sorted(shares.items())
        if abs(there - now) > TOLERANCE
    ]
    return joined(told, between="; ")


def _logged_titles(facts: CueSheetFacts) -> Iterator[Finding]:
    """A title in the log that is the work's or the recording's but for the spelling."""
    for use in facts.uses:
        names = [*(work.title for work in use.works), *([use.recording.title] if use.recording else [])]
        if use.title and names and fold(use.title) not in map(fold, names):
            near = next((name for name in names if _alike(fold(use.title), fold(name))), "")
            if near:
                text = say("It is logged as “{logged}”; the catalogue says “{title}”.", logged=use.title, title=near)
                mend = say("The sheet prints the catalogue's.")
                yield Finding(Level.NOTE, "title-spelling", cue_place(use), text, mend)


def _spellings(facts: CueSheetFacts, neighbours: Neighbours) -> Iterator[Finding]:
    works = {work.title: work.iswc for use in facts.uses for work in use.works}
    parties = {
        party.name: party.ipi for use in facts.uses for work in use.works for party in work.parties if party.name
    }
    for code, used, known in (
        ("title-twice", works, neighbours.works),
        ("name-twice", parties, neighbours.parties),
    ):
        index = _Spellings(known)
        for name, identifier in used.items():
            for other in index.near(name, identifier):
                text = say(
                    "The catalogue also has “{name}” (#{row}), which differs by its spelling only.",
                    name=other.name,
                    row=other.row,
                )
                mend = say("Choose the right one, and take the other out of the catalogue if it is the same.")
                yield Finding(Level.WARNING, code, name, text, mend)


class _Spellings:
    """Names by how they begin and end and by their numbers, so that few are compared letter by letter."""

    def __init__(self, known: Iterable[KnownName]) -> None:
        self.folded: dict[str, list[KnownName]] = {}
        for entry in known:
            self.folded.setdefault(entry.folded or fold(entry.name), []).append(entry)
        self.ends: defaultdict[str, list[str]] = defaultdict(list)
        for name in self.folded:
            for end in _ends(name):
                self.ends[end].append(name)

    def near(self, name: str, identifier: str) -> list[KnownName]:
        """Entries that are the name but for the spelling; not those that have another identifier."""
        wanted = fold(name)
        names = dict.fromkeys(other for end in _ends(wanted) for other in _nearest(wanted, self.ends.get(end, ())))
        entries = [entry for other in names for entry in self.folded[other] if entry.name != name]
        return [entry for entry in entries if not (identifier and entry.identifier)]


def _ends(name: str) -> tuple[str, str]:
    """Where a name is looked up: a slip spoils its beginning or its end, seldom both. Numbers are no slip (Part 1, Part 2)."""
    digits = _digits(name)
    return f"{name[:4]}-{digits}", f"{digits}-{name[-4:]}"


def _alike(one: str, other: str) -> bool:
    """Whether two folded names are one but for the spelling."""
    return _digits(one) == _digits(other) and bool(_nearest(one, (other,)))


def _nearest(wanted: str, others: Sequence[str]) -> list[str]:
    """Those of the folded names of the same numbers that are the wanted one but for the spelling."""
    found = process.extract(wanted, others, scorer=fuzz.ratio, score_cutoff=ALIKE, limit=None)
    return [other for other, _, _ in found if other == wanted or min(len(wanted), len(other)) >= _SHORTEST]


def _digits(name: str) -> str:
    return "".join(letter for letter in name if letter.isdigit())


def _locked_times(facts: CueSheetFacts, neighbours: Neighbours) -> Iterator[Finding]:
    """Cues that last another time in the cut that is locked."""
    for use in facts.uses:
        locked = neighbours.locked_frames.get(use.row)
        frames = use.out_frame - use.in_frame
        if locked is not None and locked != frames:
            there, here = (clock(rounded_seconds(facts.rate.seconds(length))) for length in (locked, frames))
            text = say(
                "It lasts {there} in {cut}, which is locked, and {here} here.",
                there=there,
                cut=neighbours.locked_cut,
                here=here,
            )
            mend = say("Make the sheet from the locked cut, or lock this one.")
            yield Finding(Level.WARNING, "locked-cut-differs", cue_place(use), text, mend)
