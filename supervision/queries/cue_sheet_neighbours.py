"""What a cue sheet is compared with: other episodes' sheets, the rest of the catalogue, the locked cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db.models import F, OuterRef, Subquery

from supervision.models import CueSheetRevision, Cut, Episode, Party, Placement, Work
from supervision.models.rows import LIVE
from supervision.rules.cue_sheet import CueSheetFacts, Interest
from supervision.rules.cue_sheet_neighbours import KnownName, Neighbours, StatedElsewhere
from supervision.rules.sentence import say


def neighbours_of(episode: Episode, facts: CueSheetFacts) -> Neighbours:
    """Everything that the facts are compared with. Four queries, and one for the times of a locked cut."""
    titles = {work.title for use in facts.uses for work in use.works}
    locked = None if facts.header.cut_locked else episode.cuts.filter(locked=True).order_by("-number").first()
    return Neighbours(
        elsewhere=tuple(_stated_elsewhere(episode)) if titles else (),
        works=tuple(
            KnownName(pk, title, iswc, _first(key))
            for pk, title, iswc, key in Work.objects.filter(LIVE)
            .order_by()
            .values_list("pk", "title", "iswc", "search_key")
        ),
        parties=tuple(
            KnownName(pk, name, ipi, _first(key))
            for pk, name, ipi, key in Party.objects.filter(LIVE)
            .order_by()
            .values_list("pk", "name", "ipi", "search_key")
        ),
        locked_cut=str(locked) if locked else "",
        locked_frames=_lengths(locked) if locked else {},
    )


def _first(search_key: str) -> str:
    """The folded name, which a search key begins with (``rules.search_text.search_key``)."""
    return search_key.split(" | ", 1)[0]


def _lengths(cut: Cut) -> dict[int, int]:
    """How many frames each usage lasts in the cut. One query."""
    rows = Placement.objects.filter(cut=cut).order_by()
    return {usage: end - start for usage, start, end in rows.values_list("usage", "in_frame", "out_frame")}


def _stated_elsewhere(episode: Episode) -> Iterator[StatedElsewhere]:
    """The works on the last revision of each other episode of the production. One query."""
    newest = CueSheetRevision.objects.filter(episode=OuterRef("episode")).order_by("-number").values("number")[:1]
    revisions = (
        CueSheetRevision.objects.filter(
            episode__season__production=episode.season.production_id, number=Subquery(newest)
        )
        .exclude(episode=episode)
        .annotate(code=F("episode__code"))
        .order_by("code")
    )
    for code, number, payload in revisions.values_list("code", "number", "payload"):
        for cue in payload["cues"]:
            # A row that stands for several cues has the production's title and no work of its own.
            if not cue.get("inside"):
                for work in cue["works"]:
                    yield _stated(say("{code}, revision {number}", code=code, number=number), work)


def _stated(sheet: str, work: Mapping[str, Any]) -> StatedElsewhere:
    shares = frozenset(
        (Interest(party["interest"]), party["role"], party["name"], _share(party)) for party in work["parties"]
    )
    return StatedElsewhere(sheet, work["title"], work["iswc"], shares)


def _share(party: Mapping[str, Any]) -> Fraction:
    """The exact share, which sheets of the first schema print as it is."""
    exact = party.get("exact")
    return Fraction(exact) if exact is not None else Fraction(Decimal(party["share"]))
