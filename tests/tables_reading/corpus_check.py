"""Compares a reading with the expectation that stands beside a corpus file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

CORPUS = Path(__file__).resolve().parent.parent / "tables" / "corpus"


def files() -> list[Path]:
    """Return the corpus files, each with `<file>.expected.json` beside it."""
    return sorted(p for p in CORPUS.iterdir() if not p.name.endswith(".expected.json"))


def expectation(path: Path) -> dict[str, Any]:
    """Return what the rules say of a corpus file."""
    beside = path.with_name(path.name + ".expected.json")
    document: dict[str, Any] = json.loads(beside.read_text(encoding="utf-8"))
    return document


def differences(expected: dict[str, Any], actual: dict[str, Any]) -> list[str]:
    """Return in words where a reading's document is not as expected.

    Only what the expectation states is compared; texts in lists of warnings, reasons, notes,
    questions and the message need only be contained.
    """
    found: list[str] = []
    found += [
        f"{name}: {actual[name]!r}, not {expected[name]!r}"
        for name in ("table", "kind", "unit", "refused")
        if name in expected and expected[name] != actual[name]
    ]
    if "message" in expected and expected["message"] not in actual["message"]:
        found.append(f"message: {actual['message']!r}")
    for name in ("questions", "notes"):
        found += [
            f"{name}: {actual[name]!r} lack {text!r}"
            for text in expected.get(name, [])
            if not any(text in said for said in actual[name])
        ]
    if "questions" not in expected and actual["questions"]:
        found.append(f"questions: {actual['questions']!r}")
    if "rows" in expected:
        found += _rows(expected["rows"], actual["rows"])
    if "set_aside" in expected:
        found += _aside(expected["set_aside"], actual["set_aside"])
    if expected.get("furniture") is not None and expected["furniture"] != actual["furniture"]:
        found.append(f"furniture: {actual['furniture']}, not {expected['furniture']}")
    return found


def _rows(expected: list[dict[str, Any]], actual: list[dict[str, Any]]) -> list[str]:
    if len(expected) != len(actual):
        return [f"{len(actual)} rows, not {len(expected)}"]
    return [
        f"row {number}: {name} is {row.get(name)!r}, not {value!r}"
        for number, (wanted, row) in enumerate(zip(expected, actual, strict=True))
        for name, value in wanted.items()
        if not _same(name, value, row.get(name))
    ]


def _same(name: str, wanted: Any, value: Any) -> bool:
    if name == "warnings":
        if not wanted:
            return not value
        return all(any(text in said for said in value) for text in wanted)
    if name in ("dimensions_mm", "limits_mm"):
        return _close(wanted, value or {})
    return bool(wanted == value)


def _close(wanted: dict[str, Any], value: dict[str, Any]) -> bool:
    if set(wanted) != set(value):
        return False
    for key, figure in wanted.items():
        pairs = (
            zip(figure, value[key], strict=True)
            if isinstance(figure, list)
            else [(figure, value[key])]
        )
        if any(abs(a - b) > 1e-6 for a, b in pairs):
            return False
    return True


def _aside(expected: list[dict[str, Any]], actual: list[dict[str, Any]]) -> list[str]:
    if [row["at"] for row in expected] != [row["at"] for row in actual]:
        return [f"set aside: {[(row['at'], row['reason']) for row in actual]!r}"]
    return [
        f"set aside {row['at']}: {row['reason']!r} lacks {wanted['reason']!r}"
        for wanted, row in zip(expected, actual, strict=True)
        if wanted["reason"] not in row["reason"]
    ]
