"""Every row of a file ends in exactly one place."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.tables_reading.corpus_check import expectation, files
from xref.tables import read_table
from xref.tables.formats import read_grids

_CELLS = st.one_of(
    st.sampled_from(
        [
            "", "", "Part No", "Description", "Qty", "Price", "ID (mm)", "OD", "Size", "Kind",
            "OIL SEALS", "Total", "Subtotal", "Page 2", "-----", "WN-1", "WN-2", "TW/3/118",
            "5-Mar", "1.00E+05", "#N/A", "Oil seal", "60x80x8", "60", "80 mm", "2-3/8", "10+",
            "call", "(3)", "£4.50", "4/6", "POA", "NLA", "A / B", "Replaced by", "=1+1", "seal",
        ]
    ),
    st.text(max_size=12),
)  # fmt: skip
_ROWS = st.lists(st.lists(_CELLS, min_size=1, max_size=6), min_size=1, max_size=14)
_TABLES = st.sampled_from([None, "stock", "catalogue", "originals", "interchange", "wanted"])
_ANSWERS = st.fixed_dictionaries(
    {"table": _TABLES, "unit": st.sampled_from([None, "mm", "in"])},
    optional={"kind": st.sampled_from(["shaft_seal", "o_ring"])},
)


def _filled_rows(path: Path) -> int:
    return sum(
        any(cell.strip() for cell in row.cells)
        for grid in read_grids(path).grids
        for row in grid.rows
    )


@settings(
    max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(rows=_ROWS, answers=_ANSWERS, headed=st.booleans())
def test_every_filled_row_ends_in_one_place(
    tmp_path: Path, rows: list[list[str]], answers: dict[str, str | None], headed: bool
) -> None:
    """Loaded, set aside and furniture together are the filled rows, whatever the file holds."""
    if headed:
        rows = [["Part No", "Description", "Qty", "Price"], *rows]
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    path = tmp_path / "list.csv"
    path.write_text(text.getvalue(), encoding="utf-8", newline="")
    reading = read_table(path, **answers)
    if reading.refused or reading.questions:
        assert len(reading.rows) == 0
        return
    counted = len(reading.rows) + len(reading.set_aside) + reading.furniture
    assert counted == _filled_rows(path)


def test_the_corpus_loses_no_row() -> None:
    """The same holds for every file of the corpus that is read."""
    for path in files():
        reading = read_table(path, **expectation(path)["answers"])
        if not reading.refused and not reading.questions:
            counted = len(reading.rows) + len(reading.set_aside) + reading.furniture
            assert counted == _filled_rows(path), path.name
