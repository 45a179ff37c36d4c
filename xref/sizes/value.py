"""A size as it was written: exact value, limits, unit, and what the reader should know."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Unit = Literal["mm", "in"]
Label = Literal["id", "od", "length", "width", "diameter"]

MM_PER_INCH = Fraction(127, 5)  # exact: international yard and pound agreement, 1959
SCALE_MM: dict[Unit, Fraction] = {"mm": Fraction(1), "in": MM_PER_INCH}
_FINEST = 128  # a denominator up to here is shown as a fraction


@dataclass(frozen=True, slots=True)
class Size:
    """One size, exact in millimetres, with the way it was written.

    Attributes
    ----------
    low, high : Fraction
        Limits; both equal the nominal size where nothing else was written [mm]
    nominal : Fraction or None
        Nominal size; None where only limits were written [mm]
    unit : "mm" or "in"
        Unit the size was written in
    text : str
        The text as given
    form : str
        How it was written: "mixed number", "decimal", "limits", "zone", "thread" …
    label : str or None
        What it measures where the text says so: "id", "od", "length", "width", "diameter"
    decimals : int or None
        Decimal places written; None for fractions and tabulated sizes
    notes : tuple of str
        Sentences the user should see: what was assumed, what it is not
    zone : str or None
        ISO 286 zone where one was written, "k6"
    """

    low: Fraction
    high: Fraction
    nominal: Fraction | None
    unit: Unit
    text: str
    form: str
    label: Label | None = None
    decimals: int | None = None
    notes: tuple[str, ...] = ()
    zone: str | None = None

    @property
    def nominal_mm(self) -> float | None:
        """Nominal size [mm]; None where only limits were written."""
        return None if self.nominal is None else float(self.nominal)

    @property
    def low_mm(self) -> float:
        """Lower limit [mm]."""
        return float(self.low)

    @property
    def high_mm(self) -> float:
        """Upper limit [mm]."""
        return float(self.high)

    def shown(self, unit: Unit | None = None) -> str:
        """Write the size in `unit`, or in the unit it was written in.

        >>> Size(Fraction(60), Fraction(60), Fraction(60), "mm", "60 mm", "decimal").shown("in")
        '2.3622 in'
        """
        unit = unit or self.unit
        if self.low == self.high:
            places = self.decimals if unit == self.unit else 0
            return f"{_number(self.low, unit, self.decimals is None, places or 0)} {unit}"
        return f"{_number(self.low, unit)} to {_number(self.high, unit)} {unit}"

    def __str__(self) -> str:
        """Both units, the written one first: `2-3/8 in (60.325 mm)`."""
        return f"{self.shown()} ({self.shown('in' if self.unit == 'mm' else 'mm')})"


def _number(value_mm: Fraction, unit: Unit, fractions: bool = False, places: int = 0) -> str:
    value = value_mm / SCALE_MM[unit]
    whole, rest = divmod(value, 1)
    if unit == "in" and fractions and rest and power_of_two(rest.denominator):
        fraction = f"{rest.numerator}/{rest.denominator}"
        return f"{whole}-{fraction}" if whole else fraction
    # Four places of either unit are finer than anything measured here.
    shown = f"{float(value):.{max(4, places)}f}"
    if not float(shown):
        return f"{float(value):.2g}"
    kept = len(shown) - max(4, places) + places  # places as written stay, zeros or not
    return shown[:kept] + shown[kept:].rstrip("0") if places else shown.rstrip("0").rstrip(".")


def power_of_two(number: int) -> bool:
    """Whether a denominator is one a rule is divided by: 2, 4, 8 … 128."""
    return 1 < number <= _FINEST and number & (number - 1) == 0
