"""Kinds of files that a signed licence may be, and what is kept beside one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from pathlib import PurePosixPath

_LONGEST_NAME = 200


class FileKind(Enum):
    """A kind of file that may be kept: its media type (IANA registry) and the endings it goes by."""

    PDF = ("application/pdf", ".pdf")
    PNG = ("image/png", ".png")
    JPEG = ("image/jpeg", ".jpg", ".jpeg")
    DOCX = ("application/vnd.openxmlformats-officedocument.wordprocessingml.document", ".docx")

    def __init__(self, media_type: str, *endings: str) -> None:
        self.media_type = media_type
        self.endings = endings

    @property
    def ending(self) -> str:
        """The ending that it is kept under."""
        return self.endings[0]

    @classmethod
    def of_name(cls, name: str) -> FileKind | None:
        """The kind that the name's ending claims."""
        ending = PurePosixPath(name).suffix.lower()
        return next((kind for kind in cls if ending in kind.endings), None)


@dataclass(frozen=True, slots=True)
class SignedFile:
    """A file that may be kept: its kind, its own name, its size in bytes and its SHA-256 in hexadecimal."""

    kind: FileKind
    name: str
    size: int
    sha256: str


def kept_name(name: str) -> str:
    """The file's own name without folders and unprintable characters, at most 200 long with its ending kept."""
    bare = "".join(letter for letter in name.replace("\\", "/").rpartition("/")[2] if letter.isprintable())
    ending = PurePosixPath(bare).suffix
    return bare if len(bare) <= _LONGEST_NAME else bare[: _LONGEST_NAME - len(ending)] + ending
