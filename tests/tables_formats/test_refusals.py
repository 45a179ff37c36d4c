"""Files that hold no table, and hostile ones: a sentence, little memory, little time."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlwt
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen import canvas

from xref.errors import Refused
from xref.tables.formats import bulk_text, delimited, read_grids

from .conftest import Reader
from .test_workbooks import saved, workbook_of


def xlsx() -> bytes:
    """Return a small good workbook."""
    book = openpyxl.Workbook()
    for i in range(50):
        book.active.append([f"TW{i}", i])
    return saved(book)


def pdf(password: str | None = None, text: bool = True) -> bytes:
    """Return a PDF page."""
    out = io.BytesIO()
    encrypt = StandardEncryption(password, canPrint=0) if password else None
    page = canvas.Canvas(out, encrypt=encrypt)
    if text:
        page.drawString(100, 100, "TW1")
    page.rect(1, 1, 100, 100)
    page.save()
    return out.getvalue()


def zipped(**parts: bytes) -> bytes:
    """Return a ZIP archive of these parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", 8) as archive:
        for name, data in parts.items():
            archive.writestr(name.replace("__", "/").replace("_x", ".x"), data)
    return out.getvalue()


def compound(stream_name: str) -> bytes:
    """Return an XLS file whose workbook stream is renamed, as other programs' documents are."""
    book = xlwt.Workbook()
    book.add_sheet("A").write(0, 0, 1)
    old, new = "Workbook".encode("utf-16-le"), stream_name.encode("utf-16-le")
    return saved(book).replace(old, new.ljust(len(old), b"\x00")[: len(old)])


def damaged(content: bytes) -> bytes:
    """Return a workbook with bytes of its packed sheet overwritten."""
    at = content.index(b"xl/worksheets/sheet1.xml") + 60
    return content[:at] + b"\x00" * 40 + content[at + 40 :]


REFUSED: list[tuple[str, bytes, str]] = [
    ("empty", b"", "is empty"),
    ("blank", b" \r\n\t\n", "only blanks"),
    ("blank with a mark", b"\xef\xbb\xbf\n", "only blanks"),
    ("binary", bytes(range(256)) * 8, "binary data"),
    ("a run of NUL bytes in text", b"No,Qty\nTW\x00\x00\x00\x001,4\n", "binary data"),
    ("cut workbook", xlsx()[:-400], "cut off or damaged"),
    ("damaged workbook", damaged(xlsx()), "damaged"),
    ("empty archive", b"PK\x05\x06" + b"\x00" * 18, "empty ZIP archive"),
    ("other archive", zipped(readme_xt=b"x"), "not a workbook"),
    ("letter", zipped(word__document_xml=b"<w/>"), "word-processor document"),
    (
        "encrypted ods",
        zipped(**{"META-INF/manifest.xml": b"<a><encryption-data/></a>", "content.xml": b"x"}),
        "encrypted",
    ),
    ("cut xls", compound("Workbook")[:3000], "cut off or damaged"),
    ("encrypted xlsx", compound("Encrypte"), "no workbook"),
    ("picture", b"\x89PNG\r\n\x1a\n\x00", "a picture"),
    ("compressed", b"\x1f\x8b\x08\x00", "unpack it first"),
    ("program", b"\x7fELF\x02\x01\x00", "a program"),
    ("json", b'{"No": "TW1"}', "JSON"),
    ("xml", b'<?xml version="1.0"?><a><b/></a>', "XML"),
    ("rich text", b"{\\rtf1 TW1}", "rich-text"),
    ("page without table", b"<!doctype html><p>Hello", "without a table"),
    ("cut parquet", b"PAR1\x00\x00", "cut off or damaged"),
    ("encrypted pdf", pdf("secret"), "encrypted"),
    ("scanned pdf", pdf(text=False), "only pictures"),
    ("cut pdf", pdf()[:300], "cut off or damaged"),
]


