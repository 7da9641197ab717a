"""The catalogue made ready for matching, and what a production's imports have taught about names."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from supervision.models import CutImport, Production, Recording, RecordingWork, Usage, Work, WorkTitle
from supervision.models.imports import ACCEPTED
from supervision.models.rows import LIVE
from supervision.rules.clip_names import clean
from supervision.rules.log import song_code
from supervision.rules.matching import Match, Song, Titles, Wanted, remembered
from supervision.rules.proposal import SONG
from supervision.rules.search_text import fold

_IMPORTS_REMEMBERED = 20


class Catalogue:
    """All songs of the house, ready to be asked for; five queries and a second's work for 50,000 recordings."""

    def __init__(self, production: Production) -> None:
        songs = songs_of_catalogue()
        self._songs = {song.code: song for song in songs}
        self._titles = Titles(songs)
        self._folded = {fold(title) for song in songs for title in (song.title, *song.titles)} - {""}
        self._chosen = {name: code for name, code in names_chosen(production).items() if code in self._songs}

    def match(self, wanted: Wanted, name: str) -> Match:
        """What a clip of this name, or a line of this title, means; what a person chose for the name before comes first."""
        found = self._titles.match(wanted)
        code = self._chosen.get(fold(name))
        return found if code is None else remembered(found, self._songs[code])

    def knows(self, clip: str) -> bool:
        """Whether a clip's name, cleaned, is a song's title but for case and accents."""
        return fold(clean(clip)) in self._folded


def songs_of_catalogue() -> list[Song]:
    """The live recordings with the titles of their works, and the live works that nobody recorded. Four queries."""
    other = defaultdict[int, list[str]](list)
    for work, title in WorkTitle.objects.filter(work__deleted_at=None).order_by("pk").values_list("work", "title"):
        other[work].append(title)
    fixed = defaultdict[int, list[str]](list)
    recorded = RecordingWork.objects.filter(recording__deleted_at=None, work__deleted_at=None)
    for recording, work, title in recorded.order_by("position").values_list("recording", "work", "work__title"):
        fixed[recording] += [title, *other[work]]
    recordings = Recording.objects.filter(LIVE).values_list("pk", "title", "version_title", "artist", "isrc")
    works = Work.objects.filter(LIVE).exclude(pk__in=recorded.values("work")).values_list("pk", "title")
    return [
        *(
            Song(
                song_code(recording=pk, work=None),
                f"{title} ({version})" if version else title,
                artist,
                isrc,
                () if version else _others(title, fixed[pk]),
            )
            for pk, title, version, artist, isrc in recordings.order_by("pk")
        ),
        *(
            Song(song_code(recording=None, work=pk), title, titles=tuple(other[pk]))
            for pk, title in works.order_by("pk")
        ),
    ]


def _others(title: str, titles: Iterable[str]) -> tuple[str, ...]:
    return tuple(other for other in dict.fromkeys(titles) if other != title)


def names_chosen(production: Production) -> Mapping[str, str]:
    """The song that each name, folded, came to mean last in the production's accepted imports. Two queries.

    What a usage that came from a file uses by now counts before what was chosen when the file was read.
    """
    accepted = CutImport.objects.filter(state=ACCEPTED, episode__season__production=production)
    recent = list(accepted.order_by("-decided_at", "-pk").values_list("proposals", flat=True)[:_IMPORTS_REMEMBERED])
    songs = _songs_now({usage for proposals in recent for each in proposals if (usage := each.get("usage"))})
    chosen: dict[str, str] = {}
    for proposal in (each for proposals in recent for each in proposals):
        said = proposal["song"] if proposal["decision"] == SONG and proposal["touched"] else ""
        song = songs.get(proposal.get("usage"), "") or said
        if song and (name := fold(proposal["name"])):
            chosen.setdefault(name, song)
    return chosen


def _songs_now(usages: set[int]) -> dict[int, str]:
    """The songs that live usages use, by usage. One query, whatever their number."""
    live = Usage.objects.filter(pk__in=usages, deleted_at=None).values_list("pk", "recording", "work")
    return {pk: song_code(recording=recording, work=work) for pk, recording, work in live}
