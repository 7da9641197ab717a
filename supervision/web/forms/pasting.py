"""Pasted rows as the log would take them: each cell goes through the log's own form, as if it had been typed there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from supervision.models import Episode
from supervision.queries.songs import Song, song_text, songs_titled
from supervision.queries.spotting import Log
from supervision.rules.pasted_rows import columns_of, read_pasted, texts_of
from supervision.rules.sentence import say
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_words import FacetsRead, FacetWords, read_facets
from supervision.rules.table import column_letter
from supervision.rules.usage import Function, Vocal, next_cue_number, tidy_cue_number
from supervision.web.forms.spotting import ORIGINS, USES, LogForm

_TAKEN = (
    *("cue_number", "title", "artist", "in", "out", "duration", "use", "theme_position", "seen", "vocal", "origin"),
    *("scene", "notes"),
)

#: What a column may be taken for.
COLUMNS = [("", say("left out")), *((one.name, one.label) for one in SONG_LOG.fields if one.name in _TAKEN)]


class PasteForm(forms.Form):
    """The pasted text, and whether rows that cannot be read may be left out."""

    text = forms.CharField(
        label=say("Rows"),
        max_length=500_000,
        strip=False,
        widget=forms.Textarea({"rows": 8, "spellcheck": "false"}),
        help_text=say(
            "Copied in a spreadsheet. A first row with the names of the columns helps; without one the order is cue, in, "
            "out, title, artist, use, scene."
        ),
    )
    leave_out = forms.BooleanField(label=say("Leave out the rows that cannot be read"), required=False)


@dataclass(frozen=True, slots=True)
class PastedRow:
    """A row: its ``line`` in what was pasted, the log's ``form`` filled from it, the ``song`` of the catalogue it names.

    ``unknown`` has the words about its use that nobody here knows; it is taken without them.
    """

    line: int
    form: LogForm
    notes: str
    song: Song | None
    unknown: Sequence[str]

    @property
    def wrongs(self) -> list[str]:
        """Why it is not logged, as sentences."""
        return [str(sentence) for sentences in self.form.errors.values() for sentence in sentences]

    @property
    def fields(self) -> dict[str, Any]:
        """What the action is told."""
        return self.form.told() | {"notes": self.notes}

    @property
    def use(self) -> str:
        """The use in words."""
        return dict(USES)[self.form.data["use"]]

    @property
    def origin(self) -> str:
        """The origin in words."""
        return dict(ORIGINS)[self.form.data["origin"]]


@dataclass(frozen=True, slots=True)
class Pasted:
    """What was pasted: its ``columns`` as (letter, head, field), and its rows in their order."""

    columns: Sequence[tuple[str, str, str]]
    rows: Sequence[PastedRow]

    @property
    def good(self) -> list[PastedRow]:
        """The rows that can be logged."""
        return [row for row in self.rows if row.form.is_valid()]

    @property
    def refused(self) -> int:
        """How many cannot."""
        return len(self.rows) - len(self.good)


def pasted(text: str, columns: Sequence[str], *, episode: Episode, log: Log) -> Pasted:
    """The pasted text as rows of the episode's log; ``columns`` as chosen, none for a guess. One query. ``BadValue``."""
    table = read_pasted(text)
    known = dict(COLUMNS)
    fields = tuple(name if name in known else "" for name in columns or columns_of(table))
    told = [(row.line, texts_of(row, fields)) for row in table.rows]
    songs = songs_titled((said.get("title", ""), said.get("artist", "")) for _, said in told)
    heads = [(column_letter(at), head, fields[at] if at < len(fields) else "") for at, head in enumerate(table.columns)]
    return Pasted(heads, list(_rows(told, songs, episode, log)))


def _rows(
    told: Sequence[tuple[int, Mapping[str, str]]],
    songs: Mapping[tuple[str, str], Song],
    episode: Episode,
    log: Log,
) -> Iterator[PastedRow]:
    """Rows without a number get the next one; a number that is taken, in the log or above, is refused."""
    numbered = [row.cue_number for row in log.rows if row.cue_number]
    last, taken = (numbered[-1] if numbered else ""), {row.cue_number for row in log.all_rows if row.cue_number}
    given = {tidy_cue_number(said.get("cue_number", "")) for _, said in told}
    for line, said in told:
        song = songs.get((said.get("title", ""), said.get("artist", "")))
        read = read_facets(FacetWords(*(said.get(name, "") for name in FacetWords.FIELDS)))
        number = tidy_cue_number(said.get("cue_number", "")) or next_cue_number(last, taken | given)
        form = LogForm(_typed(said, number, song, read), episode=episode, money=False)
        if form.is_valid() and number in taken:
            form.add_error(
                "cue_number", say("Cue number {number} is taken in this episode, or by a row above.", number=number)
            )
        if number:
            last, taken = number, taken | {number}
        yield PastedRow(line, form, said.get("notes", ""), song, list(read.unknown.values()))


def _typed(said: Mapping[str, str], number: str, song: Song | None, read: FacetsRead) -> dict[str, Any]:
    """The row as somebody would have typed it into the log."""
    facets, length = read.facets, said.get("duration", "")
    part = facets.part if facets.function is Function.BACKGROUND else ""
    position = f"-{facets.theme_position or part}" if facets.theme_position or part else ""
    return {
        "cue_number": number,
        "in_timecode": said.get("in", ""),
        "out_timecode": said.get("out") or (length and f"+{length.lstrip('+')}"),
        "song": song_text(song) if song else " – ".join(filter(None, (said.get("title"), said.get("artist")))),
        "use": f"{facets.function}{position}",
        "seen": facets.seen,
        "vocal": facets.vocal is Vocal.VOCAL,
        "origin": str(facets.origin),
        "scene": said.get("scene", ""),
    }
