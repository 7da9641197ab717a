"""From the proposals of an import to what happens to the log: the changes, which of them are wanted, and the steps.

A usage that goes on keeps its identity, and with it its clearances: kept, moved, longer and shorter ones; the first piece
of one that was split; the first of those that were joined. ``common practice, no published source``
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from supervision.rules.durations import Span
from supervision.rules.frozen import digest
from supervision.rules.import_setup import Target
from supervision.rules.proposal import Proposal, title_key
from supervision.rules.recut import Change, Heard, Kind, reconcile
from supervision.rules.search_text import fold
from supervision.rules.sentence import say
from supervision.rules.usage import Facets, cue_order, next_cue_number


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """A usage that stands in the cut before: its song's code, blank with a working title alone.

    ``called`` is the name that it had in the file it last came from, blank where it came from none.
    """

    usage: int
    cue_number: str
    title: str
    song: str
    span: Span
    called: str = ""
    facets: Facets = field(default_factory=Facets)

    @property
    def name(self) -> str:
        """What people call it: ``2M14 Evening Tide``."""
        return f"{self.cue_number} {self.title}".strip() or say("Unnamed usage")


@dataclass(frozen=True, slots=True)
class Place:
    """Put a usage where a proposal stands; ``None`` takes it out of the cut."""

    usage: int
    proposal: int | None


@dataclass(frozen=True, slots=True)
class Add:
    """Log a proposal as a usage of its own; ``like`` is the usage that it was split from, whose facts it shares."""

    proposal: int
    like: int | None = None


Step = Place | Add


def changes_of(
    logged: Sequence[Logged], proposals: Sequence[Proposal], shift: int, *, programmes: tuple[Span, Span]
) -> list[Change]:
    """What becomes of each usage of the cut before, and what is new; ``before`` holds usages, ``after`` proposals.

    Proposals without a place in the cut are in no change; ``unplaced`` names them.
    """
    after = [
        Heard(proposal.key, proposal.song_key, span)
        for proposal in proposals
        if proposal.kept and (span := proposal.placed(shift)) is not None
    ]
    names = _songs_by_name(proposals)
    before = [Heard(usage.usage, _key_of(usage, names), usage.span) for usage in logged]
    return reconcile(before, after, programmes=programmes)


def staying(logged: Iterable[Logged], proposals: Sequence[Proposal], shift: int) -> dict[int, int]:
    """Rows without a place, by key, that are usages of the cut before: a log that gives no time takes none away.

    A usage that a row with a place may be is left to that row.
    """
    names = _songs_by_name(proposals)
    loose = [proposal for proposal in unplaced(proposals, shift) if proposal.song_key]
    placed = Counter(each.song_key for each in proposals if each.kept and each.placed(shift) is not None)
    found: dict[int, int] = {}
    for usage in logged:
        key = _key_of(usage, names)
        if placed[key]:
            placed[key] -= 1
            continue
        row = next((each for each in loose if each.song_key == key and each.key not in found), None)
        if row is not None:
            found[row.key] = usage.usage
    return found


def unplaced(proposals: Iterable[Proposal], shift: int) -> list[Proposal]:
    """Those that are wanted but stand nowhere: a song log's rows without times, and what lies before 00:00:00:00."""
    return [proposal for proposal in proposals if proposal.kept and proposal.placed(shift) is None]


def _songs_by_name(proposals: Iterable[Proposal]) -> dict[str, str]:
    """The song that each name in the file means, so that a usage logged under that name is known again."""
    found: dict[str, str] = {}
    for proposal in proposals:
        for name in (proposal.title, proposal.name):
            if folded := fold(name):
                found.setdefault(folded, proposal.song_key)
    return found


def _key_of(usage: Logged, names: Mapping[str, str]) -> str:
    """The music that a usage is: its song, where the file has it; else what the file calls by its name or title."""
    if usage.song and usage.song in names.values():
        return usage.song
    known = next((names[name] for each in (usage.called, usage.title) if (name := fold(each)) in names), "")
    return known or usage.song or title_key(usage.title)


def change_id(change: Change) -> str:
    """What a change is known by while its two sides stay the same: ``12+13-4``, usages before the hyphen."""
    return f"{'+'.join(map(str, change.before))}-{'+'.join(map(str, change.after))}"


def wanted(change: Change, ticks: Mapping[str, bool], target: Target) -> bool:
    """Whether a change is to be made: as somebody said; else yes, but nothing is taken out of a cut that is added to."""
    usual = not (change.kind is Kind.GONE and target is Target.CURRENT)
    return ticks.get(change_id(change), usual)


def state_token(logged: Iterable[Logged], changes: Iterable[Change]) -> str:
    """A digest of what the cut before holds and what would happen to it; new music of the file is left out."""
    return digest(
        {
            "before": [[usage.usage, usage.song, usage.span.start, usage.span.end] for usage in logged],
            "changes": [[change.kind.value, change_id(change)] for change in changes if change.before],
        }
    )


def steps_of(changes: Iterable[Change], spans: Mapping[int, Span]) -> list[Step]:
    """The steps of wanted changes in the order of the new cut; ``spans`` are the proposals' places."""
    steps: list[Step] = []
    for change in changes:
        after = sorted(change.after, key=lambda key: (spans[key], key))
        if not change.before:
            steps.extend(Add(key) for key in after)
            continue
        first, *others = change.before
        steps.append(Place(first, after[0] if after else None))
        steps.extend(Place(usage, None) for usage in others)
        steps.extend(Add(key, like=first) for key in after[1:])
    return steps


def with_returning(steps: Sequence[Step], proposals: Mapping[int, Proposal], resting: Iterable[Logged]) -> list[Step]:
    """The steps, a usage that rests outside the cut taking the place of a new one of the same music.

    So music that comes back with a later cut has its clearances back too. ``resting`` in the order of their preference.
    """
    free = list(resting)
    names = _songs_by_name(proposals.values())
    found: list[Step] = []
    for step in steps:
        if isinstance(step, Add) and step.like is None:
            key = proposals[step.proposal].song_key
            usage = next((usage for usage in free if key and _key_of(usage, names) == key), None)
            if usage is not None:
                free.remove(usage)
                found.append(Place(usage.usage, step.proposal))
                continue
        found.append(step)
    return found


def number_cues(added: Iterable[tuple[int, str, str]], taken: Collection[str]) -> dict[int, str]:
    """A cue number for each new usage by key, in order: the number wanted while it is free, else the next free one.

    ``added`` are (key, wanted, after): blank where none is wanted, and ``after`` the number that it follows, blank for the
    last of all.
    """
    given, last = set(taken), max(taken, key=cue_order, default="")
    numbers: dict[int, str] = {}
    for key, own, after in added:
        number = own if own and own not in given else next_cue_number(own or after or last, given)
        numbers[key] = number
        given.add(number)
        last = last if after else number or last
    return numbers
