"""Identifiers of works, recordings, parties and productions: read as people type them, checked, stored in one form.

=========  ================================  ==============================  =====================================
scheme     names                             stored as                       check
=========  ================================  ==============================  =====================================
ISWC       a work (ISO 15707)                ``T0345246801``                 weights 1 to 9, plus 1, modulo 10
ISRC       a recording (ISO 3901)            ``USS1Z9900001``                none; a strange prefix is a warning
IPI        a party's name (CISAC)            ``00000000199``, 11 digits      weights 10 to 2, modulo 101
IPI base   a party (CISAC)                   ``I0000000019``                 weights 1 to 9, plus 2, modulo 10
ISAN       a production (ISO 15706)          17 characters, or 26 (V-ISAN)   ISO 7064 MOD 37,36, each part
EIDR       a production (ISO 26324)          ``10.5240/XXXX-…-C``            ISO 7064 MOD 37,36
ISNI       a party (ISO 27729)               16 characters                   ISO 7064 MOD 11-2
=========  ================================  ==============================  =====================================

python-stdnum has the ISO 7064 sums and the prefixes of ISRC; its readers of whole numbers take malformed ones (ISAN with
half its check characters, ISRC with hyphens anywhere), so shapes are ours. A check digit cannot prove a number right,
only wrong: ``IdentifierCheck.finding`` is an error for what was typed here, a warning for what somebody else supplied.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from stdnum import isrc
from stdnum.iso7064 import mod_11_2, mod_37_36

from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import Sentence, say

_LONGEST = 100  # characters of an identifier worth reading, address and label included
_DIGIT, _NUMBER = say("check digit"), say("check number")
_CHARACTER, _LAST_CHARACTER = say("check character"), say("last check character")
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2015\u2212"), "-")
_INVISIBLE = dict.fromkeys(map(ord, "\u00ad\u200b\u200c\u200d\u2060\ufeff"))


class Scheme(StrEnum):
    """A numbering of works, recordings, parties or productions."""

    ISWC = "iswc"
    ISRC = "isrc"
    IPI = "ipi"
    IPI_BASE = "ipi_base"
    ISAN = "isan"
    EIDR = "eidr"
    ISNI = "isni"

    @property
    def label(self) -> str:
        """The scheme as people call it."""
        named = {Scheme.IPI: say("IPI name number"), Scheme.IPI_BASE: say("IPI base number")}
        return named.get(self, self.name)


@dataclass(frozen=True, slots=True)
class IdentifierCheck:
    """What became of an identifier as typed.

    ``canonical`` is stored and compared, ``display`` is for people; both are empty when it is not ``valid``, and then
    ``reason`` and ``mend`` say why. A valid one may have a ``caution`` all the same.
    """

    scheme: Scheme
    typed: str
    valid: bool
    canonical: str = ""
    display: str = ""
    reason: str | None = None
    mend: str = ""
    caution: str | None = None
    code: str = ""

    def finding(self, level: Level = Level.ERROR, place: str = "") -> Finding | None:
        """What to tell: at ``level`` when it is not valid, a warning for a caution, else nothing.

        An identifier typed here is an error, one that somebody else supplied (an import, a paper) a warning.
        """
        if self.reason is not None:
            return Finding(level, self.code, place or self.scheme.value, self.reason, self.mend)
        if self.caution is not None:
            return Finding(Level.WARNING, self.code, place or self.scheme.value, self.caution, self.mend)
        return None


def check_identifier(scheme: Scheme, text: str) -> IdentifierCheck:
    """Read and check an identifier. Never raises; blank text is not valid."""
    typed = _shown(text)
    try:
        read = _READERS[scheme](_cleaned(text))
    except BadValue as error:
        return IdentifierCheck(scheme, typed, valid=False, reason=error.text, mend=error.mend, code=error.code)
    return IdentifierCheck(
        scheme, typed, True, read.canonical, read.display, caution=read.caution, mend=read.mend, code=read.code
    )


def canonical(scheme: Scheme, text: str, *, place: str = "") -> str:
    """The form to store, "" for blank text. Raises ``BadValue`` with place (default: the scheme) and mend."""
    if _is_blank(text):
        return ""
    check = check_identifier(scheme, text)
    if check.reason is not None:
        raise BadValue(check.code, check.reason, place=place or scheme.value, mend=check.mend)
    return check.canonical


def display_form(scheme: Scheme, stored: str) -> str:
    """A stored identifier for people; whatever else is stored, as it is."""
    return check_identifier(scheme, stored).display or stored


def read_scheme(text: str, *, place: str = "scheme") -> Scheme:
    """The scheme of this name. Raises ``BadValue``."""
    found = next((scheme for scheme in Scheme if scheme.value == text), None)
    if found is None:
        raise BadValue(
            "scheme-unknown",
            say("The kind of identifier is not known."),
            place=place,
            mend=say("Give one of {choices}.", choices=", ".join(Scheme)),
        )
    return found


@dataclass(frozen=True, slots=True)
class _Read:
    canonical: str
    display: str
    caution: str | None = None
    mend: str = ""
    code: str = ""


def _shown(text: object) -> str:
    return text[:_LONGEST] if isinstance(text, str) else ""


def _is_blank(text: object) -> bool:
    return isinstance(text, str) and len(text) <= _LONGEST and not text.strip()


def _cleaned(text: object) -> str:
    """Upper case, one kind of dash and of blank, and nothing invisible: what pasting from paper and web brings along."""
    if not isinstance(text, str) or len(text) > _LONGEST:
        raise BadValue(
            "identifier-shape", say("That is no identifier."), mend=say("Give it as text, without anything around it.")
        )
    plain = unicodedata.normalize("NFKC", text).translate(_DASHES).translate(_INVISIBLE)
    written = " ".join(plain.upper().split())
    if not written:
        raise BadValue("identifier-blank", say("There is no identifier."), mend=say("Write it, or leave it out."))
    return written


def _misshapen(text: str, scheme: Scheme, mend: str) -> BadValue:
    return BadValue(
        "identifier-shape", say("“{text}” is not an {scheme}.", text=text[:_LONGEST], scheme=scheme.label), mend=mend
    )


def _check(written: str, expected: str, what: Sentence = _DIGIT) -> None:
    """Refuse a check digit that the other digits do not give."""
    if not written:
        raise BadValue(
            "identifier-check-missing",
            say("It is one character short."),
            mend=say(
                "Compare it with the source. If it is the {what} at the end that is missing, that is {expected}.",
                what=what,
                expected=expected,
            ),
        )
    if written != expected:
        raise BadValue(
            "identifier-check",
            say(
                "The {what} {written} does not fit the rest, which gives {expected}.",
                what=what,
                written=written,
                expected=expected,
            ),
            mend=say("Compare it with the source: a character is mistyped, or two are swapped."),
        )


def _bare(text: str, label: str, separators: str) -> str:
    """The text without a label before it and without separators in it."""
    return re.sub(f"[{re.escape(separators)}]", "", re.sub(f"^(?:(?:{label})[ :]*)+", "", text))


def _weighted(digits: str, weights: range) -> int:
    return sum(weight * int(digit) for weight, digit in zip(weights, digits, strict=True))


def _iswc(text: str) -> _Read:
    """ISO 15707: the sum of 1 and each digit by its place is brought to a multiple of 10."""
    found = re.fullmatch(r"T?([0-9]{9})([0-9]?)", _bare(text, "ISWC", " .-"))
    if not found:
        raise _misshapen(text, Scheme.ISWC, say("Write T and ten digits, such as T-034.524.680-1."))
    work, check = found[1], found[2]
    _check(check, str(-(1 + _weighted(work, range(1, 10))) % 10))
    if not int(work):
        raise BadValue(
            "identifier-unassigned",
            say("No work has the number 000.000.000."),
            mend=say("Leave it out if it is unknown."),
        )
    return _Read(f"T{work}{check}", f"T-{work[:3]}.{work[3:6]}.{work[6:]}-{check}")


def _isrc(text: str) -> _Read:
    """ISO 3901: no check digit. Whoever writes hyphens must write them at 2-3-2-5."""
    # "ISRC" is a label only when twelve characters follow it: ISRC11212345 is an Icelandic number.
    labelled = re.fullmatch(r"ISRC[ :-]*(.*)", text)
    bare = labelled[1] if labelled and len(re.sub("[ -]", "", labelled[1])) >= 12 else text
    found = re.fullmatch(r"([A-Z]{2})(-?)([A-Z0-9]{3})\2([0-9]{2})\2([0-9]{5})", bare.replace(" ", ""))
    if not found:
        mend = say(
            "Write two letters, three letters or digits, the year's two digits and five digits: US-S1Z-99-00001."
        )
        raise _misshapen(text, Scheme.ISRC, mend)
    prefix, registrant, year, designation = found[1], found[3], found[4], found[5]
    number = prefix + registrant + year + designation
    read = _Read(number, f"{prefix}-{registrant}-{year}-{designation}")
    if isrc.is_valid(number):
        return read
    return _Read(
        read.canonical,
        read.display,
        caution=say("No agency is known for the prefix {prefix}.", prefix=prefix),
        mend=say("Compare the first two letters with the source."),
        code="identifier-prefix",
    )


def _ipi(text: str) -> _Read:
    """The name number of CISAC's Interested Parties Information; zeros in front are often left out."""
    bare = _bare(text, "IPI(?: NAME)?(?: NUMBER)?|CAE(?:/IPI)?", " .-")
    if re.fullmatch(r"I[0-9]{9,10}", bare):
        raise _misshapen(text, Scheme.IPI, say("That is a base number; the name number has 11 digits and no letter."))
    if not re.fullmatch(r"[0-9]{3,11}", bare):
        raise _misshapen(text, Scheme.IPI, say("Write 11 digits, such as 00000000199."))
    number = bare.zfill(11)
    if not int(number):
        raise BadValue(
            "identifier-unassigned", say("No party has the number 0."), mend=say("Leave it out if it is unknown.")
        )
    rest = _weighted(number[:9], range(10, 1, -1)) % 101
    # 101 - 1 would be 100, which has no two digits; both open implementations that were compared write 00 for it.
    _check(number[9:], f"{(101 - rest) % 101 % 100:02}", _NUMBER)
    return _Read(number, number)


