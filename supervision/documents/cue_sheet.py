"""What stands where on a cue sheet: its front matter, its cues as groups of lines, its legends.

The page and the paper show the same. Words are those of the profile's language, and what a profile does not ask for is
left out here: in and out points, identifiers, recordings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

from babel import Locale

from supervision.rules.cue_sheet import Carved, Cue, CueParty, CueRecording, CueSheet, CueWork, Interest
from supervision.rules.cue_sheet_profile import Identifier, RecordingsShown
from supervision.rules.cue_sheet_words import SheetWords, words_for
from supervision.rules.durations import clock
from supervision.rules.money import half_up
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.sentence import english
from supervision.rules.territory_atlas import country_name
from supervision.rules.usage import Function


@dataclass(frozen=True, slots=True)
class TitleCell:
    """A title over ``span`` rows; ``notes`` stand under it, and then the ``identifiers``.

    ``part`` says that it is one work of several, ``last`` that it reaches down to the end of its cue.
    """

    title: str
    span: int
    notes: tuple[str, ...]
    identifiers: tuple[str, ...]
    part: bool = False
    last: bool = False


@dataclass(frozen=True, slots=True)
class PartyRow:
    """One line of a cue: a title where one begins, a writer and a publisher."""

    title: TitleCell | None
    writer: CueParty | None
    publisher: CueParty | None


@dataclass(frozen=True, slots=True)
class CueBlock:
    """The lines of one cue, kept together."""

    cue: Cue
    duration: str
    use: str
    rows: tuple[PartyRow, ...]


def status_text(sheet: CueSheet) -> str:
    """Draft, or which revision it is."""
    word, header = words_of(sheet).text, sheet.header
    return word("draft") if header.revision is None else word("revision", number=header.revision)


def words_of(sheet: CueSheet) -> SheetWords:
    """The words of the language that the sheet was set in."""
    return words_for(sheet.set_by.language)


def episode_text(sheet: CueSheet) -> str:
    """Season, number and title of the episode; blank for what has only one and no title of its own."""
    word, header = words_of(sheet).text, sheet.header
    season = header.season_title or word("season", number=header.season)
    parts = [season, word("episode", number=header.episode_number)] if header.season is not None else []
    return " · ".join([*parts, *([header.episode_title] if header.episode_title else [])])


def part_of_programme(sheet: CueSheet) -> str:
    """How much of the programme has music, in percent with one decimal, half up, as the language writes it."""
    tenths = half_up(sheet.music_share * 1000)
    return words_of(sheet).writing.text("share", percent=_decimal(f"{tenths // 10}.{tenths % 10}", sheet))


def _decimal(text: str, sheet: CueSheet) -> str:
    return text.replace(".", words_of(sheet).writing.table["decimal_sign"])


def header_facts(sheet: CueSheet) -> list[tuple[str, str]]:
    """The front matter as terms and texts; what is not known is left out but for what every society asks."""
    word, header = words_of(sheet).text, sheet.header
    asked = [
        ("company", header.company),
        ("network", header.network),
        ("first_broadcast", _broadcast(sheet)),
        ("running_time", clock(sheet.running_seconds)),
        ("total_music", f"{clock(sheet.music_seconds)} ({part_of_programme(sheet)})"),
        ("prepared_by", f"{header.prepared_by}, {words_of(sheet).day(header.prepared_on)}"),
    ]
    known = [(word(key), text) for key, text in _known_facts(sheet)]
    identifiers = [
        (identifier.label, text)
        for identifier, text in ((Identifier.ISAN, header.isan), (Identifier.EIDR, header.eidr))
        if identifier in sheet.set_by.identifiers
    ]
    told = [(word(key), text or word("not_known")) for key, text in asked]
    return [*told, *(fact for fact in (*known, *identifiers) if fact[1])]


def _broadcast(sheet: CueSheet) -> str:
    """The day and the country of the first broadcast."""
    header = sheet.header
    day = words_of(sheet).day(header.first_broadcast) if header.first_broadcast else ""
    return ", ".join(_known(day, country_text(header.broadcast_country, sheet.set_by.language)))


def _known_facts(sheet: CueSheet) -> list[tuple[str, str]]:
    word, header = words_of(sheet).text, sheet.header
    locked = word("locked" if header.cut_locked else "not_locked")
    contact = ", ".join(_known(header.contact_name, header.contact_email, header.contact_phone))
    return [
        ("production_type", word(f"type.{header.production_type}") if header.production_type else header.kind),
        ("also_known_as", "; ".join(title.text for title in header.production_titles)),
        ("episode_also_known_as", "; ".join(title.text for title in header.episode_titles)),
        ("country", country_text(header.country, sheet.set_by.language)),
        ("year", str(header.year or "")),
        ("production_number", header.production_number),
        ("cut", f"{header.cut}, {locked}" if header.cut else ""),
        ("version", word(f"version.{header.version}") if header.version else ""),
        ("director", header.directors),
        ("cast", header.cast),
        ("distributor", header.distributor),
        ("address", ", ".join(header.company_address.splitlines())),
        ("contact", contact),
    ]


def country_text(code: str, language: str) -> str:
    """The name of a country (ISO 3166-1) in a language, from the Unicode CLDR; in English as everywhere in the house."""
    if not code:
        return ""
    named = english(country_name(code))  # whoever reads the sheet
    return named if language == "en" else Locale(language).territories.get(code) or named


def use_legend(sheet: CueSheet) -> list[tuple[str, str]]:
    """The use codes that stand on the sheet, in words."""
    used = {cue.use.code for cue in sheet.cues}
    return [(code, text) for code, text in sheet.set_by.legend() if code in used]


def role_legend(sheet: CueSheet) -> list[tuple[str, str]]:
    """The roles that stand on the sheet, in words."""
    word = words_of(sheet).text
    used = {(party.interest, party.role) for cue in sheet.cues for work in cue.works for party in work.parties}
    kinds = ((Interest.WRITER, WriterRole), (Interest.PUBLISHER, PublisherRole))
    return [
        (role.value, word(f"{interest}.{role}"))
        for interest, roles in kinds
        for role in roles
        if (interest, role.value) in used
    ]


def left_out_text(sheet: CueSheet) -> str:
    """The cues that the profile does not list, in one sentence; blank where it lists all."""
    cues = ", ".join(f"{cue.number} {cue.title} {clock(cue.seconds)}".strip() for cue in sheet.left_out)
    return words_of(sheet).text("left_out", cues=cues) if cues else ""


def cue_blocks(sheet: CueSheet) -> list[CueBlock]:
    """The cues as groups of rows."""
    return [CueBlock(cue, clock(cue.seconds), use_text(cue, sheet), tuple(_rows(cue, sheet))) for cue in sheet.cues]


def use_text(cue: Cue, sheet: CueSheet) -> str:
    """What stands under the use code: where the music comes from."""
    return words_of(sheet).text(f"origin.{cue.use.origin}")


def _rows(cue: Cue, sheet: CueSheet) -> Iterator[PartyRow]:
    alone, notes = len(cue.works) == 1, _cue_notes(cue, sheet)
    if not alone:
        heard, identifiers = _performance(cue.recording, sheet), _known(_isrc(cue.recording, sheet))
        title = TitleCell(cue.title or "–", 1, _known(heard, *notes), identifiers, last=not cue.works)
        yield PartyRow(title, None, None)
    for work in cue.works:
        title_notes = (
            _known(_origin(work, sheet), _performance(cue.recording, sheet), *notes)
            if alone
            else (_known(_origin(work, sheet)))
        )
        identifiers = _known(*_work_numbers(work, sheet), _isrc(cue.recording, sheet) if alone else "")
        pairs = list(zip_longest(work.of(Interest.WRITER), work.of(Interest.PUBLISHER))) or [(None, None)]
        cell = TitleCell(work.title, len(pairs), title_notes, identifiers, part=not alone, last=work is cue.works[-1])
        for position, (writer, publisher) in enumerate(pairs):
            yield PartyRow(cell if position == 0 else None, writer, publisher)


def _known(*texts: str) -> tuple[str, ...]:
    return tuple(filter(None, texts))


def _cue_notes(cue: Cue, sheet: CueSheet) -> tuple[str, ...]:
    """What is to be said of a cue beside its song: what it counts as, what it stands for, what overlaps took."""
    word, use = words_of(sheet).text, cue.use
    counted = word(f"counted_as_{'featured' if use.function is Function.ON_SCREEN else 'background'}")
    return _known(
        word(f"part.{use.part}") if use.part else "",
        counted if use.logged is Function.THEME else "",
        word("cues_inside", count=len(cue.inside)) if cue.inside else "",
        *carved_texts(cue.carved, sheet),
    )


def carved_texts(carved: Sequence[Carved], sheet: CueSheet) -> list[str]:
    """How much of a cue counted for which other, in whole seconds."""
    rate = Fraction(sheet.rate)
    return [
        words_of(sheet).text(
            "carved", seconds=half_up(given.frames / rate), cue=f"{given.number} {given.title}".strip()
        )
        for given in carved
    ]


def _origin(work: CueWork, sheet: CueSheet) -> str:
    word = words_of(sheet).text
    arranged = word("arrangement_of", title=work.arrangement_of) if work.arrangement_of else ""
    also = "; ".join(title.text for title in work.alternative_titles)
    known = word("also_titled", titles=also) if also else ""
    return ", ".join(_known(known, arranged, word("public_domain") if work.public_domain else ""))


def _performance(recording: CueRecording | None, sheet: CueSheet) -> str:
    """Who is heard, on which label; library music with what identifies it. Blank where the profile does not ask."""
    shown = sheet.set_by.recordings
    if (
        recording is None
        or shown is RecordingsShown.NONE
        or (shown is RecordingsShown.LIBRARY and not recording.library)
    ):
        return ""
    word = words_of(sheet).text
    version = f" ({recording.version})" if recording.version else ""
    artist = f"{word('performed_by', artist=recording.artist)}{version}" if recording.artist else recording.version
    track = word("track", number=recording.track_number) if recording.track_number else ""
    library = _known(recording.catalogue_number, track) if recording.library else ()
    free = word("recording_public_domain") if recording.public_domain else ""
    return " · ".join(_known(artist, recording.label, *library, free))


def _work_numbers(work: CueWork, sheet: CueSheet) -> tuple[str, ...]:
    wanted = sheet.set_by.identifiers
    number = words_of(sheet).text("work_number", number=work.number) if work.number else ""
    return (
        f"ISWC {iswc_text(work.iswc)}" if work.iswc and Identifier.ISWC in wanted else "",
        number if Identifier.WORK_NUMBER in wanted else "",
    )


def _isrc(recording: CueRecording | None, sheet: CueSheet) -> str:
    wanted = recording is not None and recording.isrc and Identifier.ISRC in sheet.set_by.identifiers
    return f"ISRC {isrc_text(recording.isrc)}" if recording and wanted else ""


def iswc_text(iswc: str) -> str:
    """ISO 15707's way of writing it: ``T-034.524.680-1``."""
    return f"{iswc[0]}-{iswc[1:4]}.{iswc[4:7]}.{iswc[7:10]}-{iswc[10:]}"


def isrc_text(isrc: str) -> str:
    """ISO 3901's way of writing it: ``GB-ABC-26-00001``."""
    return "-".join((isrc[:2], isrc[2:5], isrc[5:7], isrc[7:]))
