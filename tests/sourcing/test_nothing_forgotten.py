"""A lost enquiry costs the last part: what falls silent, or falls away, is named again."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.command_line import Xref
from tests.sourcing.lists import load_list, seal
from xref.errors import Impossible, NothingFound
from xref.sourcing import (
    enquiries,
    offers,
    orders,
    plan,
    proofs,
    receipts,
    story,
    suppliers,
    teardown,
    wants,
)
from xref.sourcing.due import due
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 1, 10)


def _asked(store: Store, quantity: int = 1) -> None:
    """One want, which the list of one supplier shows; he was asked for it by a letter."""
    line = seal("AQ 4562", 45, 62, 8, quantity=quantity, price=6.4)
    load_list(store, "stock", [line], supplier="Alder Quay", as_of=ON)
    suppliers.add(store, "Alder Quay", currency="EUR", reply_days=7, postage_days=3, on=ON)
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=quantity, on=ON)
    enquiries.write(store, ON)
    enquiries.sent(store, 1, ON)


def _of(store: Store, on: date, supplier: str = "Alder Quay") -> list[tuple[str, str]]:
    actions = due(store, on)["actions"]
    return [(a["do"], a["why"]) for a in actions if a["supplier"] == supplier]


def test_a_letter_written_and_not_sent_is_named(store: Store) -> None:
    """A letter to somebody whom no list names stays due until it is sent, whoever else offers."""
    _asked(store)
    suppliers.add(store, "Old Tom", sort="owner", on=ON)
    enquiries.answer(store, 1, 1, "yes", ON, price="6.40")
    enquiries.write(store, ON, supplier="Old Tom", only=[1])
    ((do, why),) = _of(store, date(2027, 1, 25), "Old Tom")
    assert (do, why.split("; ")[-1]) == ("ask", "enquiry 2 is written but not sent")
    enquiries.sent(store, 2, date(2027, 1, 25))
    assert [do for do, _ in _of(store, date(2027, 1, 25), "Old Tom")] == []


@pytest.mark.parametrize("by_letter", [True, False], ids=["letter", "telephone"])
def test_an_offer_that_ran_out_is_asked_for_again(store: Store, by_letter: bool) -> None:
    """The day after an offer's last day its supplier is to be asked again, and a letter written."""
    said: dict[str, Any] = {"price": "6.40", "quantity": 2, "until": "2027-02-28"}
    if by_letter:
        _asked(store)
        enquiries.answer(store, 1, 1, "yes", ON, **said)
    else:
        suppliers.add(store, "Alder Quay", currency="EUR", on=ON)
        suppliers.add(store, "Sooner", closes="2027-12-31", carries=["shaft_seal"], on=ON)
        load_list(store, "stock", [seal("AQ 4562", 45, 62, 8)], supplier="Lister", as_of=ON)
        wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=ON)
        offers.add(store, "Alder Quay", 1, on=ON, **said)
    assert {do for do, _ in _of(store, date(2027, 2, 28))} == {"decide"}
    ((do, why),) = _of(store, date(2027, 3, 1))
    assert do == "ask"
    assert why.startswith("their offer 1 ran out on 2027-02-28")
    (letter,) = enquiries.write(store, date(2027, 3, 1), supplier="Alder Quay")["enquiries"]
    assert letter["wants"] == [1]
    enquiries.sent(store, letter["enquiry"], date(2027, 3, 1))
    assert _of(store, date(2027, 3, 1)) == []  # the answer is waited for


def test_who_said_no_is_asked_again_when_a_later_list_shows_it(store: Store) -> None:
    """No in January holds against the list of that day, not against the list of March."""
    _asked(store)
    enquiries.answer(store, 1, 1, "no", ON)
    assert _of(store, date(2027, 3, 4)) == []
    assert plan.plan(store, date(2027, 3, 4))["lines"] == []
    later = seal("AQ 4562", 45, 62, 8, quantity=2, price=6.9)
    load_list(store, "stock", [later], supplier="Alder Quay", as_of=date(2027, 3, 5))
    ((do, why),) = _of(store, date(2027, 3, 5))
    assert do == "ask"
    assert why.startswith("they said no on 2027-01-10, yet their list of 2027-03-05 shows it")
    (line,) = plan.plan(store, date(2027, 3, 5))["lines"]
    assert line["supplier"] == "Alder Quay"
    assert enquiries.write(store, date(2027, 3, 5))["enquiries"][0]["wants"] == [1]


