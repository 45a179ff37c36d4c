"""Other text: encodings, fixed width, Markdown and HTML."""

from __future__ import annotations

import pytest

from xref.errors import Refused
from xref.tables.formats import MERGED

from .conftest import Reader

GERMAN = "Nummer;Bezeichnung;Preis\nTW1;Wellendichtring Größe 60×80;12,50\n"
LISTS = [
    (GERMAN, "cp1252"),
    (GERMAN, "mac_roman"),
    ("No;Price\nTW1;£4.50\n", "cp1252"),
    ("No;Price\nTW1;£4.50\n", "cp850"),
    ("No;OD\nTW1;Ø60 ±0.02\n", "cp1252"),
    ("No;OD\nTW1;Ø60 ±0.02\n", "cp850"),
    ("No;Qty\nTW1;½ doz\n", "cp1252"),
    ("No;Qty\nTW1;½ doz\n", "cp850"),
    ('No;Size\nTW1;1½"\n', "cp1252"),
    ("No;What\nTW1;bague d'étanchéité\n", "cp1252"),
    ("No;What\nTW1;bague d'étanchéité\n", "cp850"),
    ("No;What\nTW1;joint à lèvre\n", "mac_roman"),
    ("No;What\nTW1;těsnění hřídele\n", "cp1250"),
    ("No;What\nTW1;ÖLDICHTUNG\n", "cp1252"),
]


@pytest.mark.parametrize(("text", "encoding"), [p for p in LISTS if p[1] != "skip"])
def test_old_encodings(read: Reader, text: str, encoding: str) -> None:
    """A handful of bytes outside ASCII tell the encoding by what they would mean where they are."""
    try:
        data = text.encode(encoding)
    except UnicodeEncodeError:
        data = text.replace("×", "x").encode(encoding)
        text = text.replace("×", "x")
    found = read(data)
    got = "".join(row.raw + "\n" for row in found.grids[0].rows)
    assert got == text
    assert found.encoding_how is not None
    assert "guessed" in found.encoding_how


def test_utf8_is_not_guessed(read: Reader) -> None:
    """Bytes that are valid UTF-8 are UTF-8, and the result says so."""
    found = read(GERMAN)
    assert (found.encoding, found.encoding_how) == ("utf-8", "valid UTF-8")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-32"])
def test_byte_order_marks(read: Reader, encoding: str) -> None:
    """A byte order mark decides and is no part of the first cell."""
    found = read(GERMAN.encode(encoding))
    assert found.grids[0].rows[0].cells[0] == "Nummer"
    assert found.encoding_how == "byte order mark"


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf16_without_mark(read: Reader, encoding: str) -> None:
    """UTF-16 without a mark is known by its zero bytes and is not refused as binary."""
    assert read(GERMAN.encode(encoding)).grids[0].rows[1].cells[0] == "TW1"


def test_stated_encoding_overrides(read: Reader) -> None:
    """The user's word on the encoding is taken even where another seems likelier."""
    found = read("No;Price\nTW1;£4\n".encode("cp1252"), encoding="cp850")
    assert found.grids[0].rows[1].cells[1] == "ú4"


def test_stated_encoding_that_cannot_be(read: Reader) -> None:
    """Bytes the stated encoding does not have are refused, with line and byte."""
    with pytest.raises(Refused, match="line 2"):
        read("No;Price\nTW1;£4\n".encode("cp1252"), encoding="utf-8")


@pytest.mark.parametrize("name", ["klingon", "hex"])
def test_no_such_encoding(read: Reader, name: str) -> None:
    """An unknown encoding, or one that makes no text, is refused with those that exist."""
    with pytest.raises(Refused, match="cp1252"):
        read("a,b\n1,2\n", encoding=name)


FIXED = """\
DRAY & SONS                  Tel. 5550
Stock of March

No.      Description        Qty    Price
TW3118   OIL SEAL A           4    12.50
TW4      SEAL                12     3.00
TW5      A LONGER ONE, OK     1   103.00
TW6                           2     4.00
"""


def test_fixed_width(read: Reader) -> None:
    """Columns are the characters that stay blank; right-aligned numbers and empty cells hold."""
    found = read(FIXED)
    assert found.format == "fixed"
    rows = {row.at: row.cells for row in found.grids[0].rows}
    assert rows[5] == ["TW3118", "OIL SEAL A", "4", "12.50"]
    assert rows[7] == ["TW5", "A LONGER ONE, OK", "1", "103.00"]
    assert rows[8] == ["TW6", "", "2", "4.00"]


