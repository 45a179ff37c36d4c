"""Cells of size: exact where the cell carries its unit, both readings where it does not."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from xref.errors import XrefError
from xref.tables.cells import decimals
from xref.tables.text import fold

if TYPE_CHECKING:
    from xref.sizes import Size

_UNKNOWN = frozenset({"", "na", "n a", "unknown", "none", "tbc", "tba", "nil", "not known"})


@dataclass(frozen=True, slots=True)
class Cell:
    """One distinct text of a size column.

    `own` is the size where the text itself settles the unit; otherwise `mm` and `inch` are the
    two readings (one may be None where it is impossible). `hint` is the unit the style suggests.
    `problem` says why the text is no size; a blank cell has neither.
    """

    own: Size | None = None
    mm: Size | None = None
    inch: Size | None = None
    hint: str | None = None
    problem: str | None = None

    @property
    def blank(self) -> bool:
        """Whether the cell states nothing."""
        return self.own is None and self.mm is None and self.inch is None and not self.problem

    @property
    def bare(self) -> bool:
        """Whether the unit must come from somewhere else."""
        return self.mm is not None or self.inch is not None

    def read(self, unit: str | None) -> Size | None:
        """Return the size with `unit` where the cell has none of its own."""
        if self.own is not None:
            return self.own
        return self.mm if unit == "mm" else self.inch if unit == "in" else None


BLANK = Cell()


def decide_decimal(texts: Sequence[str]) -> str | None:
    """Return the decimal sign of size columns; `60,325` as thousands would be 60 m, so no part."""
    found = decimals.decide(texts)
    if found is None and not any("." in text for text in texts):
        commas = [m for text in texts for m in re.findall(r"\d+,\d+", text)]
        if commas and all(re.fullmatch(r"\d{2,},\d{3}", m) for m in commas):
            return ","
    return found


def read_cell(text: str, sign: str | None) -> Cell:
    """Read one size cell; `sign` is the decimal sign of the size columns."""
    from xref.sizes import size

    if fold(text) in _UNKNOWN:
        return BLANK
    plain = point(text, sign)
    mm, inch, problem = None, None, None
    try:
        mm = size(plain, "mm")
    except XrefError as error:
        problem = str(error)
    if mm is not None and mm.unit == "in":
        return Cell(own=mm)
    try:
        inch = size(plain, "in")
    except XrefError as error:
        problem = problem or str(error)
    if inch is not None and inch.unit == "mm":
        return Cell(own=inch)
    if mm is None and inch is None:
        return Cell(problem=problem)
    return Cell(mm=mm, inch=inch, hint=_hint(plain))


def point(text: str, sign: str | None) -> str:
    """Return `text` with decimal points where the column writes decimal commas."""
    if sign != ",":
        return text
    without = re.sub(r"(?<=\d)\.(?=\d{3}(?:\D|$))", "", text) if "," in text else text
    return re.sub(r"(?<=\d),(?=\d)|(?<!\d),(?=\d)", ".", without)


def _hint(text: str) -> str | None:
    from xref.sizes import size

    try:
        return size(text).unit
    except XrefError:
        return None


@dataclass(frozen=True, slots=True)
class Together:
    """One distinct text of a column that holds all sizes: `60x80x8`.

    `own` where the text or its style settles the unit, `mm` and `inch` as with `Cell`. `note`
    says how a unit was settled that is not written.
    """

    own: tuple[Size, ...] = ()
    mm: tuple[Size, ...] = ()
    inch: tuple[Size, ...] = ()
    styled: bool = False
    problem: str | None = None

    @property
    def blank(self) -> bool:
        """Whether the cell states nothing."""
        return not self.own and not self.mm and not self.inch and not self.problem

    def read(self, unit: str | None) -> tuple[Size, ...]:
        """Return the sizes with `unit` where the cell has none of its own."""
        if self.own and not (self.styled and unit):
            return self.own
        return self.mm if unit == "mm" else self.inch if unit == "in" else ()


NOTHING = Together()


def read_together(text: str, sign: str | None) -> Together:
    """Read a cell that holds several sizes; without a unit `60x80x8` is metric by its style."""
    from xref.sizes import sizes

    if fold(text) in _UNKNOWN:
        return NOTHING
    plain = point(text, sign)
    results: dict[str | None, tuple[Size, ...]] = {}
    problem = None
    for unit in (None, "mm", "in"):
        try:
            results[unit] = tuple(sizes(plain, unit))
        except XrefError as error:
            results[unit] = ()
            if unit is None or problem is None:
                problem = problem or str(error)
    own, mm, inch = results[None], results["mm"], results["in"]
    if not own and not mm and not inch:
        return Together(problem=problem)
    stated = bool(mm and mm[0].unit == "in") or bool(inch and inch[0].unit == "mm")
    if own and stated:
        return Together(own=own)
    return Together(own=own, mm=mm, inch=inch, styled=bool(own), problem=None)
