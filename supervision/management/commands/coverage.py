"""``manage.py coverage EPISODE-CODE [--json]``: whether an episode's release plan is covered, and where it is not."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from supervision.interchange.coverage_json import write_coverage
from supervision.management.paper import BAD_INPUT, episode_called, one_line
from supervision.queries.coverage import proof_of
from supervision.rules.errors import BadValue, Refusal
from supervision.rules.money import money_text
from supervision.rules.percent import share_words
from supervision.rules.proof import Offer, Proof, ProofGap


class Command(BaseCommand):
    """Print the proof; what is refused is told in one line on standard error, with exit status 2."""

    help = (
        "Print whether an episode's release plan is covered by its licences, and the gaps with what would close them."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("episode", help="the episode's code")
        parser.add_argument("--json", action="store_true", help="print what the API answers")
        parser.add_argument("--on", metavar="DAY", help="the day to prove for, such as 2026-12-01; else today")

    def handle(self, **options: Any) -> None:
        try:
            today = _day(options["on"]) if options["on"] else timezone.localdate()
            proof = proof_of(episode_called(options["episode"]), today=today, fees=True)
        except Refusal as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        if options["json"]:
            self.stdout.write(json.dumps(write_coverage(proof), ensure_ascii=False, indent=2))
            return
        for line in _lines(proof):
            self.stdout.write(line)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadValue("day-unreadable", f"“{text[:20]}” is no day.", mend="Write it as 2026-12-01.") from None


def _lines(proof: Proof) -> Iterator[str]:
    yield f"{proof.episode.code}: {proof.verdict}"
    for found in proof.gaps:
        yield f"  {one_line(_gap(found))}"
    if proof.closing:
        rest = f" Gaps that stay: {proof.closing.left}." if proof.closing.left else ""
        yield one_line(f"Cheapest: {_offers(proof.closing.offers)}.{rest}")
    for finding in proof.findings:
        yield one_line(f"{finding.level.value.capitalize()}: {finding.place}: {finding.text} {finding.mend}")
    if proof.blocks:
        yield f"What blocks the broadcast: {len(proof.blocks)}"
        for block in proof.blocks:
            yield f"  {one_line(block.sentence)}"


def _gap(found: ProofGap) -> str:
    gap = found.gap
    lacking = ", ".join(holder.name for holder in found.lacking)
    closed = f" Closed by {_offers(found.offers)}." if found.offers else ""
    return (
        f"{found.side.name}: {gap.media.text}, {gap.territory.text}, {gap.term.text}: "
        f"{share_words(gap.granted)} granted, lacking: {lacking or 'nobody known'}.{closed}"
    )


def _offers(offers: tuple[Offer, ...]) -> str:
    return ", ".join(f"{offer.label.lower()} of {offer.holder}{_price(offer)}" for offer in offers)


def _price(offer: Offer) -> str:
    fee = f" for {money_text(offer.fee)}" if offer.fee else ""
    return f"{fee} until {offer.deadline}" if offer.deadline else fee
