"""What people do to quotes: record one with its conditions and options, counter it, approve it, raise it.

Old quotes are kept; one of them stands. A counter-offer is ours and never stands. ``payable`` is worked out here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from django.db import transaction
from django.utils import timezone

from supervision.actions.grants import GrantTerms, first_day, read_terms
from supervision.actions.row_sets import place_of, placed
from supervision.actions.rows import audited, change, create, held, validated
from supervision.actions.stages import check_ready, production_of, step
from supervision.models import Clearance, Option, Quote, QuoteCondition, User
from supervision.queries.accounts import require
from supervision.queries.favoured import entitled_to, quote_of
from supervision.queries.guards import words_of
from supervision.rules.clearance import COUNTERABLE, Stage, check_step
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.favoured_terms import ACROSS_SONGS
from supervision.rules.fees import Basis, payable
from supervision.rules.money import Money, money_text
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.term import Term


@dataclass(frozen=True, slots=True)
class ConditionTerms:
    """A condition of a quote: a kind of ``QuoteCondition`` and, where it needs them, words."""

    kind: str
    text: str = ""
    met_on: date | None = None


@dataclass(frozen=True, slots=True)
class OptionTerms:
    """A further grant that a quote offers for a further fee, until a day (that day included; None: no last day)."""

    kind: str
    grant: GrantTerms
    amount: Money
    basis: Basis = Basis.FULL
    exercisable_until: date | None = None


@dataclass(frozen=True, slots=True)
class QuoteTerms:
    """What a quote says beside its amount; ``favoured_with`` is a ``Scope`` or blank, and makes the quote favoured."""

    valid_until: date | None = None
    favoured: bool = False
    favoured_with: str = ""
    similar: bool = False
    conditions: str = ""
    condition_list: Sequence[ConditionTerms] = ()
    options: Sequence[OptionTerms] = ()


@transaction.atomic
def record_quote(
    *,
    clearance: Clearance,
    amount: Money,
    basis: Basis,
    received_on: date,
    by: User,
    now: datetime,
    valid_until: date | None = None,
    favoured: bool = False,
    conditions: str = "",
    version: int | None = None,
    terms: QuoteTerms | None = None,
) -> Quote:
    """Record what a holder asks; the quote before it stays in the history. ``terms`` in place of the three alone."""
    require(production_of(clearance), by, Deed.ASK)
    kept = held(clearance, version)
    if kept.stage_now is not Stage.QUOTED:
        check_step(kept.stage_now, Stage.QUOTED)
    told = terms or QuoteTerms(valid_until=valid_until, favoured=favoured, conditions=conditions)
    return _stand(clearance, amount, basis, received_on, told, by=by, now=now)


def _stand(
    clearance: Clearance,
    amount: Money,
    basis: Basis,
    day: date,
    terms: QuoteTerms,
    *,
    by: User,
    now: datetime,
    note: str = "",
) -> Quote:
    """Make a quote and let it stand."""
    quote = _made("quote", clearance, amount, basis, day, terms, by=by, now=now)
    change(
        clearance,
        {"stage": Stage.QUOTED, "standing_quote": quote, "stage_note": ""},
        by=by,
        now=now,
        production=production_of(clearance),
        verb="made quoted",
        note=note,
    )
    return quote


@transaction.atomic
def record_counter(
    *,
    clearance: Clearance,
    amount: Money,
    basis: Basis,
    made_on: date,
    by: User,
    now: datetime,
    note: str = "",
    version: int | None = None,
) -> Quote:
    """Record what we offered in answer. It stands beside the quotes in the thread; the stage stays where it is."""
    require(production_of(clearance), by, Deed.ASK)
    kept = held(clearance, version)
    if kept.stage_now not in COUNTERABLE:
        raise Conflict(
            "counter-out-of-place",
            say("A clearance that is {stage} has no fee under discussion.", stage=kept.stage_now.label.lower()),
            place="stage",
            mend=say("Counter-offers are made while a clearance is requested, quoted or denied."),
        )
    counter = _made("counter", clearance, amount, basis, made_on, QuoteTerms(conditions=note), by=by, now=now)
    audited("made a counter-offer", kept, by=by, now=now, production=production_of(clearance), note=note)
    return counter


def _made(
    kind: str,
    clearance: Clearance,
    amount: Money,
    basis: Basis,
    day: date,
    terms: QuoteTerms,
    *,
    by: User,
    now: datetime,
) -> Quote:
    production = production_of(clearance)
    _check(amount, day, terms)
    quote = create(
        Quote(
            clearance=clearance,
            kind=kind,
            amount_minor=amount.minor,
            currency=amount.currency,
            basis=basis,
            payable_minor=payable(amount, basis, Fraction(clearance.share)).minor,
            received_on=day,
            valid_until=terms.valid_until,
            favoured=terms.favoured or bool(terms.favoured_with),
            favoured_with=terms.favoured_with,
            similar=terms.similar,
            conditions=terms.conditions,
            recorded_by=by,
        ),
        by=by,
        now=now,
        production=production,
    )
    for index, condition in enumerate(terms.condition_list):
        row = QuoteCondition(quote=quote, kind=condition.kind, text=condition.text, met_on=condition.met_on)
        with placed(place_of("condition_list", index)):
            create(row, by=by, now=now, production=production)
    for index, option in enumerate(terms.options):
        with placed(place_of("options", index)):
            create(_option(quote, option), by=by, now=now, production=production)
    return quote


def _check(amount: Money, day: date, terms: QuoteTerms) -> None:
    if amount.minor < 0:
        raise BadValue(
            "fee-negative",
            say("A fee is not below zero."),
            place="amount",
            mend=say("Give the amount without a minus."),
        )
    if terms.valid_until is not None and terms.valid_until < day:
        raise BadValue(
            "validity-before-date",
            say("The quote would end before the day on which it was received."),
            place="valid_until",
            mend=say("Give a day from {day} on.", day=day),
        )
    if terms.similar and terms.favoured_with not in ACROSS_SONGS:
        raise BadValue(
            "similar-without-songs",
            say("Only a clause that reaches other songs can be limited to songs used similarly."),
            place="similar",
            mend=say("Choose whom it is favoured with, or leave this out."),
        )


def _option(quote: Quote, terms: OptionTerms) -> Option:
    """An option with its grant in readable words and its share's price."""
    grant = read_terms(terms.grant)
    if terms.amount.minor < 0:
        raise BadValue(
            "fee-negative",
            say("A fee is not below zero."),
            place="amount",
            mend=say("Give the amount without a minus."),
        )
    if terms.exercisable_until is not None and terms.exercisable_until < quote.received_on:
        raise BadValue(
            "option-ended",
            say("The option would end before the quote came."),
            place="exercisable_until",
            mend=say("Give a day from {day} on.", day=quote.received_on),
        )
    return Option(
        quote=quote,
        kind=terms.kind,
        media=grant.media.text,
        territory=grant.territory.text,
        starts_on=first_day(grant),
        ends_on=grant.term.end,
        amount_minor=terms.amount.minor,
        currency=terms.amount.currency,
        basis=terms.basis,
        payable_minor=payable(terms.amount, terms.basis, Fraction(quote.clearance.share)).minor,
        exercisable_until=terms.exercisable_until,
    )