def _came(store: Store, order: int, quantity: int, on: date) -> dict[str, Any]:
    said: dict[str, Any] = {"decision": "accept", "decided_by": "user", "judged": None}
    return receipts.note(
        store, order, quantity=quantity, part={}, place={}, tests=[], on=on, **said
    )


def _want(store: Store, on: date) -> tuple[str, int, int]:
    (row,) = wants.listing(store, on, everything=True)["wants"]
    return row["state"], row["covered"], row["needed"]


def test_the_rest_of_a_partial_delivery_can_fall_away(store: Store) -> None:
    """Three of eight came and the rest will not: five are wanted again, the three stay."""
    _asked(store, quantity=8)
    enquiries.answer(store, 1, 1, "yes", ON, price="6.40", number="AQ 4562")
    orders.add(store, 1, 8, date(2027, 1, 12))
    _came(store, 1, 3, date(2027, 1, 20))
    assert _want(store, date(2027, 1, 20)) == ("ordered", 8, 0)
    done = orders.cancel(store, 1, "the others are sold", date(2027, 1, 21))
    assert (done["came"], done["cancelled"]) == (3, 5)
    assert "xref offer withdraw 1" in done["notes"][0]
    assert _want(store, date(2027, 1, 21)) == ("received", 3, 5)
    with pytest.raises(Impossible, match="come in whole"):
        orders.cancel(store, 1, "again", date(2027, 1, 21))
    told = [e["text"] for e in story.show(store, 1, date(2027, 1, 21))["story"]]
    assert told[-1] == "the rest of order 1 will not come, 3 came: the others are sold"
    assert store.check()["damage"] == []


def test_a_proof_of_some_pieces_leaves_the_others_wanted(store: Store) -> None:
    """With three of eight bought and proved, five are still to find; with all, none."""
    _asked(store, quantity=8)
    enquiries.answer(store, 1, 1, "yes", ON, price="6.40", number="AQ 4562", quantity=3)
    orders.add(store, 1, 3, ON)
    _came(store, 1, 3, ON)
    proofs.add(store, 1, on=ON)
    assert _want(store, ON) == ("received", 3, 5)
    offers.add(store, "Alder Quay", 1, on=ON, price="7.00", quantity=5)
    orders.add(store, 2, 5, ON)
    assert _want(store, ON) == ("proved", 8, 0)


def test_a_part_proved_that_nobody_ordered_ends_the_want(store: Store) -> None:
    """What lay in the drawer and proved right leaves nothing to find, whatever the quantity."""
    _asked(store, quantity=8)
    proofs.add(store, 1, number="AQ 4562", on=ON)
    assert _want(store, ON) == ("proved", 0, 0)


def test_an_offer_can_be_taken_back(store: Store) -> None:
    """A price noted with a slip, or a part sold to another, stands no more; its record stays."""
    _asked(store)
    offers.add(store, "Alder Quay", 1, on=ON, price="0.64", number="AQ 4562")
    done = offers.withdraw(store, 1, " meant 6.40 ", ON)
    assert (done["reason"], done["notes"]) == ("meant 6.40", [])
    assert [o["stands"] for o in offers.listing(store, ON)["offers"]] == [False]
    assert all(line["offer"] is None for line in plan.plan(store, ON)["lines"])
    told = [e["text"] for e in story.show(store, 1, ON)["story"]]
    assert told[-1] == "offer 1: withdrawn: meant 6.40"
    with pytest.raises(Impossible, match="was withdrawn on 2027-01-10"):
        offers.withdraw(store, 1, "again", ON)
    with pytest.raises(NothingFound):
        offers.withdraw(store, 2, "never there", ON)
    with pytest.raises(Impossible, match="--reason"):
        offers.withdraw(store, 1, " ", ON)
    assert store.check()["damage"] == []


def test_what_was_ordered_of_an_offer_taken_back_stays_ordered(store: Store) -> None:
    """Withdrawing an offer says which of its orders stand."""
    _asked(store)
    offers.add(store, "Alder Quay", 1, on=ON, price="6.40")
    orders.add(store, 1, 1, ON)
    assert "order 1 of it stands" in offers.withdraw(store, 1, "price risen", ON)["notes"][0]
    assert _want(store, ON) == ("ordered", 1, 0)


def test_a_supplier_may_stay_open_after_all(store: Store) -> None:
    """`none` takes a closing or last-order day away again; other terms stay."""
    days = {"closes": "2027-06", "last_order": "2027-05-31"}
    suppliers.add(store, "Alder Quay", postage="4.50", on=ON, **days)
    suppliers.add(store, "Alder Quay", closes="none", last_order="None", on=ON)
    (row,) = suppliers.listing(store, ON)["suppliers"]
    assert (row["closes_on"], row["closes_as_written"], row["last_order"]) == (None, None, None)
    assert float(row["postage"]) == 4.5
    assert store.check()["damage"] == []


