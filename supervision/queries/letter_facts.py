"""What a letter is written from: the house, the holder, the programme and the songs, out of rows that are loaded already.

``sources`` reads what all letters about an episode have in common, in three queries; ``facts_of`` asks nothing more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db.models import F, FilteredRelation, Q

from supervision.models import AskTemplate, Clearance, Contact, Episode, Party, Production, WorkShare
from supervision.models.catalogue import WRITER
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.rules.clearance import Side
from supervision.rules.durations import whole_seconds
from supervision.rules.letter import (
    AcceptedTerms,
    Addressee,
    FirstLetter,
    LetterFacts,
    Letterhead,
    LetterKind,
    LetterSong,
    Offer,
    Portion,
    Programme,
    RequestedRights,
    SongUse,
    usual_rights,
)
from supervision.rules.letter_words import words
from supervision.rules.letter_writing import how_used
from supervision.rules.money import Money
from supervision.rules.territory import WORLD

Matter = tuple[int, str, int | None, int | None]
Matters = Mapping[Matter, Sequence[Clearance]]


@dataclass(frozen=True, slots=True)
class OpenLetter:
    """A letter that can be written now: to one holder about one side; ``first_pk`` is the letter that it follows."""

    holder: Party
    side: Side
    clearances: tuple[Clearance, ...]
    facts: LetterFacts
    first_pk: int | None = None
    last_written: date | None = None

    @property
    def key(self) -> str:
        """How a form or an address names it: ``12-sync``, ``12-sync-34`` where it follows a letter."""
        following = f"-{self.first_pk}" if self.first_pk else ""
        return f"{self.holder.pk}-{self.side}{following}"

    @property
    def uses(self) -> int:
        """How many usages it is about."""
        return len({clearance.usage_id for clearance in self.clearances})


@dataclass(frozen=True, slots=True)
class Sources:
    """What the letters of one kind about an episode have in common."""

    episode: Episode
    language: str
    matters: Matters
    contacts: Mapping[int, Contact]
    writers: Mapping[int, list[str]]
    accepted: Mapping[int, AcceptedTerms] = field(default_factory=dict)


def live_clearances(episode: Episode) -> list[Any]:
    """All live clearances of the episode with the place of their usage in the cut, in the order of the picture. One query."""
    here = FilteredRelation("usage__placements", condition=Q(usage__placements__cut=episode.current_cut_id))
    found = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode=episode, usage__deleted_at__isnull=True)
    placed = (
        found.annotate(here=here)
        .annotate(start=F("here__in_frame"), end=F("here__out_frame"))
        .select_related("holder", "on_behalf_of", "work", "recording", "usage", "standing_quote")
        .order_by(F("here__in_frame").asc(nulls_last=True), "usage__cue_number", "pk")
    )
    for clearance in placed:
        clearance.usage.episode = episode  # loaded already, with its production
    return list(placed)


def sources(
    episode: Episode,
    live: Sequence[Any],
    asked: Sequence[Clearance],
    *,
    language: str,
    accepted: Mapping[int, AcceptedTerms] | None = None,
) -> Sources:
    """What is known for letters about the ``asked`` among the live clearances. Two queries."""
    matters: defaultdict[Matter, list[Clearance]] = defaultdict(list)
    for clearance in live:
        matters[_matter(clearance)].append(clearance)
    return Sources(
        episode=episode,
        language=language,
        matters=matters,
        contacts=_contacts({clearance.holder_id for clearance in asked}),
        writers=_writers(clearance.work_id for clearance in asked),
        accepted=accepted or {},
    )


def rights_of(production: Production, template: AskTemplate | None) -> RequestedRights:
    """What is asked for on a side unless somebody says otherwise: its template, else what is usual."""
    if template is None:
        return usual_rights(production.kind)
    return RequestedRights(
        media=template.media,
        territory=template.territory,
        term=template.term,
        promotion=template.promotion,
        options=option_lines(template.options),
        favoured_offered=template.favoured_offered,
        remarks=template.closing,
    )


def option_lines(text: str) -> tuple[str, ...]:
    """The options of a text, one a line."""
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def facts_of(
    known: Sources,
    group: Sequence[Any],
    *,
    rights: RequestedRights,
    answer_by: date | None,
    kind: LetterKind = LetterKind.REQUEST,
    first: FirstLetter | None = None,
) -> LetterFacts:
    """What the letter about one holder's clearances is written from."""
    holder = holder_of(group)
    return LetterFacts(
        side=Side(group[0].side),
        letterhead=_letterhead(known.episode),
        addressee=_addressee(holder, known.contacts.get(holder.pk)),
        programme=_programme(known.episode, known.language),
        songs=tuple(_songs(group, known)),
        rights=rights,
        answer_by=answer_by,
        kind=kind,
        language=known.language,
        first=first,
    )


