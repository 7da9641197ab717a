"""The rows of a song log as proposed usages: what each cell says, and what is odd about it, by row and column.

Nothing is lost: what a cell says that no field understands goes into the notes, with a finding at its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from supervision.rules.column_mapping import ColumnMapping, check_mapping
from supervision.rules.column_times import TimeForm, guess_form, read_frames, read_position
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.sentence import joined, say
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_words import FacetsRead, FacetWords, read_facets
from supervision.rules.table import Table, TableRow, column_letter, heading_key
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, tidy_cue_number

_LENGTHS = {
    "cue_number": 12,
    "title": 300,
    "working_title": 300,
    "version": 120,
    "artist": 200,
    "label": 200,
    "catalogue_number": 60,
    "track_number": 20,
    "scene": 300,
}
"""What a usage or a recording keeps of each, in characters."""

_NAMING = ("title", "working_title", "artist", "isrc", "iswc", "in")
_LABELS = {one.name: one.label for one in SONG_LOG.fields}
_KEPT = say("The cell is kept in the notes.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedUsage:
    """One row as a usage that could be logged.

    ``title`` is the song's, ``working_title`` what the log calls it while there is none. ``span`` is its place in the
    cut, ``None`` where the row gives none; ``frames`` its length where that is known. ``said`` holds the facets that the row speaks
    of; ``facets`` fills the others with what is usual. Writers, publishers are text as written. ``findings`` name row and column.
    """

    line: int
    cue_number: str = ""
    title: str = ""
    working_title: str = ""
    version: str = ""
    artist: str = ""
    isrc: str = ""
    iswc: str = ""
    label: str = ""
    catalogue_number: str = ""
    track_number: str = ""
    writers: str = ""
    publishers: str = ""
    scene: str = ""
    notes: str = ""
    facets: Facets = field(default_factory=Facets)
    said: frozenset[str] = frozenset()
    span: Span | None = None
    frames: int | None = None
    findings: tuple[Finding, ...] = ()


def apply_mapping(
    table: Table, mapping: ColumnMapping, rate: FrameRate, *, cut_start: int = 0
) -> tuple[ProposedUsage, ...]:
    """The rows that say anything, in the table's order. ``BadValue`` only for a mapping that cannot be.

    Times are read in the mapping's forms, else in the form that most cells of their column have. Costs a step per cell.
    """
    checked = check_mapping(mapping, table, SONG_LOG)
    forms = forms_of(table, checked)
    reader = _RowReader(checked, forms, rate, cut_start)
    heads = tuple(map(heading_key, table.columns))
    rows = (row for row in table.rows if not _repeats(row, heads))
    return tuple(usage for row in rows if (usage := reader.read(row)) is not None)


def _repeats(row: TableRow, heads: Sequence[str]) -> bool:
    """Whether a row is the heads again, as on each page of a printed log."""
    same = [heading_key(row.cell(index)) == head for index, head in enumerate(heads) if head]
    return len(same) > 1 and all(same)


def forms_of(table: Table, mapping: ColumnMapping) -> dict[str, TimeForm]:
    """The form of each time field: as the mapping says, else as guessed. ``BadValue`` for an unknown form."""
    forms = {}
    for one in SONG_LOG.fields:
        column = mapping.column(one.name)
        if not one.time or column is None:
            continue
        given = mapping.times.get(one.name)
        if given is None:
            forms[one.name] = guess_form(list(table.values(column))).form
        elif given in set(TimeForm):
            forms[one.name] = TimeForm(given)
        else:
            raise BadValue(
                "form-unknown",
                say("There is no form of times “{given}”.", given=given[:40]),
                place=f"column {column_letter(column)}",
                mend=say("Give one of {forms}.", forms=", ".join(TimeForm)),
            )
    return forms


class _RowReader:
    """Reads rows by one mapping."""

    def __init__(self, mapping: ColumnMapping, forms: Mapping[str, TimeForm], rate: FrameRate, cut_start: int) -> None:
        self._columns = {name: index for index, name in enumerate(mapping.columns) if name}
        self._forms, self._rate, self._cut_start = forms, rate, cut_start
        self._findings: list[Finding] = []
        self._kept: dict[str, str] = {}
        self._row = TableRow(0, ())

    def read(self, row: TableRow) -> ProposedUsage | None:
        """The row, or nothing where none of the mapped cells says anything."""
        self._row, self._findings, self._kept = row, [], {}
        texts = {name: text for name in self._columns if (text := row.cell(self._columns[name]))}
        if not texts:
            return None
        span, frames = self._place(texts)
        read = self._facets(texts)
        self._check_bare(texts)
        identifiers = {scheme.value: self._identifier(scheme, texts) for scheme in (Scheme.ISRC, Scheme.ISWC)}
        shown = texts | {"cue_number": tidy_cue_number(texts.get("cue_number", ""))}
        short = {name: self._short(name, shown.get(name, "")) for name in _LENGTHS}
        return ProposedUsage(
            line=row.line,
            **short,
            **identifiers,
            writers=texts.get("writers", ""),
            publishers=texts.get("publishers", ""),
            notes="\n".join(filter(None, [texts.get("notes", ""), *self._kept.values()])),
            facets=read.facets,
            said=read.said,
            span=span,
            frames=frames,
            findings=tuple(self._findings),
        )

    def _check_bare(self, texts: Mapping[str, str]) -> None:
        """A row that names nothing is often the heading of a reel, or a total."""
        if not any(name in texts for name in _NAMING):
            self._find(
                next(iter(texts)),
                Level.WARNING,
                "row-nameless",
                say("The row names no music: it may be a heading or a total."),
                say("Leave it out if it is one."),
            )

    def _facets(self, texts: Mapping[str, str]) -> FacetsRead:
        read = read_facets(FacetWords(*(texts.get(name, "") for name in FacetWords.FIELDS)))
        for name, cell in read.unknown.items():
            self._keep(name, cell)
            text = say("“{cell}” has a word that is not known here.", cell=cell[:60])
            self._find(name, Level.WARNING, "word-unknown", text, joined([_KEPT, say("Choose what it is.")]))
        for name, finding in read.contradictions:
            self._find(name, finding.level, finding.code, finding.text, finding.mend)
        return read

    def _place(self, texts: Mapping[str, str]) -> tuple[Span | None, int | None]:
        """Where the row stands, and how long it is."""
        start, end, length = self._position("in", texts), self._position("out", texts), self._length(texts)
        if start is not None and end is not None:
            if end > start:
                self._compare(end - start, length)
                return Span(start, end), end - start
            self._find(
                "out",
                Level.ERROR,
                "out-not-after-in",
                say("The music ends before it starts, or lasts nothing."),
                say("Check in and out."),
            )
            return None, length
        if length == 0:
            self._find(
                "duration", Level.WARNING, "duration-nothing", say("It lasts nothing."), say("Give it a length.")
            )
            return None, None
        if start is not None and length is not None:
            return Span(start, start + length), length
        if end is not None and length is not None and end >= length:
            return Span(end - length, end), length
        if start is not None or end is not None:
            given = "in" if start is not None else "out"
            no_in = say("There is no in point and no duration.")
            no_out = say("There is no out point and no duration.")
            self._find(
                given,
                Level.WARNING,
                "place-half",
                no_out if given == "in" else no_in,
                say("It is proposed without a place."),
            )
        return None, length

    def _position(self, name: str, texts: Mapping[str, str]) -> int | None:
        if name not in texts:
            return None
        try:
            return read_position(texts[name], self._forms[name], self._rate, cut_start=self._cut_start, place=name)
        except BadValue as refused:
            self._refused(name, texts[name], refused)
            return None

    def _length(self, texts: Mapping[str, str]) -> int | None:
        if "duration" not in texts:
            return None
        try:
            return read_frames(texts["duration"], self._forms["duration"], self._rate)
        except BadValue as refused:
            self._refused("duration", texts["duration"], refused)
            return None

    def _compare(self, frames: int, length: int | None) -> None:
        """A duration is rounded to seconds in most logs, so a second more or less is none."""
        if length is not None and abs(frames - length) > self._rate.nominal:
            self._find(
                "duration",
                Level.WARNING,
                "duration-differs",
                say("The duration is not what lies between in and out, {frames} frames.", frames=frames),
                say("In and out are followed; check the row."),
            )

    def _identifier(self, scheme: Scheme, texts: Mapping[str, str]) -> str:
        """The identifier as it is stored; blank for one that is none."""
        text = texts.get(scheme.value, "")
        if not text:
            return ""
        check = check_identifier(scheme, text)
        finding = check.finding(Level.WARNING)
        if finding is not None:
            mend = finding.mend if check.valid else joined([finding.mend, _KEPT])
            self._find(scheme.value, finding.level, finding.code, finding.text, mend)
        if not check.valid:
            self._keep(scheme.value, text)
        return check.canonical

    def _short(self, name: str, text: str) -> str:
        text = " ".join(text.split())
        most = _LENGTHS[name]
        if len(text) > most:
            self._keep(name, text)
            self._find(
                name,
                Level.WARNING,
                "text-cut",
                say("It has {number} characters, and the first {most} are taken.", number=len(text), most=most),
                joined([_KEPT, say("Shorten it.")]),
            )
        return text[:most].strip()

    def _refused(self, name: str, cell: str, refused: BadValue) -> None:
        self._keep(name, cell)
        self._find(name, Level.ERROR, refused.code, refused.text, refused.mend)

    def _keep(self, name: str, cell: str) -> None:
        """Keep in the notes what no field can hold."""
        self._kept[name] = f"{_LABELS[name]}: {cell}"  # English, as the notes that it is kept in go on paper too

    def _find(self, name: str, level: Level, code: str, text: str, mend: str) -> None:
        place = say("row {line}, column {letter}", line=self._row.line, letter=column_letter(self._columns[name]))
        self._findings.append(Finding(level, code, place, text, mend))
