"""Old and new in half section, side by side at one scale, in the machine where it was measured.

Below the parts is the shaft, above them the housing. The old part's lines run on, dashed, into the
picture of the new one, and where the two differ the difference is marked with its size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from xref.faces.drawings import svg
from xref.faces.drawings.lengths import interval, shown
from xref.faces.drawings.shapes import Section, section

PANEL = 172.0  # the width of one picture; two fill a phone held upright
TOP, DRAWN, LEAST, FOOT = 26.0, 150.0, 60.0, 46.0
LEFT, WIDEST = 9.0, 62.0  # the section's left edge in its panel, and its greatest width
_SAME_MM = 1e-6
_LONGEST = 2.2  # a part longer than this many section heights is drawn broken
_LABEL_GAP = 13.0


@dataclass(frozen=True, slots=True)
class Part:
    """What is drawn in one panel: a kind with its sizes [mm]; `sizes` empty draws the place."""

    label: str
    kind: str
    sizes: Mapping[str, float] = field(default_factory=dict)
    traits: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Misfit:
    """A misfit to mark: `where` is shaft, housing or width; `mm` how far it misses."""

    where: str
    mm: float
    words: str


def misfits(checks: Sequence[Mapping[str, Any]]) -> list[Misfit]:
    """Return what to mark: the checks that fail or are doubtful, with how far they miss."""
    found = []
    for check in checks:
        margin = check.get("margin_mm")
        misses = check["result"] in ("fail", "doubtful") and margin is not None and margin < 0
        if misses and check.get("unit", "mm") == "mm":
            found.append(Misfit(_edge(check["name"]), -float(margin or 0), check["name"]))
    return found


def side_by_side(
    old: Part,
    new: Part,
    ident: str,
    *,
    place: Mapping[str, Sequence[float]] | None = None,
    marks: Sequence[Misfit] = (),
    unit: str = "mm",
) -> str | None:
    """Return both half sections at one scale; None when neither has an outline.

    `place`: `shaft`, `housing`, `depth` as [low, high] in mm. `ident` is unique on the page.
    """
    sections = [section(p.kind, p.sizes, p.traits) for p in (old, new)]
    known = [s for s in sections if s is not None]
    if not known:
        return None
    middle = {name: (ends[0] + ends[1]) / 2 for name, ends in (place or {}).items()}
    view = _View.of(known, middle)
    content: list[str] = []
    for index, (part, one) in enumerate(zip((old, new), sections, strict=True)):
        left = index * PANEL
        content.append(svg.text(left + LEFT, 15, _short(part.label), 12, font_weight="bold"))
        content += _machine(view, left, middle, ident)
        if one is not None:
            content += _outline(view, left, one, ident)
            content += _dimensions(view, left, one, unit)
        else:
            content += _measured(view, left, place or {}, unit)
    before = sections[0]
    after = sections[1]
    if after is not None:
        content += _level_lines(view, before, middle)
        content += _marks(view, after, before, middle, marks, unit)
    description = _description(old, new, sections, place or {}, marks, unit)
    title = f"{old.label} and {new.label} in half section, one scale"
    return svg.drawing(
        ident, 2 * PANEL, view.bottom + FOOT, title, description, content,
        ["metal", "rubber", "machine"],
    )  # fmt: skip


def alone(part: Part, ident: str, *, unit: str = "mm") -> str | None:
    """Return one part in half section with its sizes; None when it has no outline."""
    one = section(part.kind, part.sizes, part.traits)
    if one is None:
        return None
    view = _View.of([one], {})
    content = [*_outline(view, 0, one, ident), *_dimensions(view, 0, one, unit)]
    content.append(_axis(view, 0))
    title = f"{part.label} in half section"
    return svg.drawing(
        ident, PANEL, view.bottom + FOOT, title, f"{_sizes_words(part, unit)}.", content,
        ["metal", "rubber"],
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _View:
    """The scale [px per mm], the radii at the lower and upper edge, the length drawn [mm]."""

    scale: float
    low: float
    high: float
    longest: float

    @classmethod
    def of(cls, sections: Sequence[Section], place: Mapping[str, float]) -> _View:
        inner = min(s.inner for s in sections)
        outer = max(s.outer for s in sections)
        for name in ("shaft", "housing"):
            if name in place:
                inner, outer = min(inner, place[name] / 2), max(outer, place[name] / 2)
        room = 0.35 * (outer - inner)
        low = inner - room if inner > 1.2 * room else 0.0
        high = outer + room
        longest = _LONGEST * max(s.outer - s.inner for s in sections)
        widest = min(longest, max(s.width for s in sections))
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
        return self.bottom - (radius - self.low) * self.scale


def _outline(view: _View, left: float, one: Section, ident: str) -> list[str]:
    drawn = []
    for shape in one.shapes:
        fill = "none" if shape.hatch == "none" else svg.hatch(ident, shape.hatch)
        if shape.radius is not None:
            x, y = shape.points[0]
            drawn.append(
                svg.element(
                    "circle",
                    cx=view.x(left, x, one.width),
                    cy=view.y(y),
                    r=shape.radius * view.scale,
                    fill=fill,
                    stroke="currentColor",
                    stroke_width=1.2,
                )
            )
        else:
            points = [(view.x(left, x, one.width), view.y(y)) for x, y in shape.points]
            drawn.append(svg.polygon(points, fill))
    if one.width > view.longest:
        drawn.append(_broken(view, left, one))
    return drawn


def _broken(view: _View, left: float, one: Section) -> str:
    """Draw the line at which a long part is shortened."""
    x = view.x(left, one.width / 2, one.width)
    top, bottom = view.y(one.outer) - 5, view.y(one.inner) + 5
    middle = (top + bottom) / 2
    points = [(x, top), (x, middle - 6), (x - 5, middle - 2), (x + 5, middle + 2)]
    points += [(x, middle + 6), (x, bottom)]
    path = " ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in points)
    return svg.element(
        "polyline", points=path, fill="none", stroke="currentColor", stroke_width=2.2
    )


def _machine(view: _View, left: float, place: Mapping[str, float], ident: str) -> list[str]:
    """Draw shaft and housing where measured, else the axis alone."""
    drawn = [_axis(view, left)]
    start, end = left + 4, left + LEFT + WIDEST + 10
    bottom, top = view.y(view.low), view.y(view.high)
    fill = svg.hatch(ident, "machine")
    if "shaft" in place:
        y = view.y(place["shaft"] / 2)
        drawn.append(svg.polygon([(start, y), (end, y), (end, bottom), (start, bottom)], fill, 0.8))
    if "housing" in place:
        y = view.y(place["housing"] / 2)
        drawn.append(svg.polygon([(start, y), (end, y), (end, top), (start, top)], fill, 0.8))
    return drawn


def _axis(view: _View, left: float) -> str:
    """Draw the axis, or the break where the view does not reach down to it."""
    y = view.y(view.low)
    start, end = left + 4, left + LEFT + WIDEST + 10
    if view.low == 0:
        return svg.line((start, y), (end, y), 0.8, "10 3 2 3")
    middle = (start + end) / 2
    points = [(start, y), (middle - 8, y), (middle - 3, y - 5), (middle + 3, y + 5)]
    points += [(middle + 8, y), (end, y)]
    path = " ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in points)
    return svg.element("polyline", points=path, fill="none", stroke="currentColor")


def _dimensions(view: _View, left: float, one: Section, unit: str) -> list[str]:
    """Label the inside and outside diameter at their level, the width below."""
    start, end = view.x(left, 0, one.width), view.x(left, one.width, one.width)
    edge = left + LEFT + WIDEST + 14
    upper, lower = view.y(one.outer), view.y(one.inner)
    upper_text, lower_text = _apart(upper, lower)
    drawn = []
    for level, at, radius in ((upper, upper_text, one.outer), (lower, lower_text, one.inner)):
        drawn.append(svg.line((end, level), (edge, level), 0.6))
        drawn.append(svg.text(edge + 2, at + 4, f"⌀ {shown(2 * radius, unit)}", 11.5))
    base = view.bottom + 14
    drawn += [
        svg.line((start, base - 8), (start, base + 4), 0.6),
        svg.line((end, base - 8), (end, base + 4), 0.6),
        svg.line((start, base), (end, base), 0.8),
        svg.text(end + 6, base + 4, shown(one.width, unit)),
    ]
    return drawn


def _measured(
    view: _View, left: float, place: Mapping[str, Sequence[float]], unit: str
) -> list[str]:
    """Label the place as measured, where there is no old part to draw."""
    edge = left + LEFT + WIDEST + 14
    drawn = []
    for name in ("shaft", "housing"):
        if name in place:
            low, high = place[name][0], place[name][1]
            y = view.y((low + high) / 4)
            drawn.append(svg.text(edge + 2, y + 4, f"⌀ {shown((low + high) / 2, unit)}", 11.5))
            drawn.append(svg.text(edge + 2, y + 17, name, 11))
    return drawn


def _level_lines(view: _View, before: Section | None, place: Mapping[str, float]) -> list[str]:
    """Carry the old part's (or the place's) levels into the new part's picture, dashed."""
    if before is not None:
        radii = [before.inner, before.outer]
    else:
        radii = [place[n] / 2 for n in ("shaft", "housing") if n in place]
    start, end = PANEL, PANEL + LEFT + WIDEST + 10
    return [svg.line((start, view.y(r)), (end, view.y(r)), 0.8, "3 4") for r in radii]


