"""How an identifier's check digit is worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from types import MappingProxyType

from supervision.rules.identifiers import Scheme, check_identifier, read_scheme
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import say


def identifier_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """What was read and how its check fits; for one that is not valid what to do."""
    scheme = read_scheme(given.text("scheme"))
    mend = check_identifier(scheme, given.text("value")).mend
    if answer["valid"]:
        yield say("It is stored and compared as {number}.", number=answer["canonical"])
        yield _CHECKS[scheme](answer["canonical"])
        yield say("A check can show that an identifier is wrong. It cannot show that it is the right one.")
    if mend:
        yield mend


def _weighted(digits: str, weights: Iterable[int]) -> tuple[str, int]:
    """The sum in signs, and what it comes to."""
    pairs = list(zip(weights, map(int, digits), strict=True))
    return " + ".join(f"{weight}×{digit}" for weight, digit in pairs), sum(weight * digit for weight, digit in pairs)


def _iswc(number: str) -> str:
    signs, total = _weighted(number[1:10], range(1, 10))
    return _multiple_of_ten("ISO 15707", f"1 + {signs} = {1 + total}", number[10], 1 + total + int(number[10]))


def _ipi_base(number: str) -> str:
    signs, total = _weighted(number[1:10], range(1, 10))
    return _multiple_of_ten("CISAC", f"2 + {signs} = {2 + total}", number[10], 2 + total + int(number[10]))


def _multiple_of_ten(source: str, reckoning: str, digit: str, total: int) -> str:
    return say(
        "{source}: {sum}. The check digit {digit} brings it to {total}, a multiple of 10.",
        source=source,
        sum=reckoning,
        digit=digit,
        total=total,
    )


def _ipi(number: str) -> str:
    signs, total = _weighted(number[:9], range(10, 1, -1))
    return say(
        "CISAC: {sum}, which leaves {rest} modulo 101; its check number is {check}.",
        sum=f"{signs} = {total}",
        rest=total % 101,
        check=number[9:],
    )


def _isrc(number: str) -> str:
    return say(
        "ISO 3901 has no check digit; the form and the prefix {prefix} are all that can be checked.", prefix=number[:2]
    )


def _iso_7064(system: str, standard: str) -> Callable[[str], str]:
    return lambda number: say(
        "{standard}: ISO 7064 {system} over the characters before it gives {check} at the end.",
        standard=standard,
        system=system,
        check=number[-1],
    )


_CHECKS: MappingProxyType[Scheme, Callable[[str], str]] = MappingProxyType(
    {
        Scheme.ISWC: _iswc,
        Scheme.ISRC: _isrc,
        Scheme.IPI: _ipi,
        Scheme.IPI_BASE: _ipi_base,
        Scheme.ISAN: _iso_7064("MOD 37,36", "ISO 15706"),
        Scheme.EIDR: _iso_7064("MOD 37,36", "ISO 26324"),
        Scheme.ISNI: _iso_7064("MOD 11-2", "ISO 27729"),
    }
)
