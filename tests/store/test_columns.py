"""Rows by column: coded as a reading hands them over, or dense, the files are the same."""

from __future__ import annotations

import json
import random
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from xref.errors import Refused
from xref.store import ListInfo, Store
from xref.store.columns import Column, columns_of
from xref.store.edition import Edition
from xref.store.engine import memory
from xref.store.frame import frame, joined
from xref.store.rows import ITEM_TYPES, JSON_COLUMNS, key_columns, trait_types

pytestmark = pytest.mark.store

MANY = 12_000  # more than are looked at one by one
CHOICES: dict[str, list[Any]] = {
    "at": [7, {"sheet": "S", "row": 7}, {"sheet": "Ä", "row": 8}],
    "number": ["KX 3", "kx-3", "Ж 1", "a\x00b", "Q|1", "", "\u200b", "-", None],
    "kind": ["shaft_seal", "o_ring", "rolling_bearing", None],
    "description": ["a\nb", "x\x00y", "x\x00z", "\u2028\U0001f529", "", "null", "nan", None],
    "quantity": [-(2**60), 0, 7, None],
    "or_more": [True, False, None],
    "price": [Decimal("123456789012.345678"), Decimal("-0.1"), Decimal("0.10"), Decimal(1), None],
    "as_of": [date(1, 1, 1), date(2026, 2, 28), None],
    "shaft_diameter_mm": [60.325, 60.3250000001, 1e-6, 4e-7, 5e-7, 0.1 + 0.2, float("nan"), None],
    "width_mm": [8.0, 12.7],
    "case": ["rubber", "metal", "Élan", None],
    "dynamic_load_kn": [14.5, 9, None],
    "written_unit": ["in", "mm", None],
    "replacements": [["KX-3", "KX-5"], "KX-3 / 2 of KX-9", None],
    "warnings": [[], ["w"], ["a", "b\x00"]],
    "theirs": [1.5, None],
}


