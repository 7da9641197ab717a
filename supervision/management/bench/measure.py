"""Measuring: the fastest of several runs, the process's peak memory, and a page as the server makes it.

Time is the processor's time for this process, in which SQLite runs as well: on a busy machine the clock on the wall
would measure the neighbours.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from supervision.management.bench.bare import bare
from supervision.models import Season, User

RUNS = 9


def least_ms(*calls: Callable[[], object], runs: int = RUNS) -> list[float]:
    """Milliseconds of processor time of each call's fastest run, after one that warms up.

    The fastest, since what makes others slower is other processes (Python's documentation of ``timeit.Timer.repeat``).
    Several calls take turns, so that a busy minute slows all of them alike.
    """
    times: list[list[float]] = [[] for _ in calls]
    for run in range(runs + 1):
        for call, measured in zip(calls, times, strict=True):
            start = time.process_time()
            call()
            if run:
                measured.append((time.process_time() - start) * 1000)
    return [min(measured) for measured in times]


def peak_mb() -> float:
    """The most memory that this process ever held, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def path_of(page: str, season: Season) -> str:
    """The page's address in a season."""
    code = season.production.code
    return {
        "board": f"/productions/{code}/1/board/",
        "money": f"/productions/{code}/1/money/",
        "log": f"/episodes/{code}-1/",
        "search": "/catalogue/?q=tide",
    }[page]


def measure_page(page: str, season: Season) -> dict[str, Any]:
    """Server time, queries, bytes and peak memory of a page, and the time of the bare SQL of its answer."""
    episode = season.episodes.order_by("position").first()
    about = {
        "production": season.production_id,
        "season": season.pk,
        "episode": episode and episode.pk,
        "like": "%tide%",
        "begins": "tide%",
    }
    client, path = Client(), path_of(page, season)
    client.force_login(User.objects.get(username="bench"))
    [bare_ms] = least_ms(bare(page, about))
    [page_ms] = least_ms(lambda: client.get(path))
    with CaptureQueriesContext(connection) as queries:
        response = client.get(path)
    if response.status_code != 200:
        raise RuntimeError(f"{path} answers {response.status_code}")
    return {
        "page_ms": page_ms,
        "bare_ms": bare_ms,
        "queries": len(queries),
        "bytes": len(response.content),
        "peak_mb": peak_mb(),
    }
