"""The end credits of an episode: its songs in the order of appearance, and who wrote the score.

``CreditFacts`` is what the log, the catalogue and the licences know, ``set_credits`` turns it into ``Credits``, which is
shown, printed and exported alike. There is one block a song, also where it is used twice. What a licence requires stands
as it was written and takes precedence over the customary lines; what it does not state is said in customary words
(``common practice, no published source``). A working paper: the signed licences prevail.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from supervision.rules.credit_style import CreditStyle
from supervision.rules.credit_words import Part, parts_in, plain, wrapped_lines

CAUTION = "A working paper: the signed licences prevail, and counsel reviews them."


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditName:
    """A writer or publisher: ``role`` is a CISAC code, ``society`` the name of his or her society."""

    name: str
    role: str
    society: str = ""
    administrator: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditWork:
    """A work as the credits name it."""

    title: str
    writers: tuple[CreditName, ...] = ()
    publishers: tuple[CreditName, ...] = ()
    public_domain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditOwner:
    """An owner of the recording; ``ours``: the production company itself, who needs no courtesy."""

    name: str
    administrator: str = ""
    ours: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditMaster:
    """The recording that is heard; ``samples`` has one line for each recording that it contains a part of."""

    title: str
    artist: str = ""
    label: str = ""
    owners: tuple[CreditOwner, ...] = ()
    public_domain: bool = False
    samples: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RequiredWording:
    """What a holder requires of the credit for a cue: its words, whether it approves the credit, who did so and when."""

    clearance: int
    side: str
    holder: str
    text: str = ""
    approval_needed: bool = False
    approved_by: str = ""
    approved_on: date | None = None
    cue: str = ""

    @property
    def is_open(self) -> bool:
        """Whether an approval is still to be had."""
        return self.approval_needed and self.approved_on is None


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditSong:
    """A song with all its uses in the cut; ``uncleared`` says in words what its clearance lacks."""

    title: str
    cues: tuple[str, ...]
    works: tuple[CreditWork, ...]
    master: CreditMaster | None = None
    required: tuple[RequiredWording, ...] = ()
    uncleared: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditFacts:
    """Everything the credits of an episode are made from; songs in the order of appearance.

    ``score`` are the commissioned works, ``unknown`` the cues without a song, ``left_out`` usages with the reason.
    """

    production: str
    episode: str
    code: str
    cut: str
    cut_locked: bool
    songs: tuple[CreditSong, ...] = ()
    score: tuple[CreditWork, ...] = ()
    unknown: tuple[str, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditLine:
    """A line of a block before it is broken; ``required``: as the licence has it. ``lines`` fit the line length."""

    text: str
    lines: tuple[str, ...]
    required: bool = False
    part: Part | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditBlock:
    """The credit of one song."""

    song: CreditSong
    lines: tuple[CreditLine, ...]

    @property
    def text(self) -> list[str]:
        """The lines as they are printed."""
        return [line for each in self.lines for line in each.lines]


@dataclass(frozen=True, slots=True, kw_only=True)
class Credits:
    """The credits of an episode, ready to be shown or printed."""

    facts: CreditFacts
    style: CreditStyle
    score: tuple[CreditLine, ...]
    blocks: tuple[CreditBlock, ...] = field(default=())


def set_credits(facts: CreditFacts, style: CreditStyle) -> Credits:
    """The credits of the facts in a style."""
    return Credits(
        facts=facts,
        style=style,
        score=tuple(_line(text, style) for text in _score(facts.score, style)),
        blocks=tuple(CreditBlock(song=song, lines=tuple(_block(song, style))) for song in facts.songs),
    )


def _line(text: str, style: CreditStyle, part: Part | None = None, *, required: bool = False) -> CreditLine:
    return CreditLine(text=text, lines=tuple(wrapped_lines(text, style.line_length)), required=required, part=part)


# --- required and customary, put together ---------------------------------------------------------------------------


def _block(song: CreditSong, style: CreditStyle) -> Iterator[CreditLine]:
    """Each wording stands whole where its first part belongs; around it what no wording states, in customary words."""
    wordings = song_wordings(song)
    stated = {part for wording in wordings for part in wording.parts}
    said: set[str] = set()
    for part in Part:
        for wording in wordings:
            if wording.first is part:
                yield from _verbatim(wording.text, style, part, said)
        for text in _customary(
            song, style, part, named_in="\n".join(w.text for w in wordings) if part in stated else ""
        ):
            yield _line(text, style, part)


def _verbatim(text: str, style: CreditStyle, part: Part, said: set[str]) -> Iterator[CreditLine]:
    """The wording line by line; a line that another wording has said already is not printed again."""
    for line in text.splitlines():
        if line.strip() and plain(line) not in said:
            said.add(plain(line))
            yield _line(line, style, part, required=True)


@dataclass(frozen=True, slots=True)
class SongWording:
    """A wording that a song's licences require: who requires it, and which parts it states, with their lines."""

    text: str
    holders: tuple[str, ...]
    parts: dict[Part, str]

    @property
    def first(self) -> Part:
        """The part where it is printed."""
        return min(self.parts)


def song_wordings(song: CreditSong) -> list[SongWording]:
    """The different wordings that are required of a song, in the order of its clearances.

    What states no part that is recognised stands with the publishers or with the master, by the side that requires it.
    """
    holders: dict[str, list[str]] = {}
    sides: dict[str, str] = {}
    for required in song.required:
        if text := required.text.strip():
            holders.setdefault(text, []).append(required.holder)
            sides.setdefault(text, required.side)
    return [
        SongWording(text, tuple(dict.fromkeys(names)), parts_in(text, song.title) or _beside(text, sides[text]))
        for text, names in holders.items()
    ]


