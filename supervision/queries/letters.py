"""Letters: whom to ask about an episode, with everything that the letter says, and the letters that were sent.

Four queries for all open requests of an episode, whatever it uses.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import django_filters
from django.db.models import QuerySet

from supervision.models import Clearance, Episode, Letter, User
from supervision.queries.accounts import allows, require
from supervision.queries.asks import templates_of
from supervision.queries.letter_facts import OpenLetter, facts_of, holder_of, live_clearances, rights_of, sources
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.frozen import thawed
from supervision.rules.letter import LetterContent
from supervision.rules.letter_words import Language
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


class LetterFilter(django_filters.FilterSet):
    """Letters by episode and production code, side, kind and holder."""

    episode = django_filters.CharFilter(field_name="episode__code", lookup_expr="iexact")
    production = django_filters.CharFilter(field_name="episode__season__production__code", lookup_expr="iexact")
    holder = django_filters.NumberFilter(field_name="holder_id")

    class Meta:
        model = Letter
        fields = ("side", "kind")


def language_of(episode: Episode, language: str | None) -> str:
    """The language of a letter: the one said (``BadValue`` for one we don't write), else the production's."""
    return Language.read(language or episode.season.production.letter_language)


def open_letters(
    episode: Episode,
    *,
    rights: Mapping[str, Any] | None = None,
    answer_by: date | None = None,
    language: str | None = None,
) -> list[OpenLetter]:
    """The requests to be written about an episode, by holder, sync before master. Four queries.

    They cover the clearances that are drafts and whose holder is known. ``rights`` are the fields of
    ``RequestedRights`` that differ from what the production usually asks for on the side.
    """
    live = live_clearances(episode)
    drafts = [clearance for clearance in live if clearance.stage == Stage.DRAFT and clearance.holder_id]
    grouped: defaultdict[tuple[int, Side], list[Clearance]] = defaultdict(list)
    for clearance in drafts:
        grouped[clearance.holder_id, Side(clearance.side)].append(clearance)
    known = sources(episode, live, drafts, language=language_of(episode, language))
    production = episode.season.production
    templates = templates_of(production)
    letters = [
        OpenLetter(
            holder=holder_of(group),
            side=side,
            clearances=tuple(group),
            facts=facts_of(
                known,
                group,
                rights=replace(rights_of(production, templates.get(side)), **(rights or {})),
                answer_by=answer_by,
            ),
        )
        for (_, side), group in grouped.items()
    ]
    return in_order(letters)


def in_order(letters: Sequence[OpenLetter]) -> list[OpenLetter]:
    """By holder, sync before master."""
    return sorted(letters, key=lambda letter: (letter.holder.name.casefold(), letter.side != Side.SYNC))


def chosen_letters(found: Sequence[OpenLetter], keys: Collection[str] | None = None) -> list[OpenLetter]:
    """Those of the open letters that the keys name, or all of them. ``Conflict`` when nothing or no longer is open."""
    if keys is None and not found:
        text = say("There is nobody to write to: no such letter is open now.")
        raise Conflict("letters-none-open", text, place="keys")
    if keys is None:
        return list(found)
    if not keys:
        mend = say("Choose at least one.")
        raise Conflict("letters-none-chosen", say("No letter is chosen."), place="keys", mend=mend)
    if set(keys) - {letter.key for letter in found}:
        raise Conflict(
            "letter-not-open",
            say("A letter that was chosen is no longer open."),
            place="keys",
            mend=say("Look at the list again: somebody may have written already."),
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
    """A sent letter with what it says, where the user may read the production, and fees if it tells any. Three queries."""
    letter = letters_for(user).defer(None).filter(pk=pk).first()
    if letter is None:
        raise NotVisible("letter-unknown", say("There is no such letter."))
    production = letter.episode.season.production
    require(production, user, Deed.READ)
    if content_of(letter).tells_fees:
        require(production, user, Deed.READ_MONEY)
    return letter


def content_of(letter: Letter) -> LetterContent:
    """What the letter said; ``Conflict`` when it is no longer what its digest says."""
    return thawed(LetterContent, letter.payload, letter.digest)


def sent_contents(episode: Episode, user: User) -> list[LetterContent]:
    """What the letters sent about an episode said, oldest first; those that tell fees only to who may see fees. Two queries.

    ``Conflict`` where the user may read none.
    """
    fees = allows(episode.season.production, user, Deed.READ_MONEY)
    said = [content_of(letter) for letter in episode.letters.order_by("sent_at", "pk")]
    found = [content for content in said if fees or not content.tells_fees]
    if not found:
        raise Conflict("letters-none-sent", say("No letter that you may read has been sent about this episode."))
    return found
