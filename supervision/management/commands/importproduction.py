"""``manage.py importproduction FILE [--as NAME] [--check] [--take-ours]``: take in a production from another installation."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from supervision.actions.production_files import read_production_file
from supervision.actions.production_import import import_production
from supervision.management.paper import BAD_INPUT, one_line
from supervision.models import User
from supervision.queries.production_plan import ImportPlan, plan_import
from supervision.rules.errors import NotVisible, Refusal
from supervision.rules.production_file import rows_counted


class Command(BaseCommand):
    """Take it in; what is refused is told in one line on standard error, with exit status 2, and nothing is written."""

    help = (
        "Take in a production that another installation exported, whole or not at all. Done twice, it changes nothing."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the exported file")
        parser.add_argument("--as", dest="by", metavar="NAME", help="who does it, and becomes a supervisor of it")
        parser.add_argument("--check", action="store_true", help="only say what would happen")
        parser.add_argument(
            "--take-ours", action="store_true", help="use the catalogue that is here where the file says otherwise"
        )

    def handle(self, **options: Any) -> None:
        try:
            content = read_production_file(options["file"].read_bytes())
            if options["check"]:
                self._tell(plan_import(content))
                return
            done = import_production(
                content=content, by=_user(options["by"]), now=timezone.now(), take_ours=options["take_ours"]
            )
        except (Refusal, OSError) as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        self._tell(done.plan)
        self.stdout.write(f"{done.production} ({done.production.code}) is here.")

    def _tell(self, plan: ImportPlan) -> None:
        if plan.unchanged:
            self.stdout.write("It is here already, with the same content.")
        for table, count in plan.new.items():
            self.stdout.write(f"new: {rows_counted(table, count)}")
        for finding in (*plan.conflicts, *plan.differing):
            self.stdout.write(f"conflict: {finding.place}: {finding.text} {finding.mend}")
        for person in plan.unknown:
            self.stdout.write(f"without an account here: {person.text}")


def _user(name: str | None) -> User | None:
    if not name:
        return None
    found = User.objects.filter(username=name).first()
    if found is None:
        raise NotVisible("user-unknown", f"There is no user {name}.")
    return found
