"""Proofs: tests passed on the machine, and what therefore replaces an original from now on.

What was tried and did not fit is kept as well; of one original and one part the word that came
last holds, and neither is ever deleted.
"""

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
    did_not_fit: str | None = None,
    on: date,
) -> Row:
    """Note a test done, or without `tests` that the part has proved right.

    `did_not_fit` says why a part did not: it then counts against that part for this original.

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
        if did_not_fit is not None:
            if tests or hours is not None:
                raise Impossible(
                    "a part that did not fit has no tests and no running hours; note them apart",
                    at="did_not_fit",
                )
            return _misfit(state, row, number, maker, machine, did_not_fit, remark, on)
        if tests:
            return _note_tests(state, row, todo, tests, result, remark, on)
        if result == "failed":
            raise Impossible(
                "say which test failed with --test, or why the part did not fit with --failed",
                at="test",
            )
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


def _received(state: State, want: int) -> Row:
    """Return the latest receipt that is still there, with the offer's number; empty if none."""
    return (
        state.one(
            "SELECT r.receipt, r.received_on, r.part, f.number, f.maker FROM receipts r"
            " JOIN orders o ON o.order_id = r.order_id JOIN offers f ON f.offer = o.offer"
            " WHERE r.want = ? AND r.decision <> 'return'"
            " AND r.receipt NOT IN (SELECT receipt FROM misfits WHERE receipt IS NOT NULL)"
            " ORDER BY r.receipt DESC",
            [want],
        )
        or {}
    )


def _named(received: Row, number: str | None, maker: str | None) -> tuple[str | None, str | None]:
    """Return number and maker of the part in question: as named, else of what was received."""
    part = received.get("part") or {}
    by_number = number or received.get("number") or part.get("number")
    if by_number is not None and not number_key(by_number):
        raise Impossible(f"nothing of a number is in {by_number!r}", at="number")
    same = number is None or number_key(number) == number_key(received.get("number") or "")
    return by_number, maker or ((received.get("maker") or part.get("maker")) if same else None)


def _misfit(
    state: State,
    want: Row,
    number: str | None,
    maker: str | None,
    machine: str | None,
    why: str,
    remark: str | None,
    on: date,
) -> Row:
    """Record that a part was tried and did not fit; its pieces are wanted again."""
    reason = " ".join(why.split())
    if not reason:
        raise Impossible("say why it did not fit: --failed 'lip too short'", at="did_not_fit")
    received = _received(state, want["want"])
    by_number, by_maker = _named(received, number, maker)
    if by_number is None:
        raise NeedsAnswer(
            f"which part did not fit for want {want['want']}? Name it with --number (and --maker)",
            at="number",
        )
    came = {}
    if received and number_key(by_number) == number_key(received["number"] or by_number):
        came = received
        _not_before(came, on)
    for test in open_tests(state, want["want"]):
        if came and test["receipt"] == came["receipt"]:
            values = {"done_on": on, "result": "failed", "remark": f"did not fit: {reason}"}
            state.record("test failed", "part_tests", test["part_test"], values)
    misfit = state.next_id("misfits")
    state.record(
        "part did not fit",
        "misfits",
        misfit,
        {
            **_fitted(state, want, came, by_number, by_maker, machine),
            "tried_on": on,
            "reason": reason,
            "remark": remark,
            "proofs_before": state.next_id("proofs") - 1,
        },
    )
    return {
        "proof": None,
        "misfit": misfit,
        "want": want["want"],
        "number": want["number"],
        "by": by_number,
        "reason": reason,
        "tests": [],
        "open_tests": [t["name"] for t in open_tests(state, want["want"])],
    }


def _fitted(
    state: State, want: Row, came: Row, number: str, maker: str | None, machine: str | None
) -> Row:
    """Return which part was fitted for a want, and where, as proofs and misfits keep it."""
    return {
        "want": want["want"],
        "receipt": came.get("receipt"),
        "kind": want["kind"],
        "number": want["number"],
        "number_key": want["number_key"],
        "by_maker": maker,
        "by_number": number,
        "by_number_key": number_key(number),
        "machine": machine or _machine_of(state, want),
        "place": want["place"],
    }


def _machine_of(state: State, want: Row) -> str | None:
    place = state.one("SELECT machine FROM places WHERE place = ?", [want["place_id"]])
    return (place or {}).get("machine")


def _not_before(received: Row, on: date) -> None:
    if received and on < received["received_on"]:
        raise Impossible(
            f"the part came on {received['received_on']}, after {on.isoformat()}",
            at="on",
            code="impossible-date",
        )


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
    received = _received(state, want["want"])
    failed = state.rows(
        "SELECT t.name FROM part_tests t JOIN receipts r USING (receipt)"
        " WHERE t.want = ? AND t.result = 'failed' AND t.receipt ="
        " (SELECT max(receipt) FROM part_tests WHERE want = ?)"
        " AND t.receipt NOT IN (SELECT receipt FROM misfits WHERE receipt IS NOT NULL)",
        [want["want"], want["want"]],
    )
    if failed:
        raise Impossible(
            f"the last part for want {want['want']} failed: "
            f"{', '.join(t['name'] for t in failed)}. It proves nothing; `xref proof add "
            f"{want['want']} --failed WHY` notes that it did not fit and wants it again.",
            at="test",
            code="test-failed",
        )
    if not received and not number:
        raise Impossible(
            f"nothing has been received for want {want['want']}: name the part that proved right "
            "with --number (and --maker)",
            at="want",
            code="nothing-received",
        )
    _not_before(received, on)
    by_number, by_maker = _named(received, number, maker)
    if by_number is None:
        raise NeedsAnswer(
            f"which part proved right for want {want['want']}? Name it with --number (and --maker)",
            at="number",
        )
    proof = state.next_id("proofs")
    state.record(
        "part proved",
        "proofs",
        proof,
        {
            **_fitted(state, want, received, by_number, by_maker, machine),
            "proved_on": on,
            "hours": hours,
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
    """Return the user's own proved list, newest last, what did not fit, and the tests open."""
    with store.reading() as state:
        rows = state.rows(
            "SELECT proof, want, kind, number, by_maker, by_number, proved_on, hours, machine, "
            "place, remark FROM proofs ORDER BY proof"
        )
        tried = state.rows(
            "SELECT misfit, want, kind, number, by_maker, by_number, tried_on, machine, place, "
            "reason, remark FROM misfits ORDER BY misfit"
        )
        todo = open_tests(state)
    return {
        "proofs": [r | {"proved_on": lookup.iso(r["proved_on"])} for r in rows],
        "did_not_fit": [r | {"tried_on": lookup.iso(r["tried_on"])} for r in tried],
        "open_tests": [
            {"want": t["want"], "receipt": t["receipt"], "test": t["name"]} for t in todo
        ],
    }
