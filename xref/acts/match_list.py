"""Match every line of a file, or every open want, against the lists of the store."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.acts.bulk import originals_by_number, ranked
from xref.errors import NeedsAnswer, Refused
from xref.kinds.spec import dimension_names
from xref.matching.match import COLUMNS
from xref.store.statements import place_in_words
from xref.tables import read_table
from xref.tables.writing import write_rows

if TYPE_CHECKING:
    from xref.store import Store

_BEGINNING = 60  # characters of a line that are shown to find it by


def match_list(
    store: Store,
    path: Path | None,
    *,
    top: int = 3,
    out: Path | None = None,
    on: date,
    **answers: Any,
) -> dict[str, Any]:
    """Return the document of `xref match-list`; `path` None means the open wants.

    Lines with sizes are matched by them, lines with only a number by the sizes the lists give for
    it; every line is in the answer, either with rows or under `not_matched` with the reason. Those
    that could not be read stand after the others.
    """
    lines, unread = (_wanted(store, on), []) if path is None else _lines(path, answers)
    originals, silent = _with_sizes(store, lines)
    silent += [(len(lines) + at, None, why) for at, why in enumerate(unread)]
    rows = ranked(store, originals, top=top) if originals else []
    places = [row["line"] for row in originals]
    rows = [{**row, "original_row": places[row["original_row"]]} for row in rows]
    rows += [_nothing(line, number, why) for line, number, why in silent]
    rows.sort(key=lambda row: row["original_row"])
    fitting = {
        row["original_row"] for row in rows if row["number"] and row["verdict"] != "does not fit"
    }
    if out is not None:
        headings = [*COLUMNS, "list"]
        write_rows(out, headings, ([row[name] for name in headings] for row in rows))
    return {
        "originals": len(lines) + len(unread),
        "matched": len(fitting),
        "rows": rows,
        "not_matched": [{"row": line, "number": n, "why": why} for line, n, why in silent],
        "out": None if out is None else str(out),
    }


def _wanted(store: Store, on: date) -> list[dict[str, Any]]:
    """Return the wants still to be covered as lines."""
    from xref.sourcing import wants

    with store.reading() as state:
        rows = [row for row in wants.rows(state, on) if row["needed"] > 0]
    return [
        {
            "want": row["want"],
            "number": row["number"],
            "kind": row["kind"],
            "variant": next(iter(row["variants"] or []), None),
            "accepts": row["variants"],
            **{f"{name}_text": value["text"] for name, value in (row["part"] or {}).items()},
        }
        for row in rows
    ]


def _lines(path: Path, answers: dict[str, Any]) -> tuple[list[dict[str, Any]], list[str]]:
    """Read the file; also why lines were set aside, each with its place and how it begins.

    Raises Refused or NeedsAnswer when it cannot be read as a whole.
    """
    reading = read_table(path, **answers)
    if reading.refused:
        raise Refused(reading.message, at=str(path))
    if reading.questions:
        raise NeedsAnswer("; ".join(reading.questions), at=str(path))
    rows = reading.rows.astype(object).where(reading.rows.notna(), None)
    lines = [{str(name): cell for name, cell in row.items()} for row in rows.to_dict("records")]
    unread = [
        f"{place_in_words(row['at'])}, {str(row['raw'])[:_BEGINNING]!r}: {row['reason']}"
        for row in reading.set_aside.to_dict("records")
    ]
    return lines, unread


def _with_sizes(
    store: Store, lines: list[dict[str, Any]]
) -> tuple[list[dict[str, Any]], list[tuple[int, str | None, str]]]:
    """Return originals with their sizes, and the lines that have none with the reason."""
    originals: list[dict[str, Any]] = []
    silent: list[tuple[int, str | None, str]] = []
    bare: list[int] = []
    for at, line in enumerate(lines):
        if line.get("kind") and _sized(line):
            keep = {k: v for k, v in line.items() if v is not None and _belongs(k)}
            originals.append({**keep, "number": line.get("number"), "line": at})
        elif line.get("number"):
            bare.append(at)
        else:
            silent.append((at, None, "it has neither sizes with a kind nor a number"))
    forms = [(str(lines[at]["number"]), lines[at].get("variant")) for at in bare]
    known, reasons = originals_by_number(store, forms)
    for at, row, reason in zip(bare, known, reasons, strict=True):
        if row is None:
            silent.append((at, lines[at]["number"], reason or "no list gives its sizes"))
        else:
            line = lines[at]
            taken = line.get("accepts") or [line["variant"]] if line.get("variant") else []
            originals.append({**row, "line": at, "accepts": taken})
    return originals, silent


def _sized(line: dict[str, Any]) -> bool:
    return any(
        line.get(f"{name}{end}") is not None
        for name in dimension_names()
        for end in ("_mm", "_text")
    )


def _belongs(column: str) -> bool:
    """Whether a column of a reading says something about the part itself."""
    return column not in {"at", "warnings", "extra", "replacements", "quantity", "price"}


def _nothing(line: int, number: str | None, why: str) -> dict[str, Any]:
    return {
        "original_row": line,
        "original_number": number,
        "rank": None,
        "maker": None,
        "number": None,
        "verdict": "does not fit",
        "certainty": None,
        "conformance": None,
        "work": None,
        "failing_check": why,
        "list": None,
    }
