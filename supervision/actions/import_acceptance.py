"""Accepting an import: all its wanted changes in the log and the cut, in one transaction or not at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from supervision.actions.closing import refuse_closed
from supervision.actions.imports import refuse_decided
from supervision.actions.productions import add_cut
from supervision.actions.recordings import add_recording
from supervision.actions.rows import change, held
from supervision.actions.spotting import add_usage, change_usage, duplicate_usage
from supervision.models import Cut, CutImport, Episode, Recording, Usage, User
from supervision.models.imports import ACCEPTED
from supervision.queries.accounts import require
from supervision.queries.imports import MOST_PROPOSED, Opened, open_import, proposals_to_plain
from supervision.queries.songs import song_of
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue, Conflict, StaleEdit
from supervision.rules.import_changes import Add, Place
from supervision.rules.import_setup import Target
from supervision.rules.log import song_code
from supervision.rules.proposal import NEW_SONG, SONG, Proposal, speed_text
from supervision.rules.roles import Deed
from supervision.rules.search_text import fold
from supervision.rules.sentence import figures, say
from supervision.rules.usage import Origin

_LONGEST_TITLE = 300


@dataclass(frozen=True, slots=True)
class Accepted:
    """What an acceptance did: the cut it went into, and how many usages were added, put elsewhere and taken out."""

    cut: Cut
    added: int
    placed: int
    taken_out: int
    songs: int


@transaction.atomic
def accept_import(
    *, draft: CutImport, by: User, now: datetime, version: int | None = None, token: str | None = None
) -> Accepted:
    """Put the wanted changes of a draft into a new cut, or into the current one.

    ``version`` and ``token`` (``Opened.token``) are what the person had before them; ``StaleEdit`` when the draft or the log
    is another one now. A usage that is not wanted to change stands in a new cut where it stood. ``Conflict`` for a
    locked cut, a closed episode, another frame rate, and where nothing is left to do.
    """
    production = draft.episode.season.production
    require(production, by, Deed.LOG)
    episode = Episode.objects.select_for_update().get(pk=draft.episode_id)
    refuse_closed(episode)
    kept = held(draft, version)
    refuse_decided(kept)
    opened = open_import(kept)
    _refuse_unfit(opened, token)
    cut = _cut_for(opened, by=by, now=now)
    acceptance = _Acceptance(opened, by, now)
    done = acceptance.run()
    closed = {
        "state": ACCEPTED,
        "decided_at": now,
        "decided_by": by,
        "cut": cut,
        "proposals": proposals_to_plain(map(acceptance.became, opened.proposals)),
    }
    change(kept, closed, by=by, now=now, production=production, verb="accepted", note=_told(done, cut))
    return Accepted(cut, done["added"], done["placed"], done["taken out"], done["songs"])


def _told(done: Mapping[str, int], cut: Cut) -> str:
    counts = ", ".join(f"{count} {what}" for what, count in done.items() if count)
    return f"into {cut}: {counts or 'nothing moved'}"


def _refuse_unfit(opened: Opened, token: str | None) -> None:
    if opened.crowded:
        raise BadValue(
            "proposals-too-many",
            say(
                "It proposes {number} usages, and at most {most} are taken at once.",
                number=figures(f"{sum(each.kept for each in opened.proposals):,}"),
                most=figures(f"{MOST_PROPOSED:,}"),
            ),
            place="proposals",
            mend=say("Choose the music tracks, or skip what is not wanted."),
        )
    if opened.differs and opened.file_rate is not None:
        raise Conflict(
            "rate-differs",
            say(
                "The file was read at {file_rate}, the cut runs at {rate}.",
                file_rate=opened.file_rate.label,
                rate=opened.rate.label,
            ),
            place="rate",
            mend=say("Read the file at the cut’s rate."),
        )
    if token is not None and token != opened.token:
        raise StaleEdit(
            "log-changed",
            say("The log, or what the file would do to it, is no longer what you saw."),
            mend=say("What you decided is kept: look at the changes as they are now and accept again."),
        )
    if opened.target is Target.CURRENT and opened.cut is not None and opened.cut.locked:
        raise Conflict(
            "cut-locked",
            say("{cut} is locked.", cut=opened.cut),
            place="target",
            mend=say("Unlock it, or accept into a new cut."),
        )
    if not any(proposal.kept for proposal in opened.proposals):
        raise Conflict(
            "nothing-proposed",
            say("Nothing of {draft} is proposed as a usage.", draft=opened.draft),
            place="proposals",
            mend=say("Look at how it is read, and at what is skipped."),
        )
    if opened.finished:
        raise Conflict(
            "nothing-to-do",
            say(
                "Nothing is left to do: all that is wanted of {draft} stands in {cut} already.",
                draft=opened.draft,
                cut=opened.cut,
            ),
            mend=say("Drop the import."),
        )


def _cut_for(opened: Opened, *, by: User, now: datetime) -> Cut:
    """The cut that the import goes into; a new one carries everything over as it stood."""
    if opened.target is Target.CURRENT and opened.cut is not None:
        return opened.cut
    programme, rate = opened.next_programme, opened.rate
    cut = {
        "rate": rate.exact,
        "drop": rate.drop,
        "start_frame": programme.start,
        "running_frames": programme.frames,
    }
    episode = opened.draft.episode
    return add_cut(episode=episode, label=opened.setup.label, dated=opened.setup.dated, cut=cut, by=by, now=now)


class _Acceptance:
    """The steps of one acceptance, and what they share: the songs that they make."""

    def __init__(self, opened: Opened, by: User, now: datetime) -> None:
        self._opened = opened
        self._who: dict[str, Any] = {"by": by, "now": now}
        self._made: dict[tuple[str, str], Recording] = {}
        self._episode = Episode.objects.select_related("season__production", "current_cut").get(
            pk=opened.draft.episode_id
        )
        self._usages = {key: usage.usage for key, usage in opened.goes_on_as.items()}
        self._done = Counter[str]({"added": 0, "placed": 0, "taken out": 0, "songs": 0})

    def run(self) -> Counter[str]:
        """Take every step; return how many of each."""
        steps, numbers = self._opened.steps, self._opened.numbers  # both looked at before anything is changed
        usages = Usage.objects.select_related("episode__season__production", "episode__current_cut").in_bulk(
            [step.usage for step in steps if isinstance(step, Place)]
            + [step.like for step in steps if isinstance(step, Add) and step.like is not None]
        )
        for step in steps:
            if isinstance(step, Place):
                self._place(usages[step.usage], step.proposal)
            elif step.like is not None:
                self._split(usages[step.like], step.proposal, numbers[step.proposal])
            else:
                self._add(self._opened.by_key[step.proposal], numbers[step.proposal])
        return self._done

    def became(self, proposal: Proposal) -> Proposal:
        """The proposal with the usage that it became, and the song that was made for it."""
        kept = replace(proposal, usage=self._usages.get(proposal.key))
        made = self._made.get(_song_of(proposal)) if proposal.decision == NEW_SONG else None
        return replace(kept, decision=SONG, song=song_code(recording=made.pk, work=None)) if made else kept

    def _span(self, key: int) -> Span | None:
        return self._opened.spans.get(key)

    def _place(self, usage: Usage, key: int | None) -> None:
        span = None if key is None else self._span(key)
        change_usage(usage=usage, fields={"span": span}, **self._who)
        self._done["placed" if span else "taken out"] += 1

    def _split(self, usage: Usage, key: int, number: str) -> None:
        piece = duplicate_usage(usage=usage, **self._who)
        change_usage(usage=piece, fields={"span": self._span(key), "cue_number": number}, **self._who)
        self._usages[key] = piece.pk
        self._done["added"] += 1

    def _add(self, proposal: Proposal, number: str) -> None:
        facts = proposal.facts
        facets = facts.facets
        fields: dict[str, Any] = {
            "cue_number": number,
            "scene": facts.scene,
            "notes": _notes(proposal, self._opened.draft),
            "function": facets.function,
            "theme_position": facets.theme_position,
            "seen": facets.seen,
            "vocal": facets.vocal,
            "origin": facets.origin,
            **self._song(proposal),
        }
        if (span := self._span(proposal.key)) is not None:
            fields["span"] = span
        try:
            usage = add_usage(episode=self._episode, fields=fields, **self._who)
        except BadValue as refused:
            refused.place = f"row {proposal.key}"
            raise
        self._usages[proposal.key] = usage.pk
        self._done["added"] += 1

    def _song(self, proposal: Proposal) -> dict[str, Any]:
        title = proposal.title[:_LONGEST_TITLE]
        if proposal.decision == SONG:
            song = song_of(proposal.song, place=f"row {proposal.key}")
            return {"recording": song} if isinstance(song, Recording) else {"work": song}
        return {"recording": self._new_song(proposal, title)} if proposal.decision == NEW_SONG else {"title": title}

    def _new_song(self, proposal: Proposal, title: str) -> Recording:
        """The recording that the row makes, with a work of its title; rows of the same song make one."""
        facts = proposal.facts
        key = _song_of(proposal)
        if key not in self._made:
            fields = {
                "title": title,
                "version_title": facts.version,
                "artist": proposal.artist,
                "isrc": proposal.isrc,
                "label": facts.label,
                "catalogue_number": facts.catalogue_number,
                "track_number": facts.track_number,
                "library": facts.facets.origin is Origin.LIBRARY,
            }
            try:
                self._made[key] = add_recording(fields=fields, works=[title], **self._who)
            except BadValue as refused:
                refused.place = f"row {proposal.key}"
                raise
            self._done["songs"] += 1
        return self._made[key]


def _song_of(proposal: Proposal) -> tuple[str, str]:
    """What rows have in common that make one new song."""
    return fold(f"{proposal.title} {proposal.facts.version}"), fold(proposal.artist)


def _notes(proposal: Proposal, draft: CutImport) -> str:
    """What the log keeps of the file: its own name for the music where that is another, the lines, another speed."""
    lines = ", ".join(map(str, proposal.lines[:6])) + (" …" if len(proposal.lines) > 6 else "")
    said = [f"From {draft}" + (f", line {lines}" if lines else "")]
    if proposal.clip and proposal.clip != proposal.title:
        said.append(f"called “{proposal.clip}” there")
    if proposal.speeds:
        said.append(f"at {' and '.join(speed_text(speed) for speed in proposal.speeds)} of its speed")
    return "\n".join(filter(None, [proposal.facts.notes, f"{', '.join(said)}."]))
