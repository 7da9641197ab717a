"""Facts of cue sheets as plain values, for the tests that need no rows."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from supervision.rules.cue_sheet import (
    CueRecording,
    CueSheetFacts,
    CueSheetHeader,
    Interest,
    PlacedUse,
    StatedParty,
    StatedWork,
)
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, Function, Origin, ThemePosition, Vocal

AT_25 = FrameRate(Fraction(25))
START = 10 * 3600 * 25

HEADER = CueSheetHeader(
    production="The Weir",
    production_code="WEIR",
    kind="Series",
    season=1,
    episode_code="WEIR-101",
    episode_number="101",
    episode_title="Low Water",
    company="Weir Pictures",
    network="Channel Nine and a Half",
    country="GB",
    year=2026,
    first_broadcast=date(2027, 1, 9),
    cut="Locked cut",
    cut_locked=True,
    prepared_by="Ida Person",
    prepared_on=date(2026, 11, 25),
)


def writer(name="Ida Reed", share=100, role="CA", **more):
    """A writer who lacks nothing."""
    known = {"ipi": "00014107338", "society": "PRS", "society_code": "052"} | more
    return StatedParty(interest=Interest.WRITER, role=role, name=name, share=Fraction(share), **known)


def publisher(name="Reed Harbour Music", share=100, role="E", **more):
    """A publisher that lacks nothing."""
    known = {"ipi": "00334284961", "society": "PRS", "society_code": "052"} | more
    return StatedParty(interest=Interest.PUBLISHER, role=role, name=name, share=Fraction(share), **known)


def work(title="Evening Tide", parties=None, **more):
    """A work of one writer and one publisher."""
    stated = (writer(), publisher()) if parties is None else tuple(parties)
    return StatedWork(title=title, parties=stated, **{"iswc": "T0345246801"} | more)


def use(number="1M1", start=0, seconds=30, works=None, **more):
    """A background use from so many seconds into the programme, at 25 frames a second."""
    fields = {"title": "", "facets": Facets(), "works": (work(),) if works is None else tuple(works)} | more
    first = START + start * 25
    return PlacedUse(number=number, in_frame=first, out_frame=first + seconds * 25, **fields)


def facts(*uses, minutes=45, **header):
    """An episode of 45 minutes at 25 frames a second from 10:00:00:00."""
    return CueSheetFacts(
        header=replace(HEADER, **header), rate=AT_25, start_frame=START, running_frames=minutes * 60 * 25, uses=uses
    )


def long_sheet(cues):
    """So many cues of every kind, in several scripts; each has its number in its title."""
    return facts(*(_kind(number) for number in range(cues)), minutes=max(45, cues))


def _kind(number):
    start, label = number * 20, f"{1 + number // 20}M{1 + number % 20:02}"
    kinds = (_song, _score, _library, _medley, _public_domain, _theme, _scripts)
    return replace(kinds[number % len(kinds)](number, start), number=label)


def _song(number, start):
    thirds = [writer(name, "100/3") for name in ("Ida Reed", "Moss, Adele Florentyna", "Łukasz Říčný-Ødegård")]
    owners = [publisher(share="66.67"), publisher("Upper Lock Songs, a division of Canal & Towpath GmbH", "33.33")]
    song = work(f"Evening Tide {number}", [*thirds, *owners], iswc="T0345246801")
    heard = CueRecording(title="Evening Tide", artist="The Lockkeepers", isrc="GBXYZ2600001", label="Weirside")
    return use(start=start, seconds=18, works=[song], recording=heard, facets=Facets(vocal=Vocal.VOCAL))


def _score(number, start):
    cue = work(f"Night Barge {number}", [writer("Tove Marsh", role="C"), publisher("Weir Pictures Music")])
    return use(start=start, seconds=19, works=[cue], facets=Facets(origin=Origin.COMMISSIONED))


def _library(number, start):
    heard = CueRecording(
        title="Tense Pulse", library=True, label="Millrace Library", catalogue_number="MLR 204", track_number="17"
    )
    cue = work(f"Tense Pulse {number}")
    return use(start=start, seconds=7, works=[cue], recording=heard, facets=Facets(origin=Origin.LIBRARY))


def _medley(number, start):
    first = work(f"Sluice Gate {number}", [writer("Bo Alder", 50), writer("Ann Fen", 50, "A"), publisher()])
    second = work("Towpath Girl", [writer("Cy Brook"), publisher("Upper Lock Songs")])
    heard = CueRecording(title="Boatmen's Medley", artist="Corin Weaver and the Narrowboat Orchestra")
    on_screen = Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL)
    return use(start=start, seconds=15, works=[first, second], recording=heard, facets=on_screen)


def _public_domain(number, start):
    old = writer("Traditional", 0, "C", ipi="", society="", society_code="", public_domain=True)
    cue = work(f"The Ferryman's Bells {number}", [old, writer("Tove Marsh", role="AR")], arrangement_of="Bells")
    return use(start=start, seconds=12, works=[cue])


def _theme(number, start):
    opening = Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED)
    return use(start=start, seconds=20, works=[work(f"The Weir (Theme) {number}")], facets=opening, elsewhere=True)


def _scripts(number, start):
    parties = [
        writer("山田 花子", 50),
        writer("Дарья Речная", 25, "A"),
        writer("ليلى النهر", 25),
        publisher("水門ミュージック出版"),
    ]
    return use(start=start, seconds=11, works=[work(f"夕凪の歌 – أغنية المد – Вечерний прилив {number}", parties)])