def holder_of(group: Sequence[Clearance]) -> Party:
    """The one holder of a group of clearances."""
    holder = group[0].holder
    assert holder is not None  # noqa: S101 - grouped by it
    return holder


def _contacts(holders: Iterable[int | None]) -> dict[int, Contact]:
    """The first contact of each holder. One query."""
    contacts: dict[int, Contact] = {}
    for contact in Contact.objects.filter(party__in={pk for pk in holders if pk}).order_by("pk"):
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


def _programme(episode: Episode, language: str) -> Programme:
    season, production, voice = episode.season, episode.season.production, words(language)
    title = voice.text("title", title=episode.title) if episode.title else ""
    numbers = voice.text("season_episode", season=season.number, episode=episode.number) if production.is_series else ""
    return Programme(
        production=production.title,
        kind=voice.text(f"kind.{production.kind}"),
        company=production.company,
        episode=f"{numbers} {title}".strip(),
        network=production.network,
        first_broadcast=episode.air_date,
        synopsis=episode.synopsis or production.synopsis,
    )


def _songs(group: Sequence[Any], known: Sources) -> Iterable[LetterSong]:
    """The songs of one letter in the order in which they are first used."""
    songs: defaultdict[tuple[int | None, int | None], list[Any]] = defaultdict(list)
    for clearance in group:
        songs[clearance.work_id, clearance.recording_id].append(clearance)
    for clearances in songs.values():
        yield _song(clearances, known)


def _matter(clearance: Clearance) -> Matter:
    """What all the holders of one song in one usage have in common."""
    return clearance.usage_id, clearance.side, clearance.work_id, clearance.recording_id


def _song(clearances: Sequence[Any], known: Sources) -> LetterSong:
    first = clearances[0]
    work, recording = first.work, first.recording
    uses: defaultdict[int, list[Any]] = defaultdict(list)
    for clearance in clearances:
        uses[clearance.usage_id].append(clearance)
    others = [other for other in known.matters[_matter(first)] if other.holder_id != first.holder_id]
    shared: dict[str, Any] = {
        "portions": tuple(_portion(clearance, clearance.on_behalf_of) for clearance in uses[first.usage_id]),
        "others": tuple(_portion(other, other.on_behalf_of or other.holder) for other in others),
        "uses": tuple(_song_use(portions, known) for portions in uses.values()),
    }
    if work is not None:
        return LetterSong(title=work.title, writers=tuple(known.writers.get(work.pk, ())), iswc=work.iswc, **shared)
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


def _song_use(portions: Sequence[Any], known: Sources) -> SongUse:
    """One use with what was offered for it, or what was accepted, for each of the holder's portions."""
    first, cut = portions[0], known.episode.current_cut
    placed = first.start is not None and cut is not None
    return SongUse(
        cue_number=first.usage.cue_number,
        scene=first.usage.scene,
        how=how_used(first.usage.facets, known.language),
        up_to_seconds=whole_seconds(first.end - first.start, cut.frame_rate) if placed and cut else None,
        offers=() if known.accepted else tuple(filter(None, map(_offer, portions))),
        accepted=tuple(known.accepted[portion.pk] for portion in portions if portion.pk in known.accepted),
    )


def _offer(clearance: Clearance) -> Offer | None:
    if clearance.offered_minor is None:
        return None
    whose = clearance.on_behalf_of.name if clearance.on_behalf_of else ""
    return Offer(amount=Money(clearance.offered_minor, clearance.offered_currency), name=whose)
