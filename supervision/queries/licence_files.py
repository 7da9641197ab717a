"""The signed files of licences: opened for who may see them, and looked over before they go out."""

from __future__ import annotations

import hashlib
from typing import IO

from django.core.files.storage import default_storage

from supervision.models import Licence
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.sentence import say
from supervision.rules.signed_file import FileKind

_PIECE = 2**16


def open_file(licence: Licence) -> tuple[IO[bytes], str]:
    """The file, open at its beginning, and its media type. The caller has checked who asks, and closes it.

    ``NotVisible`` where the licence has none, ``Conflict`` where what lies there is not what was recorded.
    """
    path = licence.file.name or ""
    kind = FileKind.of_name(path)
    if kind is None or not default_storage.exists(path):
        raise NotVisible(
            "licence-file-missing", say("The licence’s file is not here."), mend=say("Look for it in the last backup.")
        )
    file: IO[bytes] = default_storage.open(path)
    if _sha256(file) != licence.file_sha256:
        file.close()
        raise Conflict(
            "licence-file-changed",
            say("The file that lies here is not the one that was recorded."),
            mend=say("Bring it back from a backup; its SHA-256 is on the licence."),
        )
    return file, kind.media_type


def _sha256(file: IO[bytes]) -> str:
    digest = hashlib.sha256()
    while piece := file.read(_PIECE):
        digest.update(piece)
    file.seek(0)
    return digest.hexdigest()
