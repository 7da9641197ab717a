"""What an AAF holds, as plain values: run in a process of its own by ``aaf_timeline``, never in the server's.

The container is read by pyaaf2, which is a reader of honest files: a damaged one can make it loop or take gigabytes. The
compositions in it are read here and not by OpenTimelineIO's adapter: as measured with its version 2.0.0, it loses the
drop-frame flag and the names of tracks, loses the start where the timecode has no track number, counts it in samples where
sound does, takes a muted clip without an alternative or two unmarked compositions as a reason to refuse the whole file, and
makes a gap of a clip whose source is missing.

Places follow the AAF Object Specification v1.1: a transition lies over the ends of both its neighbours, so what follows it
begins its length earlier, and each neighbour's own length is what is heard; ``StartTime`` counts in the units of the slot
that refers to a source.
"""

from __future__ import annotations

import contextlib
import json
import os
import resource
import sys
from typing import Any, Final

from supervision.interchange.aaf_play import Describer

MEMORY: Final = 1024**3  # bytes of address space
SECONDS: Final = 20  # of processor time


def described(source: str | int) -> dict[str, Any]:
    """The longest composition of a file, by path or descriptor: ``{"title", "timecode", "rates", "tracks", "pieces", …}``.

    Whatever pyaaf2 makes of a damaged file becomes ``{"fault": sentence}``.
    """
    import aaf2  # noqa: PLC0415 - an optional package, and 30 MB that the server's own process does without

    try:
        with contextlib.redirect_stdout(sys.stderr), aaf2.open(source, "r") as file:
            return Describer(file).description()
    except Exception as fault:  # noqa: BLE001 - any exception may come out of a damaged file; it is told by its kind
        return {"fault": f"{type(fault).__name__}: {fault}"[:300]}


def main() -> None:
    """Read the AAF that is standard input, within limits of memory and time; write its description as JSON."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    sys.stdout.write(json.dumps(described(os.dup(sys.stdin.fileno()))))
