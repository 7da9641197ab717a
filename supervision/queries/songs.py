"""Songs as the log names them: which one a typed text means, and which a text may be after.

A song is a recording, or a work alone where the music is performed or re-recorded for the production. A text names one
by its code at the end, ``Evening Tide – The Lockkeepers · R12``; without a code it is a working title.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from supervision.models import Recording, Work
from supervision.models.rows import LIVE
from supervision.queries.search import found
from supervision.rules.errors import BadValue
from supervision.rules.log import song_code
from supervision.rules.search_text import fold
from supervision.rules.sentence import say

Song = Recording | Work

_CODED = re.compile(r"(?:.*[·#])?\s*([RW])([1-9][0-9]{0,17})", re.ASCII | re.IGNORECASE | re.DOTALL)
_SUGGESTED = 8


def song_of(text: str, *, place: str = "song") -> Song | None:
    """The live song whose code the text ends with; ``None`` for a text without a code. At most one query."""
    coded = _CODED.fullmatch(text.strip())
    if coded is None:
        return None
    kind, number = coded[1].upper(), int(coded[2])
    song = (Recording if kind == "R" else Work).objects.filter(LIVE, pk=number).first()
    if song is None:
        code = f"{kind}{number}"
        raise BadValue(
            "song-unknown",
            say("The catalogue has no recording {code}.", code=code)
            if kind == "R"
            else say("The catalogue has no work {code}.", code=code),
            place=place,
            mend=say("Choose a song from the list, or write a working title."),
        )
    return song


def song_text(song: Song) -> str:
    """The text that means a song and no other."""
    if isinstance(song, Recording):
        title = " ".join(filter(None, (song.title, song.version_title)))
        named = " – ".join(filter(None, (title, song.artist)))
        return f"{named} · {song_code(recording=song.pk, work=None)}"
    return f"{song.title} · {song_code(recording=None, work=song.pk)}"


def songs_titled(named: Iterable[tuple[str, str]]) -> dict[tuple[str, str], Song]:
    """The live recording of each title and artist, for those that name exactly one; a blank artist fits any. One query."""
    wanted = {pair for pair in named if pair[0]}
    by_title: defaultdict[str, list[Recording]] = defaultdict(list)
    for recording in Recording.objects.filter(LIVE, title__in={title for title, _ in wanted}):
        by_title[recording.title].append(recording)
    fitting = {
        (title, artist): [one for one in by_title[title] if not artist or fold(one.artist) == fold(artist)]
        for title, artist in wanted
    }
    return {pair: found[0] for pair, found in fitting.items() if len(found) == 1}


def suggested_songs(text: str) -> list[Song]:
    """Up to eight recordings and eight works that a part of title, artist, writer or identifier finds. Two queries."""
    if not fold(text):
        return []
    recordings = found(Recording.objects.filter(LIVE), text)[:_SUGGESTED]
    return [*recordings, *found(Work.objects.filter(LIVE), text)[:_SUGGESTED]]