def _marks(
    view: _View,
    new: Section,
    old: Section | None,
    place: Mapping[str, float],
    marks: Sequence[Misfit],
    unit: str,
) -> list[str]:
    """Mark each misfit where it is: a heavy bar between the two levels and its size beside it."""
    edge = PANEL + LEFT + WIDEST + 14
    upper_text, lower_text = _apart(view.y(new.outer), view.y(new.inner))
    drawn = []
    for mark in marks:
        words = f"▲ {shown(mark.mm, unit, fractions=False)}"
        if mark.where == "width":
            base = view.bottom + 34
            drawn.append(svg.text(PANEL + LEFT, base, f"{words} ({mark.words})", 11))
            continue
        inner = mark.where == "shaft"
        radius = new.inner if inner else new.outer
        before = None if old is None else (old.inner if inner else old.outer)
        level = place.get(mark.where, 0) / 2 or before or radius
        a, b = view.y(radius), view.y(level)
        if abs(a - b) < 3:  # too small to see at this scale: still marked
            a, b = (a + b) / 2 - 1.5, (a + b) / 2 + 1.5
        drawn.append(svg.line((edge - 4, a), (edge - 4, b), 3.5))
        at = lower_text if inner else upper_text
        drawn.append(svg.text(edge + 2, at + 17, words, 11, font_weight="bold"))
    return drawn