def _ipi_base(text: str) -> _Read:
    """The base number of CISAC's Interested Parties Information, one for all names of a party."""
    found = re.fullmatch(r"I?([0-9]{9})([0-9]?)", _bare(text, "IPI(?: BASE)?(?: NUMBER)?", " .-"))
    if not found:
        raise _misshapen(text, Scheme.IPI_BASE, say("Write I and ten digits, such as I-000000001-9."))
    _check(found[2], str(-(2 + _weighted(found[1], range(1, 10))) % 10))
    return _Read(f"I{found[1]}{found[2]}", f"I-{found[1]}-{found[2]}")


_ISAN = (
    re.compile(r"(?P<work>[0-9A-F]{16})(?:(?P<check>[0-9A-Z])(?:(?P<version>[0-9A-F]{8})(?P<last>[0-9A-Z]))?)?"),
    re.compile(r"(?P<work>[0-9A-F]{16})(?P<check>)(?P<version>[0-9A-F]{8})(?P<last>)"),
)


def _isan(text: str) -> _Read:
    """ISO 15706: root and episode, and in a V-ISAN a version, each followed by its check character, or both without."""
    bare = _bare(text, "URN:ISAN|V-?ISAN|ISAN", " -")
    found = _ISAN[0].fullmatch(bare) or _ISAN[1].fullmatch(bare)
    if not found:
        mend = say("Write 16 hexadecimal digits and the check character, such as 0000-0001-8947-0000-8.")
        raise _misshapen(text, Scheme.ISAN, mend)
    work, version = found["work"], found["version"] or ""
    first = mod_37_36.calc_check_digit(work)
    last = mod_37_36.calc_check_digit(work + version) if version else ""
    if found["check"]:
        _check(found["check"], first, _CHARACTER)
        if version:
            _check(found["last"], last, _LAST_CHARACTER)
    parts = [*_fours(work), first, *_fours(version), last]
    return _Read(
        f"{work}{first}{version}{last}",
        "-".join(part for part in parts if part),
        caution=None
        if found["check"]
        else say("It came without check characters, which are now worked out and prove nothing."),
        mend="" if found["check"] else say("Compare every character with the source."),
        code="" if found["check"] else "identifier-unchecked",
    )


