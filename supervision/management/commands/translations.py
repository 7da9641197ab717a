"""``manage.py translations``: bring the catalogues of translations up to date with the source, and compile them."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from supervision.management import translations


class Command(BaseCommand):
    """Collects every text, keeps what is translated, and says what is not; with ``--compile`` it only compiles."""

    help = "Collect the texts of pages into the catalogues of translations and compile these."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Take ``--compile``."""
        parser.add_argument("--compile", action="store_true", help="only make what Django reads of the catalogues")

    def handle(self, *_args: Any, **options: Any) -> None:
        """Write the catalogues, unless only asked to compile."""
        for language in translations.languages():
            if not options["compile"]:
                catalog = translations.brought_up_to_date(language)
                translations.write(language, catalog)
                blank = list(translations.lacking(catalog))
                self.stdout.write(f"{language}: {len(catalog)} texts, {len(blank)} without a translation")
            translations.compile_catalogue(language)
