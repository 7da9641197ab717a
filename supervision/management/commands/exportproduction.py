"""``manage.py exportproduction CODE --output FILE``: a whole production as one JSON file for another installation."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandParser

from supervision.actions.printing import Printed
from supervision.actions.production_files import production_file
from supervision.management.paper import FileCommand
from supervision.models import Production
from supervision.rules.errors import NotVisible


class Command(FileCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = "Write a whole production, with its part of the catalogue and its signed files, as one JSON file."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("code", help="the production's code")

    def printed(self, options: dict[str, Any]) -> Printed:
        """The production, whole."""
        found = Production.objects.filter(code__iexact=options["code"]).first()
        if found is None:
            raise NotVisible("production-unknown", f"There is no production {options['code']}.")
        return production_file(found)
