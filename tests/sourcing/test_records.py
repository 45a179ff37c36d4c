"""Records: states that follow from events, and bad input that changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from tests.command_line import Xref
from tests.sourcing.lists import load_list, seal
from xref.errors import Impossible, NeedsAnswer, NothingFound, XrefError
from xref.sourcing import enquiries, offers, orders, proofs, receipts, story, suppliers, wants
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 9, 6)


def _state(store: Store, want: int = 1, on: date = ON) -> str:
    rows = wants.listing(store, on, everything=True)["wants"]
    return str(next(r["state"] for r in rows if r["want"] == want))


def _asked(store: Store) -> None:
    suppliers.add(
        store,
        "Marlowe",
        closes="2027-12-31",
        reply_days=10,
        postage="5.00",
        currency="EUR",
        carries=["shaft_seal"],
        on=ON,
    )
    wants.add(store, "60x80x8mm", kind="shaft_seal", quantity=2, on=ON)
    enquiries.write(store, ON)


def test_the_state_of_a_want_follows_from_its_events(store: Store) -> None:
    """wanted, asked, offered, ordered, received, proved: each event moves the want on."""
    _asked(store)
    assert _state(store) == "wanted"  # a letter written is not yet a letter sent
    enquiries.sent(store, 1, ON)
    assert _state(store) == "asked"
    offer = enquiries.answer(store, 1, 1, "yes", date(2027, 9, 10), price="9.50", quantity=2)
    assert offer["offer"] == 1
    assert _state(store, on=date(2027, 9, 10)) == "offered"
    orders.add(store, 1, 2, date(2027, 9, 11))
    assert _state(store, on=date(2027, 9, 11)) == "ordered"
    _receive(store, 1, "accept", date(2027, 9, 20))
    assert _state(store, on=date(2027, 9, 20)) == "received"
    proofs.add(store, 1, tests=["leak"], on=date(2027, 9, 21))
    proofs.add(store, 1, number="M 60", on=date(2027, 9, 22))
    assert _state(store, on=date(2027, 9, 22)) == "proved"


def _receive(store: Store, order: int, decision: str, on: date) -> dict[str, Any]:
    return receipts.note(
        store,
        order,
        quantity=None,
        decision=decision,
        decided_by="user",
        judged=None,
        part={},
        place={},
        tests=["leak"],
        on=on,
    )


def test_sizes_one_by_one_are_the_same_want(store: Store, xref: Xref) -> None:
    """--id, --od, --width note the sizes that 60x80x8mm would; a number may stand beside them."""
    wants.add(store, "60x80x8mm", kind="shaft_seal", quantity=1, on=ON)
    typed = ["--id", "60mm", "--od", "80mm", "--width", "8mm"]
    store_option = ["--store", str(store.folder), "--quantity", "1"]
    assert xref("want", "add", "--kind", "shaft_seal", *typed, *store_option).status == 0
    assert xref("want", "add", "QW 7", "--kind", "shaft_seal", *typed, *store_option).status == 0
    assert xref("want", "add", *typed, *store_option).status == 3  # of what kind?
    assert xref("want", "add", "--kind", "o_ring", *typed, *store_option).status == 2
    assert xref("want", "add", *store_option).status == 2
    with store.reading() as state:
        kept = state.rows("SELECT number, part FROM wants ORDER BY want")
    assert [row["number"] for row in kept] == [None, None, "QW 7"]
    nominal = [{name: size["nominal"] for name, size in row["part"].items()} for row in kept]
    assert nominal == [{"shaft_diameter": 60, "outside_diameter": 80, "width": 8}] * 3


def test_a_part_sent_back_opens_its_want_again(store: Store) -> None:
    """After a return the want is offered again and nothing of it is covered."""
    _asked(store)
    offers.add(store, "Marlowe", 1, price="9.50", on=ON)
    orders.add(store, 1, 2, ON)
    answer = _receive(store, 1, "return", ON)
    assert answer["open_tests"] == []
    row = wants.listing(store, ON)["wants"][0]
    assert (row["state"], row["covered"], row["needed"]) == ("offered", 0, 2)


def test_an_expired_offer_no_longer_counts(store: Store) -> None:
    """After its last day an offer is history: the want falls back to asked or wanted."""
    _asked(store)
    offers.add(store, "Marlowe", 1, price="9.50", until="2027-09-10", on=ON)
    assert _state(store, on=date(2027, 9, 10)) == "offered"
    assert _state(store, on=date(2027, 9, 11)) == "wanted"


@pytest.mark.parametrize("end", ["made", "modified", "reused", "dropped"])
def test_a_want_ends_with_a_reason(store: Store, end: str) -> None:
    """A want ends as made, modified, reused or dropped; it keeps the reason and stays ended."""
    wants.add(store, "TW 3", quantity=1, on=ON)
    with pytest.raises(NeedsAnswer):
        wants.close(store, 1, end, " ", ON)
    wants.close(store, 1, end, "for a reason", ON)
    assert _state(store) == end
    assert wants.listing(store, ON)["wants"] == []
    with pytest.raises(Impossible, match="for a reason"):
        wants.close(store, 1, "dropped", "again", ON)


def test_a_later_answer_replaces_the_earlier_one(store: Store) -> None:
    """Looking, then yes, then no: the offer made by yes is withdrawn, and nothing is deleted."""
    _asked(store)
    enquiries.sent(store, 1, ON)
    enquiries.answer(store, 1, 1, "looking", ON)
    enquiries.answer(store, 1, 1, "yes", ON, price="9.50")
    assert _state(store) == "offered"
    enquiries.answer(store, 1, 1, "no", ON)
    assert _state(store) == "asked"
    (offer,) = offers.listing(store, ON)["offers"]
    assert not offer["stands"]
    told = [e["text"] for e in story.show(store, 1, ON)["story"]]
    assert [t for t in told if t.startswith("answer")] == [
        "answer to enquiry 1: looking",
        "answer to enquiry 1: yes",
        "answer to enquiry 1: no",
    ]


def test_what_is_not_said_again_stays(store: Store) -> None:
    """Noting a supplier again changes what is given and keeps the rest, whatever the spelling."""
    suppliers.add(store, "Marlowe  Seals", closes="2027-10", postage="5.00", on=ON)
    answer = suppliers.add(store, "marlowe seals", reply_days=3, on=ON)
    assert answer["new"] is False
    (row,) = suppliers.listing(store, ON)["suppliers"]
    assert (row["closes_on"], row["reply_days"], str(row["postage"])) == ("2027-10-01", 3, "5.00")


def test_a_closing_month_says_its_reading(store: Store) -> None:
    """A closing month is kept as written, used as its first day, and that is said."""
    answer = suppliers.add(store, "Marlowe", closes="2028-02", on=ON)
    assert "2028-02-01" in answer["notes"][0]
    assert suppliers.show(store, "Marlowe", ON)["closes_as_written"] == "2028-02"


def test_contact_details_can_be_erased(store: Store) -> None:
    """Erased contact details are gone from the state and from every event."""
    suppliers.add(store, "Marlowe", contact="12 Quay Lane", on=ON)
    assert suppliers.show(store, "Marlowe", ON)["contact"] == "12 Quay Lane"
    suppliers.forget_contact(store, "Marlowe")
    assert suppliers.show(store, "Marlowe", ON)["contact"] is None
    content = (store.folder / "state.duckdb").read_bytes()
    assert b"Quay Lane" not in content


def test_a_want_takes_kind_and_spelling_from_the_lists(store: Store) -> None:
    """A number known to a list is kept as the list writes it, with its kind."""
    load_list(store, "originals", [seal("TW/3/118", 60, 80, 10, description="seal, drum")])
    answer = wants.add(store, "tw 3 118", quantity=1, on=ON)
    assert (answer["number"], answer["kind"], answer["notes"]) == ("TW/3/118", "shaft_seal", [])


def _closed_supplier(store: Store) -> None:
    suppliers.add(store, "Gone", closes="2027-08-31", currency="EUR", on=ON)
    suppliers.add(store, "Open", currency="EUR", on=ON)
    wants.add(store, "TW 3", quantity=1, on=ON)
    wants.add(store, "TW 4", quantity=1, on=ON)
    enquiries.write(store, ON, supplier="Open", only=[1])
    offers.add(store, "Open", 1, price="5.00", quantity=1, until="2027-09-10", on=ON)


BAD: dict[str, tuple[type[XrefError], Callable[[Store], object]]] = {
    "quantity zero wanted": (Impossible, lambda s: wants.add(s, "X1", quantity=0, on=ON)),
    "quantity below zero": (Impossible, lambda s: wants.add(s, "X1", quantity=-3, on=ON)),
    "impossible needed-by": (
        Impossible,
        lambda s: wants.add(s, "X1", quantity=1, by="2027-02-30", on=ON),
    ),
    "needed-by in the past": (
        Impossible,
        lambda s: wants.add(s, "X1", quantity=1, by="2027-09-05", on=ON),
    ),
    "empty want": (Impossible, lambda s: wants.add(s, "  ", quantity=1, on=ON)),
    "control characters": (Impossible, lambda s: wants.add(s, "A\x1b[31m", quantity=1, on=ON)),
    "sizes without kind": (NeedsAnswer, lambda s: wants.add(s, "60x80x8mm", quantity=1, on=ON)),
    "unknown kind": (Impossible, lambda s: wants.add(s, "X1", kind="gasket", quantity=1, on=ON)),
    "unknown want": (NothingFound, lambda s: offers.add(s, "Open", 99, price="1.00", on=ON)),
    "unknown supplier": (NothingFound, lambda s: offers.add(s, "Nobody", 1, price="1", on=ON)),
    "offer of a closed supplier": (
        Impossible,
        lambda s: offers.add(s, "Gone", 1, price="1.00", on=ON),
    ),
    "asking a closed supplier": (
        Impossible,
        lambda s: enquiries.write(s, ON, supplier="Gone", only=[1]),
    ),
    "asking for an unknown want": (
        NothingFound,
        lambda s: enquiries.write(s, ON, supplier="Open", only=[99]),
    ),
    "unknown enquiry": (NothingFound, lambda s: enquiries.sent(s, 99, ON)),
    "answer before the letter went": (Impossible, lambda s: enquiries.answer(s, 1, 1, "no", ON)),
    "answer never asked for": (Impossible, lambda s: enquiries.answer(s, 1, 2, "no", ON)),
    "answer in other words": (Impossible, lambda s: enquiries.answer(s, 1, 1, "maybe", ON)),
    "sent before it was written": (Impossible, lambda s: enquiries.sent(s, 1, date(2027, 9, 5))),
    "unknown offer": (NothingFound, lambda s: orders.add(s, 99, 1, ON)),
    "order of zero": (Impossible, lambda s: orders.add(s, 1, 0, ON)),
    "order beyond the offer": (Impossible, lambda s: orders.add(s, 1, 2, ON)),
    "order of an expired offer": (Impossible, lambda s: orders.add(s, 1, 1, date(2027, 9, 11))),
    "offer that has ended": (
        Impossible,
        lambda s: offers.add(s, "Open", 1, price="1", until="2027-09-05", on=ON),
    ),
    "offer of zero pieces": (
        Impossible,
        lambda s: offers.add(s, "Open", 1, price="1", quantity=0, on=ON),
    ),
    "unknown order": (NothingFound, lambda s: _receive(s, 99, "accept", ON)),
    "proof of nothing": (Impossible, lambda s: proofs.add(s, 1, on=ON)),
    "test nobody set": (Impossible, lambda s: proofs.add(s, 1, tests=["leak"], on=ON)),
    "closing before last orders": (
        Impossible,
        lambda s: suppliers.add(s, "Open", closes="2027-10-01", last_order="2027-10-02", on=ON),
    ),
    "impossible closing date": (
        Impossible,
        lambda s: suppliers.add(s, "Open", closes="2027-02-29", on=ON),
    ),
    "nameless supplier": (Impossible, lambda s: suppliers.add(s, " ", on=ON)),
}


@pytest.mark.parametrize("case", BAD)
def test_bad_input_is_a_sentence_and_changes_nothing(store: Store, case: str) -> None:
    """Each bad input raises its refusal with a sentence; no event is added."""
    _closed_supplier(store)
    error, act = BAD[case]
    before = _events(store)
    with pytest.raises(error) as refusal:
        act(store)
    assert len(str(refusal.value).split()) > 3
    assert _events(store) == before


def _events(store: Store) -> list[dict[str, Any]]:
    with store.reading() as state:
        return state.rows("SELECT * FROM events ORDER BY seq")


def test_the_records_replay_from_their_events(store: Store) -> None:
    """The store's own check finds every sourcing table equal to its replayed events."""
    test_the_state_of_a_want_follows_from_its_events(store)
    assert store.check()["damage"] == []
