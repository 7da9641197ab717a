"""``manage.py reckon <rule> < in.json > out.json``: the reckoner on the command line; needs no database."""

import json
import sys

from django.core.management.base import BaseCommand, CommandParser

from supervision.rules.errors import BadValue
from supervision.rules.reckoner import RULES, reckon
from supervision.rules.reckoner.reading import LONGEST_INPUT, read_json
from supervision.rules.reckoner.workings import workings

BAD_INPUT = 2


class Command(BaseCommand):
    """Reads JSON from standard input and writes the rule's answer; bad input exits 2 with one line on standard error."""

    help = "Reckon one rule: JSON on standard input, its answer on standard output. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("rule", help=", ".join(RULES))
        parser.add_argument("--workings", action="store_true", help="add how the answer was come to, in sentences")

    def handle(self, *, rule: str, **options: object) -> None:
        try:
            # One byte more than is allowed, so that longer input is seen without being read to its end.
            given = read_json(sys.stdin.buffer.read(LONGEST_INPUT + 1))
            answer = reckon(rule, given)
        except BadValue as refusal:
            self.stderr.write(_one_line(f"{refusal.place}: {refusal}"))
            raise SystemExit(BAD_INPUT) from None
        if options["workings"]:
            answer |= {"workings": workings(rule, given, answer)}
        self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=2))


def _one_line(text: str) -> str:
    """The text in one line, without characters that a terminal would act on."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
