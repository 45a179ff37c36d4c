"""Rows written in a random dialect, language and form of unit are read back equal."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from xref.tables import read_table

# Headings of one language each: number, maker, description, quantity, price, condition, inside,
# outside, width; then the word for oil seal.
LANGUAGES = (
    ("Part No.", "Maker", "Description", "Qty", "Price", "Condition",
     "Shaft dia", "OD", "Width", "Oil seal"),
    ("Teilenummer", "Hersteller", "Bezeichnung", "Menge", "Preis", "Zustand",
     "Innen-Ø", "Außen-Ø", "Breite", "Wellendichtring"),
    ("Référence", "Fabricant", "Désignation", "Quantité", "Prix", "État",
     "Ø intérieur", "Ø extérieur", "Largeur", "Joint à lèvre"),
    ("Codice", "Marca", "Descrizione", "Quantità", "Prezzo", "Stato",
     "Diametro interno", "Diametro esterno", "Larghezza", "Paraolio"),
    ("Referencia", "Fabricante", "Descripción", "Cantidad", "Precio", "Estado",
     "Diámetro interior", "Diámetro exterior", "Ancho", "Retén"),
    ("Onderdeelnummer", "Merk", "Omschrijving", "Aantal", "Prijs", "Staat",
     "Binnendiameter", "Buitendiameter", "Breedte", "Oliekeerring"),
    ("Artikelnummer", "Tillverkare", "Benämning", "Antal", "Pris", "Skick",
     "Innerdiameter", "Ytterdiameter", "Bredd", "Oil seal"),
)  # fmt: skip
CONDITIONS = {"new": "new", "NOS": "NOS", "used": "used", "reman": "reman"}


@dataclass(frozen=True)
class Dialect:
    """How a list is written."""

    language: int
    delimiter: str
    decimal: str
    unit: str  # of the values
    unit_place: str  # "heading", "cell" or "answer"
    encoding: str
    line_end: str
    letterhead: bool


_NUMBERS = st.from_regex(r"[A-Z]{2}[-/ ][1-9][0-9]{2,4}[A-Z]?", fullmatch=True)
_EIGHTHS = st.integers(4, 40)
_PARTS = st.fixed_dictionaries(
    {
        "number": _NUMBERS,
        "maker": st.sampled_from(["Orlwick", "Hennebro", "Zwalm & Co"]),
        "quantity": st.integers(0, 999),
        "price": st.decimals(Decimal("0.05"), Decimal("999.95"), places=2),
        "condition": st.sampled_from(sorted(CONDITIONS)),
        "inside": _EIGHTHS,
        "wall": st.integers(2, 12),
        "width": st.integers(2, 8),
    }
)
_DIALECTS = st.builds(
    Dialect,
    language=st.integers(0, len(LANGUAGES) - 1),
    delimiter=st.sampled_from([",", ";", "\t", "|"]),
    decimal=st.sampled_from([".", ","]),
    unit=st.sampled_from(["mm", "in"]),
    unit_place=st.sampled_from(["heading", "cell", "answer"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    line_end=st.sampled_from(["\n", "\r\n"]),
    letterhead=st.booleans(),
)


def _size(eighths: int, dialect: Dialect) -> tuple[str, Fraction]:
    """Return a size as written and its exact value in millimetres."""
    if dialect.unit == "in":
        whole, rest = divmod(eighths, 8)
        part = Fraction(rest, 8)
        text = f"{whole}" if not rest else f"{part}" if not whole else f"{whole}-{part}"
        mark = '"' if dialect.unit_place == "cell" else ""
        return text + mark, Fraction(eighths, 8) * Fraction(127, 5)
    value = Fraction(eighths) + Fraction(1, 2)
    text = f"{float(value):.1f}".replace(".", dialect.decimal)
    return text + (" mm" if dialect.unit_place == "cell" else ""), value


def _written(parts: list[dict[str, Any]], dialect: Dialect) -> str:
    words = LANGUAGES[dialect.language]
    unit = {"mm": " (mm)", "in": " (in)"}[dialect.unit] if dialect.unit_place == "heading" else ""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=dialect.delimiter, lineterminator=dialect.line_end)
    if dialect.letterhead:
        writer.writerow(["Orlwick Spares"])
        writer.writerow([])
    writer.writerow([*words[:6], *(word + unit for word in words[6:9])])
    for part in parts:
        sizes = [
            _size(eighths, dialect)[0]
            for eighths in (part["inside"], part["inside"] + part["wall"], part["width"])
        ]
        price = f"{part['price']:.2f}".replace(".", dialect.decimal)
        writer.writerow(
            [part["number"], part["maker"], words[9], part["quantity"], price,
             part["condition"], *sizes]
        )  # fmt: skip
    return out.getvalue()


@settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    parts=st.lists(_PARTS, min_size=1, max_size=8, unique_by=lambda part: part["number"]),
    dialect=_DIALECTS,
)
def test_rows_are_read_back_equal(
    tmp_path: Path, parts: list[dict[str, Any]], dialect: Dialect
) -> None:
    """Number, maker, quantity, price, condition and exact sizes survive any way of writing."""
    path = tmp_path / "list.csv"
    path.write_bytes(_written(parts, dialect).encode(dialect.encoding))
    answers = {"unit": dialect.unit} if dialect.unit_place == "answer" else {}
    if dialect.encoding == "cp1252":
        answers["encoding"] = "cp1252"
    document = read_table(path, **answers).document()
    assert (document["refused"], document["questions"]) == (False, [])
    assert document["set_aside"] == []
    assert document["table"] == "stock"
    for part, row in zip(parts, document["rows"], strict=True):
        assert row["number"] == part["number"]
        assert row["maker"] == part["maker"]
        assert row["quantity"] == part["quantity"]
        assert row["price"] == float(part["price"])
        assert row["condition"] == CONDITIONS[part["condition"]]
        assert row["kind"] == "shaft_seal"
        expected = {
            "shaft_diameter": part["inside"],
            "outside_diameter": part["inside"] + part["wall"],
            "width": part["width"],
        }
        for name, eighths in expected.items():
            assert abs(row["dimensions_mm"][name] - float(_size(eighths, dialect)[1])) < 1e-9
