"""Old and new in half section, side by side at one scale, in the machine where it was measured.

Below the parts is the shaft, above them the housing. The old part's lines run on, dashed, into the
picture of the new one, and where the two differ the difference is marked with its size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from xref.faces.drawings import labels, svg
from xref.faces.drawings.lengths import interval, shown
from xref.faces.drawings.machine import axis, machine
from xref.faces.drawings.shapes import Section, section
from xref.faces.drawings.view import LEFT, PANEL, View, ends_of_machine

FOOT, FLANGED, MARKED = 24.0, 18.0, 20.0  # below the view: the width, a flange, a misfit of width
ALONE = 5.0  # a part alone is drawn whole up to so many section heights
LABELLED = 2.0  # lines of a label: its figure, and the misfit
_SAME_MM = 1e-6


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

    `place`: `shaft`, `housing`, `groove_diameter` and so on as [low, high] in mm. `ident` is
    unique on the page.
    """
    sections = [section(p.kind, p.sizes, p.traits) for p in (old, new)]
    known = [s for s in sections if s is not None]
    if not known:
        return None
    middle = {name: (ends[0] + ends[1]) / 2 for name, ends in (place or {}).items()}
    view = View.of(known, middle)
    content: list[str] = []
    for index, (part, one) in enumerate(zip((old, new), sections, strict=True)):
        left = index * PANEL
        content.append(svg.text(left + LEFT, 15, _short(part.label), 12.5, font_weight="bold"))
        content += machine(view, left, middle, ident)
        if one is not None:
            content += _outline(view, left, one, ident)
            lines = LABELLED if index and marks else 1.1
            content += labels.dimensions(view, left, one, unit, lines=lines)
        else:
            content += labels.measured(view, left, place or {}, unit)
    before = sections[0]
    after = sections[1]
    foot = max(_foot(one) for one in known)
    if after is not None:
        content += _level_lines(view, before, middle)
        content += _marks(view, after, before, middle, marks, unit, foot)
    foot += MARKED * any(mark.where == "width" for mark in marks)
    description = _description(old, new, sections, place or {}, marks, unit)
    title = f"{old.label} and {new.label} in half section, one scale"
    return svg.drawing(
        ident, 2 * PANEL, view.bottom + foot, title, description, content,
        ["metal", "rubber", "machine"],
    )  # fmt: skip


def alone(
    part: Part,
    ident: str,
    *,
    unit: str = "mm",
    limits: labels.Limits | None = None,
) -> str | None:
    """Return one part in half section with its sizes; None when it has no outline.

    `limits` labels a size with its limits [mm] in place of the figure: of `outer`, `inner`,
    `flange`, `width`, `flange_width`.
    """
    one = section(part.kind, part.sizes, part.traits)
    if one is None:
        return None
    view = View.of([one], {}, ALONE)
    content = [*_outline(view, 0, one, ident), *labels.dimensions(view, 0, one, unit, limits)]
    content.append(axis(view, 0))
    title = f"{part.label} in half section"
    wide = PANEL if not limits else 1.35 * PANEL
    return svg.drawing(
        ident, wide, view.bottom + _foot(one), title, f"{_sizes_words(part, unit)}.", content,
        ["metal", "rubber"],
    )  # fmt: skip


def _foot(one: Section) -> float:
    return FOOT + (FLANGED if one.flange_width is not None else 0.0)


def _outline(view: View, left: float, one: Section, ident: str) -> list[str]:
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


def _broken(view: View, left: float, one: Section) -> str:
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


def _level_lines(view: View, before: Section | None, place: Mapping[str, float]) -> list[str]:
    """Carry the old part's (or the place's) levels into the new part's picture, dashed."""
    if before is not None:
        radii = sorted({before.inner, before.seat, before.outer})
    else:
        radii = [place[n] / 2 for n in ("shaft", "housing") if n in place]
    start, end = PANEL, ends_of_machine(PANEL)[1]
    return [svg.line((start, view.y(r)), (end, view.y(r)), 0.8, "3 4") for r in radii]


def _marks(
    view: View,
    new: Section,
    old: Section | None,
    place: Mapping[str, float],
    marks: Sequence[Misfit],
    unit: str,
    foot: float,
) -> list[str]:
    """Mark each misfit where it is: a heavy bar between the two levels and its size beside it."""
    edge = labels.edge(PANEL)
    stands = labels.places(view, new, LABELLED)
    drawn = []
    for mark in marks:
        words = f"▲ {shown(mark.mm, unit, fractions=False)}"
        if mark.where == "width":
            base = view.bottom + foot + MARKED - 8
            drawn.append(svg.text(PANEL + LEFT, base, f"{words} ({mark.words})", 11.5))
            continue
        inner = mark.where == "shaft"
        radius = new.inner if inner else new.seat
        before = None if old is None else (old.inner if inner else old.seat)
        level = place.get(mark.where, 0) / 2 or before or radius
        a, b = view.y(radius), view.y(level)
        if abs(a - b) < 3:  # too small to see at this scale: still marked
            a, b = (a + b) / 2 - 1.5, (a + b) / 2 + 1.5
        drawn.append(svg.line((edge - 4, a), (edge - 4, b), 3.5))
        at = stands["inner" if inner else "outer"] + labels.GAP + 2
        drawn.append(svg.text(edge + 2, at, words, 11.5, font_weight="bold"))
    return drawn


def _edge(name: str) -> str:
    """Return the edge a check's name speaks of, by the kinds' words for it."""
    words = name.lower()
    if any(w in words for w in ("width", "length", "depth", "thickness", "axial", "fill")):
        return "width"
    inner = ("shaft", "bore", "journal", "inside", "clearance", "squeeze", "stretch", "groove")
    return "shaft" if any(w in words for w in inner) else "housing"


def _short(label: str) -> str:
    return label if len(label) <= 23 else label[:22] + "…"


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
            ("outside diameter", 2 * one.seat, 2 * other.seat),
            ("width", one.width, other.width),
        ):
            if abs(b - a) > _SAME_MM:
                word = "larger" if b > a else "smaller"
                said.append(
                    f"{name} {shown(abs(b - a), unit, fractions=False)} {word} than the old"
                )
    said += [f"{m.words} misses by {shown(m.mm, unit, fractions=False)}" for m in marks]
    return ". ".join(said) + "."
