"""What is due over a store: likeliest holders first, nothing asked twice, overdue said."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.sourcing.lists import load_list, seal
from xref.sourcing import enquiries, offers, orders, suppliers, wants
from xref.sourcing.due import due
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 9, 6)


def _four_holders(store: Store) -> None:
    """Note suppliers of the four sorts, all closing on the same day."""
    terms = {"closes": "2027-12-31", "reply_days": 10, "postage_days": 5, "on": ON}
    load_list(
        store, "stock", [seal("TW/3/118", 60, 80, 10, quantity=1, price=9.5)], supplier="Lists it"
    )
    load_list(
        store,
        "stock",
        [seal("TW/3/118", 60, 80, 10, quantity=1)],
        supplier="Listed it",
        as_of=date(2027, 6, 1),
    )
    load_list(store, "stock", [seal("TW/9/1", 20, 35, 7, quantity=1)], supplier="Listed it")
    suppliers.add(store, "Lists it", currency="EUR", **terms)
    suppliers.add(store, "Listed it", **terms)
    suppliers.add(store, "Carries seals", carries=["shaft_seal"], **terms)
    suppliers.add(store, "A collector", sort="owner", **terms)
    suppliers.add(store, "Bushes only", carries=["plain_bushing"], **terms)
    wants.add(store, "TW 3 118", kind="shaft_seal", quantity=1, on=ON)


def test_likeliest_holders_first(store: Store) -> None:
    """Of suppliers with the same deadline, the one whose current list shows it comes first."""
    _four_holders(store)
    actions = due(store, ON)["actions"]
    assert [a["supplier"] for a in actions] == [
        "Lists it",
        "Listed it",
        "Carries seals",
        "A collector",
    ]
    # 31 December less 10 + 5 + 7 days
    assert {a["by"] for a in actions} == {"2027-12-09"}
    assert all(a["do"] == "ask" and not a["overdue"] for a in actions)


def test_asking_late_is_overdue_and_asking_after_closing_is_not_offered(store: Store) -> None:
    """After the latest safe day the action says overdue; after closing nothing is asked."""
    _four_holders(store)
    assert all(a["overdue"] for a in due(store, date(2027, 12, 10))["actions"])
    assert due(store, date(2028, 1, 1))["actions"] == []


def test_each_step_replaces_the_one_before(store: Store) -> None:
    """ask, then chase when the reply days have passed, then decide and order, then test."""
    suppliers.add(
        store,
        "Marlowe",
        closes="2027-12-31",
        reply_days=10,
        postage_days=5,
        currency="EUR",
        carries=["shaft_seal"],
        on=ON,
    )
    wants.add(store, "60x80x8mm", kind="shaft_seal", quantity=1, on=ON)

    def todo(on: date) -> list[tuple[str, str]]:
        return [(a["do"], a["by"]) for a in due(store, on)["actions"]]

    assert todo(ON) == [("ask", "2027-12-09")]
    enquiries.write(store, ON)
    assert todo(ON) == [("ask", "2027-12-09")]  # the letter has not gone yet
    enquiries.sent(store, 1, ON)
    assert todo(ON) == []
    assert todo(date(2027, 9, 15)) == []
    assert todo(date(2027, 9, 16)) == [("chase", "2027-09-16")]
    enquiries.answer(store, 1, 1, "looking", date(2027, 9, 16))
    assert todo(date(2027, 9, 25)) == []
    assert todo(date(2027, 9, 26)) == [("chase", "2027-09-26")]
    enquiries.answer(store, 1, 1, "yes", date(2027, 9, 26), price="9.50", until="2027-10-15")
    assert todo(date(2027, 9, 26)) == [("decide", "2027-10-15"), ("order", "2027-12-19")]
    orders.add(store, 1, 1, date(2027, 9, 27))
    assert todo(date(2027, 9, 27)) == []
    assert todo(date(2027, 10, 12)) == [("chase", "2027-10-12")]  # goods: 10 + 5 days
    from tests.sourcing.test_records import _receive

    _receive(store, 1, "accept", date(2027, 10, 13))
    assert todo(date(2027, 10, 13)) == [("test", "2027-12-26")]


def test_a_no_is_not_asked_again(store: Store) -> None:
    """Who said no is neither asked nor chased, unless the user asks again by name."""
    suppliers.add(store, "Marlowe", carries=["shaft_seal"], on=ON)
    wants.add(store, "60x80x8mm", kind="shaft_seal", quantity=1, on=ON)
    enquiries.write(store, ON)
    enquiries.sent(store, 1, ON)
    enquiries.answer(store, 1, 1, "no", ON)
    assert due(store, date(2027, 12, 1))["actions"] == []
    assert enquiries.write(store, ON)["enquiries"] == []
    (again,) = enquiries.write(store, ON, supplier="Marlowe", only=[1])["enquiries"]
    assert again["enquiry"] == 2


def test_one_letter_per_supplier_with_sizes_and_alternatives(store: Store) -> None:
    """A letter groups a supplier's wants, with both units, alternatives and quantities."""
    load_list(store, "originals", [seal("TW/3/118", 60.325, 79.375, 9.525)])
    suppliers.add(store, "Marlowe", carries=["shaft_seal"], on=ON)
    wants.add(store, "TW/3/118", quantity=2, variants=["TW/3/119"], on=ON)
    wants.add(store, "30x52x7mm", kind="shaft_seal", quantity=1, on=ON)
    (letter,) = enquiries.write(store, ON)["enquiries"]
    assert letter["wants"] == [1, 2]
    text = letter["letter"]
    for words in (
        "2 x TW/3/118",
        "60.325 mm (2-3/8 in)",
        "9.525 mm (3/8 in)",
        "also accepted: TW/3/119",
        "30 mm (1.1811 in)",
        "asbestos",
    ):
        assert words in text
    assert max(map(len, text.splitlines())) <= 72


def test_the_calendar_holds_every_deadline(store: Store, tmp_path: Path) -> None:
    """`--ics` writes each dated action, also chases that only start later, read by icalendar."""
    _four_holders(store)
    enquiries.write(store, ON, supplier="Lists it")
    enquiries.sent(store, 1, ON)
    file = tmp_path / "due.ics"
    document = due(store, ON, ics=file)
    found = Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    assert len(found) == document["calendar_entries"] == len(document["actions"]) + 1
    chase = [e for e in found if "again" in str(e["summary"])]
    assert [e.decoded("dtstart") for e in chase] == [date(2027, 9, 16)]


def test_needed_by_matters_without_a_closing_date(store: Store) -> None:
    """Without a closing date the day the part is needed sets the latest safe day."""
    suppliers.add(store, "Marlowe", reply_days=10, postage_days=5, on=ON)
    wants.add(store, "60x80x8mm", kind="shaft_seal", quantity=1, by="2028-03-01", on=ON)
    (action,) = due(store, ON)["actions"]
    # 1 March 2028 less 22 days, in a leap year: 8 February
    assert (action["by"], action["overdue"]) == ("2028-02-08", False)
    offers.add(store, "Marlowe", 1, price="3.00", currency="EUR", on=ON)
    (action,) = due(store, ON)["actions"]
    assert (action["do"], action["by"]) == ("order", "2028-02-18")
