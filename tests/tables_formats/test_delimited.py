"""Delimited text: the dialect, the fields and the physical lines."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from xref.tables.formats import GridSet, Row, bulk_text, read_grids
from xref.tables.formats.bulk import BulkText, cell_text

from .conftest import Reader


def cells(found: GridSet) -> list[list[str]]:
    """Return the cells of the first grid."""
    return [row.cells for row in found.grids[0].rows]


def lines(found: GridSet) -> list[object]:
    """Return where the rows of the first grid stand."""
    return [row.at for row in found.grids[0].rows]


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_delimiters(read: Reader, mark: str) -> None:
    """Comma, semicolon, tab and bar are told from the even number of fields."""
    found = read(f"No{mark}Qty\nTW1{mark}4\nTW2{mark}5\n")
    assert found.format == "csv"
    assert cells(found) == [["No", "Qty"], ["TW1", "4"], ["TW2", "5"]]


def test_decimal_commas_between_semicolons(read: Reader) -> None:
    """Commas that all stand between digits are decimal commas, not delimiters."""
    found = read("TW1;1,5;2,25\nTW2;7,5;3,25\n")
    assert cells(found) == [["TW1", "1,5", "2,25"], ["TW2", "7,5", "3,25"]]


def test_stated_separator(read: Reader) -> None:
    """A first line `sep=;` decides and is no record; lines still count from the file's first."""
    found = read("sep=;\na,b;c\n1,2;3\n")
    assert cells(found) == [["a,b", "c"], ["1,2", "3"]]
    assert lines(found) == [2, 3]


def test_users_delimiter_overrides(read: Reader) -> None:
    """The delimiter the user names is taken even where another fits better."""
    assert cells(read("a,b,c:d\n1,2,3:4\n", delimiter=":"))[1] == ["1,2,3", "4"]


def test_newline_in_quotes(read: Reader) -> None:
    """A quoted field may run over lines; the next record has its true physical line."""
    found = read('No,Note\nTW1,"worn\nbut usable"\nTW2,x\n')
    assert cells(found)[1] == ["TW1", "worn\nbut usable"]
    assert lines(found) == [1, 2, 4]
    assert found.grids[0].rows[1].raw == 'TW1,"worn\nbut usable"'


def test_doubled_quotes(read: Reader) -> None:
    """A doubled quotation mark inside a quoted field is one mark."""
    assert cells(read('a,b\n"2-3/8"" seal",4\n'))[1] == ['2-3/8" seal', "4"]


def test_inch_mark_is_text(read: Reader) -> None:
    """A quotation mark that opens no field, as in 5/8", stays text and joins no lines."""
    found = read('a,b,c\nTW1,5/8",4\nTW2,3/4",5\n')
    assert cells(found)[1:] == [["TW1", '5/8"', "4"], ["TW2", '3/4"', "5"]]


def test_ditto_marks(read: Reader) -> None:
    """A lone quotation mark meaning "as above" does not swallow the following lines."""
    found = read('No,What,Qty\nTW1,seal,4\nTW2,",5\nTW3,",6\n')
    assert cells(found)[2:] == [["TW2", '"', "5"], ["TW3", '"', "6"]]
    assert lines(found) == [1, 2, 3, 4]


def test_unclosed_quote_costs_one_line(read: Reader) -> None:
    """A quotation mark nobody closed costs no other row."""
    found = read('a,b\n"TW1,4\n' + "".join(f"TW{i},{i}\n" for i in range(2, 700)))
    assert len(found.grids[0].rows) == 700
    assert cells(found)[1] == ['"TW1', "4"]


def test_space_before_quote(read: Reader) -> None:
    """A quoted field after delimiter and space is still quoted."""
    assert cells(read('a, "b, c", d\n1, "2, 3", 4\n'))[1] == ["1", "2, 3", "4"]


def test_backslash_escapes(read: Reader) -> None:
    r"""A database dump writes `\"` inside a quoted field."""
    assert cells(read('"a","b"\n"2-3/8\\" seal","4"\n'))[1] == ['2-3/8" seal', "4"]


def test_ragged_rows_stay_ragged(read: Reader) -> None:
    """Short and long rows and trailing delimiters are given as they are."""
    found = read("a,b,c\n1,2\n1,2,3,4\n1,2,3,\n1,2,3\n")
    assert [len(row) for row in cells(found)] == [3, 2, 4, 4, 3]


