"""Proofs: tests passed on the machine, and what therefore replaces an original from now on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer
from xref.store.number_key import number_key

from . import lookup
from .receipts import open_tests

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

Row = dict[str, Any]
RESULTS = ("passed", "failed")


def add(
    store: Store,
    want: int,
    *,
    tests: Sequence[str] = (),
    result: str = "passed",
    number: str | None = None,
    maker: str | None = None,
    hours: float | None = None,
    machine: str | None = None,
    remark: str | None = None,
    on: date,
) -> Row:
    """Note a test done, or without `tests` that the part has proved right.

    A proof needs every test of the received part done and passed. Its part is the one that was
    received; `number` and `maker` name it when no offer did. `hours`: running time [h].
    Raises Impossible for an unknown test, a failed or open one, or nothing received.
    """
    if result not in RESULTS:
        raise Impossible(f"a test has {' or '.join(RESULTS)}, not {result!r}", at="result")
    if hours is not None and not 0 <= hours <= 1_000_000:
        raise Impossible(f"{hours} running hours cannot be", at="hours")
    for name, what in ((number, "number"), (maker, "maker"), (machine, "machine")):
        lookup.printable(name, what)
    with store.writing("note a proof") as state:
        row = lookup.open_want(state, want)
        todo = open_tests(state, want)
        if tests:
            return _note_tests(state, row, todo, tests, result, remark, on)
        if result == "failed":
            raise Impossible("say which test failed with --test", at="test")
        if todo:
            raise Impossible(
                f"want {want} is not proved yet, still to do: "
                f"{', '.join(t['name'] for t in todo)}. Note each with "
                f"`xref proof add {want} --test {todo[0]['name']!r}`.",
                at="test",
                code="tests-open",
            )
        return _prove(state, row, number, maker, hours, machine, remark, on)


def _note_tests(
    state: State,
    want: Row,
    todo: Sequence[Row],
    tests: Sequence[str],
    result: str,
    remark: str | None,
    on: date,
) -> Row:
    for name in tests:
        matching = [t for t in todo if t["name"].casefold() == name.strip().casefold()]
        if not matching:
            there = ", ".join(t["name"] for t in todo) or "none"
            raise Impossible(
                f"want {want['want']} has no open test {name!r}; open: {there}",
                at="test",
                code="unknown-test",
            )
        for test in matching:
            came = lookup.record(state, "receipts", test["receipt"])["received_on"]
            if on < came:
                raise Impossible(
                    f"the part came on {came}, after {on.isoformat()}",
                    at="on",
                    code="impossible-date",
                )
            state.record(
                f"test {result}",
                "part_tests",
                test["part_test"],
                {"done_on": on, "result": result, "remark": remark},
            )
    left = [t["name"] for t in open_tests(state, want["want"])]
    return {
        "proof": None,
        "want": want["want"],
        "tests": list(tests),
        "result": result,
        "open_tests": left,
    }


def _prove(
    state: State,
    want: Row,
    number: str | None,
    maker: str | None,
    hours: float | None,
    machine: str | None,
    remark: str | None,
    on: date,
) -> Row:
    kept = state.rows(
        "SELECT r.receipt, r.received_on, r.part, f.number, f.maker FROM receipts r"
        " JOIN orders o ON o.order_id = r.order_id JOIN offers f ON f.offer = o.offer"
        " WHERE r.want = ? AND r.decision <> 'return' ORDER BY r.receipt DESC",
        [want["want"]],
    )
    failed = state.rows(
        "SELECT t.name FROM part_tests t JOIN receipts r USING (receipt)"
        " WHERE t.want = ? AND t.result = 'failed' AND t.receipt ="
        " (SELECT max(receipt) FROM part_tests WHERE want = ?)",
        [want["want"], want["want"]],
    )
    if failed:
        raise Impossible(
            f"the last part for want {want['want']} failed: "
            f"{', '.join(t['name'] for t in failed)}. It proves nothing.",
            at="test",
            code="test-failed",
        )
    if not kept and not number:
        raise Impossible(
            f"nothing has been received for want {want['want']}: name the part that proved right "
            "with --number (and --maker)",
            at="want",
            code="nothing-received",
        )
    received = kept[0] if kept else {}
    if received and on < received["received_on"]:
        raise Impossible(
            f"the part came on {received['received_on']}, after {on.isoformat()}",
            at="on",
            code="impossible-date",
        )
    by_number = number or received.get("number") or (received.get("part") or {}).get("number")
    if by_number is None:
        raise NeedsAnswer(
            f"which part proved right for want {want['want']}? Name it with --number (and --maker)",
            at="number",
        )
    place = state.one("SELECT machine FROM places WHERE place = ?", [want["place_id"]])
    proof = state.next_id("proofs")
    state.record(
        "part proved",
        "proofs",
        proof,
        {
            "want": want["want"],
            "receipt": received.get("receipt"),
            "kind": want["kind"],
            "number": want["number"],
            "number_key": want["number_key"],
            "by_maker": maker or received.get("maker") or (received.get("part") or {}).get("maker"),
            "by_number": by_number,
            "by_number_key": number_key(by_number),
            "proved_on": on,
            "hours": hours,
            "machine": machine or (place or {}).get("machine"),
            "place": want["place"],
            "remark": remark,
        },
    )
    return {
        "proof": proof,
        "want": want["want"],
        "number": want["number"],
        "by": by_number,
        "tests": [],
        "open_tests": [],
    }


def listing(store: Store) -> Row:
    """Return the user's own proved list, newest last, with the tests still open."""
    with store.reading() as state:
        rows = state.rows("SELECT * FROM proofs ORDER BY proof")
        todo = open_tests(state)
    return {
        "proofs": [
            {
                "proof": r["proof"],
                "want": r["want"],
                "kind": r["kind"],
                "number": r["number"],
                "by_maker": r["by_maker"],
                "by_number": r["by_number"],
                "proved_on": lookup.iso(r["proved_on"]),
                "hours": r["hours"],
                "machine": r["machine"],
                "place": r["place"],
                "remark": r["remark"],
            }
            for r in rows
        ],
        "open_tests": [
            {"want": t["want"], "receipt": t["receipt"], "test": t["name"]} for t in todo
        ],
    }
