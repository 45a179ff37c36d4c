"""Goods in: the decision on measured parts, worked on paper in each comment."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from xref.acts.receive import receive
from xref.errors import Impossible, NeedsAnswer, NothingFound, XrefError
from xref.sourcing import offers, orders, proofs, suppliers, teardown, wants
from xref.sourcing.judge_received import as_ordered_checks
from xref.sourcing.proving import decision_of
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 9, 6)


def _ordered(store: Store, kind: str, sizes: str, pieces: int = 1) -> int:
    suppliers.add(store, "S", currency="EUR", on=ON)
    want = wants.add(store, sizes, kind=kind, quantity=pieces, on=ON)["want"]
    offer = offers.add(store, "S", want, price="3.00", on=ON)["offer"]
    return int(orders.add(store, offer, pieces, ON)["order"])


@pytest.mark.parametrize(
    ("kind", "sizes", "measured", "decision"),
    [
        # The free outside of a metal-cased 80 mm seal is above 80, its free lip below 60.
        ("shaft_seal", "60x80x8mm", ["59.1mm", "80.3mm", "8.0mm"], "accept"),
        # An 82 mm seal does not go into an 80 mm bore and is never machined.
        ("shaft_seal", "60x80x8mm", ["60mm", "82.3mm", "8mm"], "return"),
        # A 62 mm lip does not seal a 60 mm shaft (h11: 59.81 to 60.00).
        ("shaft_seal", "60x80x8mm", ["62.0mm", "80.3mm", "8mm"], "return"),
        # ISO 492 Normal, 25 mm bore: 0/-10 um; 52 mm outside: 0/-13 um.
        ("rolling_bearing", "25x52x15mm", ["24.995mm", "51.99mm", "14.95mm"], "accept"),
        ("rolling_bearing", "25x52x15mm", ["26mm", "52mm", "15mm"], "return"),
        # A bush half a millimetre too large outside can be turned down.
        ("plain_bushing", "25x32x30mm", ["25.03mm", "32.5mm", "30mm"], "rework"),
        ("o_ring", "24.99x3.53mm", ["25.0mm", "3.5mm"], "accept"),
        ("o_ring", "24.99x3.53mm", ["30.0mm", "3.5mm"], "return"),
    ],
)
def test_decisions(store: Store, kind: str, sizes: str, measured: list[str], decision: str) -> None:
    """A measured part is accepted, reworked or returned by its checks, which are shown."""
    order = _ordered(store, kind, sizes)
    answer = receive(store, order, measured, uncertainty="0.005mm", on=ON)
    assert answer["decision"] == decision, answer["checks"]
    assert answer["checks"]
    assert bool(answer["open_tests"]) == (decision != "return")
    if decision == "rework":
        assert answer["work"]


def test_the_place_as_measured_rules(store: Store) -> None:
    """The same sound seal is accepted on a sound shaft and not on a worn one."""
    teardown.add_place(
        store,
        "Press",
        "drum",
        kind="shaft_seal",
        number="TW 1",
        decision="replace",
        on=ON,
        readings=["shaft@1,x=59.40mm", "housing@1,x=80.02mm"],
        uncertainty="0.005mm",
        instructions={"lip": "inwards", "page": "31"},
    )
    suppliers.add(store, "S", currency="EUR", on=ON)
    offer = offers.add(store, "S", 1, price="3.00", on=ON)["offer"]
    order = orders.add(store, offer, 1, ON)["order"]
    # h11 for 60 mm is 59.81 to 60.00: a shaft of 59.40 needs a sleeve, so the machine is altered.
    answer = receive(
        store, order, ["59.1mm", "80.3mm", "8mm"], named={}, on=ON, judge=_as_nominal(60, 80, 8)
    )
    assert answer["decision"] == "rework"
    assert answer["instructions"] == {"lip": "inwards", "page": "31"}


def _as_nominal(*nominal: float) -> Any:
    """Return the judge with the part's nominal sizes known, as a list would give them."""
    from xref.sourcing.judge_received import judge_received

    names = ("shaft_diameter", "outside_diameter", "width")
    sizes = dict(zip(names, map(float, nominal), strict=True))
    return lambda need, part: judge_received(need, {**part, "ordered_mm": sizes})


def test_nothing_measured_is_no_decision(store: Store) -> None:
    """Without a measurement nothing is recorded; the user's own decision is."""
    order = _ordered(store, "shaft_seal", "60x80x8mm")
    with pytest.raises(NeedsAnswer, match="measure"):
        receive(store, order, on=ON)
    assert orders.listing(store)["orders"][0]["received"] == 0
    answer = receive(store, order, decision="accept", on=ON)
    assert (answer["decision"], answer["decided_by"]) == ("accept", "user")
    assert "measure the part before fitting" in answer["open_tests"]


