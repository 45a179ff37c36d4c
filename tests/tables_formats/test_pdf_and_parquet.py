"""PDF pages with ruled and with merely laid out tables, and Parquet files."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.pdfgen import canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Table
from reportlab.platypus.tables import TableStyle

from xref.store.engine import memory
from xref.tables.formats import read_grids

from .conftest import Reader

HEAD = ["No.", "Description", "Qty", "Price"]
LIST = [[f"TW{i}", f"Oil seal {i}", str(i), f"{i * 1.5:.2f}"] for i in range(80)]


def page(*, ruled: bool, title: bool = False) -> bytes:
    """Return a PDF of two pages with the list, its heading repeated on the second."""
    out = io.BytesIO()
    table = Table([HEAD, *LIST], repeatRows=1)
    if ruled:
        table.setStyle(TableStyle([("GRID", (0, 0), (-1, -1), 0.5, (0, 0, 0))]))
    words = [Paragraph("Stock of March", getSampleStyleSheet()["Title"])] if title else []
    SimpleDocTemplate(out).build([*words, table])
    return out.getvalue()


@pytest.mark.parametrize("ruled", [True, False])
def test_pdf_tables(read: Reader, ruled: bool) -> None:
    """Rows come in page order with every cell; repeated headings stay; `at` counts all rows."""
    found = read(page(ruled=ruled))
    rows = found.grids[0].rows
    assert found.format == "pdf"
    assert [row.at for row in rows] == list(range(1, len(rows) + 1))
    assert [row.cells for row in rows if row.cells != HEAD] == LIST
    assert sum(row.cells == HEAD for row in rows) > 1


def test_text_beside_a_ruled_table_is_told(read: Reader) -> None:
    """Text outside the ruled tables is left out, and the note counts its lines."""
    found = read(page(ruled=True, title=True))
    assert found.notes == ["lines of text left out, outside the ruled tables: 1"]


def test_typewriter_pdf(read: Reader) -> None:
    """A report printed line by line in a typewriter face is cut as fixed-width text."""
    out = io.BytesIO()
    drawn = canvas.Canvas(out)
    drawn.setFont("Courier", 10)
    for i, (number, what, count, price) in enumerate(LIST[:30]):
        drawn.drawString(50, 780 - 12 * i, f"{number:<8}{what:<20}{count:>6}{price:>10}")
    drawn.save()
    assert [row.cells for row in read(out.getvalue()).grids[0].rows] == LIST[:30]


@pytest.mark.store
def test_parquet(tmp_path: Path) -> None:
    """Column names are row 0, values are text as the engine writes them, missing ones empty."""
    path = tmp_path / "list.dat"
    rows = memory().sql("SELECT 'TW' || i AS no, i / 2.0 AS price, NULL AS n FROM range(2) r(i)")
    rows.write_parquet(str(path))
    found = read_grids(path)
    assert found.format == "parquet"
    assert [(row.at, row.cells) for row in found.grids[0].rows] == [
        (0, ["no", "price", "n"]),
        (1, ["TW0", "0.0", ""]),
        (2, ["TW1", "0.5", ""]),
    ]
