"""One door for all formats: a file is judged by its content, never by its ending."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from xref.errors import Refused
from xref.tables.formats import html_tables
from xref.tables.formats.delimited import LOOK_AHEAD
from xref.tables.formats.encodings import Decoded, decode
from xref.tables.formats.garbage import garbage_left
from xref.tables.formats.grid import GridSet
from xref.tables.formats.source import Source
from xref.tables.formats.text import read_text

_HEAD = 1 << 20
"""Bytes in which the dialect of a long text shows."""
_OLE2 = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_NO_TABLES = (
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"BM", "a picture"),
    (b"II*\x00", "a picture"),
    (b"MM\x00*", "a picture"),
    (b"RIFF", "a picture or a recording"),
    (b"\x1f\x8b", "a compressed file"),
    (b"BZh", "a compressed file"),
    (b"\xfd7zXZ", "a compressed file"),
    (b"7z\xbc\xaf", "a compressed file"),
    (b"Rar!", "a compressed file"),
    (b"SQLite format 3\x00", "a database"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)
_WAY_OUT = {
    "a picture": "type the list off, or ask for the table itself",
    "a picture or a recording": "ask for the table itself",
    "a compressed file": "unpack it first",
    "a database": "export its table as CSV",
    "a program": "ask for the list as CSV or XLSX",
}


def read_grids(
    path: str | Path | Source,
    *,
    encoding: str | None = None,
    sheet: str | None = None,
    delimiter: str | None = None,
    limit: int | None = None,
) -> GridSet:
    """Return the grids of the file at `path`, or of standard input for `-`.

    `encoding`, `sheet` (a name) and `delimiter` are the user's word and override what would be
    assumed; `limit` stops each text grid after so many rows (see `bulk_text`).

    Raises Refused, with what to do next, for whatever cannot be a table: empty, blank, binary,
    cut off, encrypted, a bomb, XML with entities, a picture, a folder, missing, not permitted.
    """
    with garbage_left():
        source = path if isinstance(path, Source) else Source(path)
        return _read(source, encoding, sheet, delimiter, limit)


def _read(
    source: Source,
    encoding: str | None,
    sheet: str | None,
    delimiter: str | None,
    limit: int | None,
) -> GridSet:
    head = source.head(4096)
    if head.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        from xref.tables.formats.zipped import read_zipped

        return read_zipped(source, sheet)
    if head.startswith(_OLE2):
        from xref.tables.formats.xls import read_xls

        return read_xls(source, sheet)
    if b"%PDF-" in head[:1024]:
        from xref.tables.formats.pdf import read_pdf

        return read_pdf(source)
    if head.startswith(b"PAR1"):
        from xref.tables.formats.parquet import read_parquet

        return read_parquet(source)
    _refuse_what_is_no_table(head, source.label)
    return _read_text(source, encoding, delimiter, limit)


def _refuse_what_is_no_table(head: bytes, label: str) -> None:
    for start, what in _NO_TABLES:
        # A list may begin with the letters of a short mark: `MZ-14, seal, ½ in`.
        if head.startswith(start) and (b"\x00" in head or not start.isascii()):
            raise Refused(f"{label} is {what}, not a table: {_WAY_OUT[what]}.")
    if re.match(rb"\x09[\x00\x02\x04]\x04?[\x00-\x08]\x00", head):
        raise Refused(
            f"{label} was written by a spreadsheet of before 1994: open it in a current one and "
            "save it as XLSX."
        )


def _read_text(
    source: Source, encoding: str | None, delimiter: str | None, limit: int | None
) -> GridSet:
    data = source.data
    if encoding is None:
        encoding = _charset_of_page(data)
        stated_by_page = encoding is not None
    else:
        stated_by_page = False
    if limit is not None and (head := _head(data, encoding)) is not None:
        begun = read_text(head, source.label, delimiter=delimiter, limit=limit)
        if not begun.complete and begun.dialect is not None and _within(begun, head.text):
            return begun
    if mail := _page_in_mail(data):
        decoded = mail
    else:
        decoded = decode(data, source.label, encoding)
        if stated_by_page:
            decoded = Decoded(decoded.text, decoded.encoding, "as the page states")
    text = decoded.text
    if text.lstrip().startswith("<") and re.search(r"<!ENTITY\s", text, re.IGNORECASE):
        raise Refused(
            f"{source.label} defines entities of its own, which no list needs and which can grow "
            "without end: save the list as CSV or XLSX."
        )
    if delimiter is None and html_tables.is_html(text):
        grids = html_tables.read_tables(text, source.label)
        if not grids:
            raise Refused(f"{source.label} is a page whose tables hold no text.")
        return GridSet(grids, "html", decoded.encoding, decoded.how)
    start = text[:2000].lstrip("\ufeff \t\r\n")
    if "<office:document" in start:
        from xref.tables.formats.ods import read_flat

        return read_flat(source, decoded)
    if re.match(r"(?:<!doctype html|<html)", start, re.IGNORECASE):
        raise Refused(f"{source.label} is a page without a table.")
    return read_text(decoded, source.label, delimiter=delimiter, limit=limit)


def _head(data: bytes, encoding: str | None) -> Decoded | None:
    """Return the beginning of a long plain text in UTF-8, None where all of it must be looked at.

    A second copy of it, as text, would cost more than finding its dialect.
    """
    if len(data) < 2 * _HEAD or encoding not in (None, "utf-8"):
        return None
    if b"<" in data or b"\0" in data or data.startswith(codecs.BOM_UTF8):
        return None
    if data[:200].lstrip()[:1] in (b"{", b"[") or re.match(rb"[\w-]+:[^\r\n]*\r?\n", data[:2000]):
        return None  # may be JSON or a mail
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for at in range(0, len(data), _HEAD):
            decoder.decode(data[at : at + _HEAD])
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return None
    end = data.rfind(b"\n", 0, _HEAD) + 1
    if not end:  # lines that end with carriage returns only
        return None
    plain = "plain ASCII" if data.isascii() else "valid UTF-8"
    return Decoded(data[:end].decode(), "utf-8", plain if encoding is None else "as stated")


def _within(grids: GridSet, text: str) -> bool:
    """Whether the lines that a last open quotation mark may run over are in `text` too."""
    last = grids.grids[0].rows[-1].at
    return isinstance(last, int) and last + 2 * LOOK_AHEAD < text.count("\n")


def _charset_of_page(data: bytes) -> str | None:
    """Return the encoding a page states, unless its bytes are UTF-8 or carry a mark anyway."""
    if not data[:2000].lstrip().startswith(b"<"):
        return None
    found = re.search(rb"<meta[^>]{0,200}charset=[\"']?\s*([\w-]{2,30})", data[:4096], re.I)
    if found is None:
        return None
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        name = found[1].decode()
    else:
        return None
    try:
        "".encode(name)
        data.decode(name)
    except (LookupError, UnicodeError):
        return None
    return name


def _page_in_mail(data: bytes) -> Decoded | None:
    """Return the HTML part of a saved mail or of a page saved in one file."""
    head = data[:20_000]
    if not re.match(rb"[\w-]+:[^\r\n]*\r?\n", head) or not re.search(
        rb"^MIME-Version:", head, re.I | re.M
    ):
        return None
    import email
    import email.policy

    message = email.message_from_bytes(data, policy=email.policy.default)
    part = next((p for p in message.walk() if p.get_content_type() == "text/html"), None)
    if part is None:
        return None
    payload = part.get_payload(decode=True)
    if not isinstance(payload, bytes):
        return None
    charset = part.get_content_charset() or _charset_of_page(payload)
    try:
        return Decoded(payload.decode(charset or "utf-8"), charset or "utf-8", "as the mail states")
    except (LookupError, UnicodeError):
        return decode(payload, "the mail's page")
