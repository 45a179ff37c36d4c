"""Lists: editions in, keys, items and numbers out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from xref.errors import Refused
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store

INFO = ListInfo(
    "stock", "brunn.csv", "Brunn", "EUR", "in", "brunn.csv", "d1", date(2026, 3, 1), {"unit": "in"}
)


def stock(rows: list[dict[str, object]]) -> pd.DataFrame:
    """Return rows as a reading gives them."""
    return pd.DataFrame(rows)


ROWS = stock(
    [
        {
            "at": {"sheet": "S", "row": 7},
            "number": "qx 10/4",
            "maker": "Orlo",
            "kind": "shaft_seal",
            "quantity": 4,
            "or_more": True,
            "price": Decimal("12.50"),
            "shaft_diameter_mm": 60.325,
            "outside_diameter_mm": 79.375,
            "width_mm": 12.7,
            "width_low_mm": 12.5,
            "width_high_mm": 12.9,
            "width_text": '1/2"',
            "case": "metal",
            "written_unit": "in",
            "replacements": ["QX-11", "QX-12"],
            "warnings": ['a, "b"'],
            "extra": {"Bin": "7"},
        },
        {
            "at": 8,
            "number": "QX-11",
            "maker": "Orlo",
            "kind": "shaft_seal",
            "shaft_diameter_mm": 2.375 * 25.4,
            "outside_diameter_mm": 79.375,
            "width_mm": 12.7,
            "width_low_mm": 12.5,
            "width_high_mm": 12.9,
            "case": "metal",
            "written_unit": "in",
        },
        {
            "at": 9,
            "number": "Ж-6205",
            "maker": None,
            "kind": "rolling_bearing",
            "bore_diameter_mm": 25.0,
            "outside_diameter_mm": 52.0,
            "width_mm": 15.0,
        },
        {"at": 10, "number": None, "description": "box of oddments"},
    ]
)


def test_an_edition_keeps_every_row_and_every_value(store: Store) -> None:
    """What went in comes out, with JSON values, money and text as they were."""
    edition = store.add_edition(INFO, ROWS)
    assert (edition.items, edition.kinds) == (4, {"shaft_seal": 2, "rolling_bearing": 1})
    (row,) = store.items_by_number("QX/10-4")
    expected = {
        "at": {"sheet": "S", "row": 7},
        "number": "qx 10/4",
        "number_key": "QX104",
        "maker": "Orlo",
        "quantity": 4,
        "or_more": True,
        "price": Decimal("12.500000"),
        "currency": "EUR",
        "supplier": "Brunn",
        "table": "stock",
        "list": "brunn.csv",
        "as_of": date(2026, 3, 1),
        "replacements": ["QX-11", "QX-12"],
        "warnings": ['a, "b"'],
        "extra": {"Bin": "7"},
        "dimensions_mm": {"shaft_diameter": 60.325, "outside_diameter": 79.375, "width": 12.7},
        "limits_mm": {"width": (12.5, 12.9)},
        "written": {"width": '1/2"'},
        "traits": {"case": "metal"},
    }
    assert {name: row[name] for name in expected} == expected


def test_equal_sizes_share_a_key_however_they_were_computed(store: Store) -> None:
    """2-3/8 in as 60.325 and as 2.375 * 25.4 is one judgement key."""
    edition = store.add_edition(INFO, ROWS)
    keys = store.keys("shaft_seal")
    assert keys["key"].size == 1
    assert keys["shaft_diameter_mm"].tolist() == [60.325]
    assert keys["edition"].tolist() == [edition.edition]
    assert np.isnan(keys["shaft_diameter_low_mm"]).all()
    assert keys["case"].tolist() == ["metal"]
    assert keys["lip_material"].tolist() == [None]
    rows = store.items([(edition.edition, int(keys["key"][0]))])
    assert [row["number"] for row in rows] == ["qx 10/4", "QX-11"]
    assert len(store.items([(edition.edition, int(keys["key"][0]))], per_key=1)) == 1


def test_numbers_in_other_alphabets_are_found(store: Store) -> None:
    """A number beyond ASCII has the same key in the store and in the question."""
    store.add_edition(INFO, ROWS)
    assert [row["kind"] for row in store.items_by_number("ж 6205")] == ["rolling_bearing"]
    assert store.items_by_number("X6205") == []


def test_replacements_are_found_from_both_ends(store: Store) -> None:
    """The row that names a number as its replacement is found by that number."""
    store.add_edition(INFO, ROWS)
    assert [r["number"] for r in store.items_by_number("qx12", mentioned=True)] == ["qx 10/4"]
    assert [r["number"] for r in store.replacements()] == ["qx 10/4"]
    assert [r["number"] for r in store.replacements(["QX 11"])] == ["qx 10/4"]
    assert store.replacements(["QX 99"]) == []


def test_the_same_list_again_adds_nothing(store: Store) -> None:
    """Same content and same decisions: the edition that is there comes back."""
    first = store.add_edition(INFO, ROWS)
    again = store.add_edition(INFO, ROWS)
    assert (again.edition, first.already, again.already) == (first.edition, False, True)
    assert len(store.editions()) == 1


def test_the_same_file_read_otherwise_is_another_edition(store: Store) -> None:
    """Another decision (the unit, a column) changes the rows, so it is kept as a new edition."""
    store.add_edition(INFO, ROWS)
    second = store.add_edition(replace(INFO, decisions={"unit": "mm"}), ROWS)
    assert (second.list, second.number, second.already) == (1, 2, False)
    assert [e.edition for e in store.editions()] == [second.edition]


def test_a_later_list_of_a_supplier_replaces_the_earlier(store: Store) -> None:
    """Another file of the same supplier is a new edition of the same list; another's is not."""
    store.add_edition(INFO, ROWS)
    store.add_edition(
        replace(INFO, name="brunn-june.xlsx", supplier="  BRUNN", digest="d2"), ROWS.head(1)
    )
    store.add_edition(replace(INFO, supplier="Kolm", digest="d3"), ROWS)
    assert [(e.list, e.number, e.items) for e in store.editions()] == [(1, 2, 1), (2, 1, 4)]


