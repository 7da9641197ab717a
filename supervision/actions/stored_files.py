"""Files that belong to a row: written before the row's transaction begins, and taken away again when that fails."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from django.core.files import File
from django.core.files.storage import default_storage


@contextmanager
def stored(file: File[bytes], folder: str, ending: str, now: datetime) -> Iterator[str]:
    """Where the file lies, under a name of ours; it is gone again when the block fails."""
    path = default_storage.save(f"{folder}/{now:%Y/%m}/{uuid.uuid4().hex}{ending}", file)
    try:
        yield path
    except BaseException:
        default_storage.delete(path)
        raise
