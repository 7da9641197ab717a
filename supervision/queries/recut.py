"""Two cuts of an episode held against each other: what changed, and what it does to rights and money.

A usage that both cuts have is known to be the same; everything else is found by the sequence of what is heard. Usages
taken off the log count in the old cut only where the new cut had them too, that is where they were taken out of it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import Exists, OuterRef, Q

from supervision.models import Cut, Episode, Placement, RecordingWork, Usage
from supervision.queries.cue_sheets import sheet_of
from supervision.queries.recut_standings import standings
from supervision.rules.durations import Span, Tally, tally, whole_seconds
from supervision.rules.errors import NotVisible
from supervision.rules.findings import Level
from supervision.rules.log import song_code
from supervision.rules.recut import Change, Heard, Kind, reconcile
from supervision.rules.recut_consequences import (
    Consequence,
    Effect,
    Length,
    Stated,
    consequences,
    in_question,
    money_back,
)
from supervision.rules.recut_sheet import SheetLine, lines_of, sheet_outdated
from supervision.rules.recut_words import kinds_counted, told
from supervision.rules.search_text import fold
from supervision.rules.sentence import counted, joined, say
from supervision.rules.timecode import FrameRate, format_timecode, wrapped
from supervision.rules.usage import music_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A usage where it stands in one cut: ``span`` in the cut's own frames, ``seconds`` as shown.

    ``name`` is what people call it (``2M14 Evening Tide``), ``sheet_name`` what a cue sheet lists it by; equal music has
    an equal ``song``, blank while none is named.
    """

    usage: int
    cue_number: str
    name: str
    sheet_name: str
    song: str
    origin: str
    lane: str
    span: Span
    seconds: int
    in_timecode: str
    out_timecode: str
    live: bool = True


@dataclass(frozen=True, slots=True)
class RecutRow:
    """A change with the usages it is about, what happened in a sentence, and what comes of it."""

    change: Change
    before: tuple[Stand, ...]
    after: tuple[Stand, ...]
    told: str
    consequences: tuple[Consequence, ...] = ()

    @property
    def sides(self) -> tuple[tuple[Stand, ...], tuple[Stand, ...]]:
        """The usages in the old cut, and in the new."""
        return self.before, self.after

    @property
    def usage(self) -> int:
        """The usage that the row is about, as the new cut has it."""
        return (self.after or self.before)[0].usage

    @property
    def live(self) -> bool:
        """Whether that usage is on the log still."""
        return (self.after or self.before)[0].live

    @property
    def effects(self) -> list[Effect]:
        """What comes of the change, each effect once."""
        return list(dict.fromkeys(one.effect for one in self.consequences))

    @property
    def name(self) -> str:
        """What the music is called, as the new cut has it."""
        return (self.after or self.before)[0].name


@dataclass(frozen=True, slots=True)
class Recut:
    """Two cuts side by side; ``rows`` in the order of the new one, ``consequences`` gravest first."""

    episode: Episode
    before: Cut
    after: Cut
    stands_before: tuple[Stand, ...]
    stands_after: tuple[Stand, ...]
    rows: tuple[RecutRow, ...]
    consequences: tuple[Consequence, ...]
    tally_before: Tally
    tally_after: Tally

    @property
    def money_back(self) -> list[Stated]:
        """What may come back, or need not be spent."""
        return money_back(self.consequences)

    @property
    def in_question(self) -> list[Stated]:
        """What licences and quotes name that no longer fit."""
        return in_question(self.consequences)

    @property
    def counted(self) -> str:
        """How many changes there are of each kind, blank where all is kept."""
        return kinds_counted(row.change for row in self.rows)

    @property
    def digest(self) -> str:
        """What the newer cut changed, in a sentence."""
        see_to = counted(self.graver, "{number} thing to see to", "{number} things to see to") if self.graver else ""
        changes = joined([self.counted or say("all music is kept"), see_to], between="; ")
        return say("{after} against {before}: {changes}.", after=self.after, before=self.before, changes=changes)

    @property
    def graver(self) -> int:
        """How many consequences are more than notes."""
        return sum(one.level is not Level.NOTE for one in self.consequences)

    def of_kind(self, kind: Kind) -> int:
        """How many changes are of a kind."""
        return sum(row.change.kind is kind for row in self.rows)