def _beside(text: str, side: str) -> dict[Part, str]:
    return {Part.MASTER if side == "master" else Part.PUBLISHERS: text}


# --- the customary lines --------------------------------------------------------------------------------------------


def _customary(song: CreditSong, style: CreditStyle, part: Part, *, named_in: str) -> Iterator[str]:
    """The customary lines of a part; where a wording states it, only the publishers and owners that no wording names."""
    wanted = plain(named_in)
    if part is Part.PUBLISHERS:
        yield from _published(song.works, style, wanted)
    elif part is Part.MASTER and song.master is not None:
        yield from _master(song.master, style, wanted)
    elif not named_in:
        yield from _unless_stated(song, style, part)


def _unless_stated(song: CreditSong, style: CreditStyle, part: Part) -> Iterator[str]:
    """The title, the writers, the performer, the samples: each is left to a wording that states it."""
    master = song.master
    if part is Part.TITLE:
        yield style.phrase("title", title=song.title)
    elif part is Part.WRITERS:
        for work in song.works:
            if len(song.works) > 1:
                yield style.phrase("title", title=work.title)
            yield from writer_lines(work, style)
    elif master is not None and part is Part.PERFORMER and master.artist:
        yield style.phrase("performed", names=master.artist)
    elif master is not None and part is Part.SAMPLES:
        yield from (style.phrase("samples", text=text) for text in master.samples)


def _published(works: Sequence[CreditWork], style: CreditStyle, wanted: str) -> Iterator[str]:
    names = [text for work in works for name, text in _publishers(work, style) if not _in(name, wanted)]
    if names and style.publishers:
        yield style.phrase("published", names=" / ".join(dict.fromkeys(names)))


def _in(name: str, wanted: str) -> bool:
    return bool(wanted) and plain(name) in wanted


def _publishers(work: CreditWork, style: CreditStyle) -> Iterator[tuple[str, str]]:
    """Publishers with the text of each: who owns, and who administers for whom; administrators alone stand as such."""
    owners = [name for name in work.publishers if name.role in _OWNING]
    for name in owners or work.publishers:
        text = _with_society(name)
        if name.administrator:
            text = style.phrase("administered", names=text, administrators=name.administrator)
        yield name.name, text


_OWNING = frozenset({"E", "AQ", "ES"})


def _with_society(name: CreditName) -> str:
    return f"{name.name} ({name.society})" if name.society else name.name


def _master(master: CreditMaster, style: CreditStyle, wanted: str) -> Iterator[str]:
    if master.public_domain:
        return
    owners = [owner for owner in master.owners if not owner.ours and not _in(owner.name, wanted)]
    direct = [owner.name for owner in owners if not owner.administrator]
    if direct:
        yield style.phrase(style.master, names=style.join(direct))
    for owner in owners:
        if owner.administrator:
            courtesy = style.phrase(style.master, names=owner.name)
            yield style.phrase("through", courtesy=courtesy, names=owner.administrator)
    if not master.owners and master.label and not _in(master.label, wanted):
        yield style.phrase(style.master, names=master.label)


_TRADITIONAL = frozenset({"traditional", "trad", "trad.", "traditionnel", "dp", "pd", "public domain"})


def writer_lines(work: CreditWork, style: CreditStyle) -> Iterator[str]:
    """Who wrote a work, by role; ``Traditional, arranged by`` where the music is nobody's."""
    by = {role: [name for name in work.writers if name.role in roles] for role, roles in _ROLES.items()}
    nobody = [name for name in by["written"] if plain(name.name) in _TRADITIONAL]
    known = [name for name in by["written"] if name not in nobody]
    arrangers = _names(by["arranged"])
    if nobody or (work.public_domain and not known):
        yield (
            style.phrase("traditional_arranged", names=style.join(arrangers))
            if arrangers
            else style.phrase("traditional")
        )
        arrangers = []
    yield from _authors(known, style)
    for key, names in (("arranged", arrangers), ("adapted", _names(by["adapted"])), ("translated", _names(by["tr"]))):
        if names:
            yield style.phrase(key, names=style.join(names))


_ROLES = {
    "written": frozenset({"C", "A", "CA"}),
    "arranged": frozenset({"AR", "SR"}),
    "adapted": frozenset({"AD", "SA"}),
    "tr": frozenset({"TR"}),
}


def _authors(known: Sequence[CreditName], style: CreditStyle) -> Iterator[str]:
    if not known:
        return
    roles = {name.role for name in known}
    if roles == {"C"}:
        yield style.phrase("composed", names=style.join(_names(known)))
    elif style.split and roles != {"CA"}:
        for key, own in (("music", "C"), ("lyrics", "A")):
            if names := _names([name for name in known if name.role in {own, "CA"}]):
                yield style.phrase(key, names=style.join(names))
    else:
        yield style.phrase("written", names=style.join(_names(known)))


def _names(found: Sequence[CreditName]) -> list[str]:
    return list(dict.fromkeys(name.name for name in found))


def _score(works: Sequence[CreditWork], style: CreditStyle) -> Iterator[str]:
    """The card of the score: its composers in the order of appearance, and who publishes it."""
    composers = [name for work in works for name in work.writers if name.role != "PA"]
    if composers:
        yield style.phrase("score", names=style.join(_names(composers)))
    publishers = [text for work in works for _, text in _publishers(work, style)]
    if publishers and style.publishers:
        yield style.phrase("score_published", names=" / ".join(dict.fromkeys(publishers)))
