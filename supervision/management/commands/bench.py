"""``manage.py bench``: pages beside the bare SQL of their answers, on a season and on one ten times as long."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from supervision.management.bench.measure import measure_page
from supervision.management.bench.paper import measure_cue_sheet
from supervision.management.bench.season import make_season
from supervision.models import Season

PAGES = ("board", "log", "money", "search")
SEASONS = {"X1": (24, 60), "X10": (240, 60)}


class Command(BaseCommand):
    """Measure in a database of its own, which goes when it is done."""

    help = "Measure pages and the cue sheet on a season of 24 × 60 usages and on one of 240 × 60."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--fill", metavar="SEASON", choices=SEASONS, help="fill this process's database (used by bench)"
        )
        parser.add_argument("--measure", metavar="WHAT", help="measure one thing in this process (used by bench)")
        parser.add_argument("--season", choices=SEASONS, default="X1", help="which season to measure")

    def handle(self, *args: Any, **options: Any) -> None:  # noqa: ARG002 - Django's signature
        if options["fill"]:
            call_command("migrate", verbosity=0)
            call_command("collectstatic", interactive=False, verbosity=0)
            make_season(options["fill"], *SEASONS[options["fill"]])
        elif options["measure"]:
            self.stdout.write(json.dumps(_measure(options["measure"], options["season"])))
        else:
            self._compare()

    def _compare(self) -> None:
        told: dict[str, dict[str, Any]] = {name: {} for name in SEASONS}
        for name in SEASONS:
            with tempfile.TemporaryDirectory() as folder:
                _child(Path(folder), "--fill", name)
                for what in (*PAGES, "cue sheet"):
                    told[name][what] = json.loads(_child(Path(folder), "--measure", what, "--season", name))
        for name, (episodes, usages) in SEASONS.items():
            self._table(f"Season of {episodes} × {usages} usages", told[name])
        self.stdout.write("\nTen times the data, page by page")
        for what in PAGES:
            growth = told["X10"][what]["page_ms"] / told["X1"][what]["page_ms"]
            self.stdout.write(f"  {what:10} × {growth:5.2f}   (aim: at most 1.3)")

    def _table(self, title: str, told: dict[str, Any]) -> None:
        self.stdout.write(f"\n{title}; milliseconds of processor time")
        self.stdout.write(
            f"  {'':10} {'page ms':>9} {'bare ms':>9} {'ratio':>7} {'over by':>9} {'queries':>8} {'kB':>7} {'peak MB':>8}"
        )
        for what, marks in told.items():
            ratio, over = marks["page_ms"] / marks["bare_ms"], marks["page_ms"] - marks["bare_ms"]
            size, queries = marks["bytes"] / 1000, marks.get("queries", "")
            self.stdout.write(
                f"  {what:10} {marks['page_ms']:9.1f} {marks['bare_ms']:9.1f} {ratio:7.2f} {over:9.1f} {queries!s:>8} "
                f"{size:7.1f} {marks['peak_mb']:8.1f}"
            )
        self.stdout.write("  aims: a page at most 3 × bare or 40 ms over it; the cue sheet at most 1.3 ×; 250 MB")


def _measure(what: str, code: str) -> dict[str, Any]:
    settings.ALLOWED_HOSTS = ["testserver"]
    season = Season.objects.select_related("production").get(production__code=code)
    if what == "cue sheet":
        return measure_cue_sheet(season, timezone.localdate())
    return measure_page(what, season)


def _child(folder: Path, *arguments: str) -> str:
    """What this command prints when run by itself on the data of a folder; its failure is ours."""
    environment = os.environ | {
        "LEDGER_LINE_DATA": str(folder),
        "DATABASE_URL": f"sqlite:///{folder / 'bench.sqlite3'}",
    }
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "bench", *arguments]
    return subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE, text=True).stdout  # noqa: S603 - our own command
