"""Parts of a whole, written as SVG wants them."""

from fractions import Fraction


def percent(part: int | Fraction, whole: int) -> str:
    """``part`` of ``whole`` as ``12.500%``, kept between 0 and 100; three decimals are finer than any screen.

    Whole numbers only inside: a season's staves have thousands of bars.
    """
    numerator, denominator = part.numerator * 100_000, part.denominator * whole
    units, rest = divmod(min(max((2 * numerator + denominator) // (2 * denominator), 0), 100_000), 1000)
    return f"{units}.{rest:03d}%"
