"""Readers of the demo's plain files that use nothing of xref, so that they can judge it."""

from __future__ import annotations

import csv
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "data_demo"
SOURCES = ROOT / "tests" / "sources"


def table(path: Path) -> list[dict[str, str]]:
    """Return the rows of a plain UTF-8 CSV file."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def originals() -> list[dict[str, str]]:
    """Return the lines of the parts book."""
    return table(DEMO / "originals.csv")


def modern() -> list[dict[str, str]]:
    """Return the rows of all catalogues, each with the file it stands in as `file`."""
    return [
        {**row, "file": path.name}
        for path in sorted(DEMO.glob("catalogue_*.csv"))
        for row in table(path)
    ]


def scenario() -> dict[str, Any]:
    """Return scenario.json."""
    document: dict[str, Any] = json.loads((DEMO / "scenario.json").read_text(encoding="utf-8"))
    return document


def millimetres(row: dict[str, str], *names: str) -> tuple[float, ...]:
    """Return the named dimensions of a catalogue row in mm, from its `… mm` or `… in` columns."""
    values = []
    for name in names:
        if row.get(f"{name} mm"):
            values.append(float(row[f"{name} mm"]))
        else:
            values.append(float(inches(row[f"{name} in"]) * Fraction(254, 10)))
    return tuple(values)


def inches(text: str) -> Fraction:
    """Return `2-3/8`, `3/8` or `.196` as an exact number of inches."""
    return sum((Fraction(part) for part in text.split("-")), Fraction(0))


DIMENSION_OF = {"smallest_shaft": "shaft_low", "largest_shaft": "shaft_high"}


def catalogue() -> list[dict[str, Any]]:
    """Return the modern parts as rows for `xref.match`: dimensions in mm, traits by name."""
    rows = []
    for part in modern():
        row: dict[str, Any] = {"written_unit": "mm"}
        for heading, cell in part.items():
            name, _, unit = heading.lower().replace("-", "_").rpartition(" ")
            if not cell or heading == "file":
                continue
            if unit == "deg":
                row["contact_angle"] = float(cell)
            elif unit == "kn":
                row[heading.lower().replace(" ", "_")] = float(cell)
            elif unit in ("mm", "in"):
                name = name.replace(" ", "_")
                factor = 1.0 if unit == "mm" else 25.4
                row[f"{DIMENSION_OF.get(name, name)}_mm"] = float(inches(cell)) * factor
                row["written_unit"] = unit
            else:
                row[heading.lower().replace(" ", "_").replace("dash_number", "dash")] = cell
        rows.append(row)
    return rows


DIMENSIONS = (
    "Shaft diameter",
    "Bore diameter",
    "Inside diameter",
    "Outside diameter",
    "Width",
    "Assembled width",
    "Length",
    "Flange diameter",
    "Flange thickness",
    "Cross-section",
    "Thickness",
)
TRAITS = ("Case", "Lip material", "Dust lip", "Bearing type", "Ring", "Shields", "Material")


def original(number: str, variant: str = "") -> dict[str, Any]:
    """Return one line of the parts book as a row for `xref.match`, sizes as written."""
    line = next(
        row for row in originals() if row["Number"] == number and variant in (row["Variant"], "")
    )
    row: dict[str, Any] = {"number": number, "kind": line["Kind"]}
    for heading in DIMENSIONS:
        if line[heading]:
            row[f"{heading.lower().replace(' ', '_').replace('-', '_')}_text"] = line[heading]
    for heading in TRAITS:
        if line[heading]:
            row[heading.lower().replace(" ", "_")] = line[heading]
    return row