@pytest.mark.parametrize(
    ("content", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED]
)
def test_refused_in_one_sentence(read: Reader, tmp_path: Path, content: bytes, words: str) -> None:
    """What cannot be a table is refused with the file's name, the reason and no path."""
    with pytest.raises(Refused) as caught:
        read(content, name="list.xlsx")
    message = str(caught.value)
    assert words in message
    assert message.startswith("list.xlsx")
    assert "\n" not in message
    assert str(tmp_path) not in message


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "sheet"]
)
def test_xml_entities(read: Reader, part: str) -> None:
    """A document type in any part of a workbook is refused before anything expands it."""
    doctype = b'<!DOCTYPE a [<!ENTITY e "boom">]>'
    if part == "sheet":
        content = workbook_of(b'<row r="1"><c r="A1"><v>1</v></c></row>', start=doctype)
    else:
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(xlsx())) as old, zipfile.ZipFile(out, "w") as new:
            for name in {*old.namelist(), part}:
                if name not in old.namelist():
                    new.writestr(name, doctype + b"<sst/>")
                    continue
                new.writestr(name, (doctype if name == part else b"") + old.read(name))
        content = out.getvalue()
    with pytest.raises(Refused, match="entities"):
        read(content)


def test_missing_folder_and_device(tmp_path: Path) -> None:
    """A missing file, a folder and a device are told apart."""
    for path, words in (
        (tmp_path / "no.csv", "does not exist"),
        (tmp_path, "a folder"),
        (Path(os.devnull), "a device"),
    ):
        with pytest.raises(Refused, match=words):
            read_grids(path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_unreadable(tmp_path: Path) -> None:
    """A file without permission to read is refused with what to do."""
    path = tmp_path / "list.csv"
    path.write_text("a,b\n")
    path.chmod(0)
    with pytest.raises(Refused, match="permissions"):
        read_grids(path)


def test_hostile_name(tmp_path: Path) -> None:
    """Control characters of a file's name are escaped in the sentence."""
    path = tmp_path / "a\x1b[31m.csv"
    path.write_bytes(b"")
    with pytest.raises(Refused) as caught:
        read_grids(path)
    assert "\x1b" not in str(caught.value)


def test_pdf_without_the_extra(read: Reader, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without pdfplumber a PDF is refused with the command that brings it."""
    monkeypatch.setitem(sys.modules, "pdfplumber", None)
    with pytest.raises(Refused, match=r"pip install 'xref\[pdf\]'"):
        read(pdf())


def test_standard_input() -> None:
    """`-` reads standard input, whatever the format."""
    found = _child(["-"], xlsx())
    assert found["format"] == "xlsx"
    assert found["rows"] == 50


CHILD = """
import json, resource, sys, time
resource.setrlimit(resource.RLIMIT_AS, (int(sys.argv[2]), int(sys.argv[2])))
from xref.errors import Refused
from xref.tables.formats import read_grids
start = time.process_time()
try:
    found = read_grids(sys.argv[1])
    answer = {"format": found.format, "rows": sum(len(g.rows) for g in found.grids)}
except Refused as refused:
    answer = {"refused": str(refused)}
# Not ru_maxrss: that begins with the peak of the process that started this one.
status = open("/proc/self/status").read()
peak = int(status.split("VmHWM:")[1].split()[0]) / 1024
print(json.dumps({**answer, "seconds": time.process_time() - start, "peak_mb": peak}))
"""
ADDRESS_SPACE = 3 << 30  # the libraries map far more than they touch; the peak is checked too


def _child(arguments: list[str], data: bytes | None = None) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, "-c", CHILD, *arguments, str(ADDRESS_SPACE)],
        input=data,
        capture_output=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode()[-2000:]
    return dict(json.loads(done.stdout.splitlines()[-1]))


def _sheet(rows: bytes) -> bytes:
    return workbook_of(rows)


def _bomb() -> bytes:
    return zipped(xl__workbook_xml=b"<a/>", xl__worksheets__sheet1_xml=b"\x20" * 400_000_000)


def _lying_bomb() -> bytes:
    """Return a workbook whose directory says that its sheet is small."""
    data = bytearray(workbook_of(b'<row r="1"><c r="A1"><v>1</v></c></row>' + b" " * 300_000_000))
    real = (300_000_000).to_bytes(4, "little")[2:]
    at = -1
    while (at := data.find(real, at + 1)) >= 0:
        if at >= 26 and data[at - 26 : at - 22] in (b"PK\x01\x02",):
            data[at - 2 : at + 2] = b"\x00\x10\x00\x00"
    return bytes(data)


def _far_xls() -> bytes:
    book = xlwt.Workbook()
    for i in range(20):
        sheet = book.add_sheet(f"S{i}")
        sheet.write(0, 0, 1)
        sheet.write(65535, 255, 2)
    return saved(book)


def _formatting_only() -> bytes:
    rows = b"".join(
        b'<row r="%d" s="1"><c r="A%d" s="1"/></row>' % (i, i) for i in range(2, 900_000)
    )
    return workbook_of(b'<row r="1"><c r="A1"><v>7</v></c></row>' + rows)


def _repeated_ods() -> bytes:
    content = (
        b'<d xmlns:t="urn:oasis:names:tc:opendocument:xmlns:table:1.0"><t:table t:name="S">'
        b'<t:table-row t:number-rows-repeated="1048576"><t:table-cell '
        b't:number-columns-repeated="16384" v="1"><p>x</p></t:table-cell></t:table-row>'
        b"</t:table></d>"
    )
    return zipped(**{"META-INF/manifest.xml": b"<a/>", "content.xml": content})


def _pdf_bomb() -> bytes:
    return b"%PDF-1.4\n1 0 obj\n<<>>stream\n" + zlib.compress(b"\0" * 900_000_000) + b"endstream"


HOSTILE: dict[str, Callable[[], bytes]] = {
    "one letter a line": lambda: b"a\n" * 2_450_000,
    "commas only": lambda: b"," * 4_900_000,
    "megabyte cell": lambda: b'a,b\n1,"' + b"y" * 4_800_000 + b'"\n',
    "5,000 columns": lambda: b"\n".join([b",".join(b"%d" % i for i in range(5000))] * 200),
    "ditto marks": lambda: b'x,"\n' * 1_200_000,
    "unclosed quotes": lambda: b'"x\n""\n' * 800_000,
    "ruled lines": lambda: b"|a|b|\n|--|--|\n" * 350_000,
    "two columns by blanks": lambda: b"a  b\n" * 950_000,
    "unclosed tags": lambda: b"<table><tr>" + b"<a " * 1_600_000,
    "unclosed comments": lambda: b"<table><tr><td>" + b"<!--" * 1_200_000,
    "row starts": lambda: b"<tr>" * 1_200_000,
    "spans": lambda: b"<table><tr>" + b"<td colspan=1000 rowspan=60000>x" * 150_000,
    "nested tables": lambda: b"<table><tr><td>" * 320_000,
    "open braces": lambda: b"[" * 4_900_000,
    "zip bomb": _bomb,
    "lying zip bomb": _lying_bomb,
    "sheet of formatting": _formatting_only,
    "stray cells in xls": _far_xls,
    "repeated cells in ods": _repeated_ods,
    "pdf bomb": _pdf_bomb,
    "broken tags in a sheet": lambda: workbook_of(b"<c r=" * 3_000_000),
    "styles without end": lambda: workbook_of(b'<row r="1">' + b'<c r="A1" x ' * 2_000_000),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_stay_within_limits(tmp_path: Path, name: str) -> None:
    """No file below 5 MB takes more than 1 GB or 60 s, whether read or refused."""
    path = tmp_path / "hostile"
    path.write_bytes(HOSTILE[name]())
    assert path.stat().st_size < 5_000_000
    found = _child([str(path)])
    assert found["peak_mb"] < 1000
    assert found["seconds"] < 60


@pytest.mark.parametrize("name", ["zip bomb", "lying zip bomb", "pdf bomb", "stray cells in xls"])
def test_bombs_are_refused(tmp_path: Path, name: str) -> None:
    """What unpacks beyond reason is refused, also where the directory lies about it."""
    path = tmp_path / "bomb"
    path.write_bytes(HOSTILE[name]())
    with pytest.raises(Refused):
        read_grids(path)


def test_formatting_only_rows_are_no_rows(tmp_path: Path) -> None:
    """A million formatted empty rows under one number are one row, if the file may be read."""
    path = tmp_path / "wide.xlsx"
    path.write_bytes(_formatting_only())
    found = read_grids(path)
    assert [row.cells for row in found.grids[0].rows] == [["7"]]


@pytest.mark.parametrize("first", [True, False])
def test_one_endless_row_among_many_short_ones(tmp_path: Path, first: bool) -> None:
    """A row of a hundred thousand delimiters costs no memory and loses no other row."""
    path = tmp_path / "list.csv"
    short = "A-1,2\n" * 90_000
    endless = "," * 100_000 + "\n"
    text = f"Part No,Qty{endless}{short}" if first else f"Part No,Qty\n{short}B-1,3{endless}"
    path.write_text(text, encoding="utf-8")
    (grid,) = read_grids(path).grids
    assert len(grid.rows) == text.count("\n")
    assert max(len(row.cells) for row in grid.rows) * len(grid.rows) < 5_000_000
    bulk = bulk_text(path, delimited.find_dialect(text)[0], "utf-8")
    assert bulk is None or len(bulk.lines) == len(grid.rows)