@transaction.atomic
def approve_quote(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Accept the standing quote. An expired one is asked for again first."""
    require(production_of(clearance), by, Deed.APPROVE)
    check_ready(held(clearance, version), Stage.APPROVED, today=timezone.localdate(now))
    return step(clearance, Stage.APPROVED, by=by, now=now)


def unapprove(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Take an approval back before the licence is executed; the quote stands."""
    require(production_of(clearance), by, Deed.APPROVE)
    return step(clearance, Stage.QUOTED, by=by, now=now, version=version)


@transaction.atomic
def mark_condition(*, condition: QuoteCondition, met_on: date | None, by: User, now: datetime) -> QuoteCondition:
    """Note the day on which an approval was given; ``None`` takes the note back. Restrictions are kept, not met."""
    clearance = condition.quote.clearance
    production = production_of(clearance)
    require(production, by, Deed.ASK)
    kept = held(clearance, None)
    if condition.quote_id != kept.standing_quote_id or kept.stage_now not in (Stage.QUOTED, Stage.APPROVED):
        raise Conflict(
            "condition-settled",
            say("The condition is not of a quote that is under discussion."),
            place="met_on",
            mend=say("Only a quoted or approved clearance's standing quote waits for approvals."),
        )
    if condition.kind not in QuoteCondition.APPROVALS:
        raise Conflict(
            "condition-restricts", say("“{condition}” is kept, not met.", condition=str(condition)), place="met_on"
        )
    if met_on is not None and met_on > timezone.localdate(now):
        raise BadValue(
            "day-ahead", say("That day is still to come."), place="met_on", mend=say("Give the day of the approval.")
        )
    before, condition.met_on = condition.met_on, met_on
    validated(condition).save(update_fields=["met_on"])
    audited(
        "noted an approval" if met_on else "took an approval’s note back",
        kept,
        by=by,
        now=now,
        production=production,
        before={"met_on": before and before.isoformat()},
        after={"met_on": met_on and met_on.isoformat()},
        note=f"{words_of([condition])}{f', {met_on}' if met_on else ''}",
    )
    return condition


@transaction.atomic
def raise_to_favoured(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Quote:
    """Record a new quote at the rate that the holder's clause gives it; conditions and options go with it.

    An approved clearance is quoted again, since a higher fee needs its own approval. A licence is not changed here.
    """
    production, today = production_of(clearance), timezone.localdate(now)
    kept = held(clearance, version)
    require(production, by, Deed.APPROVE if kept.stage_now is Stage.APPROVED else Deed.ASK)
    entitled = entitled_to(clearance, today)
    if entitled is None:
        raise Conflict(
            "raise-not-due", say("Nobody raises this holder now."), place="stage", mend=say("Look at the page again.")
        )
    if entitled.is_signed:
        raise Conflict(
            "licence-signed",
            say(
                "The licence says {rate} on 100 %; its clause now gives {due}.",
                rate=money_text(entitled.now),
                due=money_text(entitled.due),
            ),
            place="stage",
            mend=say("Amend the licence with the holder, or settle the difference."),
        )
    raised = say("Raised by most favoured nations with {party}.", party=entitled.by_name)
    terms = _raised_terms(quote_of(clearance), raised, today)
    return _stand(clearance, entitled.due, Basis.FULL, today, terms, by=by, now=now, note=raised)


def _raised_terms(old: Quote, raised: str, today: date) -> QuoteTerms:
    """The old quote's terms with the reason of the raise; a validity that has passed was met by the approval."""
    still_valid = old.valid_until is not None and old.valid_until >= today
    return QuoteTerms(
        valid_until=old.valid_until if still_valid else None,
        favoured=old.favoured,
        favoured_with=old.favoured_with,
        similar=old.similar,
        conditions=f"{old.conditions}\n{raised}".strip(),
        condition_list=[ConditionTerms(each.kind, each.text, each.met_on) for each in old.condition_list.all()],
        options=[_option_terms(option) for option in old.options.all()],
    )


def _option_terms(option: Option) -> OptionTerms:
    grant = GrantTerms(option.media, option.territory, Term(option.starts_on, option.ends_on))
    amount = Money(option.amount_minor, option.currency)
    return OptionTerms(option.kind, grant, amount, Basis(option.basis), option.exercisable_until)