def test_an_empty_list_never_replaces_one(store: Store) -> None:
    """A list without rows is refused and the current edition stays."""
    store.add_edition(INFO, ROWS)
    with pytest.raises(Refused, match="holds no rows"):
        store.add_edition(replace(INFO, digest="d2"), ROWS.head(0))
    assert [e.digest for e in store.editions()] == ["d1"]


def test_rows_that_cannot_be_kept_leave_the_store_as_it_was(store: Store) -> None:
    """A word where a number belongs is refused as a sentence; no folder is left behind."""
    with pytest.raises(Refused, match="cannot be kept"):
        store.add_edition(INFO, stock([{"number": "A", "quantity": "four"}]))
    assert store.editions() == []
    assert list((store.folder / "lists").iterdir()) == []


def test_the_lists_of_several_editions_are_read_together(store: Store) -> None:
    """Keys of lists with different columns come as one table, unknown where a list says nothing."""
    store.add_edition(INFO, ROWS)
    other = stock(
        [
            {
                "number": "W 1",
                "kind": "shaft_seal",
                "shaft_diameter_mm": 60.0,
                "outside_diameter_mm": 80.0,
                "width_mm": 8.0,
                "lip_material": "FKM",
            }
        ]
    )
    store.add_edition(ListInfo("catalogue", "Wend", digest="w"), other)
    keys = store.keys("shaft_seal")
    assert keys["edition"].tolist() == [1, 2]
    assert keys["lip_material"].tolist() == [None, "FKM"]
    assert store.keys("shaft_seal", ["catalogue"])["edition"].tolist() == [2]
    assert store.keys("o_ring")["key"].size == 0
    assert [r["list"] for r in store.items([(2, 0), (1, 1), (2, 0)])] == [
        "Wend",
        *2 * ["brunn.csv"],
    ]


def test_an_open_store_notices_a_new_edition(tmp_path: Path) -> None:
    """A bench page that keeps the store open sees what the command line loads."""
    one, other = Store.open(tmp_path / "s"), Store.open(tmp_path / "s")
    assert one.editions() == []
    other.add_edition(INFO, ROWS)
    assert len(one.editions()) == 1
    other.add_edition(replace(INFO, digest="d2"), ROWS.head(1))
    assert [e.items for e in one.editions()] == [1]


def test_likeness_index_holds_every_number_of_the_list(store: Store) -> None:
    """The index knows the own numbers and the replacements of a list, and nothing else."""
    edition = store.add_edition(INFO, ROWS)
    index = store.number_index(edition)
    assert [index.key(i) for i in range(len(index))] == ["QX104", "QX11", "QX12", "Ж6205"]
