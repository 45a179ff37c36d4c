"""The machine around a part, where it was measured: shaft, housing, the groove of an O-ring."""

from __future__ import annotations

from collections.abc import Mapping

from xref.faces.drawings import svg
from xref.faces.drawings.view import LEFT, WIDEST, View, ends_of_machine


def machine(view: View, left: float, place: Mapping[str, float], ident: str) -> list[str]:
    """Draw what was measured of the machine; `place` maps names to mm."""
    drawn = [axis(view, left)]
    if "groove_diameter" in place and "mating_diameter" in place:
        return drawn + _groove(view, left, place, ident)
    start, end = ends_of_machine(left)
    bottom, top = view.y(view.low), view.y(view.high)
    fill = svg.hatch(ident, "machine")
    for name, edge in (("shaft", bottom), ("housing", top)):
        if name in place:
            y = view.y(place[name] / 2)
            corners = [(start, y), (end, y), (end, edge), (start, edge)]
            drawn.append(svg.polygon(corners, fill, 0.8))
    return drawn


def axis(view: View, left: float) -> str:
    """Draw the axis, or the break where the view does not reach down to it."""
    y = view.y(view.low)
    start, end = ends_of_machine(left)
    if view.low == 0:
        return svg.line((start, y), (end, y), 0.8, "10 3 2 3")
    middle = (start + end) / 2
    points = [(start, y), (middle - 8, y), (middle - 3, y - 5), (middle + 3, y + 5)]
    points += [(middle + 8, y), (end, y)]
    path = " ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in points)
    return svg.element("polyline", points=path, fill="none", stroke="currentColor")


def _groove(view: View, left: float, place: Mapping[str, float], ident: str) -> list[str]:
    """Draw an O-ring's groove and what it seals against.

    A groove bottom below the mating diameter is a piston's (it seals against the bore around it),
    one above is a rod's. The gap between the two bodies was not measured; it is drawn as a hair.
    """
    bottom, mating = place["groove_diameter"] / 2, place["mating_diameter"] / 2
    start, end = ends_of_machine(left)
    # The ring lies at the start of its groove, where its own section is drawn.
    inside = left + LEFT
    edge = min(inside + place.get("groove_width", 0.0) * view.scale, left + LEFT + WIDEST + 6)
    fill = svg.hatch(ident, "machine")
    low, high = view.y(view.low), view.y(view.high)
    cut, other = (low, high) if bottom < mating else (high, low)
    land = view.y(mating) + (1.5 if bottom < mating else -1.5)
    floor = view.y(bottom)
    body = [(start, cut), (start, land), (inside, land), (inside, floor)]
    if edge > inside:
        body += [(edge, floor), (edge, land), (end, land), (end, cut)]
    else:  # the width is not known: the groove runs on
        body += [(end, floor), (end, cut)]
    y = view.y(mating)
    return [
        svg.polygon(body, fill, 0.8),
        svg.polygon([(start, y), (end, y), (end, other), (start, other)], fill, 0.8),
    ]
