"""Parts of a whole, written as SVG wants them."""

from fractions import Fraction


def percent(part: int | Fraction, whole: int | Fraction) -> str:
    """``part`` of ``whole`` as ``12.500%``, kept between 0 and 100; three decimals are finer than any screen."""
    share = min(max(Fraction(part) / whole, Fraction(0)), Fraction(1))
    units, rest = divmod(round(share * 100_000), 1000)
    return f"{units}.{rest:03d}%"
