"""Letters: whom to write to about an episode, with everything that the letter says, and the letters that were sent.

Three queries for all open letters of an episode, whatever it uses.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import django_filters
from django.db.models import F, FilteredRelation, Q, QuerySet

from supervision.models import Clearance, Contact, Episode, Letter, Party, User, WorkShare
from supervision.models.catalogue import WRITER
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.queries.accounts import require
from supervision.rules.clearance import Side, Stage
from supervision.rules.durations import whole_seconds
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.frozen import thawed
from supervision.rules.letter import (
    Addressee,
    LetterContent,
    LetterFacts,
    Letterhead,
    LetterSong,
    Portion,
    Programme,
    RequestedRights,
    SongUse,
    how_used,
    usual_rights,
)
from supervision.rules.roles import Deed
from supervision.rules.territory import WORLD

Matter = tuple[int, str, int | None, int | None]
Matters = defaultdict[Matter, list[Clearance]]


class LetterFilter(django_filters.FilterSet):
    """Letters by episode and production code, side and holder."""

    episode = django_filters.CharFilter(field_name="episode__code", lookup_expr="iexact")
    production = django_filters.CharFilter(field_name="episode__season__production__code", lookup_expr="iexact")
    holder = django_filters.NumberFilter(field_name="holder_id")

    class Meta:
        model = Letter
        fields = ("side",)


@dataclass(frozen=True, slots=True)
class OpenLetter:
    """A letter that can be written now: to one holder about one side of everything that is not yet asked for."""

    holder: Party
    side: Side
    clearances: tuple[Clearance, ...]
    facts: LetterFacts

    @property
    def key(self) -> str:
        """How a form or an address names it: ``12-sync``."""
        return f"{self.holder.pk}-{self.side}"

    @property
    def uses(self) -> int:
        """How many usages it asks about."""
        return len({clearance.usage_id for clearance in self.clearances})


def open_letters(
    episode: Episode, *, rights: RequestedRights | None = None, answer_by: date | None = None
) -> list[OpenLetter]:
    """The letters to be written about an episode, by holder, sync before master. Three queries.

    They cover the clearances that are drafts and whose holder is known. ``rights`` are the usual ones unless given.
    """
    live = _live_clearances(episode)
    matters: Matters = defaultdict(list)
    for clearance in live:
        matters[_matter(clearance)].append(clearance)
    grouped: defaultdict[tuple[int, str], list[Clearance]] = defaultdict(list)
    for clearance in live:
        if clearance.stage == Stage.DRAFT and clearance.holder_id:
            grouped[clearance.holder_id, clearance.side].append(clearance)
    contacts = _contacts({holder for holder, _ in grouped})
    writers = _writers(clearance.work_id for group in grouped.values() for clearance in group)
    letters = [
        OpenLetter(
            holder=_holder(group),
            side=Side(side),
            clearances=tuple(group),
            facts=LetterFacts(
                side=Side(side),
                letterhead=_letterhead(episode),
                addressee=_addressee(_holder(group), contacts.get(holder)),
                programme=_programme(episode),
                songs=tuple(_songs(group, matters, writers, episode)),
                rights=rights or usual_rights(episode.season.production.kind),
                answer_by=answer_by,
            ),
        )
        for (holder, side), group in grouped.items()
    ]
    return sorted(letters, key=lambda letter: (letter.holder.name.casefold(), letter.side != Side.SYNC))


def chosen_letters(found: Sequence[OpenLetter], keys: Collection[str] | None = None) -> list[OpenLetter]:
    """Those of the open letters that the keys name, or all of them. ``Conflict`` when nothing or no longer is open."""
    if keys is None and not found:
        raise Conflict(
            "letters-none-open",
            "There is nobody to write to: no clearance of this episode is a draft with a known holder.",
            place="keys",
        )
    if keys is None:
        return list(found)
    if not keys:
        raise Conflict("letters-none-chosen", "No letter is chosen.", place="keys", mend="Choose at least one.")
    if set(keys) - {letter.key for letter in found}:
        raise Conflict(
            "letter-not-open",
            "A letter that was chosen is no longer open.",
            place="keys",
            mend="Look at the list again: somebody may have asked already.",
        )
    return [letter for letter in found if letter.key in keys]


def letters_of(episode: Episode) -> QuerySet[Letter]:
    """The letters sent about an episode, newest first, without what they say. One query."""
    return episode.letters.select_related("holder", "sent_by").defer("payload").order_by("-sent_at", "-pk")


def letters_for(user: User) -> QuerySet[Letter]:
    """The sent letters of the user's productions, newest first, without what they say. One query."""
    return (
        Letter.objects.filter(episode__season__production__memberships__user=user)
        .select_related("holder", "sent_by", "episode__season__production")
        .defer("payload")
    )


def letter_for(user: User, pk: int) -> Letter:
    """A sent letter with what it says, where the user may read the production. Two queries."""
    letter = letters_for(user).defer(None).filter(pk=pk).first()
    if letter is None:
        raise NotVisible("letter-unknown", "There is no such letter.")
    require(letter.episode.season.production, user, Deed.READ)
    return letter


