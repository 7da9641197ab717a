"""What a party does in a work, by the international role codes.

Source: CISAC CWR08-3615R1 lookup table, Writer Designation and Publisher Type. The code PA (income participant) stands
in both lists, so a role is one of two types and not only its letters: ask ``isinstance``, not ``==``.
"""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say


class WriterRole(StrEnum):
    """What a writer did."""

    C = "C"
    A = "A"
    CA = "CA"
    AR = "AR"
    AD = "AD"
    SR = "SR"
    SA = "SA"
    TR = "TR"
    PA = "PA"

    @property
    def label(self) -> str:
        """The role in words."""
        return _WRITERS[self]


class PublisherRole(StrEnum):
    """What a publisher is."""

    E = "E"
    AM = "AM"
    AQ = "AQ"
    ES = "ES"
    SE = "SE"
    PA = "PA"

    @property
    def label(self) -> str:
        """The role in words."""
        return _PUBLISHERS[self]


_WRITERS = MappingProxyType(
    {
        WriterRole.C: say("composer"),
        WriterRole.A: say("author of the text"),
        WriterRole.CA: say("composer and author"),
        WriterRole.AR: say("arranger"),
        WriterRole.AD: say("adaptor of the text"),
        WriterRole.SR: say("sub-arranger"),
        WriterRole.SA: say("sub-author"),
        WriterRole.TR: say("translator"),
        WriterRole.PA: say("income participant (writer)"),
    }
)
_PUBLISHERS = MappingProxyType(
    {
        PublisherRole.E: say("original publisher"),
        PublisherRole.AM: say("administrator"),
        PublisherRole.AQ: say("acquirer"),
        PublisherRole.ES: say("substituted publisher"),
        PublisherRole.SE: say("sub-publisher"),
        PublisherRole.PA: say("income participant (publisher)"),
    }
)


def is_writer_role(code: str) -> bool:
    """Whether the code is a writer's. PA, which is in both lists, counts as a publisher's unless it is a WriterRole."""
    return isinstance(code, WriterRole) or (code in _WRITERS and code not in _PUBLISHERS)


def read_role(code: str, *, writer: bool | None = None, place: str = "role") -> WriterRole | PublisherRole:
    """The role with this code. ``writer`` says which list PA is meant from; without it, the publishers'.

    Raises ``BadValue`` for a code that is in neither list, or not in the one asked for.
    """
    letters = _letters(code)
    if letters in PublisherRole.__members__ and writer is not True:
        return PublisherRole(letters)
    if letters in WriterRole.__members__ and writer is not False:
        return WriterRole(letters)
    codes = [*(WriterRole if writer is not False else ()), *(PublisherRole if writer is not True else ())]
    raise BadValue(
        "role-unknown",
        say("“{letters}” is not a role code.", letters=letters) if letters else say("There is no role code to read."),
        place=place,
        mend=say("Give one of {choices}.", choices=", ".join(dict.fromkeys(codes))),
    )


def _letters(code: object) -> str:
    """The code as it would be listed; nothing when it is no text, and no more of it than a sentence can show."""
    return code.strip().upper()[:10] if isinstance(code, str) else ""
