"""Reading drawings back: every shape's corners, every text, every level, as numbers."""

from __future__ import annotations

from xml.etree import ElementTree

_SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


class Picture:
    """A drawing as parsed XML; a drawing that is no well-formed XML does not get here."""

    def __init__(self, text: str) -> None:
        self.root = ElementTree.fromstring(text)  # noqa: S314 - our own output

    def all(self, name: str) -> list[ElementTree.Element]:
        """Return the elements of a name, patterns left out."""
        inside = {id(e) for d in self.root.iter(f"{_SVG}defs") for e in d.iter()}
        return [e for e in self.root.iter(_SVG + name) if id(e) not in inside]

    def polygons(self, fill: str = "") -> list[list[Point]]:
        """Return the corners of polygons whose fill contains `fill`."""
        return [
            [_point(pair) for pair in e.attrib["points"].split()]
            for e in self.all("polygon")
            if fill in e.attrib["fill"]
        ]

    def texts(self) -> list[str]:
        """Return the texts in the drawing."""
        return [e.text or "" for e in self.all("text")]

    def lines(self) -> list[tuple[Point, Point, float]]:
        """Return the lines with their widths."""
        return [
            (
                (float(e.attrib["x1"]), float(e.attrib["y1"])),
                (float(e.attrib["x2"]), float(e.attrib["y2"])),
                float(e.attrib["stroke-width"]),
            )
            for e in self.all("line")
        ]

    def description(self) -> str:
        """Return the text equivalent."""
        found = self.root.find(f"{_SVG}desc")
        assert found is not None
        assert found.text
        return found.text


def _point(pair: str) -> Point:
    x, _, y = pair.partition(",")
    return float(x), float(y)


def box(points: list[Point]) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
