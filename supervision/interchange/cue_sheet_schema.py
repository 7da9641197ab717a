"""The JSON Schema of cue sheets, as it is published: ``cue_sheet_schema.json`` beside this file.

It describes what ``rules.frozen.to_plain`` makes of a ``CueSheet`` and what ``from_plain`` reads back, and says of each
field which one of the international common template, of CISAC's CWR and of the DDEX Cue composite it is (``x-maps-to``).

The societies' own JSON exchange for audiovisual data was announced in 2026; its schema is not public yet. An exporter
to it belongs here as ``cue_sheet_<name of the exchange>.py``: a function from ``CueSheet`` to bytes in that schema's own
field names, and one line in ``actions.printing``. Until the schema can be read, no name of it is guessed.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

MEDIA_TYPE = "application/schema+json"


@cache
def cue_sheet_schema() -> bytes:
    """The schema (JSON Schema 2020-12), UTF-8."""
    return Path(__file__).with_name("cue_sheet_schema.json").read_bytes()
