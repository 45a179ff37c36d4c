"""Judgement keys from the mapped file: the same as the Parquet file beside it says."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from xref.errors import StoreUnavailable
from xref.kinds.base import NOT_STATED
from xref.kinds.spec import kinds, spec
from xref.matching.parts import part_from_columns
from xref.store import Edition, ListInfo, Store, files, key_file
from xref.store.engine import memory, quoted

pytestmark = pytest.mark.store

TABLES = ("catalogue", "stock", "catalogue", "originals", "stock")


def frame(count: int, seed: int) -> pd.DataFrame:
    """Return rows of every kind with some of their sizes and traits, odd words among them."""
    rng = random.Random(seed)  # noqa: S311 - invents rows
    rows: list[dict[str, Any]] = []
    for n in range(count):
        kind = rng.choice([*kinds(), None])
        row: dict[str, Any] = {"at": n, "number": f"W{seed}/{n}", "kind": kind}
        for name in spec(kind or "o_ring").dimension_names:
            row[f"{name}_mm"] = rng.choice([None, 0.0, 1e-6, 60.325, float(rng.randint(1, 300))])
            if rng.random() < 0.2:
                row[f"{name}_low_mm"], row[f"{name}_high_mm"] = 0.1 + 0.2, 0.4
        for trait in spec(kind or "o_ring").traits:
            words = [*trait.words, "", "Ж ✓", "a\nb", None] if trait.words else ["7", None]
            row[trait.name] = rng.choice([1.5, None]) if trait.is_number else rng.choice(words)
        row["written_unit"] = rng.choice(["mm", "in", None])
        rows.append(row)
    names = dict.fromkeys(name for row in rows for name in row)
    left_out = rng.choice([name for name in names if name not in ("at", "number", "kind")])
    return pd.DataFrame(
        {
            name: pd.Series([row.get(name) for row in rows], dtype=object)
            for name in names
            if name != left_out  # another edition, other columns
        }
    )


def loaded(store: Store, count: int = 150) -> list[Edition]:
    """Load several lists of every table into a store."""
    return [
        store.add_edition(ListInfo(table=table, name=f"list {n}", digest=str(n)), frame(count, n))
        for n, table in enumerate(TABLES)
    ]


@pytest.fixture(scope="module")
def several(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """Return a store with several lists, loaded once; not to be written to."""
    store = Store.open(tmp_path_factory.mktemp("several") / "store")
    loaded(store)
    return store


def by_query(store: Store, kind: str) -> dict[str, list[object]]:
    """Return the keys of a kind as plain SQL over all keys.parquet reads them: the oracle."""
    wanted = [e for e in store.editions() if e.table in ("catalogue", "stock")]
    columns = [
        *(
            f"{d}{end}"
            for d in spec(kind).dimension_names
            for end in ("_mm", "_low_mm", "_high_mm")
        ),
        *(trait.name for trait in spec(kind).traits),
        "written_unit",
    ]
    found: dict[str, list[object]] = {name: [] for name in ("edition", "key", *columns)}
    con = memory()
    for edition in wanted:
        path = store.folder / "lists" / edition.folder / "keys.parquet"
        rows = con.execute(
            f"SELECT * FROM read_parquet({quoted(str(path))}) WHERE kind = ? ORDER BY key",  # noqa: S608
            [kind],
        )
        names = [column[0] for column in rows.description or ()]
        for row in rows.fetchall():
            cells = dict(zip(names, row, strict=True)) | {"edition": edition.edition}
            for name, column in found.items():
                column.append(None if cells.get(name) == "" else cells.get(name))
    con.close()
    return found


def plain(keys: dict[str, np.ndarray[Any, Any]]) -> dict[str, list[object]]:
    """Return columns as lists, unknown sizes and words as None."""
    return {
        name: [None if value != value else value for value in values.tolist()]
        for name, values in keys.items()
    }


@pytest.mark.parametrize("kind", kinds())
def test_the_mapped_keys_are_those_of_a_query(several: Store, kind: str) -> None:
    """Every kind, several editions with other columns: sizes, traits, unknowns and their order."""
    expected = by_query(several, kind)
    assert expected["key"]
    assert plain(several.keys(kind)) == expected


def test_editions_of_an_earlier_xref_are_queried(store: Store) -> None:
    """Without the mapped file, or with it for some lists only, the keys are the same."""
    loaded(store)
    expected = {kind: plain(store.keys(kind)) for kind in kinds()}
    for number, path in enumerate(sorted(store.folder.glob(f"lists/*/*/{key_file.FILE}"))):
        if number % 2:
            path.unlink()
    some = Store.open(store.folder)
    assert {kind: plain(some.keys(kind)) for kind in kinds()} == expected
    for path in store.folder.glob(f"lists/*/*/{key_file.FILE}"):
        path.unlink()
    none = Store.open(store.folder)
    assert {kind: plain(none.keys(kind)) for kind in kinds()} == expected


def test_the_demo_has_the_same_keys_either_way(built_demo: Path) -> None:
    """The demo store's lists give the keys a query gives."""
    store = Store.open(built_demo)
    for kind in kinds():
        assert plain(store.keys(kind)) == by_query(store, kind)