def _fours(digits: str) -> list[str]:
    return [digits[at : at + 4] for at in range(0, len(digits), 4)]


def _eidr(text: str) -> _Read:
    """ISO 26324 in the prefix of audiovisual content; parties (10.5237) and services (10.5239) have other numbers."""
    bare = _bare(text, r"HTTPS?://(?:DX\.)?DOI\.ORG/|URN:EIDR|DOI|EIDR", " -")
    if re.match(r"10\.523[79][/:]", bare):
        raise _misshapen(
            text, Scheme.EIDR, say("That names a party or a service; a production's begins with 10.5240/.")
        )
    found = re.fullmatch(r"(?:10\.5240[/:])?([0-9A-F]{20})([0-9A-Z]?)", bare)
    if not found:
        mend = say("Write 10.5240/, 20 hexadecimal digits and the check character: 10.5240/7791-8534-2C23-9030-8610-5.")
        raise _misshapen(text, Scheme.EIDR, mend)
    _check(found[2], mod_37_36.calc_check_digit(found[1]), _CHARACTER)
    written = f"10.5240/{'-'.join(_fours(found[1]))}-{found[2]}"
    return _Read(written, written)


def _isni(text: str) -> _Read:
    """ISO 27729: 16 characters, the last a check digit or X."""
    found = re.fullmatch(r"([0-9]{15})([0-9X]?)", _bare(text, r"HTTPS?://(?:WWW\.)?ISNI\.ORG/(?:ISNI/)?|ISNI", " -"))
    if not found:
        raise _misshapen(text, Scheme.ISNI, say("Write 16 digits; the last may be X."))
    _check(found[2], mod_11_2.calc_check_digit(found[1]), _CHARACTER)
    number = found[1] + found[2]
    return _Read(number, " ".join(_fours(number)))


_READERS: MappingProxyType[Scheme, Callable[[str], _Read]] = MappingProxyType(
    {
        Scheme.ISWC: _iswc,
        Scheme.ISRC: _isrc,
        Scheme.IPI: _ipi,
        Scheme.IPI_BASE: _ipi_base,
        Scheme.ISAN: _isan,
        Scheme.EIDR: _eidr,
        Scheme.ISNI: _isni,
    }
)
