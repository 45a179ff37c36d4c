"""Where millimetres fall on the paper: one scale for both pictures, long parts broken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from xref.faces.drawings.shapes import Section

PANEL = 186.0  # the width of one picture; two fill a phone held upright
TOP, DRAWN, LEAST = 26.0, 150.0, 60.0
LEFT, WIDEST = 9.0, 70.0  # the section's left edge in its panel, and its greatest width
LONGEST = 2.2  # a part longer than this many section heights is drawn broken
DIAMETERS = ("shaft", "housing", "groove_diameter", "mating_diameter")  # of a place


@dataclass(frozen=True, slots=True)
class View:
    """The scale [px per mm], the radii at the lower and upper edge, the length drawn [mm]."""

    scale: float
    low: float
    high: float
    longest: float

    @classmethod
    def of(
        cls, sections: Sequence[Section], place: Mapping[str, float], reach: float = LONGEST
    ) -> View:
        """Return the view that holds all sections and the place; `place` maps names to mm.

        A part longer than `reach` section heights is drawn broken.
        """
        inner = min(s.inner for s in sections)
        outer = max(s.outer for s in sections)
        for name in DIAMETERS:
            if name in place:
                inner, outer = min(inner, place[name] / 2), max(outer, place[name] / 2)
        room = 0.35 * (outer - inner)
        low = inner - room if inner > 1.2 * room else 0.0
        high = outer + room
        longest = reach * max(s.outer - s.inner for s in sections)
        widest = min(longest, max(s.width for s in sections))
        widest = max(widest, place.get("groove_width", 0.0))
        return cls(min(DRAWN / (high - low), WIDEST / widest), low, high, longest)

    @property
    def bottom(self) -> float:
        """Where the lower edge of the view is [px]."""
        return TOP + max((self.high - self.low) * self.scale, LEAST)

    def x(self, left: float, mm: float, width: float) -> float:
        """Return where a point of a part of that width is; a long part is broken in the middle."""
        cut = max(width - self.longest, 0.0)
        half = (width - cut) / 2
        return left + LEFT + (mm if mm <= half else max(half, mm - cut)) * self.scale

    def y(self, radius: float) -> float:
        """Return where a radius [mm] is."""
        return self.bottom - (radius - self.low) * self.scale


def ends_of_machine(left: float) -> tuple[float, float]:
    """Return from where to where the machine's lines run in a panel."""
    return left + 4, left + LEFT + WIDEST + 10
