"""Reminders that are due: request letters to which a holder has not answered for so many days."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from supervision.models import Episode, Letter
from supervision.queries.asks import templates_of
from supervision.queries.letter_facts import OpenLetter, Sources, facts_of, holder_of, live_clearances, sources
from supervision.queries.letters import content_of, in_order
from supervision.rules.clearance import Side, Stage
from supervision.rules.letter import FirstLetter, LetterKind
from supervision.rules.letter_words import Language

CHASE_DAYS = 7


def letter_links(episode: Episode) -> list[tuple[int, Letter]]:
    """Each clearance of the episode with each letter that was about it, oldest first. Two queries."""
    letters = {letter.pk: letter for letter in episode.letters.defer("payload")}
    rows = Letter.clearances.through.objects.filter(letter__episode=episode)
    links = rows.order_by("letter__sent_at", "letter_id").values_list("clearance_id", "letter_id")
    return [(clearance, letters[letter]) for clearance, letter in links]


def first_letters(links: Iterable[tuple[int, Letter]]) -> dict[int, Letter]:
    """The last request letter about each clearance: the one that its answer, or its reminder, refers to."""
    return {clearance: letter for clearance, letter in links if letter.kind == LetterKind.REQUEST}


def due_chasers(
    episode: Episode, today: date, *, answer_by: date | None = None, language: str | None = None
) -> list[OpenLetter]:
    """The reminders that are due today, by holder. At most seven queries, whatever is asked.

    A holder is reminded of one request letter at a time, of what is still requested in it, as many days after the last
    letter about it as the template of the side says (a week without one). The reminder speaks the language of the
    first letter unless another is said.
    """
    live = live_clearances(episode)
    requested = [clearance for clearance in live if clearance.stage == Stage.REQUESTED]
    if not requested:
        return []
    links = letter_links(episode)
    firsts, written = first_letters(links), _last_written(links)
    wait = _days_to_wait(episode)
    grouped: defaultdict[int, list[Any]] = defaultdict(list)
    for clearance in requested:
        first = firsts.get(clearance.pk)
        if first and written[clearance.pk] + timedelta(days=wait[Side(clearance.side)]) <= today:
            grouped[first.pk].append(clearance)
    asked = [clearance for group in grouped.values() for clearance in group]
    known = sources(episode, live, asked, language=Language.ENGLISH)
    letters = Letter.objects.in_bulk(grouped)
    return in_order(
        [
            _chaser(replace(known, language=language or letters[pk].language), group, letters[pk], written, answer_by)
            for pk, group in grouped.items()
        ]
    )


def _chaser(
    known: Sources, group: Sequence[Any], first: Letter, written: Mapping[int, date], answer_by: date | None
) -> OpenLetter:
    said = content_of(first)
    return OpenLetter(
        holder=holder_of(group),
        side=Side(first.side),
        clearances=tuple(group),
        facts=facts_of(
            known,
            group,
            rights=said.rights,
            answer_by=answer_by,
            kind=LetterKind.CHASER,
            first=FirstLetter(reference=said.reference, dated=said.dated),
        ),
        first_pk=first.pk,
        last_written=max(written[clearance.pk] for clearance in group),
    )


def _last_written(links: Iterable[tuple[int, Letter]]) -> dict[int, date]:
    """The day on which a holder was last asked or reminded, by clearance."""
    return {
        clearance: timezone.localdate(letter.sent_at)
        for clearance, letter in links
        if letter.kind != LetterKind.CONFIRMATION
    }


def _days_to_wait(episode: Episode) -> dict[Side, int]:
    templates = templates_of(episode.season.production)
    return {side: templates[side].chase_days if side in templates else CHASE_DAYS for side in Side}