def test_blank_lines_are_one_row(read: Reader) -> None:
    """A run of blank lines parts blocks as one empty row and counts as lines."""
    found = read("a,b\n\n  \n\n1,2\n")
    assert cells(found) == [["a", "b"], [], ["1", "2"]]
    assert lines(found) == [1, 2, 5]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends(read: Reader, end: str) -> None:
    """Line feeds, both, and the lone carriage returns of old machines count as lines."""
    found = read(end.join(["a,b", "1,2", "3,4"]))
    assert (cells(found), lines(found)) == ([["a", "b"], ["1", "2"], ["3", "4"]], [1, 2, 3])


def test_single_column(read: Reader) -> None:
    """A list of bare numbers is one column, and the note says that no delimiter was found."""
    found = read("TW/3/118\nTW/3/119\n")
    assert cells(found) == [["TW/3/118"], ["TW/3/119"]]
    assert "no delimiter" in found.notes[0]


def test_letterhead_does_not_decide(read: Reader) -> None:
    """A few lines of address with commas do not outvote the table's semicolons."""
    head = "Dray & Sons, Mill Lane, Orsby\nTel. 5550, evenings\n\n"
    rows = "".join(f"TW{i};seal, oil;{i}\n" for i in range(9))
    assert cells(read(head + rows))[-1] == ["TW8", "seal, oil", "8"]


def test_limit_stops_early(read: Reader) -> None:
    """With a limit the rows stop there and the result says it is not complete."""
    found = read("".join(f"TW{i},{i}\n" for i in range(50)), limit=10)
    assert (len(found.grids[0].rows), found.complete) == (10, False)


TEXT = st.text(
    st.characters(codec="utf-8", exclude_characters="\x00\r", exclude_categories=("Cs",)),
    max_size=8,
)
NUMBER = st.from_regex(r"[A-Z]{2}/[0-9]{1,3}", fullmatch=True)


@pytest.mark.store
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_written_rows_read_back_equal(data: st.DataObject) -> None:
    """Rows written in any dialect and encoding come back equal, each at its physical line.

    The user names the delimiter: what is tried here is the parsing, not the guess.
    """
    mark = data.draw(st.sampled_from(",;\t|"))
    end = data.draw(st.sampled_from(["\n", "\r\n"]))
    encoding = data.draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le"]))
    quoting = data.draw(st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]))
    width = data.draw(st.integers(2, 5))
    rows = data.draw(st.lists(st.tuples(NUMBER, *[TEXT] * (width - 1)), min_size=2, max_size=8))
    # A field that is one quoted delimiter or line end cannot be told from ditto marks.
    assume(not any(cell[:1] in (mark, "\n") for row in rows for cell in row if cell))
    expected, at, out = [], 1, io.StringIO(newline="")
    writer = csv.writer(out, delimiter=mark, lineterminator=end, quoting=quoting)
    for row in rows:
        expected.append((at, list(row)))
        before = len(out.getvalue())
        writer.writerow(row)
        at += out.getvalue()[before:].count("\n")
    with NamedTemporaryFile(suffix=".csv") as file:
        file.write(out.getvalue().encode(encoding))
        file.flush()
        stated = "utf-16-le" if encoding == "utf-16-le" else None
        found = read_grids(file.name, delimiter=mark, encoding=stated)
        assert [(row.at, row.cells) for row in found.grids[0].rows] == expected
        assert found.dialect is not None
        bulk = bulk_text(file.name, found.dialect, found.encoding)
        assert bulk is not None
        assert [
            (line, row[: len(want)])
            for (line, row), (_, want) in zip(records(bulk), expected, strict=True)
        ] == expected


def records(bulk: BulkText) -> list[tuple[int, list[str]]]:
    """Return line and cells of the records that hold any text."""
    edges = [list(zip(*pair, strict=True)) for pair in zip(bulk.begins, bulk.ends, strict=True)]
    rows = [[cell_text(bulk.data[a:b]) for a, b in row] for row in zip(*edges, strict=True)]
    found = zip(bulk.lines.tolist(), rows, strict=True)
    return [(line, row) for line, row in found if any(map(str.strip, row))]


