"""Facts that the stages of a clearance need: which of them fail, each with its detail. See ``rules.clearance.GUARDS``."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from supervision.models import Clearance, QuoteCondition
from supervision.rules.clearance import APPROVALS_MET, HOLDER_KNOWN, QUOTE_VALID, SIGNED_FILE, Guard, Stage
from supervision.rules.sentence import figures, joined, say


def facts_lacking(clearance: Clearance, to: Stage, *, today: date, signed_file: bool) -> dict[Guard, str]:
    """The facts that do not hold for a step to the stage. One query for a licence, else none.

    ``signed_file`` says whether one comes with the step.
    """
    quote, lacks = clearance.standing_quote, dict[Guard, str]()
    if clearance.holder_id is None:
        lacks[HOLDER_KNOWN] = say("{share} of the side", share=figures(f"{clearance.share.normalize():f} %"))
    if quote is not None and quote.valid_until is not None and quote.valid_until < today:
        lacks[QUOTE_VALID] = say("it was valid until {day}", day=quote.valid_until)
    if to is Stage.LICENSED and (still_open := open_approvals(clearance)):
        lacks[APPROVALS_MET] = words_of(still_open)
    if not signed_file:
        lacks[SIGNED_FILE] = ""
    return lacks


def open_approvals(clearance: Clearance) -> list[QuoteCondition]:
    """The approvals that the standing quote still waits for. One query."""
    return list(
        QuoteCondition.objects.filter(
            quote=clearance.standing_quote_id, kind__in=QuoteCondition.APPROVALS, met_on__isnull=True
        )
    )


def words_of(conditions: Iterable[QuoteCondition]) -> str:
    """Conditions in words: "Artist approval, Approval of the edit: final mix"."""
    return joined((each.words for each in conditions), between=", ")