def _apart(upper: float, lower: float) -> tuple[float, float]:
    """Return where two labels stand, moved apart until neither covers the other's two lines."""
    need = 2.4 * _LABEL_GAP
    if lower - upper >= need:
        return upper, lower
    middle = (upper + lower) / 2
    return middle - need / 2, middle + need / 2


def _edge(name: str) -> str:
    """Return the edge a check's name speaks of, by the kinds' words for it."""
    words = name.lower()
    if any(w in words for w in ("width", "length", "depth", "thickness", "axial", "fill")):
        return "width"
    inner = ("shaft", "bore", "journal", "inside", "clearance", "squeeze", "stretch", "groove")
    return "shaft" if any(w in words for w in inner) else "housing"


def _short(label: str) -> str:
    return label if len(label) <= 24 else label[:23] + "…"


def _sizes_words(part: Part, unit: str) -> str:
    if not part.sizes:
        return part.label
    sizes = ", ".join(
        f"{name.replace('_', ' ')} {shown(mm, unit)}"
        for name, mm in part.sizes.items()
        if mm is not None and mm == mm
    )
    return f"{part.label}: {sizes}"


def _description(
    old: Part,
    new: Part,
    sections: Sequence[Section | None],
    place: Mapping[str, Sequence[float]],
    marks: Sequence[Misfit],
    unit: str,
) -> str:
    said = [_sizes_words(old, unit), _sizes_words(new, unit)]
    if place:
        said.append(
            "place as measured: "
            + ", ".join(f"{n} {interval(ends[0], ends[1], unit)}" for n, ends in place.items())
        )
    one, other = sections
    if one is not None and other is not None:
        for name, a, b in (
            ("inside diameter", 2 * one.inner, 2 * other.inner),
            ("outside diameter", 2 * one.outer, 2 * other.outer),
            ("width", one.width, other.width),
        ):
            if abs(b - a) > _SAME_MM:
                word = "larger" if b > a else "smaller"
                said.append(
                    f"{name} {shown(abs(b - a), unit, fractions=False)} {word} than the old"
                )
    said += [f"{m.words} misses by {shown(m.mm, unit, fractions=False)}" for m in marks]
    return ". ".join(said) + "."