def recut_of(episode: Episode, before: Cut, after: Cut, *, fees: bool) -> Recut:
    """What became of the music of one cut in another. At most ten queries, whatever the cuts hold.

    Amounts are told only with ``fees``. Where the cuts run at two rates the old one is counted at the new one's, and a
    frame is no difference.
    """
    old, new = _stands(before, also=after), _stands(after)
    changes = _reconciled(old, new, before, after)
    was, now = ({stand.usage: stand for stand in stands} for stands in (old, new))
    known = standings(
        {usage: stand.name for usage, stand in {**was, **now}.items()},
        {usage: _length(stand.span, before.frame_rate) for usage, stand in was.items()},
        {usage: _length(stand.span, after.frame_rate) for usage, stand in now.items()},
        fees=fees,
    )
    lines = [SheetLine(stand.sheet_name, stand.seconds, stand.in_timecode) for stand in new]
    found = _gravest_first([*consequences(changes, known, {usage: usage for usage in now}), *_sheet(episode, lines)])
    return Recut(
        episode=episode,
        before=before,
        after=after,
        stands_before=tuple(old),
        stands_after=tuple(new),
        rows=tuple(
            RecutRow(
                change=change,
                before=tuple(was[key] for key in change.before),
                after=tuple(now[key] for key in change.after),
                told=told(change, after.frame_rate),
                consequences=tuple(one for one in found if one.change is change),
            )
            for change in changes
        ),
        consequences=tuple(found),
        tally_before=tally((stand.span for stand in old), before.frame_rate),
        tally_after=tally((stand.span for stand in new), after.frame_rate),
    )


def consequences_of(
    episode: Episode,
    changes: Sequence[Change],
    proposed: Mapping[int, Span],
    *,
    rate: FrameRate,
    fees: bool,
    carried: Mapping[int, int] | None = None,
) -> list[Consequence]:
    """What a proposed cut would do to rights and money before it is saved. At most nine queries.

    ``changes`` are those from the episode's current cut, whose keys are usages, to the proposal, whose keys are those of
    ``proposed``, in frames at ``rate``. ``carried`` says which usage each proposed one will be, by default the first
    before for the first after of each change.
    """
    cut = episode.current_cut
    usages = {stand.usage: stand for stand in (_stands(cut) if cut else ())}
    kept = _carried(changes) if carried is None else carried
    names = {usage: stand.name for usage, stand in usages.items()}
    names |= {usage.pk: _title(usage)[0] for usage in _songs({*kept.values()} - {*usages})}
    lines = [
        SheetLine(
            usages[kept[key]].sheet_name if kept.get(key) in usages else say("new music"),
            whole_seconds(span.frames, rate),
            _timecode(span.start, rate),
        )
        for key, span in sorted(proposed.items(), key=lambda entry: (entry[1], entry[0]))
    ]
    known = standings(
        names,
        {usage: _length(stand.span, cut.frame_rate) for usage, stand in usages.items()} if cut else {},
        {usage: _length(proposed[key], rate) for key, usage in kept.items()},
        fees=fees,
    )
    return _gravest_first([*consequences(changes, known, kept), *_sheet(episode, lines)])


def _carried(changes: Iterable[Change]) -> dict[int, int]:
    """Which usage each proposed one will be: the first of those before is the first of those after."""
    return {change.after[0]: change.before[0] for change in changes if change.before and change.after}


def _gravest_first(found: Iterable[Consequence]) -> list[Consequence]:
    order = list(Effect)
    return sorted(found, key=lambda one: order.index(one.effect))


def _stands(cut: Cut, also: Cut | None = None) -> list[Stand]:
    """The usages of a cut in its order: live ones, and those taken off the log since ``also`` was made.

    One query, two where recordings have no cue number.
    """
    placed = Placement.objects.filter(cut=cut)
    live = Q(usage__deleted_at__isnull=True)
    if also is not None:
        live |= Q(Exists(Placement.objects.filter(cut=also, usage=OuterRef("usage"))))
    found = placed.filter(live).select_related("usage__recording", "usage__work")
    listed = list(found.order_by("in_frame", "out_frame", "pk"))
    works = _work_titles(
        {one.usage.recording_id for one in listed if one.usage.recording_id and not one.usage.cue_number}
    )
    return [_stand(placement, cut.frame_rate, works) for placement in listed]


