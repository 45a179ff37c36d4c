"""A list loaded by mistake is taken back; nothing is deleted, and nobody is asked by it."""

from __future__ import annotations

from datetime import date

import pytest

from tests.sourcing.lists import load_list, seal
from xref.acts.withdraw import withdraw
from xref.errors import Impossible, NothingFound
from xref.sourcing import offers, suppliers, wants
from xref.sourcing.due import due
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 1, 10)


def _asked(store: Store) -> list[str]:
    return [a["supplier"] for a in due(store, ON)["actions"]]


def test_a_list_under_a_wrong_name_is_taken_back(store: Store) -> None:
    """A supplier known only by that list is known no more; the other list stays."""
    line = seal("AQ 4562", 45, 62, 8, quantity=1, price=6.4)
    load_list(store, "stock", [line], supplier="Alder Quay", as_of=ON)
    load_list(store, "stock", [line], supplier="Adler Quay", as_of=ON)
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=ON)
    assert sorted(_asked(store)) == ["Adler Quay", "Alder Quay"]
    done = withdraw(store, "adler quay")
    assert (done["withdrawn"], done["current"]) == (1, None)
    assert _asked(store) == ["Alder Quay"]
    assert [s["supplier"] for s in suppliers.listing(store, ON)["suppliers"]] == ["Alder Quay"]
    assert store.check()["damage"] == []
    with pytest.raises(NothingFound, match="xref store info"):
        withdraw(store, "adler quay")


def test_the_edition_before_counts_again(store: Store) -> None:
    """After a wrong file the list of before is searched again, and can be named by its number."""
    load_list(store, "stock", [seal("AQ 1", 45, 62, 8)], supplier="Alder Quay", as_of=ON)
    wrong = date(2027, 2, 1)
    load_list(store, "stock", [seal("ZZ 9", 45, 62, 8)], supplier="Alder Quay", as_of=wrong)
    assert store.items_by_number("AQ 1") == []
    done = withdraw(store, str(store.editions("stock")[0].list))
    assert (done["withdrawn"], done["current"], done["as_of"]) == (2, 1, "2027-01-10")
    assert [item["number"] for item in store.items_by_number("AQ 1")] == ["AQ 1"]
    assert store.items_by_number("ZZ 9") == []


def test_whose_offer_is_noted_stays_known(store: Store) -> None:
    """Taking a list back never loses the supplier of an offer."""
    load_list(store, "stock", [seal("AQ 1", 45, 62, 8)], supplier="Alder Quay", as_of=ON)
    wants.add(store, "AQ 1", kind="shaft_seal", quantity=1, on=ON)
    offers.add(store, "Alder Quay", 1, on=ON, price="5")
    withdraw(store, "Alder Quay")
    assert [o["supplier"] for o in offers.listing(store, ON)["offers"]] == ["Alder Quay"]


def test_a_name_of_several_lists_is_not_guessed(store: Store) -> None:
    """Two tables of one supplier are told apart by their numbers."""
    load_list(store, "stock", [seal("AQ 1", 45, 62, 8)], supplier="Alder Quay", as_of=ON)
    load_list(store, "catalogue", [seal("AQ 1", 45, 62, 8)], supplier="Alder Quay", as_of=ON)
    with pytest.raises(Impossible, match="by its number"):
        withdraw(store, "Alder Quay")
