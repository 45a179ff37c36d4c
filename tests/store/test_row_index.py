"""Rows by number, key and place: from the mapped file as from the Parquet files beside it."""

from __future__ import annotations

import random
import zlib
from datetime import date
from decimal import Decimal
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from xref.errors import StoreUnavailable
from xref.store import ListInfo, Store, files, lists, row_index
from xref.store.array_file import open_arrays, write_arrays

pytestmark = pytest.mark.store

VERSION = "rows of a list, version 2"
HOSTILE = ["a\nb", 'q"\\', "x\x00y", "\x1f\u2028\u00e9\U0001f529", "", "null", None]


def frame(count: int, seed: int = 1) -> pd.DataFrame:
    """Return rows of every type a list keeps, numbers and sizes repeating among them."""
    rng = random.Random(seed)  # noqa: S311 - invents rows
    rows = [
        {
            "at": rng.choice([n, {"sheet": "S", "row": n}]),
            "number": rng.choice([f"KX-{n % 97}", f"Ж {n % 31}", None, "-"]),
            "maker": rng.choice(["Orlo", None]),
            "kind": rng.choice(["shaft_seal", "o_ring", None]),
            "description": rng.choice(HOSTILE),
            "quantity": rng.choice([-(2**60), 0, 7, None]),
            "or_more": rng.choice([True, False, None]),
            "price": rng.choice([Decimal("123456789012.345678"), Decimal("0.1"), None]),
            "as_of": rng.choice([date(1999, 12, 31), date(2026, 2, 28), None]),
            "shaft_diameter_mm": rng.choice([60.325, 1e-6, None]),
            "shaft_diameter_low_mm": rng.choice([0.1 + 0.2, None]),
            "shaft_diameter_text": rng.choice(['2-3/8"', None]),
            "case": rng.choice(["metal", None]),
            "replacements": rng.choice([["KX-3", "KX-5"], None, None]),
            "extra": rng.choice([{"Bin": "7\n"}, None]),
            "Note of theirs": rng.choice(["kept", None]),
        }
        for n in range(count)
    ]
    return pd.DataFrame(
        {name: pd.Series([r[name] for r in rows], dtype=object) for name in rows[0]}
    )


def answers(store: Store) -> list[list[dict[str, object]]]:
    """Return what every kind of look-up answers."""
    (edition,) = store.editions()
    numbers = [f"kx{n}" for n in range(0, 110, 3)] + ["ж7", "nothing", "-"]
    pairs = [(edition.edition, key) for key in (3, 0, 10**6, *range(edition.keys))]
    places = [(edition, item) for item in (edition.items - 1, 0, 5, 5, edition.items)]
    return [
        store.items_by_number("KX 3"),
        store.items_by_number(numbers),
        store.items_by_number(numbers, mentioned=True),
        store.replacements(["KX-5"]),
        store.items(pairs),
        store.items(pairs, per_key=None),
        store.items(pairs, per_key=1),
        store.lists.by_place(places),
    ]


@pytest.fixture
def full(store: Store) -> Store:
    """Return a store with a list in it."""
    store.add_edition(ListInfo("interchange", "b", "Brunn", "EUR"), frame(700))
    return store


def mapped(store: Store) -> Path:
    """Return the file of rows."""
    return store.folder / "lists" / "1" / "1" / "rows.index"


def test_rows_are_those_of_the_parquet_files(full: Store) -> None:
    """Every look-up gives the same rows, values and order as a query of items.parquet."""
    found = answers(full)
    assert all(found[:7])
    mapped(full).unlink()
    assert answers(Store.open(full.folder)) == found


def test_many_numbers_are_found_in_one_query_alike(
    full: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Past a number of numbers they are looked up by query: the answer is the same."""
    found = answers(full)
    monkeypatch.setattr(lists, "_MANY", 0)
    assert answers(full) == found


def test_a_number_is_found_without_a_query(full: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The look-up of a number does not ask the engine at all."""

    def refuse(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(lists.Lists, "query", refuse)
    assert full.items_by_number("kx3")
    assert full.items_by_number("nothing") == []


def test_several_lists_answer_in_their_order(full: Store) -> None:
    """Lists with and without the file answer together, by list and then by row."""
    full.add_edition(ListInfo("stock", "k", "Kolm"), frame(300, seed=2))
    found = full.items_by_number(["kx3", "kx4"])
    assert {row["supplier"] for row in found} == {"Brunn", "Kolm"}
    mapped(full).unlink()
    assert Store.open(full.folder).items_by_number(["kx3", "kx4"]) == found


@pytest.mark.parametrize("rows", [{"description": ["x"]}, {"number": ["A", "A"]}])
def test_lists_with_hardly_a_column(store: Store, rows: dict[str, list[str]]) -> None:
    """A list without numbers, or without anything to judge, is written and read."""
    edition = store.add_edition(ListInfo("stock", "b"), pd.DataFrame(rows))
    assert len(store.items([(edition.edition, 0)])) == edition.items
    assert len(store.items_by_number("a")) == len(rows.get("number", ()))


@pytest.mark.parametrize("file", [None, "rows of a list, version 1"])
def test_an_edition_of_an_earlier_xref_stays_sound(
    store: Store, monkeypatch: pytest.MonkeyPatch, file: str | None
) -> None:
    """An edition without the file, or with one of its first form, checks and answers by query."""

    def write_before(path: Path, *_: object) -> None:
        """Write what the first form had: blocks of compressed lines."""
        lines = np.frombuffer(zlib.compress(b'["A1"]'), np.uint8)
        blocks = np.array([0, len(lines)], np.int64)
        write_arrays(path, {"rows": lines, "row_blocks": blocks}, str(file))

    with monkeypatch.context() as before:
        if file is None:
            before.setattr(files, "FILES", tuple(f for f in files.FILES if f != "rows.index"))
        before.setattr(row_index, "write_row_index", write_before if file else lambda *_: None)
        store.add_edition(ListInfo("stock", "b"), frame(50))
    assert mapped(store).exists() == (file is not None)
    assert store.check()["damage"] == []
    (edition,) = store.editions()
    assert store.lists.row_index(edition) is None
    found = store.items_by_number([f"kx{n}" for n in range(50)])
    assert 5 < len(found) == sum(str(n).startswith("KX") for n in frame(50)["number"])


@pytest.mark.parametrize("part", ["codes", "starts", "columns"])
def test_a_damaged_file_is_a_sentence(full: Store, part: str) -> None:
    """Cells that cannot be found name the file and the way out."""
    arrays = {name: array.copy() for name, array in open_arrays(mapped(full), VERSION).items()}
    for name in arrays:
        if name.endswith(part) and "number" not in name and "key" not in name:
            arrays[name] = arrays[name][::-1] if part == "starts" else arrays[name] | 255
    write_arrays(mapped(full), arrays, VERSION)
    store = Store.open(full.folder)
    (edition,) = store.editions()
    with pytest.raises(StoreUnavailable, match=r"rows\.index.*damaged.*restore") as caught:
        store.lists.row_index(edition).cells(range(64))
    assert caught.value.code == "store-damaged"
