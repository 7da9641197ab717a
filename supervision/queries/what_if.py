"""What could be otherwise in an episode: for each usage its shortlist, any song of the catalogue, or nothing at all."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from supervision.models import Candidate, Episode, Recording, Usage
from supervision.queries.forecast import usages_of
from supervision.queries.songs import song_of
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say

DROP = "drop"

_CANDIDATE = re.compile(r"C([1-9][0-9]{0,17})", re.ASCII)
_ESTIMATES = ("sync_estimate_minor", "master_estimate_minor", "estimate_currency")


@dataclass(frozen=True, slots=True)
class Change:
    """What a usage would be: ``fields`` of ``Usage`` by name, or dropped; ``words`` say it to people."""

    usage: Usage
    words: str
    fields: Mapping[str, Any] = field(default_factory=dict)

    @property
    def drops(self) -> bool:
        """Whether the usage would go."""
        return not self.fields


@dataclass(frozen=True, slots=True)
class Alternatives:
    """A usage with the songs on its shortlist that are in the catalogue."""

    usage: Usage
    title: str
    candidates: tuple[Candidate, ...]

    @property
    def name(self) -> str:
        """Cue number and title."""
        return f"{self.usage.cue_number} {self.title}".strip()


def alternatives_of(episode: Episode) -> list[Alternatives]:
    """Each live usage of the episode with its candidates by preference, in the order of the cut. Two queries."""
    found: dict[int, list[Candidate]] = defaultdict(list)
    listed = Candidate.objects.filter(usage__episode=episode, usage__deleted_at__isnull=True)
    for candidate in listed.exclude(recording=None, work=None).select_related("recording", "work"):
        found[candidate.usage_id].append(candidate)
    return [
        Alternatives(usage, str(usage.recording or usage.work or usage.title), tuple(found[usage.pk]))
        for usage in usages_of(episode)
    ]


def changes_from(episode: Episode, told: Mapping[str, str]) -> list[Change]:
    """The changes that ``usage-12: text`` means for each usage, in the order of the cut. Two queries, and one a song.

    ``BadValue``, its place the key, for a usage that the episode does not have and a text that means nothing.
    """
    listed = {f"usage-{each.usage.pk}": each for each in alternatives_of(episode)}
    for key in told:
        if key not in listed:
            raise BadValue(
                "usage-unknown",
                say("{episode} has no {usage}.", episode=episode, usage=key),
                place=key,
                mend=say("Ask for its usages and name one of them."),
            )
    changes = (_told(key, each, told.get(key, "")) for key, each in listed.items())
    return [change for change in changes if change is not None]


def _told(key: str, each: Alternatives, text: str) -> Change | None:
    try:
        return change_of(each, text)
    except BadValue as refused:
        refused.place = key
        raise


def change_of(alternatives: Alternatives, text: str) -> Change | None:
    """The change that a text means; ``None`` for a blank one. At most one query.

    ``drop``, a candidate's ``C12``, or a song as ``R12``, ``W7`` or in any text that ends so. ``BadValue`` otherwise.
    """
    told, usage = text.strip(), alternatives.usage
    if not told:
        return None
    if told.lower() == DROP:
        return Change(usage, say("{usage} is dropped", usage=alternatives.name))
    if coded := _CANDIDATE.fullmatch(told):
        return _of_candidate(alternatives, int(coded[1]))
    song = song_of(told)
    if song is None:
        raise BadValue(
            "song-unreadable",
            say("“{text}” names no song of the catalogue.", text=told),
            place="song",
            mend=say("Choose one from the list, or write its code, such as R12."),
        )
    uses = ("recording", "work") if isinstance(song, Recording) else ("work", "recording")
    fields = {uses[0]: song, uses[1]: None, "title": ""}
    return Change(usage, _becomes(alternatives, song.title), fields)


def _of_candidate(alternatives: Alternatives, pk: int) -> Change:
    candidate = next((each for each in alternatives.candidates if each.pk == pk), None)
    if candidate is None:
        raise BadValue(
            "candidate-unknown",
            say("The shortlist of {usage} has no song {code}.", usage=alternatives.name, code=f"C{pk}"),
            place="song",
            mend=say("Choose one that is on the shortlist."),
        )
    fields: dict[str, Any] = {"recording": candidate.recording, "work": candidate.work, "title": ""}
    if candidate.estimate_currency:
        fields |= {name: getattr(candidate, name) for name in _ESTIMATES}
    return Change(alternatives.usage, _becomes(alternatives, candidate.recording or candidate.work), fields)


def _becomes(alternatives: Alternatives, song: object) -> str:
    return say("{usage} becomes {song}", usage=alternatives.name, song=song)
