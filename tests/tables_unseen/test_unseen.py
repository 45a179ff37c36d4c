"""Invented lists as suppliers send them, each with what the rules of reading say must come out.

Every case is a file beside a JSON of the same name: the clause it stands on, the answers given,
and the rows, the rows set aside and the furniture expected. Only the fields named are compared;
the number of rows always is.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.command_line import Xref
from tests.tables_unseen.making import make

CASES = Path(__file__).parents[1] / "tables" / "unseen"
EXPECTED = sorted(CASES.glob("*.json"))
LIMITS = ("low", "high")


def options(answers: dict[str, Any]) -> list[str]:
    """Return the options of the command line that give `answers`."""
    words: list[str] = []
    for name, value in answers.items():
        option = "--" + name.replace("_", "-")
        if value is True:
            words.append(option)
        elif isinstance(value, dict):
            for theirs, ours in value.items():
                words += [option, f"{theirs}={ours}"]
        else:
            words += [option, str(value)]
    return words


def field_wrong(name: str, expected: Any, row: dict[str, Any]) -> bool:
    """Tell whether one field of a row is not as the rules say."""
    if name == "warn":
        return not any(re.search(expected, warning, re.I) for warning in row["warnings"])
    if name in LIMITS:
        limits = row.get("limits_mm", {})
        return any(
            key not in limits or limits[key][LIMITS.index(name)] != pytest.approx(mm, abs=1e-4)
            for key, mm in expected.items()
        )
    found = row.get(name)
    if name in {"tax", "relation"} and expected is not None:
        return not (found and re.search(expected, str(found), re.I))
    if name == "dimensions_mm":
        return any(
            key not in found or found[key] != pytest.approx(mm, abs=1e-4)
            for key, mm in expected.items()
        )
    if name == "price" and expected is not None:
        return found is None or float(found) != pytest.approx(expected, abs=1e-9)
    return bool(found != expected)


def differences(expected: dict[str, Any], found: dict[str, Any]) -> list[str]:
    """Say in lines where `found` is not as `expected`."""
    wrong: list[str] = []
    if "table" in expected and found["table"] != expected["table"]:
        wrong.append(f"table {found['table']}, not {expected['table']}")
    if "unit" in expected and found["unit"] != expected["unit"]:
        wrong.append(f"unit {found['unit']}, not {expected['unit']}")
    rows, aside = found["rows"], found["set_aside"]
    loose = expected["set_aside"] is None
    if not loose and len(rows) != len(expected["rows"]):
        wrong.append(f"{len(rows)} rows, not {len(expected['rows'])}")
    for row in expected["rows"]:
        same = [
            one
            for one in rows
            if all(one.get(key) == row[key] for key in ("at", "number") if key in row)
        ]
        if not same:
            wrong.append(f"no row {row.get('at')} {row.get('number')}")
            continue
        wrong += [
            f"row {row.get('at')} {row.get('number')}: {name} {same[0].get(name)!r}, "
            f"not {value!r}; warnings {same[0]['warnings']}"
            for name, value in row.items()
            if name not in ("at", "number") and field_wrong(name, value, same[0])
        ]
    for line in expected["set_aside"] or ():
        same = [one for one in aside if one["at"] == line["at"]]
        if not same or not re.search(line["reason"], same[0]["reason"], re.I):
            wrong.append(f"{line['at']} not set aside for {line['reason']!r}: {same}")
    if not loose and len(aside) != len(expected["set_aside"]):
        wrong.append(f"set aside: {aside}")
    if "furniture" in expected and found["furniture"] != expected["furniture"]:
        wrong.append(f"furniture {found['furniture']}, not {expected['furniture']}")
    if "nonblank" in expected:
        counted = len(rows) + len(aside) + found["furniture"]
        if counted != expected["nonblank"]:
            wrong.append(f"{counted} rows accounted for of {expected['nonblank']}")
    wrong += [
        f"no note with {note!r}: {found['notes']}"
        for note in expected.get("notes", ())
        if not any(re.search(note, said, re.I) for said in [*found["notes"], found["message"]])
    ]
    return wrong


def file_of(path: Path, expected: dict[str, Any], place: Path) -> Path:
    """Return the file of a case, made now where it is described in the JSON."""
    name = path.with_suffix("")
    if "book" not in expected:
        return name
    made = place / name.name
    make(expected["book"], made)
    return made


@pytest.mark.parametrize("path", EXPECTED, ids=lambda path: path.name.removesuffix(".json"))
def test_a_list_nobody_prepared_reads_as_the_rules_say(
    path: Path, xref: Xref, tmp_path: Path
) -> None:
    """Rows, rows set aside, furniture, questions and exit status are those of the rules."""
    expected = json.loads(path.read_text(encoding="utf-8"))
    read = file_of(path, expected, tmp_path)
    answer = xref("read", read, "--json", *options(expected.get("answers", {})))
    if expected.get("or_asked") and answer.status == 3:
        assert json.loads(answer.out)["questions"], "asked about instead of read"
        return
    assert answer.status == expected["exit"], answer.out[:2000] + answer.err[:500]
    found = json.loads(answer.out)
    if expected["exit"] == 4:
        said = found.get("message") or found["error"]["message"]
        assert not found.get("rows"), "nothing comes out of a refused file"
        assert re.search(expected.get("message", "."), said), said
        return
    for asked in expected.get("questions", ()):
        assert any(re.search(asked, question) for question in found["questions"]), found
    if expected["exit"] == 0:
        assert differences(expected, found) == []


def test_there_are_cases_for_every_decision() -> None:
    """Each of the thirty decisions is named by at least one case."""
    clauses = " ".join(json.loads(path.read_text(encoding="utf-8"))["clause"] for path in EXPECTED)
    named = {int(number) for number in re.findall(r"\b\d+\b", clauses)}
    assert set(range(1, 31)) - named == {29}, "a later list is tested on a store, beside this file"