def test_another_part_that_would_fit_is_asked_about(store: Store) -> None:
    """A narrower seal fits a deeper pocket, but it is not what was ordered: the user decides."""
    order = _ordered(store, "shaft_seal", "60x80x10mm")
    with pytest.raises(NeedsAnswer, match="width as ordered"):
        receive(store, order, ["59.1mm", "80.3mm", "8.0mm"], on=ON)
    answer = receive(store, order, ["59.1mm", "80.3mm", "8.0mm"], decision="accept", on=ON)
    assert answer["verdict"] == "as is"


def test_used_parts_with_earlier_repairs(store: Store) -> None:
    """Earlier repairs are kept with the receipt and looked at again before proof."""
    order = _ordered(store, "shaft_seal", "60x80x8mm")
    answer = receive(
        store, order, ["59.1mm", "80.3mm", "8mm"], condition="used", repairs=["lip trimmed"], on=ON
    )
    assert answer["open_tests"] == ["leak", "repairs"]
    proofs.add(store, 1, tests=["leak"], on=ON)
    with pytest.raises(Impossible, match="repairs"):
        proofs.add(store, 1, number="X", on=ON)
    proofs.add(store, 1, tests=["repairs"], on=ON)
    assert proofs.add(store, 1, number="X", on=ON)["proof"] == 1


def test_a_failed_test_proves_nothing(store: Store) -> None:
    """After a failed test the part cannot be proved; the want stays open for the next one."""
    order = _ordered(store, "shaft_seal", "60x80x8mm")
    receive(store, order, ["59.1mm", "80.3mm", "8mm"], on=ON)
    proofs.add(store, 1, tests=["leak"], result="failed", on=ON)
    with pytest.raises(Impossible, match="failed"):
        proofs.add(store, 1, number="X", on=ON)


@pytest.mark.parametrize(
    ("arguments", "error"),
    [
        ({"measured": ["59mm", "80.3mm", "8mm", "4mm"]}, Impossible),
        ({"measured": ["0mm", "80.3mm", "8mm"]}, XrefError),
        ({"measured": ["59mm"], "decision": "keep"}, Impossible),
        ({"measured": ["59mm", "80.3mm", "8mm"], "quantity": 3}, Impossible),
        ({"measured": ["59mm", "80.3mm", "8mm"], "quantity": 0}, Impossible),
        ({"measured": ["59mm", "80.3mm", "8mm"], "condition": "shiny"}, Impossible),
        ({"measured": ["59mm", "80.3mm", "8mm"], "place": {"pocket": "3mm"}}, Impossible),
        ({"measured": ["59mm", "80.3mm", "8mm"], "uncertainty": "0mm"}, XrefError),
    ],
)
def test_bad_receipts_change_nothing(
    store: Store, arguments: dict[str, Any], error: type[XrefError]
) -> None:
    """Too many sizes, zero, more than ordered, unknown words: refused, nothing recorded."""
    order = _ordered(store, "shaft_seal", "60x80x8mm", pieces=2)
    measured = arguments.pop("measured")
    with pytest.raises(error):
        receive(store, order, measured, on=ON, **arguments)
    assert orders.listing(store)["orders"][0]["received"] == 0


def test_an_order_that_is_not_there(store: Store) -> None:
    """An unknown order is not found; a day before the order cannot be."""
    with pytest.raises(NothingFound):
        receive(store, 7, ["59mm"], on=ON)
    order = _ordered(store, "shaft_seal", "60x80x8mm")
    with pytest.raises(Impossible):
        receive(store, order, ["59.1mm", "80.3mm", "8mm"], on=date(2027, 9, 5))


def test_in_parts_until_all_have_come(store: Store) -> None:
    """An order may come in parts; one piece more than ordered is refused."""
    order = _ordered(store, "shaft_seal", "60x80x8mm", pieces=2)
    good = ["59.1mm", "80.3mm", "8mm"]
    receive(store, order, good, quantity=1, on=ON)
    receive(store, order, good, quantity=1, on=ON)
    with pytest.raises(Impossible, match="2 have come"):
        receive(store, order, good, quantity=1, on=ON)


def test_doubtful_checks_decide_nothing() -> None:
    """A doubtful check asks for a better measurement, whatever the verdict allows."""
    judged = {"verdict": "as is", "checks": [{"name": "shaft", "result": "doubtful"}]}
    assert decision_of(judged) is None


@pytest.mark.parametrize(
    ("value", "result"),
    # An 80 mm seal may measure 80.0 to 80.6 outside; U = 0.02.
    [(80.3, "pass"), (80.01, "likely"), (79.99, "doubtful"), (79.97, "fail"), (80.63, "fail")],
)
def test_as_ordered(value: float, result: str) -> None:
    """The check against the order uses the words of every check, by interval and estimate."""
    part = {
        "kind": "shaft_seal",
        "measured_mm": {"outside_diameter": value},
        "uncertainty_mm": 0.02,
        "ordered_mm": {"outside_diameter": 80.0},
    }
    assert as_ordered_checks(part)[0]["result"] == result
