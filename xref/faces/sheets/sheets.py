"""One function per sheet: the document of an act goes in, a whole page of HTML comes out.

Nothing on a sheet is told by colour. A page stands alone: its style is inside it, unless `linked`
names where a server keeps the style.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from markupsafe import Markup

from xref.faces.drawings.of_match import pictured
from xref.faces.drawings.section import Part, alone
from xref.faces.web.own_words import label
from xref.faces.web.words import plain_words, size, templates
from xref.kinds.spec import spec

HERE = Path(__file__).resolve().parent / "templates"
PAPERS = ("A4", "Letter")
_EDGES = {  # where a size of a part stands in its section
    "outside_diameter": "outer",
    "bore_diameter": "inner",
    "inside_diameter": "inner",
    "length": "width",
    "width": "width",
    "thickness": "width",
    "flange_diameter": "flange",
    "flange_thickness": "flange_width",
}
Document = Mapping[str, Any]


class Paper:
    """How sheets are written: the paper, the unit shown, the day, where the style is kept."""

    def __init__(
        self, on: date, *, unit: str = "mm", paper: str = "A4", linked: bool = False
    ) -> None:
        """`linked`: the page is served, so that its style is a file beside it."""
        self.on = on
        self.unit = unit
        self.paper = paper if paper in PAPERS else PAPERS[0]
        self.linked = linked

    def page(self, template: str, title: str, **values: Any) -> str:
        """Return a sheet from its template."""
        style = None if self.linked else Markup(style_text(self.paper))  # noqa: S704 - our own file
        common = {"title": title, "on": self.on, "unit": self.unit, "style": style}
        page = templates(HERE).get_template(template)
        return page.render({**common, "paper": self.paper, **values})


def style_text(paper: str) -> str:
    """Return the style of the sheets for a size of paper."""
    text = (HERE / "sheet.css").read_text(encoding="utf-8")
    size = {"A4": "A4", "Letter": "letter"}[paper]
    return f"@page {{ size: {size}; margin: 13mm 14mm; }}\n{text}"


def fit(paper: Paper, document: Document, asked: str) -> str:
    """The fit sheet for the bench: the first candidates with section, bands, work, cautions."""
    candidates = pictured(dict(document), paper.unit)[:1]
    others = document["candidates"][1:4]
    return paper.page(
        "fit.html",
        f"Fit sheet: {document['need'].get('number') or asked}",
        need=document["need"],
        service=_service(document["need"]["service"], paper.unit),
        candidates=candidates,
        others=others,
        misses=[] if candidates else document["near_misses"],
        cautions=document["cautions"],
    )


def _service(service: Document, unit: str) -> list[str]:
    """Return service conditions as they are said on a sheet."""
    said = []
    for name, value in service.items():
        if name.startswith("track_"):
            said.append(f"{plain_words(name)} {size(value, unit)}")
        else:
            said.append(
                f"{label(name)}: {value:g}"
                if isinstance(value, float)
                else f"{label(name)}: {value}"
            )
    return said


def enquiry(paper: Paper, letter: Document) -> str:
    """The letter to a supplier."""
    title = f"Enquiry {letter['enquiry']} to {letter['supplier']}"
    return paper.page("enquiry.html", title, letter=letter)


def wanted(paper: Paper, wants: Sequence[Document], closing: Sequence[Document]) -> str:
    """The wanted list for the wall, and who closes when."""
    return paper.page("wall.html", "Wanted", wants=wants, closing=closing)


def plan(paper: Paper, document: Document) -> str:
    """The buying plan."""
    return paper.page("plan.html", "Buying plan", plan=document)


def receiving(paper: Paper, expected: Document, ordered: Mapping[str, float]) -> str:
    """The sheet on which a part that came is measured, with boxes for each reading.

    `ordered`: the sizes of what was ordered, by dimension [mm].
    """
    kind = expected["want"]["kind"]
    declared = spec(kind) if kind else None
    order = expected["order"]["order_id"]
    return paper.page(
        "receiving.html",
        f"Goods in: order {order}",
        seen=expected,
        order=order,
        ordered=ordered,
        dimensions=declared.dimensions if declared else (),
        places=declared.places if declared else (),
        cautions=declared.cautions if declared else (),
    )


def assembly(paper: Paper, machine: Document) -> str:
    """The assembly sheet: each place with its part, what the manual says, boxes to tick."""
    return paper.page("assembly.html", f"Assembly: {machine['machine']}", machine=machine)


def shop(paper: Paper, sketch: Document) -> str:
    """The sketch with limits for an outside shop."""
    sizes = {d["name"]: d["nominal_mm"] for d in sketch["dimensions"]}
    name = sketch["number"] or spec(sketch["kind"]).title
    ends = {d["name"]: (d["low_mm"], d["high_mm"]) for d in sketch["dimensions"]}
    labelled = {edge: ends[n] for n, edge in _EDGES.items() if n in ends}
    drawn = alone(Part(name, sketch["kind"], sizes), "shop", unit=paper.unit, limits=labelled)
    return paper.page(
        "shop.html",
        f"To be made: {name}",
        sketch=sketch,
        name=name,
        picture=None if drawn is None else Markup(drawn),  # noqa: S704 - its text is escaped
    )