def test_a_place_that_is_kept_says_that_its_want_is_open(store: Store) -> None:
    """Reuse after replace names the want nobody ended; a new needed-by day reaches it."""
    kept: dict[str, Any] = {"kind": "shaft_seal", "number": "LM 201", "on": ON}
    assert teardown.add_place(store, "Lathe", "front", decision="replace", **kept)["notes"] == []
    again = teardown.add_place(store, "Lathe", "front", decision="replace", by="2027-05", on=ON)
    assert again["want"] == 1
    assert wants.listing(store, ON)["wants"][0]["by"] == "2027-05-01"
    (note,) = teardown.add_place(store, "Lathe", "front", decision="reuse", on=ON)["notes"]
    assert "want 1" in note
    assert "xref want close 1 --as reused" in note
    wants.close(store, 1, "reused", "lip still good", ON)
    assert teardown.add_place(store, "Lathe", "front", decision="reuse", on=ON)["notes"] == []


def test_a_gift_needs_no_currency(store: Store) -> None:
    """A part given away by somebody without a currency is planned for, at nothing."""
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=ON)
    suppliers.add(store, "Old Tom", sort="owner", on=ON)
    offers.add(store, "Old Tom", 1, on=ON, price="free")
    found = plan.plan(store, ON)
    assert [(x["offer"], float(x["cost"])) for x in found["lines"]] == [(1, 0.0)]
    offers.withdraw(store, 1, "sold", ON)
    assert plan.plan(store, ON)["lines"] == []


def test_a_want_entered_twice_says_so(store: Store) -> None:
    """The same number, however spaced, or the same sizes at the same place: both are kept."""
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, place="front", on=ON)

    def told(text: str, **more: Any) -> list[str]:
        notes = wants.add(store, text, kind="shaft_seal", quantity=1, on=ON, **more)["notes"]
        return [n for n in notes if "entered twice" in n]

    assert told("AQ 4562", place="rear") == []
    (note,) = told("aq-4562", place="Front")
    assert note.startswith("want 1 is open for the same part and place")
    assert "xref want close 3" in note
    assert told("60x80x8mm") == []
    assert told("60x80x10mm") == []
    (note,) = told("60x80x8mm")
    assert note.startswith("want 4 ")
    wants.close(store, 1, "dropped", "not needed", ON)
    wants.close(store, 3, "dropped", "entered twice", ON)
    assert told("AQ 4562", place="front") == []


def test_an_offer_entered_twice_says_so(store: Store) -> None:
    """The same words of one supplier for one want again are kept, and said to be the same."""
    _asked(store)
    said: dict[str, Any] = {"price": "6.40", "quantity": 2, "on": ON}
    assert offers.add(store, "Alder Quay", 1, **said)["notes"] == []
    (note,) = offers.add(store, "Alder Quay", 1, **said)["notes"]
    assert note.startswith("offer 1 says the same")
    assert "xref offer withdraw 2" in note
    assert offers.add(store, "Alder Quay", 1, **{**said, "price": "6.50"})["notes"] == []


def test_prices_with_and_without_tax_are_not_mixed_silently(store: Store) -> None:
    """A plan that compares both says whose price is which, from offers, suppliers and lists."""
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=ON)
    suppliers.add(store, "Gross", currency="EUR", tax="with tax", on=ON)
    suppliers.add(store, "Net", currency="EUR", on=ON)
    offers.add(store, "Gross", 1, on=ON, price="11")
    assert plan.plan(store, ON)["notes"] == []
    offers.add(store, "Net", 1, on=ON, price="10", tax="without tax")
    found = plan.plan(store, ON)
    assert [x["tax_basis"] for x in found["lines"]] == ["without tax"]
    (note,) = found["notes"]
    assert note.endswith("(with tax: Gross; without tax: Net)")
    offers.withdraw(store, 2, "sold", ON)
    line = {**seal("AQ 4562", 45, 62, 8, quantity=1, price=9.0), "tax": "excluded"}
    load_list(store, "stock", [line], supplier="Lister", as_of=ON)
    assert plan.plan(store, ON)["notes"][0].endswith("(with tax: Gross; without tax: Lister)")