def content_of(letter: Letter) -> LetterContent:
    """What the letter said; ``Conflict`` when it is no longer what its digest says."""
    return thawed(LetterContent, letter.payload, letter.digest)


def _live_clearances(episode: Episode) -> list[Any]:
    """All live clearances of the episode with the place of their usage in the cut, in the order of the picture."""
    here = FilteredRelation("usage__placements", condition=Q(usage__placements__cut=episode.current_cut_id))
    found = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode=episode, usage__deleted_at__isnull=True)
    placed = (
        found.annotate(here=here)
        .annotate(start=F("here__in_frame"), end=F("here__out_frame"))
        .select_related("holder", "on_behalf_of", "work", "recording", "usage")
        .order_by(F("here__in_frame").asc(nulls_last=True), "usage__cue_number", "pk")
    )
    for clearance in placed:
        clearance.usage.episode = episode  # loaded already, with its production
    return list(placed)


def _contacts(holders: Iterable[int]) -> dict[int, Contact]:
    """The first contact of each holder. One query."""
    contacts: dict[int, Contact] = {}
    for contact in Contact.objects.filter(party__in=holders).order_by("pk"):
        contacts.setdefault(contact.party_id, contact)
    return contacts


def _writers(works: Iterable[int | None]) -> dict[int, list[str]]:
    """The names of the writers of each work. One query."""
    names: defaultdict[int, list[str]] = defaultdict(list)
    rows = WorkShare.objects.filter(work__in={pk for pk in works if pk}, interest=WRITER).order_by("position", "pk")
    for work, name in rows.values_list("work", "party__name"):
        if name not in names[work]:
            names[work].append(name)
    return names


def _holder(group: Sequence[Clearance]) -> Party:
    holder = group[0].holder
    assert holder is not None  # noqa: S101 - grouped by it
    return holder


def _letterhead(episode: Episode) -> Letterhead:
    production = episode.season.production
    return Letterhead(
        company=production.company,
        address=production.company_address,
        contact_name=production.contact_name,
        email=production.contact_email,
        phone=production.contact_phone,
    )


def _addressee(holder: Party, contact: Contact | None) -> Addressee:
    if contact is None:
        return Addressee(name=holder.name)
    return Addressee(
        name=holder.name,
        contact=contact.name,
        department=contact.department,
        address=contact.address,
        email=contact.email,
    )


def _programme(episode: Episode) -> Programme:
    season, production = episode.season, episode.season.production
    title = f"“{episode.title}”" if episode.title else ""
    numbers = f"Season {season.number}, Episode {episode.number}" if production.is_series else ""
    return Programme(
        production=production.title,
        kind=production.get_kind_display(),
        company=production.company,
        episode=f"{numbers} {title}".strip(),
        network=production.network,
        first_broadcast=episode.air_date,
        synopsis=episode.synopsis or production.synopsis,
    )


def _songs(
    group: Sequence[Any], matters: Matters, writers: Mapping[int, list[str]], episode: Episode
) -> Iterable[LetterSong]:
    """The songs of one letter in the order in which they are first used."""
    songs: defaultdict[tuple[int | None, int | None], list[Any]] = defaultdict(list)
    for clearance in group:
        songs[clearance.work_id, clearance.recording_id].append(clearance)
    for clearances in songs.values():
        first = clearances[0]
        others = [other for other in matters[_matter(first)] if other.holder_id != first.holder_id]
        yield _song(first, clearances, others, writers, episode)


def _matter(clearance: Clearance) -> Matter:
    """What all the holders of one song in one usage have in common."""
    return clearance.usage_id, clearance.side, clearance.work_id, clearance.recording_id


def _song(
    first: Any,
    clearances: Sequence[Any],
    others: Sequence[Clearance],
    writers: Mapping[int, list[str]],
    episode: Episode,
) -> LetterSong:
    work, recording = first.work, first.recording
    uses = {clearance.usage_id: clearance for clearance in clearances}
    shared: dict[str, Any] = {
        "portions": tuple(
            _portion(clearance, clearance.on_behalf_of)
            for clearance in clearances
            if clearance.usage_id == first.usage_id
        ),
        "others": tuple(_portion(other, other.on_behalf_of or other.holder) for other in others),
        "uses": tuple(_song_use(clearance, episode) for clearance in uses.values()),
    }
    if work is not None:
        return LetterSong(title=work.title, writers=tuple(writers.get(work.pk, ())), iswc=work.iswc, **shared)
    return LetterSong(
        title=recording.title,
        version=recording.version_title,
        artist=recording.artist,
        label=recording.label,
        isrc=recording.isrc,
        year=recording.year,
        **shared,
    )


def _portion(clearance: Clearance, party: Party | None) -> Portion:
    where = "" if clearance.territory == WORLD.text else clearance.territory
    return Portion(name=party.name if party else "", share=clearance.share, territory=where)


def _song_use(clearance: Any, episode: Episode) -> SongUse:
    usage, cut = clearance.usage, episode.current_cut
    placed = clearance.start is not None and cut is not None
    return SongUse(
        cue_number=usage.cue_number,
        scene=usage.scene,
        how=how_used(usage.facets),
        up_to_seconds=whole_seconds(clearance.end - clearance.start, cut.frame_rate) if placed and cut else None,
    )
