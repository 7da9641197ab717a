"""What a ZIP package lists: the one question by which formats that are packages are told apart."""

from __future__ import annotations

import zipfile
from typing import IO


def has_names(file: IO[bytes], *names: str) -> bool:
    """Whether the file is a ZIP package that lists all of these parts; only its directory is read."""
    try:
        with zipfile.ZipFile(file) as package:
            return set(names) <= set(package.namelist())
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        return False
