"""The sizes beside a section: levels labelled without one covering another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from xref.faces.drawings import svg
from xref.faces.drawings.lengths import interval, shown
from xref.faces.drawings.shapes import Section
from xref.faces.drawings.view import DIAMETERS, LEFT, WIDEST, View

SIZE = 12.0  # of the labels; on a phone still some 10 px
GAP = 15.0  # between two lines of labels
Limits = Mapping[str, tuple[float, float]]


def edge(left: float) -> float:
    """Return where the labels of a panel begin."""
    return left + LEFT + WIDEST + 14


def spread(levels: Sequence[float], lines: float) -> list[float]:
    """Return where labels of `lines` lines stand, in the order given: apart from each other.

    `levels` run from the top down; what lies too near is moved apart about its middle.
    """
    need = lines * GAP
    groups = [[level] for level in levels]
    merged = True
    while merged:
        merged = False
        for n in range(len(groups) - 1):
            if _first(groups[n + 1], need) - _last(groups[n], need) < need:
                groups[n : n + 2] = [groups[n] + groups[n + 1]]
                merged = True
                break
    return [_first(group, need) + n * need for group in groups for n in range(len(group))]


def _first(group: Sequence[float], need: float) -> float:
    return sum(group) / len(group) - need * (len(group) - 1) / 2


def _last(group: Sequence[float], need: float) -> float:
    return _first(group, need) + need * (len(group) - 1)


def diameters(one: Section) -> dict[str, float]:
    """Return the radii that are labelled, from the top down, by what they are."""
    flange = {"flange": one.outer} if one.outer > one.seat else {}
    return {**flange, "outer": one.seat, "inner": one.inner}


def places(view: View, one: Section, lines: float) -> dict[str, float]:
    """Return where the labels of a section's diameters stand, each of `lines` lines."""
    radii = diameters(one)
    stands = spread([view.y(r) for r in radii.values()], lines)
    below = max(stands[-1] + (lines - 1) * GAP - view.bottom, 0.0)
    return dict(zip(radii, [at - below for at in stands], strict=True))


def dimensions(
    view: View,
    left: float,
    one: Section,
    unit: str,
    limits: Limits | None = None,
    lines: float = 1.1,
) -> list[str]:
    """Label the diameters at their levels, the width below.

    `lines` is the room of a label: two where a misfit stands under it. `limits` replaces a
    figure by its limits [mm]: of `outer`, `inner`, `flange`, `width`, `flange_width`.
    """
    limits = limits or {}
    start, end = view.x(left, 0, one.width), view.x(left, one.width, one.width)
    drawn = []
    for name, at in places(view, one, lines).items():
        radius = diameters(one)[name]
        drawn.append(_leader((end, view.y(radius)), edge(left), at))
        words = _figure(2 * radius, limits.get(name), unit)
        drawn.append(svg.text(edge(left) + 2, at + 4, f"⌀ {words}", SIZE))
    base = view.bottom + 14
    drawn += _across(start, end, base, _figure(one.width, limits.get("width"), unit))
    if one.flange_width is not None:
        to = view.x(left, one.flange_width, one.width)
        words = _figure(one.flange_width, limits.get("flange_width"), unit)
        drawn += _across(start, to, base + 18, f"{words} flange")
    return drawn


def measured(view: View, left: float, place: Mapping[str, Sequence[float]], unit: str) -> list[str]:
    """Label the place as measured, where there is no old part to draw."""
    known = {n: (place[n][0] + place[n][1]) / 2 for n in DIAMETERS if n in place}
    known = dict(sorted(known.items(), key=lambda pair: -pair[1]))
    drawn = []
    stands = spread([view.y(mm / 2) for mm in known.values()], 2.2)
    for (name, mm), at in zip(known.items(), stands, strict=True):
        drawn.append(svg.text(edge(left) + 2, at + 4, f"⌀ {shown(mm, unit)}", SIZE))
        words = name.replace("_", " ").removesuffix(" diameter")
        drawn.append(svg.text(edge(left) + 2, at + 4 + GAP, words, SIZE - 1))
    if "groove_width" in place:
        low, high = place["groove_width"][0], place["groove_width"][1]
        start = left + LEFT
        end = start + (low + high) / 2 * view.scale
        drawn += _across(start, end, view.bottom + 14, shown((low + high) / 2, unit))
    return drawn


def _figure(mm: float, limits: tuple[float, float] | None, unit: str) -> str:
    return shown(mm, unit) if limits is None else interval(*limits, unit)


def _leader(start: tuple[float, float], x: float, y: float) -> str:
    """Draw the line from a level to its label, bent where the label had to move."""
    if abs(start[1] - y) < 1:
        return svg.line(start, (x, start[1]), 0.6)
    points = [start, (x - 8, start[1]), (x, y)]
    path = " ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in points)
    return svg.element(
        "polyline", points=path, fill="none", stroke="currentColor", stroke_width=0.6
    )


def _across(start: float, end: float, base: float, words: str) -> list[str]:
    """Draw a width with its two ends and its figure."""
    return [
        svg.line((start, base - 8), (start, base + 4), 0.6),
        svg.line((end, base - 8), (end, base + 4), 0.6),
        svg.line((start, base), (end, base), 0.8),
        svg.text(end + 6, base + 4, words, SIZE),
    ]
