"""A length as people read it, in millimetres or inches; for display only."""

from __future__ import annotations

from fractions import Fraction

MM_PER_INCH = 25.4
UNITS = ("mm", "in")
_FRACTION_REACH_MM = 0.0005  # a size this near a 64th is written as the fraction


def shown(mm: float, unit: str = "mm", *, fractions: bool = True) -> str:
    """Return a length with its unit; inches as a fraction where it is one.

    >>> shown(60.325, "in"), shown(60.0), shown(60.31, "in"), shown(-0.325)
    ('2-3/8 in', '60 mm', '2.3744 in', '-0.325 mm')
    """
    return f"{figure(mm, unit, fractions=fractions)} {unit}"


def figure(mm: float, unit: str = "mm", *, fractions: bool = True) -> str:
    """Return the figure alone, as `shown` writes it."""
    if unit == "mm":
        return _plain(mm, 3)
    if unit != "in":
        raise ValueError(f"a drawing is dimensioned in {' or '.join(UNITS)}, not {unit!r}")
    parts = round(mm / MM_PER_INCH * 64)
    if fractions and parts > 0 and abs(mm - parts * MM_PER_INCH / 64) <= _FRACTION_REACH_MM:
        whole, rest = divmod(Fraction(parts, 64), 1)
        if not rest:
            return str(whole)
        return f"{whole}-{rest}" if whole else str(rest)
    return _plain(mm / MM_PER_INCH, 4)


def interval(low: float | None, high: float | None, unit: str = "mm") -> str:
    """Return an interval in words; an open end is said.

    >>> interval(80.0, 80.046), interval(None, 8.0), interval(5.0, 5.0)
    ('80 to 80.046 mm', 'up to 8 mm', '5 mm')
    """
    if low is None and high is None:
        return "not known"
    if low is None:
        assert high is not None  # noqa: S101 - one of the two
        return f"up to {figure(high, unit, fractions=False)} {unit}"
    if high is None:
        return f"{figure(low, unit, fractions=False)} {unit} or more"
    if abs(high - low) < 1e-9:
        return shown(low, unit, fractions=False)
    return f"{figure(low, unit, fractions=False)} to {figure(high, unit, fractions=False)} {unit}"


def _plain(value: float, places: int) -> str:
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