def test_codes_make_the_parts_that_texts_make(several: Store) -> None:
    """A judge gets the same parts whether traits come as codes or as the words themselves."""
    stated = 0
    for kind in kinds():
        texts, codes = several.keys(kind), several.coded_keys(kind)
        one = part_from_columns(kind, texts, len(texts["key"]))
        other = part_from_columns(kind, codes, len(texts["key"]))
        assert one.system.tolist() == other.system.tolist()
        assert one.size.keys() == other.size.keys()
        assert one.traits.keys() == other.traits.keys()
        for name, values in (one.size | one.traits).items():
            np.testing.assert_array_equal(values, (other.size | other.traits)[name])
        stated += sum(int((v != NOT_STATED).sum()) for v in other.traits.values())
    assert stated > 100


def test_a_kind_in_no_list_has_no_keys(store: Store) -> None:
    """Every column is there, empty."""
    store.add_edition(
        ListInfo(table="stock", name="x", digest="x"),
        pd.DataFrame(
            {"at": [1], "number": ["W 1"], "kind": ["o_ring"], "inside_diameter_mm": [3.0]}
        ),
    )
    keys = store.keys("shaft_seal")
    assert {len(column) for column in keys.values()} == {0}
    assert {"edition", "key", "shaft_diameter_mm", "case", "written_unit"} <= keys.keys()


def test_a_list_without_kinds_has_a_file_without_keys(store: Store) -> None:
    """Rows of no kind are judged by no key; their list loads and is read all the same."""
    edition = store.add_edition(
        ListInfo(table="stock", name="x", digest="x"),
        pd.DataFrame({"at": [1, 2], "number": ["W 1", "W 2"]}),
    )
    assert (store.folder / "lists" / edition.folder / key_file.FILE).exists()
    assert store.keys("o_ring")["key"].size == 0


def test_a_file_cut_short_is_refused_and_a_check_finds_it(store: Store) -> None:
    """A file cut short is refused in words; `store check` says which."""
    edition = loaded(store, 20)[0]
    path = store.folder / "lists" / edition.folder / key_file.FILE
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(StoreUnavailable, match=r"keys\.index"):
        Store.open(store.folder).keys("shaft_seal")
    assert [d["where"] for d in store.check()["damage"]] == [f"lists/{edition.folder}"]
    path.write_bytes(whole)
    assert not Store.open(store.folder).check()["damage"]


def test_words_out_of_range_are_refused(store: Store) -> None:
    """A code without a word is damage, not another word."""
    edition = loaded(store, 20)[0]
    path = store.folder / "lists" / edition.folder / key_file.FILE
    arrays = dict(key_file.open_arrays(path, key_file.ABOUT))
    arrays["shaft_seal/case"] = np.full_like(arrays["shaft_seal/case"], 99)
    key_file.write_arrays(path.with_name("new"), arrays, key_file.ABOUT)
    path.with_name("new").replace(path)
    with pytest.raises(StoreUnavailable, match="damaged"):
        Store.open(store.folder).keys("shaft_seal")


def test_every_edition_gets_the_file(store: Store) -> None:
    """The file is among those whose digest the edition records."""
    assert key_file.FILE in files.FILES
    edition = loaded(store, 5)[0]
    assert (store.folder / "lists" / edition.folder / key_file.FILE).stat().st_size > 16


def test_a_store_restored_under_an_open_one_is_read_anew(tmp_path: Path) -> None:
    """Another list with the same number in another store is not taken for the one before."""
    one, other = Store.open(tmp_path / "one"), Store.open(tmp_path / "other")
    for store, size in ((one, 3.0), (other, 4.0)):
        rows = pd.DataFrame(
            {"at": [1], "number": [f"W {size}"], "kind": ["o_ring"], "inside_diameter_mm": [size]}
        )
        store.add_edition(ListInfo(table="stock", name="x", digest=str(size)), rows)
    assert one.keys("o_ring")["inside_diameter_mm"].tolist() == [3.0]
    assert [i["number"] for i in one.items_by_number("W 3.0")] == ["W 3.0"]
    other.backup(tmp_path / "backup.zip")
    Store.restore(tmp_path / "backup.zip", one.folder)
    assert one.keys("o_ring")["inside_diameter_mm"].tolist() == [4.0]
    assert [i["number"] for i in one.items_by_number("W 4.0")] == ["W 4.0"]
    assert one.items_by_number("W 3.0") == []