def dense(count: int, seed: int) -> pd.DataFrame:
    """Return rows of every type a list keeps, as objects."""
    rng = random.Random(seed)  # noqa: S311 - invents rows
    data = {name: rng.choices(cells, k=count) for name, cells in CHOICES.items()}
    data["number"][: count // 2] = [f"N-{rng.randrange(10**6)}" for _ in range(count // 2)]
    return pd.DataFrame({name: pd.Series(cells, dtype=object) for name, cells in data.items()})


def coded(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the rows as a reading hands them over: Categoricals, with JSON where JSON is kept."""
    columns = {}
    for name, values in rows.items():
        distinct = [c for c in CHOICES[str(name)] if c is not None and c == c]
        if name == "number":
            columns[name] = values
            continue
        codes = [distinct.index(c) if c is not None and c == c else -1 for c in values]
        if name in JSON_COLUMNS:
            distinct = [json.dumps(c, ensure_ascii=False) for c in distinct]
        unused = ["in no row"] if isinstance(distinct[0], str) else []
        words = pd.Index([*distinct, *unused], dtype=object)
        columns[name] = pd.Series(pd.Categorical.from_codes(codes, categories=words))
    return pd.DataFrame(columns)


def loaded(store: Store, name: str, rows: pd.DataFrame) -> Edition:
    """Load rows as a list of its own."""
    return store.add_edition(ListInfo("interchange", name), rows)


def content(store: Store, edition: Edition) -> dict[str, tuple[list[Any], list[Any]]]:
    """Return the columns with their types, and the rows in their order, of the Parquet files."""
    found = {}
    for name in ("items", "keys", "numbers"):
        result = store.lists.query(f"FROM {store.lists.source([edition], f'{name}.parquet')}")
        found[name] = [column[:2] for column in result.description or ()], result.fetchall()
    return found


def rows_of(store: Store, edition: Edition) -> list[dict[str, Any]]:
    """Return the cells of all rows as the mapped file gives them."""
    index = store.lists.row_index(edition)
    assert index is not None
    return index.cells(range(edition.items))


@pytest.mark.parametrize("count", [1, 300, MANY])
def test_coded_rows_are_kept_like_dense_ones(store: Store, count: int) -> None:
    """A reading in codes and the same rows as objects make the same files."""
    rows = dense(count, seed=count)
    editions = [loaded(store, "dense", rows), loaded(store, "coded", coded(rows))]
    first, second = (content(store, edition) for edition in editions)
    assert first == second
    for name in ("numbers.index", "statements.index"):
        one, other = (store.lists.file(edition, name).read_bytes() for edition in editions)
        assert one.replace(b"dense", b"coded") == other
    one, other = (rows_of(store, edition) for edition in editions)
    assert one == other


def test_columns_have_the_types_that_are_declared(store: Store) -> None:
    """Each column reads back from the file in its SQL type."""
    rows = coded(dense(200, seed=3))
    edition = loaded(store, "b", rows)
    items = store.lists.source([edition], "items.parquet")
    told = store.lists.query(f"DESCRIBE SELECT * FROM {items}").fetchall()  # noqa: S608
    types = {name: kind for name, kind, *_ in told}
    sizes = dict.fromkeys(("shaft_diameter_mm", "width_mm"), "DOUBLE")
    declared = {"item": "BIGINT", "key": "BIGINT", "number_key": "VARCHAR", "theirs": "VARCHAR"}
    declared |= ITEM_TYPES | trait_types() | sizes
    assert types == {name: declared[name] for name in types}
    assert set(CHOICES) < set(types)


@pytest.mark.parametrize("count", [40, 2000])
def test_keys_are_those_a_query_of_the_rows_finds(store: Store, count: int) -> None:
    """Keys are the distinct combinations in sort order, and rows lie by key and then by item."""
    edition = loaded(store, "b", coded(dense(count, seed=7)))
    items, keys, numbers = (
        store.lists.source([edition], f"{name}.parquet") for name in ("items", "keys", "numbers")
    )
    query = store.lists.query
    parts = ", ".join(f'"{name}"' for name in key_columns() if name in edition.item_columns)
    found = query(f"SELECT {parts} FROM {keys} ORDER BY key").fetchall()  # noqa: S608
    assert found == query(f"SELECT DISTINCT {parts} FROM {items} ORDER BY {parts}").fetchall()  # noqa: S608
    assert query(f"SELECT key FROM {keys}").fetchall() == [(n,) for n in range(edition.keys)]  # noqa: S608
    of_items = query(f"SELECT key, {parts} FROM {items}").fetchall()  # noqa: S608
    assert [row[1:] for row in of_items] == [found[row[0]] for row in of_items]
    order = query(f"SELECT key, item FROM {items}").fetchall()  # noqa: S608
    assert order == sorted(order)
    assert sorted(item for _, item in order) == list(range(count))
    standing = query(f"SELECT number_key, item, key, role FROM {numbers}").fetchall()  # noqa: S608
    assert standing == sorted(standing, key=lambda row: (row[0].encode(), row[1]))
    own = query(f"SELECT number_key, item, key FROM {items} WHERE number_key <> ''").fetchall()  # noqa: S608
    assert sorted(row[:3] for row in standing if row[3] == "own") == sorted(own)


def test_a_size_is_rounded_and_nothing_said_is_nothing() -> None:
    """Cells that are alike once typed are one; NaN, None and unused categories are none."""
    con = memory()
    rows = pd.DataFrame(
        {
            "width_mm": pd.Categorical.from_codes([0, 1, 2, -1], categories=[8.0, 8.00000001, 9.0]),
            "description": pd.Categorical.from_codes([-1] * 4, categories=["unused"]),
            "price": pd.Series([Decimal("1.50"), 1.5, float("nan"), None], dtype=object),
        }
    )
    found = columns_of(con, rows)
    con.close()
    assert list(found) == ["width_mm", "price"]
    assert found["width_mm"].cells.tolist() == [8.0, 9.0]
    assert found["width_mm"].codes.tolist() == [0, 0, 1, -1]
    assert found["price"].values(np.arange(4)) == [Decimal("1.5"), Decimal("1.5"), None, None]


@pytest.mark.parametrize("make", [list, pd.Categorical])
def test_a_word_in_a_column_of_figures_is_refused(store: Store, make: Any) -> None:
    """A frame whose quantities are words is refused in a sentence, dense or coded."""
    rows = pd.DataFrame({"number": ["A", "B"], "quantity": make(["7", "many"])})
    with pytest.raises(Refused, match=r"cannot be kept.*many"):
        loaded(store, "b", rows)


@pytest.mark.parametrize("count", [3, MANY])
@pytest.mark.parametrize("kind", [object, "string", "string[pyarrow]"])
def test_a_number_may_be_unknown_in_every_way(store: Store, kind: Any, count: int) -> None:
    """None, NaN and NA are all nothing said, whatever type of column they stand in."""
    if kind == "string[pyarrow]":
        pytest.importorskip("pyarrow")
    unknown = [None, pd.NA, float("nan") if kind is object else pd.NA]
    numbers = [f"N-{n}" for n in range(count)] + unknown
    edition = loaded(store, "b", pd.DataFrame({"number": pd.Series(numbers, dtype=kind)}))
    found = [row["number"] for row in rows_of(store, edition)]
    assert found == [*numbers[:count], None, None, None]


@pytest.mark.parametrize("name", ["number", "kind", "warnings", "quantity", "theirs"])
@pytest.mark.parametrize("count", [3, MANY])
def test_half_a_character_is_refused(store: Store, name: str, count: int) -> None:
    """A lone surrogate, which no file can hold, gets a sentence; nothing is left of the load."""
    rows = pd.DataFrame({"number": pd.Series([f"N-{n}" for n in range(count)], dtype=object)})
    rows[name] = pd.Series([f"A{n}\udcff" for n in range(count)], dtype=object)
    with pytest.raises(Refused, match=r"'.*A0\\udcff.*' in the column .* half of a character"):
        loaded(store, "b", rows)
    assert store.editions() == []
    assert not [*(store.folder / "lists").glob(".new-*/")]


@pytest.mark.parametrize("count", [2, MANY])
def test_arrays_are_lists(store: Store, count: int) -> None:
    """A frame that was in a Parquet file holds arrays for its lists; they are kept as lists."""
    pairs = [np.array([f"A-{n}", f"B-{n}"], object) for n in range(count)]
    rows = pd.DataFrame({"number": [f"N-{n}" for n in range(count)]})
    rows["replacements"] = rows["theirs"] = pd.Series(pairs, dtype=object)
    found = rows_of(store, loaded(store, "b", rows))[-1]
    last = count - 1
    assert json.loads(found["replacements"]) == json.loads(found["theirs"])
    assert json.loads(found["theirs"]) == [f"A-{last}", f"B-{last}"]


@pytest.mark.parametrize(
    ("column", "said"),
    [
        (pd.Series(pd.period_range("2026-01", periods=2, freq="M")), "'theirs'.*period"),
        (pd.Series([1j, 2]), "'theirs'.*complex"),
        (pd.Series(pd.arrays.SparseArray([1.0, 2.0])), "'theirs'.*Sparse"),
    ],
)
def test_a_type_that_no_file_holds_is_refused(store: Store, column: Any, said: str) -> None:
    """A column of a type the database does not know gets a sentence that names it."""
    with pytest.raises(Refused, match=said):
        loaded(store, "b", pd.DataFrame({"number": ["A", "B"], "theirs": column}))


def test_a_column_without_a_name_is_refused(store: Store) -> None:
    """No file can tell it from others."""
    with pytest.raises(Refused, match="without a name"):
        loaded(store, "b", pd.DataFrame({"number": ["A"], "": ["x"]}))


def test_rows_without_a_repeat_are_kept_as_they_are() -> None:
    """A long column of different texts is not coded, and one of different numbers is."""
    rows = pd.DataFrame({"number": [f"N{n}" for n in range(MANY)], "at": np.arange(MANY)})
    rows["quantity"] = pd.Series([str(n) for n in range(MANY)], dtype=object)
    con = memory()
    found = columns_of(con, rows)
    con.close()
    assert found["number"].codes is None
    assert found["at"] == Column("at", "VARCHAR", found["at"].cells)
    assert found["at"].is_whole_text
    assert found["at"].values(np.array([5])) == ["5"]
    assert found["quantity"].values(np.array([11_999])) == [11_999]


def test_without_the_number_index_the_rest_is_whole(tmp_path: Path) -> None:
    """What is left out for measuring is left out of the digests too."""
    from xref.store.files import FILES, write_files

    write_files(tmp_path, ListInfo("stock", "b"), dense(50, seed=1), number_index=False)
    there = {path.name for path in tmp_path.iterdir()} - {"meta.json"}
    assert there == set(FILES) - {"numbers.index", "numbers.parquet"}
    assert set(json.loads((tmp_path / "meta.json").read_text())["files"]) == there


def test_rows_of_an_edition_join_others(store: Store) -> None:
    """Rows taken out of an edition and a reading make one list, as if read together."""
    rows = dense(120, seed=5)
    before = loaded(store, "first", coded(rows[:80]))
    both = joined(frame(store, before), coded(rows[80:].reset_index(drop=True)))
    dense_both = joined(frame(store, before), rows[80:].reset_index(drop=True))
    whole = content(store, loaded(store, "whole", rows))
    assert content(store, loaded(store, "joined", both)) == whole
    assert content(store, loaded(store, "joined dense", dense_both)) == whole
