"""Confirmations that are to be written: accepted quotes whose terms nobody has confirmed in a letter yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from django.db.models import Prefetch, prefetch_related_objects

from supervision.models import Clearance, Episode, Grant, Letter, Licence, Option, Quote, QuoteCondition
from supervision.queries.asks import templates_of
from supervision.queries.chasers import first_letters, letter_links
from supervision.queries.letter_facts import (
    OpenLetter,
    Sources,
    facts_of,
    holder_of,
    live_clearances,
    rights_of,
    sources,
)
from supervision.queries.letters import content_of, in_order, language_of
from supervision.rules.clearance import Side, Stage
from supervision.rules.favoured_terms import Scope
from supervision.rules.fees import Basis
from supervision.rules.letter import AcceptedOption, AcceptedTerms, FirstLetter, LetterKind, RequestedRights
from supervision.rules.letter_words import Words, words
from supervision.rules.term import Term

ACCEPTED = (Stage.APPROVED, Stage.LICENSED)
_OVER: Mapping[str, Any] = {"options": (), "basis": None, "favoured_offered": False, "remarks": ""}


def open_confirmations(
    episode: Episode,
    *,
    rights: Mapping[str, Any] | None = None,
    answer_by: date | None = None,
    language: str | None = None,
) -> list[OpenLetter]:
    """The confirmations to be written about an episode, by holder. At most 12 queries, whatever was accepted.

    They cover approved and licensed clearances whose standing quote no confirmation restates. The rights are those of
    the request letter that the quote answers, else what the production usually asks for, but for what ``rights`` says.
    """
    live = live_clearances(episode)
    confirmed = _confirmed(episode)
    accepted = [c for c in live if c.stage in ACCEPTED and c.holder_id and c.standing_quote_id not in confirmed]
    if not accepted:
        return []
    spoken = language_of(episode, language)
    firsts = first_letters(letter_links(episode))
    grouped: defaultdict[tuple[int, str, int | None], list[Any]] = defaultdict(list)
    for clearance in accepted:
        first = firsts.get(clearance.pk)
        grouped[clearance.holder_id, clearance.side, first.pk if first else None].append(clearance)
    terms = _accepted_terms(accepted, words(spoken))
    known = sources(episode, live, accepted, language=spoken, accepted=terms)
    letters = Letter.objects.in_bulk({pk for *_, pk in grouped if pk})
    usual = _usual(episode)
    return in_order(
        [
            _confirmation(known, group, letters.get(pk or 0), usual[Side(side)], rights or {}, answer_by)
            for (_, side, pk), group in grouped.items()
        ]
    )


def _usual(episode: Episode) -> dict[Side, RequestedRights]:
    production = episode.season.production
    templates = templates_of(production)
    return {side: rights_of(production, templates.get(side)) for side in Side}


def _confirmation(
    known: Sources,
    group: Sequence[Any],
    first: Letter | None,
    usual: RequestedRights,
    said: Mapping[str, Any],
    answer_by: date | None,
) -> OpenLetter:
    asked = content_of(first) if first else None
    return OpenLetter(
        holder=holder_of(group),
        side=Side(group[0].side),
        clearances=tuple(group),
        facts=facts_of(
            known,
            group,
            # What was offered and asked for is over: the options that were quoted stand among the accepted terms.
            rights=replace(asked.rights if asked else usual, **{**said, **_OVER}),
            answer_by=answer_by,
            kind=LetterKind.CONFIRMATION,
            first=FirstLetter(reference=asked.reference, dated=asked.dated) if asked else None,
        ),
        first_pk=first.pk if first else None,
    )


def _confirmed(episode: Episode) -> set[int]:
    """The quotes that confirmations have restated. One query."""
    payloads = episode.letters.filter(kind=LetterKind.CONFIRMATION).values_list("payload", flat=True)
    uses = [use for payload in payloads for song in payload["songs"] for use in song["uses"]]
    return {terms["quote"] for use in uses for terms in use["accepted"]}


def _accepted_terms(accepted: Sequence[Clearance], voice: Words) -> dict[int, AcceptedTerms]:
    """What was accepted, by clearance. Four queries."""
    in_force = Licence.objects.filter(withdrawn_at__isnull=True).prefetch_related(
        Prefetch("grants", Grant.objects.order_by("starts_on", "pk"))
    )
    prefetch_related_objects(
        list(accepted),
        Prefetch("standing_quote__condition_list", QuoteCondition.objects.order_by("pk")),
        Prefetch("standing_quote__options", Option.objects.order_by("pk")),
        Prefetch("licences", in_force, to_attr="in_force"),
    )
    return {clearance.pk: _terms(clearance, voice) for clearance in accepted}


def _terms(clearance: Any, voice: Words) -> AcceptedTerms:
    quote: Quote = clearance.standing_quote
    licence = next(iter(clearance.in_force), None)
    return AcceptedTerms(
        quote=quote.pk,
        amount=quote.amount,
        basis=Basis(quote.basis),
        share=clearance.share,
        payable=licence.fee if licence else quote.payable,
        received=quote.received_on,
        name=clearance.on_behalf_of.name if clearance.on_behalf_of else "",
        favoured=_favoured(quote, voice),
        conditions=_conditions(quote, voice),
        options=tuple(_option(option, voice) for option in quote.options.all()),
        licence=voice.text("licence", number=licence.number, day=voice.day(licence.executed_on)) if licence else "",
        granted=tuple(_granted(grant, voice) for grant in licence.grants.all()) if licence else (),
    )


def _favoured(quote: Quote, voice: Words) -> str:
    if not quote.favoured:
        return ""
    if not quote.favoured_with:
        return voice.text("favoured_yes")
    return voice.text("favoured_with", scope=voice.text(f"scope.{Scope(quote.favoured_with)}"))


def _conditions(quote: Quote, voice: Words) -> tuple[str, ...]:
    """What the holder made the quote depend on: in the letter's language, but for what it wrote itself."""
    told = [quote.conditions.strip()] if quote.conditions.strip() else []
    for condition in quote.condition_list.all():
        said = condition.text or voice.text(f"condition.{condition.kind}")
        told.append(
            voice.text("condition_met", condition=said, day=voice.day(condition.met_on)) if condition.met_on else said
        )
    return tuple(told)


def _option(option: Option, voice: Words) -> AcceptedOption:
    return AcceptedOption(
        name=voice.text(f"option.{option.kind}"),
        media=voice.phrase(option.media),
        territory=voice.phrase(option.territory),
        fee=option.payable,
        until=option.exercisable_until,
        exercised=option.exercised_on,
    )


def _granted(grant: Grant, voice: Words) -> str:
    term = voice.days(Term(grant.starts_on, grant.ends_on))
    return voice.text("granted", media=voice.phrase(grant.media), territory=voice.phrase(grant.territory), term=term)
