"""The half section of each kind of part: outlines in mm, x along the axis, y the radius.

Inner forms that no size states (the lip of a seal, the rings and balls of a bearing) are drawn in
proportion to the section; only outlines that a size gives are to scale.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Sizes = Mapping[str, float]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """One outline: a polygon, or a circle where `radius` is set (then one point, its centre)."""

    points: tuple[Point, ...]
    hatch: str
    radius: float | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """A part in half section: its box `inner`..`outer` (radius) by `width` [mm], and shapes.

    `seat` is the radius that lies in the housing; a flange stands out of it, `flange_width` thick.
    """

    inner: float
    outer: float
    width: float
    shapes: tuple[Shape, ...]
    seat: float
    flange_width: float | None = None


def section(kind: str, sizes: Sizes, traits: Mapping[str, object] | None = None) -> Section | None:
    """Return the half section of a part; None where its sizes do not give an outline.

    `sizes` maps the kind's dimensions to mm.
    """
    if kind == "o_ring":
        return _o_ring(sizes)
    inner = _first(sizes, "shaft_diameter", "bore_diameter", "inside_diameter")
    outer = _first(sizes, "outside_diameter")
    width = _first(sizes, "width", "length", "thickness", "assembled_width")
    if inner is None or outer is None or width is None or not 0 < inner < outer or width <= 0:
        return None
    a, b = inner / 2, outer / 2
    if kind == "shaft_seal":
        shapes = _seal(a, b, width, traits or {})
    elif kind == "rolling_bearing":
        # Only a tapered bearing has an assembled width (ISO 355).
        form = {"bearing_type": "tapered"} if sizes.get("assembled_width") else {}
        shapes = _bearing(a, b, width, {**form, **(traits or {})})
    elif kind == "plain_bushing":
        shapes = _bushing(a, b, width, sizes)
    else:
        shapes = (Shape(_box(0, a, width, b), "metal"),)
    highest = max((y for shape in shapes for _, y in shape.points), default=b)
    flange = _first(sizes, "flange_thickness") if highest > b + 1e-9 else None
    return Section(a, max(b, highest), width, shapes, b, flange)


def _o_ring(sizes: Sizes) -> Section | None:
    inside, cross = _first(sizes, "inside_diameter"), _first(sizes, "cross_section")
    if inside is None or cross is None or inside <= 0 or cross <= 0:
        return None
    a = inside / 2
    centre = (cross / 2, a + cross / 2)
    return Section(a, a + cross, cross, (Shape((centre,), "rubber", cross / 2),), a + cross)


def _seal(a: float, b: float, width: float, traits: Mapping[str, object]) -> tuple[Shape, ...]:
    """A case that seats in the bore, a lip whose edge is on the shaft, and its spring."""
    high = b - a
    wall = min(0.12 * high, 0.15 * width)
    case = (
        (0.0, b),
        (width, b),
        (width, b - wall),
        (wall, b - wall),
        (wall, a + 0.45 * high),
        (0.0, a + 0.45 * high),
    )
    lip = (
        (wall, a + 0.62 * high),
        (0.0, a + 0.45 * high),
        (0.0, a + 0.3 * high),
        (0.45 * width, a + 0.12 * high),
        (0.62 * width, a),
        (0.78 * width, a + 0.14 * high),
        (0.78 * width, a + 0.42 * high),
        (0.5 * width, a + 0.42 * high),
        (0.3 * width, a + 0.5 * high),
    )
    spring = Shape(((0.64 * width, a + 0.45 * high),), "none", 0.09 * min(high, width))
    outside = "rubber" if traits.get("case") == "rubber" else "metal"
    return (Shape(case, outside), Shape(lip, "rubber"), spring)


def _bearing(a: float, b: float, width: float, traits: Mapping[str, object]) -> tuple[Shape, ...]:
    """Two rings and a ball or roller between them, shields or seals where the type has them."""
    kind = str(traits.get("bearing_type") or "")
    if "taper" in kind:
        return _tapered(a, b, width)
    high = b - a
    ring = 0.27 * high
    corner = min(0.06 * high, 0.1 * width)
    inner = (
        (0.0, a + corner),
        (corner, a),
        (width - corner, a),
        (width, a + corner),
        (width, a + ring),
        (0.0, a + ring),
    )
    outer = tuple((x, a + b - y) for x, y in inner)
    if "roller" in kind:
        half = 0.3 * width
        body = Shape(_box(width / 2 - half, a + ring, width / 2 + half, b - ring), "none")
    else:
        body = Shape(((width / 2, (a + b) / 2),), "none", min(0.32 * high, 0.45 * width))
    closed = str(traits.get("shields") or "")
    thin, material = 0.05 * width, "rubber" if "seal" in closed else "metal"
    ends = {"one": (0.0,), "two": (0.0, width - thin)}.get(closed.partition(" ")[0], ())
    covers = tuple(Shape(_box(x, a + ring, x + thin, b - ring), material) for x in ends)
    return (Shape(inner, "metal"), Shape(outer, "metal"), body, *covers)


def _tapered(a: float, b: float, width: float) -> tuple[Shape, ...]:
    """A cone below, a cup above, and a roller whose axis is inclined between them."""
    high = b - a
    cone = ((0.0, a), (width, a), (width, a + 0.42 * high), (0.0, a + 0.22 * high))
    cup = (
        (0.0, b),
        (0.0, b - 0.34 * high),
        (0.8 * width, b - 0.14 * high),
        (0.8 * width, b),
    )
    roller = (
        (0.14 * width, a + 0.25 * high),
        (0.74 * width, a + 0.37 * high),
        (0.74 * width, b - 0.155 * high),
        (0.14 * width, b - 0.305 * high),
    )
    return (Shape(cone, "metal"), Shape(cup, "metal"), Shape(roller, "none"))


def _bushing(a: float, b: float, width: float, sizes: Sizes) -> tuple[Shape, ...]:
    """A sleeve, with its flange where the sizes give one."""
    flange, thick = _first(sizes, "flange_diameter"), _first(sizes, "flange_thickness")
    if flange is None or thick is None or flange / 2 <= b or not 0 < thick < width:
        return (Shape(_box(0, a, width, b), "metal"),)
    c = flange / 2
    outline = ((0.0, a), (0.0, c), (thick, c), (thick, b), (width, b), (width, a))
    return (Shape(outline, "metal"),)


def _box(left: float, low: float, right: float, high: float) -> tuple[Point, ...]:
    return ((left, low), (left, high), (right, high), (right, low))


def _first(sizes: Sizes, *names: str) -> float | None:
    """Return the first of these sizes that is a known, finite figure."""
    for name in names:
        value = sizes.get(name)
        if value is not None and value == value and abs(value) != float("inf"):
            return float(value)
    return None
