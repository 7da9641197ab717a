"""Roll-up: commissioned cues with the same parties, shares and use as one row under the production's title.

Sources: APRA AMCOS, "Cue Sheets" (score stands as ``TITLE (BACKGROUND)`` or ``TITLE (THEME)`` and is not listed cue by
cue); PRS, "Registering Cue Sheets", after the CISAC recommendations of 2008 (commissioned cues are grouped under the
production title where ownership is the same). Durations are summed as printed, so that the sheet's total stays what
it was. The row keeps its cues inside, so nothing is lost by it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from supervision.rules.cue_sheet import Cue, CueUse, CueWork, RolledCue
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.cue_sheet_use import cue_use
from supervision.rules.cue_sheet_words import words_for
from supervision.rules.durations import total_seconds
from supervision.rules.usage import Facets, Function, Origin

Key = tuple[object, ...]


def roll_up(cues: Sequence[Cue], profile: SheetProfile, production: str) -> list[Cue]:
    """The rows of a sheet, in the order of the first cue of each; a cue that is alone of its kind stays as it is."""
    groups: defaultdict[Key, list[Cue]] = defaultdict(list)
    for cue in cues:
        groups[roll_up_key(cue) or ("alone", cue.sequence)].append(cue)
    rows = [group[0] if len(group) == 1 else _row(group, profile, production) for group in groups.values()]
    return [replace(row, sequence=number) for number, row in enumerate(rows, start=1)]


def roll_up_key(cue: Cue) -> Key | None:
    """What cues of one row share; ``None`` for a cue that stands by itself: not commissioned, a medley, or no work."""
    if cue.use.origin is not Origin.COMMISSIONED or len(cue.works) != 1:
        return None
    (work,) = cue.works
    use = cue.use
    parties = frozenset(
        (party.interest, party.role, party.name, party.ipi, party.society_code, party.stated) for party in work.parties
    )
    copyright_of = (work.public_domain, work.arrangement_of)
    return (parties, copyright_of, use.function, use.theme_position, use.seen, use.vocal, use.part)


def _row(group: Sequence[Cue], profile: SheetProfile, production: str) -> Cue:
    first = group[0]
    same_song = len({(cue.title, cue.works[0].iswc) for cue in group}) == 1
    title = first.title if same_song else _title(production, first.use, profile)
    work = first.works[0] if same_song else _work(first.works[0], title)
    recordings = {cue.recording for cue in group}
    return Cue(
        sequence=first.sequence,
        number="",
        title=title,
        use=cue_use(_facets(first.use), profile, logged=first.use.logged, rolled_up=True),
        timecode_in="",
        timecode_out="",
        start=first.start,
        frames=sum(cue.frames for cue in group),
        seconds=total_seconds(cue.seconds for cue in group),
        works=(work,),
        recording=first.recording if len(recordings) == 1 else None,
        counted=sum((cue.counted_frames for cue in group), start=first.counted_frames * 0),
        inside=tuple(_inside(cue) for cue in group),
    )


def _work(work: CueWork, title: str) -> CueWork:
    """The collated entry: the parties of all, and nothing that identifies one cue alone."""
    return replace(work, title=title, iswc="", alternative_titles=(), number="")


def _facets(use: CueUse) -> Facets:
    return Facets(use.function, use.theme_position, use.seen, use.vocal, use.origin, use.part)


def _title(production: str, use: CueUse, profile: SheetProfile) -> str:
    theme = use.function is Function.THEME
    seen = use.seen or use.function is Function.ON_SCREEN
    what = words_for(profile.language).text(f"rolled_{'theme' if theme else 'featured' if seen else 'background'}")
    return f"{production.upper()} ({what})"


def _inside(cue: Cue) -> RolledCue:
    return RolledCue(
        number=cue.number,
        title=cue.title,
        timecode_in=cue.timecode_in,
        timecode_out=cue.timecode_out,
        start=cue.start,
        frames=cue.frames,
        seconds=cue.seconds,
        counted=cue.counted_frames,
        carved=cue.carved,
    )
