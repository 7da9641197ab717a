"""``manage.py demo``: load the demo, or what of it is missing."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction

from supervision.management.demo.catalogue import Catalogue
from supervision.management.demo.people import load_people
from supervision.management.demo.productions import FIRST_DAY, load_production
from supervision.management.demo.source import PRODUCTIONS, morning, read
from supervision.models import Usage


class Command(BaseCommand):
    """Load the demo."""

    help = "Load three invented productions, or what of them is missing, and print the demo's sign-ins."

    @transaction.atomic
    def handle(self, *args: Any, **options: Any) -> None:  # noqa: ARG002 - Django's signature
        told = read("people")
        people = load_people(told)
        catalogue = Catalogue(people["admin"], morning(FIRST_DAY))
        catalogue.load(read("catalogue"))
        for name in PRODUCTIONS:
            production = load_production(read(name), people=people, catalogue=catalogue)
            code = read(name)["production"]["code"]
            state = "is already there" if production is None else f"has {_count(code)} usages"
            self.stdout.write(f"{read(name)['production']['title']} ({code}) {state}.")
        self.stdout.write(f"Sign in as {', '.join(people)}; the password of each is {told['password']}")


def _count(code: str) -> int:
    return Usage.objects.filter(episode__season__production__code=code).count()
