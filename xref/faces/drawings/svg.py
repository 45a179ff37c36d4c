"""SVG elements: numbers rounded, text escaped, no style attribute and no script."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

Point = tuple[float, float]


def number(value: float) -> str:
    """Return a coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, *content: str, **attributes: str | float | None) -> str:
    """Return an element; `content` is finished markup, attribute values are escaped.

    Underscores in attribute names become hyphens, one at the end is dropped.
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{''.join(content)}</{name}>" if content else f"<{name}{written}/>"


def text(x: float, y: float, words: str, size: float = 12, **attributes: str | None) -> str:
    """Return escaped text at a point, in the colour of the page's text."""
    return element(
        "text", escape(words), x=x, y=y, font_size=size, fill="currentColor", **attributes
    )


def line(a: Point, b: Point, width: float = 1, dash: str | None = None) -> str:
    """Return a line; `dash` as in SVG."""
    return element(
        "line",
        x1=a[0],
        y1=a[1],
        x2=b[0],
        y2=b[1],
        stroke="currentColor",
        stroke_width=width,
        stroke_dasharray=dash,
    )


def polygon(points: Sequence[Point], fill: str, width: float = 1.2, **more: str | None) -> str:
    """Return a closed outline."""
    path = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return element(
        "polygon", points=path, fill=fill, stroke="currentColor", stroke_width=width, **more
    )


def hatch(ident: str, name: str) -> str:
    """Return the reference to a hatch of the drawing `ident`."""
    return f"url(#{ident}-{name})"


def drawing(
    ident: str,
    width: float,
    height: float,
    title: str,
    description: str,
    content: Iterable[str],
    hatches: Iterable[str] = (),
) -> str:
    """Return the whole picture with its name and its text equivalent.

    `ident` must be unique on the page: hatches and labels are found by it.
    """
    return element(
        "svg",
        element("title", escape(title), id=f"{ident}-t"),
        element("desc", escape(description), id=f"{ident}-d"),
        element("defs", *(_pattern(ident, name) for name in dict.fromkeys(hatches))),
        *content,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role="img",
        aria_labelledby=f"{ident}-t {ident}-d",
        font_family="system-ui, sans-serif",
        class_="drawing",
    )


# Lines that tell the hatches apart without colour: metal slanted, rubber crossed, the machine
# wide and thin, the permitted band upright.
_PATTERNS = {
    "metal": (6, "M0 6L6 0M-1 1L1 -1M5 7L7 5", 1.0),
    "rubber": (6, "M0 6L6 0M0 0L6 6", 0.8),
    "machine": (10, "M0 0L10 10M-1 9L1 11M9 -1L11 1", 0.5),
    "permitted": (4, "M2 0V4", 0.8),
}


def _pattern(ident: str, name: str) -> str:
    size, path, width = _PATTERNS[name]
    return element(
        "pattern",
        element("path", d=path, stroke="currentColor", stroke_width=width, fill="none"),
        id=f"{ident}-{name}",
        width=size,
        height=size,
        patternUnits="userSpaceOnUse",
    )


def _value(value: str | float) -> str:
    return escape(number(value) if isinstance(value, int | float) else value, quote=True)