def _work_titles(recordings: Collection[int]) -> dict[int, str]:
    """The titles of works by recordings of one work: what a cue sheet lists them by. One query, none without any."""
    titles: defaultdict[int, list[str]] = defaultdict(list)
    if recordings:
        rows = RecordingWork.objects.filter(recording__in=recordings).values_list("recording", "work__title")
        for recording, title in rows:
            titles[recording].append(title)
    return {recording: found[0] for recording, found in titles.items() if len(found) == 1}


def _stand(placement: Placement, rate: FrameRate, works: Mapping[int, str]) -> Stand:
    usage, span = placement.usage, Span(placement.in_frame, placement.out_frame)
    name, title = _title(usage)
    return Stand(
        usage=usage.pk,
        cue_number=usage.cue_number,
        name=name,
        sheet_name=usage.cue_number or works.get(usage.recording_id or 0, title),
        song=song_code(recording=usage.recording_id, work=usage.work_id) or fold(usage.title),
        origin=usage.origin,
        lane=music_kind(usage.facets).value,
        span=span,
        seconds=whole_seconds(span.frames, rate),
        in_timecode=_timecode(span.start, rate),
        out_timecode=_timecode(span.end, rate),
        live=usage.deleted_at is None,
    )


def _title(usage: Usage) -> tuple[str, str]:
    """What people call a usage (``2M14 Evening Tide``), and its song's title."""
    title = str(usage.recording or usage.work or usage.title)
    return f"{usage.cue_number} {title}".strip() or say("Unnamed usage"), title


def _songs(usages: Collection[int]) -> Iterable[Usage]:
    """Usages that the current cut has no place for, with their songs. One query, none without any."""
    return Usage.objects.filter(pk__in=usages).select_related("recording", "work") if usages else ()


def _timecode(frame: int, rate: FrameRate) -> str:
    return format_timecode(wrapped(frame, rate), rate)


def _length(span: Span, rate: FrameRate) -> Length:
    return Length(rate.seconds(span.frames), whole_seconds(span.frames, rate))


def _reconciled(old: Sequence[Stand], new: Sequence[Stand], before: Cut, after: Cut) -> list[Change]:
    """The changes, counted at the new cut's rate."""

    def counted(span: Span) -> Span:
        return Span(*(int(frame * ratio + Fraction(1, 2)) for frame in (span.start, span.end)))

    ratio = after.frame_rate.fps / before.frame_rate.fps
    return reconcile(
        [Heard(stand.usage, stand.song, counted(stand.span)) for stand in old],
        [Heard(stand.usage, stand.song, stand.span) for stand in new],
        programmes=(counted(Span(before.start_frame, before.end_frame)), Span(after.start_frame, after.end_frame)),
        same={stand.usage: stand.usage for stand in old},
        tolerance=0 if ratio == 1 else 1,
    )


def _sheet(episode: Episode, heard: Iterable[SheetLine]) -> list[Consequence]:
    """Whether the last issued cue sheet still holds. One query."""
    revision = episode.cue_sheets.order_by("-number").first()
    told = sheet_outdated(revision.number, lines_of(sheet_of(revision)), heard) if revision else None
    return [told] if told else []


def last_recut_of(episode: Episode, *, fees: bool) -> Recut | None:
    """What the current cut changed of the one before it, ``None`` where there is none. At most eleven queries."""
    cut = episode.current_cut
    before = _before(cut) if cut else None
    return recut_of(episode, before, cut, fees=fees) if before and cut else None


def cut_before(cut: Cut) -> Cut:
    """The cut that its episode had before this one. One query."""
    found = _before(cut)
    if found is None:
        raise NotVisible("cut-unknown", say("There is no cut before {cut}.", cut=cut))
    return found


def _before(cut: Cut) -> Cut | None:
    return Cut.objects.filter(episode=cut.episode_id, number__lt=cut.number).order_by("-number").first()