PARTS = st.sampled_from(["a", "5/8", '"', '""', ",", "\n", "\r\n", " ", "7", "\n\n"])


@settings(max_examples=200, deadline=None)
@given(text=st.lists(PARTS, min_size=1, max_size=40).map("".join))
def test_bulk_agrees_with_rows(text: str) -> None:
    """On any mess of quotation marks, delimiters and blank lines both ways give the same."""
    assume(text.strip() and text[0] != "\n" and "sep=" not in text)
    with NamedTemporaryFile(suffix=".csv") as file:
        file.write(text.encode())
        file.flush()
        found = read_grids(file.name, delimiter=",")
        assert found.dialect is not None
        bulk = bulk_text(file.name, found.dialect, found.encoding)
    assert bulk is not None
    full = [row for row in found.grids[0].rows if any(map(str.strip, row.cells))]
    assert [(line, trimmed(row)) for line, row in records(bulk)] == [
        (row.at, trimmed(row.cells)) for row in full
    ]
    raw = {line: bulk.raw(row) for row, line in enumerate(bulk.lines.tolist())}
    assert [raw[row.at] for row in full if isinstance(row.at, int)] == [row.raw for row in full]


def trimmed(row: Sequence[str]) -> list[str]:
    """Return the cells without the empty ones at the end."""
    full = list(row)
    while full and not full[-1]:
        full.pop()
    return full


def test_bulk_keeps_lines_and_raw(tmp_path: Path) -> None:
    """The fast way keeps lines over blank ones, and the raw text of a row is found again."""
    path = tmp_path / "big.csv"
    path.write_text('No,Size\n\nTW1,"2-3/8"""\n\n\nTW2,60.3\n')
    found = read_grids(path)
    assert found.dialect is not None
    bulk = bulk_text(path, found.dialect)
    assert bulk is not None
    assert bulk.fast
    assert records(bulk) == [(1, ["No", "Size"]), (3, ["TW1", '2-3/8"']), (6, ["TW2", "60.3"])]
    assert [bulk.raw(row) for row in (2, 5)] == ['TW1,"2-3/8"""', "TW2,60.3"]


@pytest.mark.parametrize(
    ("portion", "fast"),
    [
        ('A1,2-3/8",x\n', True),  # no mark opens a field: marks are text
        ('A1,"2-3/8""",x\n', True),
        ('A1,"2-3/8""",5"\n', False),  # in one line both: only the slower way is sure
        ('A1,"two\nlines",x\n', False),
    ],
)
def test_only_doubtful_portions_are_read_slowly(tmp_path: Path, portion: str, fast: bool) -> None:
    """Odd lines far inside a long text are read as row by row, and nothing else changes."""
    path = tmp_path / "big.csv"
    plain = "".join(f"B{n},{n % 60} mm,seal {n}\n" for n in range(40_000))
    path.write_text(f"No,Size,Text\n{plain}{portion}{plain}", encoding="utf-8")
    found = read_grids(path)
    assert found.dialect is not None
    bulk = bulk_text(path, found.dialect, found.encoding)
    assert bulk is not None
    assert bulk.fast is fast
    assert records(bulk) == [(row.at, row.cells) for row in found.grids[0].rows]


def test_rows_do_not_share_flags() -> None:
    """The empty flags of a row cannot be written to by mistake."""
    with pytest.raises(TypeError):
        Row(1, [], "").flags[0] = "date"  # type: ignore[index]


@pytest.mark.parametrize(
    "text",
    [
        'a,b\r\n"x\\""\r,1\r\n"y",2\r\n',
        '"\u2029\\""\r\u2028"\r\nTotal,Page 2,(3)\r\n"\x1e\\\n>",A / B\r\n"\\",Page 2,Part\r\n',
        'Part No,Qty\r\n"-0\\""\r;\r",1.00E+05,\t,2\r\n"\\\n\x0b\x85<""\r",A / B\r\n',
    ],
)
def test_marks_that_never_close_end_in_rows(tmp_path: Path, text: str) -> None:
    """Escapes before doubled marks and bare carriage returns: rows, not an endless record."""
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8", newline="")
    (grid,) = read_grids(path).grids
    assert sum(len(row.raw) for row in grid.rows) <= len(text)
    assert grid.rows