def test_fixed_width_ruled(read: Reader) -> None:
    """A line of dashes in groups gives the columns even where one blank parts them."""
    found = read("No  Size What\n--- ---- ----\nTW1 60.3 seal\nTW2 2.25 oil seal\n")
    assert found.grids[0].rows[3].cells == ["TW2", "2.25", "oil seal"]


def test_fixed_width_word_over_an_edge(read: Reader) -> None:
    """One heading wider than its column is cut beside the word, never inside it."""
    rows = "".join(f"TW{i:03}   seal     {i:3}\n" for i in range(40))
    found = read("Number-of-part  What  Qty\n" + rows)
    assert "Number-of-part" in found.grids[0].rows[0].cells[0]
    assert found.grids[0].rows[5].cells == ["TW004", "seal", "4"]


def test_markdown(read: Reader) -> None:
    """A Markdown table in a letter: escaped bars, emphasis, text around it, true lines."""
    found = read("Dear all,\n\n| No | What |\n|----|:----:|\n| TW\\|1 | **seal** |\n\nBye\n")
    assert found.format == "markdown"
    rows = {row.at: row.cells for row in found.grids[0].rows if row.cells}
    assert rows == {
        1: ["Dear all,"],
        3: ["No", "What"],
        4: ["|----|:----:|"],
        5: ["TW|1", "seal"],
        7: ["Bye"],
    }


def test_boxes_of_a_database(read: Reader) -> None:
    """The box a database program prints is read like a Markdown table."""
    found = read("+-----+-----+\n| No  | Qty |\n+-----+-----+\n| TW1 |   4 |\n+-----+-----+\n")
    assert found.grids[0].rows[3].cells == ["TW1", "4"]


PAGE = """<html><body><p>Our list</p><table>
<tr><th rowspan=2>No<th colspan="2">Size</tr>
<tr><td>ID</td><td>OD</td></tr>
<tr><td>TW&frac12;&nbsp;A<td>60<br>mm<td>x &lt; 80</tr>
<tr style="display:none"><td>secret<td>1<td>2</tr>
</table></body></html>"""


def test_html(read: Reader) -> None:
    """Spans are filled and flagged, entities resolved, unclosed cells and hidden rows kept."""
    found = read(PAGE, name="list.xls")
    assert found.format == "html"
    rows = found.grids[0].rows
    assert [row.at for row in rows] == [1, 2, 3, 4]
    assert rows[0].cells == ["No", "Size", "Size"]
    assert (rows[1].cells, dict(rows[1].flags)) == (["No", "ID", "OD"], {0: MERGED})
    assert rows[2].cells == ["TW½ A", "60 mm", "x < 80"]
    assert rows[3].hidden


def test_nested_tables(read: Reader) -> None:
    """A table laid inside another is a grid of its own; rows count over the whole file."""
    found = read(
        "<table><tr><td>page<td><table><tr><td>a<td>b<tr><td>1<td>2</table><tr><td>foot</table>"
    )
    grids = [[(row.at, row.cells) for row in grid.rows] for grid in found.grids]
    assert grids == [[(1, ["page", ""]), (4, ["foot"])], [(2, ["a", "b"]), (3, ["1", "2"])]]


def test_html_states_its_encoding(read: Reader) -> None:
    """The encoding a page states is believed where the bytes are no UTF-8."""
    page = '<meta charset="cp850"><table><tr><td>½<td>Ø</table>'
    assert read(page.encode("cp850")).grids[0].rows[0].cells == ["½", "Ø"]


def test_saved_mail(read: Reader) -> None:
    """The page inside a saved mail is found and decoded."""
    mail = (
        "From: a@example.org\nMIME-Version: 1.0\nContent-Type: text/html; charset=utf-8\n"
        "Content-Transfer-Encoding: quoted-printable\n\n"
        "<table><tr><td>TW=C2=BD<td>4</td></tr></table>\n"
    )
    assert read(mail).grids[0].rows[0].cells == ["TW½", "4"]


def test_markup_in_a_cell_is_data(read: Reader) -> None:
    """A list with markup in a cell is a list, not a page."""
    assert read("No,What\nTW1,<b>seal</b>\nTW2,<script>x</script>\n").format == "csv"
