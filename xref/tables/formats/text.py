"""Plain text: which of delimited, Markdown or fixed-width it is, and its rows."""

from __future__ import annotations

import json
import re

from xref.errors import Refused
from xref.tables.formats import delimited, fixed_width, markdown
from xref.tables.formats.encodings import Decoded
from xref.tables.formats.grid import Dialect, Grid, GridSet

_BLANKS = "\ufeff \t\r\n\x0b\x0c\x1a\xa0\u200b"
_SETTLED = 0.5
"""Above this fit of tabs, column edges are not looked for."""
_SPACED = re.compile(r"\S {2,}\S")
_SEEN = 400_000
_WORTH = 0.2
"""Below this fit, neither delimiters nor column edges are there: one column per line."""


def read_text(
    decoded: Decoded, label: str, *, delimiter: str | None = None, limit: int | None = None
) -> GridSet:
    """Return the one grid of a text file. Raises Refused for JSON, XML and rich text."""
    text = decoded.text
    if not (text[:1000].strip(_BLANKS) or text.strip(_BLANKS)):
        raise Refused(f"{label} holds only blanks: ask for the list to be sent again.")
    _refuse_other_languages(text, label)
    if limit is None:  # a big text is no mail
        text = _unquoted(text)
    notes: list[str] = []
    dialect: Dialect | None = None
    if delimiter is None and markdown.is_markdown(text):
        format_, rows = "markdown", list(markdown.rows(text, _more(limit)))
    else:
        dialect, fit = delimited.find_dialect(text, delimiter)
        # Tabs that cut most lines alike are delimiters, however well they happen to line up; and
        # without two blanks anywhere nothing else parts columns.
        tabs = dialect.delimiter == "\t" and (fit > _SETTLED or not _SPACED.search(text[:_SEEN]))
        settled = fit == 1.0 or tabs
        columns, fixed_fit = ([], 0.0) if settled else fixed_width.find_columns(text)
        if fixed_fit > max(fit, _WORTH):
            format_, rows = "fixed", list(fixed_width.rows(text, columns, _more(limit)))
            edges = ", ".join(str(edge + 1) for edge in columns)
            notes.append(f"fixed-width text: columns begin at characters {edges}")
            dialect = None
        else:
            if fit < _WORTH and delimiter is None:
                dialect = Dialect("", first_line=dialect.first_line, columns=1)
                notes.append("no delimiter found: each line is one cell")
            format_, rows = "csv", list(delimited.rows(text, dialect, _more(limit)))
            delimited.bound([row.cells for row in rows], dialect)
    complete = limit is None or len(rows) <= limit
    return GridSet(
        [Grid(None, rows[:limit])],
        format_,
        decoded.encoding,
        decoded.how,
        notes,
        dialect,
        complete,
    )


def _unquoted(text: str) -> str:
    """Return `text` without the `>` that a mail puts before the lines it answers."""
    if ">" not in text:
        return text
    lines = [line for line in text.splitlines() if line.strip()]
    answered = sum(line.startswith(">") for line in lines)
    return re.sub(r"(?m)^(?:>[ \t]?)+", "", text) if answered * 2 >= len(lines) else text


def _more(limit: int | None) -> int | None:
    return None if limit is None else limit + 1


def _refuse_other_languages(text: str, label: str) -> None:
    start = text[:200].lstrip("\ufeff \t\r\n")
    if start.startswith("{\\rtf"):
        raise Refused(f"{label} is a rich-text document: copy its table into a spreadsheet.")
    if start.startswith("<?xml"):
        raise Refused(f"{label} is XML, which has no rows to read: save it as XLSX or CSV.")
    if start.startswith(("{", "[")) and len(text) < 50_000_000:
        try:
            json.loads(text)
        except (ValueError, RecursionError):
            return
        raise Refused(f"{label} is JSON, not a table: save the list as CSV.")
