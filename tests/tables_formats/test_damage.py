"""Damaged files of every format: a grid or a sentence, never a traceback."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path
from tempfile import NamedTemporaryFile, TemporaryDirectory

import xlwt
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from xref.errors import Refused
from xref.store.engine import memory
from xref.tables.formats import GridSet, read_grids

from .test_refusals import pdf, xlsx
from .test_text import FIXED, GERMAN, PAGE
from .test_workbooks import ods, saved


@cache
def whole() -> dict[str, bytes]:
    """Return a good file of each format."""
    book = xlwt.Workbook()
    for i in range(40):
        row = book.add_sheet("A").row(i) if i == 0 else book.get_sheet(0).row(i)
        row.write(0, f"TW{i}")
        row.write(1, i)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "list.parquet"
        rows = memory().sql("SELECT 'TW' || i AS no, i FROM range(40) r(i)")
        rows.write_parquet(str(path))
        parquet = path.read_bytes()
    return {
        "xlsx": xlsx(),
        "xls": saved(book),
        "ods": ods(),
        "pdf": pdf(),
        "parquet": parquet,
        "html": PAGE.encode(),
        "csv": GERMAN.encode("cp1252"),
        "fixed": FIXED.encode("utf-16"),
    }


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    name=st.sampled_from(["xlsx", "xls", "ods", "pdf", "parquet", "html", "csv", "fixed"]),
    places=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), max_size=6),
    kept=st.one_of(st.just(1.0), st.floats(0, 1)),
)
def test_any_damage_is_survived(name: str, places: list[tuple[float, int]], kept: float) -> None:
    """Overwritten bytes and a cut end give rows or a one-sentence refusal, whatever the format."""
    data = bytearray(whole()[name])
    for share, value in places:
        data[min(int(share * len(data)), len(data) - 1)] = value
    with NamedTemporaryFile() as file:
        file.write(io.BytesIO(data[: int(kept * len(data))]).getvalue())
        file.flush()
        try:
            found = read_grids(file.name)
        except Refused as refusal:
            assert "\n" not in str(refusal)
        else:
            assert isinstance(found, GridSet)
            assert all(row.at is not None for grid in found.grids for row in grid.rows)


def test_whole_files_are_read() -> None:
    """The files that are damaged above are good before."""
    for name, data in whole().items():
        with NamedTemporaryFile() as file:
            file.write(data)
            file.flush()
            assert read_grids(file.name).format == name
