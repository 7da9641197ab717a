"""``manage.py exportproduction CODE --output FILE``: a whole production as one JSON file for another installation."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from supervision.actions.production_files import production_file
from supervision.management.paper import BAD_INPUT, one_line
from supervision.models import Production
from supervision.rules.errors import NotVisible, Refusal


class Command(BaseCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = "Write a whole production, with its part of the catalogue and its signed files, as one JSON file."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("code", help="the production's code")
        parser.add_argument("--output", required=True, type=Path, metavar="FILE")

    def handle(self, **options: Any) -> None:
        try:
            found = Production.objects.filter(code__iexact=options["code"]).first()
            if found is None:
                raise NotVisible("production-unknown", f"There is no production {options['code']}.")
            options["output"].write_bytes(production_file(found).body)
        except (Refusal, OSError) as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        self.stdout.write(str(options["output"]))