def test_the_story_begins_when_it_began(store: Store) -> None:
    """A place noted without a day stands with what came after it, and a test has its name."""
    day = date(2027, 1, 12)
    teardown.add_place(
        store, "Lathe", "front", kind="shaft_seal", number="LM 201", decision="replace", on=day
    )
    suppliers.add(store, "Alder Quay", currency="EUR", on=day)
    offers.add(store, "Alder Quay", 1, on=day, price="5", number="AQ 1", quantity=1)
    orders.add(store, 1, 1, day)
    said: dict[str, Any] = {"decision": "accept", "decided_by": "user", "judged": None}
    receipts.note(store, 1, quantity=1, part={}, place={}, tests=["leak"], on=day, **said)
    proofs.add(store, 1, tests=["leak"], remark="dry", on=day)
    told = story.show(store, 1, date(2027, 3, 1))["story"]
    assert told[0]["text"].startswith("place: name front")
    assert {event["on"] for event in told} == {"2027-01-12"}
    assert told[-1]["text"] == "test passed: leak, dry"
    assert "offer 1 of Alder Quay: 1 piece, EUR 5.00 each" in [event["text"] for event in told]


def test_what_is_proved_in_part_is_to_be_searched_not_fitted(store: Store) -> None:
    """With some pieces proved and nobody known for the rest, the next step is to search."""
    from xref.acts.next_step import next_steps

    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=8, on=ON)
    suppliers.add(store, "Alder Quay", currency="EUR", closes="2027-02-01", on=ON)
    offers.add(store, "Alder Quay", 1, on=ON, price="5", number="AQ 4562", quantity=3)
    orders.add(store, 1, 3, ON)
    _came(store, 1, 3, ON)
    late = date(2027, 2, 2)
    assert [step["step"] for step in next_steps(store, late)["steps"]] == ["fit"]
    proofs.add(store, 1, on=ON)
    (step,) = next_steps(store, late)["steps"]
    assert (step["step"], step["wants"][0]["needed"]) == ("search", 5)


def test_a_failed_test_asks_what_becomes_of_the_part(store: Store) -> None:
    """After a failed test the part is to be decided on, while it can still go back."""
    suppliers.add(store, "Alder Quay", currency="EUR", closes="2027-06-30", postage_days=3, on=ON)
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=ON)
    offers.add(store, "Alder Quay", 1, on=ON, price="5", number="AQ 4562", quantity=1)
    orders.add(store, 1, 1, ON)
    said: dict[str, Any] = {"decision": "accept", "decided_by": "user", "judged": None}
    receipts.note(store, 1, quantity=1, part={}, place={}, tests=["leak"], on=ON, **said)
    proofs.add(store, 1, tests=["leak"], result="failed", on=ON)
    (action,) = due(store, ON)["actions"]
    assert (action["do"], action["by"], action["record"]) == ("decide", "2027-06-27", "receipt 1")
    assert action["why"].startswith("leak failed on 2027-01-10")
    with pytest.raises(Impossible, match="xref proof add 1 --failed WHY"):
        proofs.add(store, 1, on=ON)
    proofs.add(store, 1, did_not_fit="leaks", on=ON)
    assert [a["do"] for a in due(store, ON)["actions"]] == ["ask"]  # they may have another
    assert _want(store, ON) == ("wanted", 0, 1)


def test_the_story_names_the_offers_that_stand(store: Store, xref: Xref) -> None:
    """An offer that ran out is not said to stand, nor proposed to be ordered."""
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=2, on=ON)
    suppliers.add(store, "Alder Quay", currency="EUR", on=ON)
    offers.add(store, "Alder Quay", 1, on=ON, price="5", until="2027-01-20")
    offers.add(store, "Alder Quay", 1, on=ON, price="6")
    told = xref("want", "show", "1", "--on", "2027-01-21", "--store", str(store.folder)).out
    assert "stands: offer 1" not in told
    assert "stands: offer 2" in told
    assert "next: xref order add --offer 2 --quantity 2" in told
    assert [o["stands"] for o in story.show(store, 1, ON)["offers"]] == [True, True]


def test_a_letter_and_its_record_ask_for_the_same_pieces(store: Store) -> None:
    """Asked for a spare though all is covered, the record says as many pieces as the letter."""
    _asked(store)
    offers.add(store, "Alder Quay", 1, on=ON, price="5")
    orders.add(store, 1, 1, ON)
    suppliers.add(store, "Old Tom", sort="owner", on=ON)
    (letter,) = enquiries.write(store, ON, supplier="Old Tom", only=[1])["enquiries"]
    assert "1. 1 x AQ 4562" in letter["letter"]
    (line,) = enquiries.show(store, letter["enquiry"])["wants"]
    assert line["quantity"] == 1
