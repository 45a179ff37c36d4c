"""`store check`: whatever is not as the events and digests say is found."""

from __future__ import annotations

import json
from pathlib import Path

import duckdb
import pandas as pd
import pytest

from xref.store import ListInfo, Store

pytestmark = pytest.mark.store


@pytest.fixture
def full(store: Store) -> Store:
    """Return a store with a list, two profiles and a contact."""
    store.add_edition(ListInfo("stock", "b", "Brunn", digest="1"), pd.DataFrame({"number": ["A"]}))
    with store.writing("a test") as state:
        state.record("kept", "profiles", "a", {"answers": {"unit": "in", "n": [1, None, 2.5]}})
        state.record("kept", "profiles", "b", {"supplier": "Brunn"})
        state.note_contact("brunn", {"telephone": "0123"})
    return store


def codes(store: Store) -> list[str]:
    """Return the codes of the damage found."""
    return [finding["code"] for finding in store.check()["damage"]]


def change(store: Store, sql: str) -> None:
    """Alter the state behind the program's back."""
    con = duckdb.connect(str(store.folder / "state.duckdb"))
    con.execute(sql)
    con.close()


def test_a_sound_store_passes(full: Store) -> None:
    """Every rebuilt table equals the kept one, every digest is right."""
    result = full.check()
    assert (result["damage"], result["notes"]) == ([], [])
    assert (result["events"], result["editions"]) == (4, 1)


@pytest.mark.parametrize(
    ("sql", "code"),
    [
        ("UPDATE profiles SET supplier = 'Kolm' WHERE profile = 'b'", "row-wrong"),
        ("UPDATE profiles SET answers = '{}' WHERE profile = 'a'", "row-wrong"),
        ("DELETE FROM profiles WHERE profile = 'b'", "row-lost"),
        ("INSERT INTO profiles(profile) VALUES ('c')", "row-unfounded"),
        ("INSERT INTO profiles(profile, supplier) VALUES ('b', 'Brunn')", "row-double"),
        ("DELETE FROM events WHERE seq = 2", "event-lost"),
        ("UPDATE events SET act = 'x' WHERE seq = 3", "event-altered"),
        ("UPDATE editions SET folder = '9/9'", "list-lost"),
    ],
)
def test_a_state_altered_behind_the_program_is_found(full: Store, sql: str, code: str) -> None:
    """A current row or an event that was changed, lost or slipped in has its own finding."""
    change(full, sql)
    assert code in codes(full)


@pytest.mark.parametrize(
    "name",
    [
        *("items.parquet", "keys.parquet", "numbers.parquet"),
        *("numbers.index", "statements.index", "rows.index"),
    ],
)
def test_an_altered_or_lost_list_file_is_found(full: Store, name: str) -> None:
    """One changed byte in a list's file, or the file gone, is found."""
    path = full.folder / "lists" / "1" / "1" / name
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)
    assert codes(full) == ["list-altered"]
    path.unlink()
    assert codes(full) == ["list-lost"]


def test_a_wrong_current_json_is_found_and_written_anew(full: Store) -> None:
    """current.json that shows other lists than the events say is damage, once."""
    path = full.folder / "lists" / "current.json"
    document = json.loads(path.read_text())
    document["editions"][0]["folder"] = "1/7"
    path.write_text(json.dumps(document))
    assert codes(full) == ["current-wrong"]
    assert codes(full) == []


def test_a_lost_current_json_comes_back_with_the_next_writer(full: Store) -> None:
    """Without current.json no list shows; any writer puts it back from the events."""
    (full.folder / "lists" / "current.json").unlink()
    assert full.editions() == []
    with full.writing("anything"):
        pass
    assert len(full.editions()) == 1


def test_info_says_what_is_there(full: Store, tmp_path: Path) -> None:
    """Place, format, lists and counts."""
    info = full.info()
    assert (info["folder"], info["format"], info["events"], info["editions"]) == (
        str(tmp_path / "store"),
        2,
        4,
        1,
    )
    assert [(e["name"], e["items"]) for e in info["lists"]] == [("b", 1)]
    assert info["bytes"] > 10_000


def test_contact_details_are_erased_for_good(full: Store) -> None:
    """After erasing, the details are in no row, no event, and no byte of the state and its log."""
    with full.writing("a test") as state:
        state.note_contact("kolm", {"telephone": "0099 887766 55", "letters": "Uferweg 3"})
    file, log = full.state_files()
    assert b"0099 887766 55" in file.read_bytes() + log.read_bytes()
    assert full.erase_contact("kolm") is True
    assert full.erase_contact("kolm") is False
    assert b"0099 887766 55" not in file.read_bytes()
    assert not log.exists()
    with full.reading() as state:
        assert state.contact("kolm") == {}
        assert state.contact("brunn") == {"telephone": "0123"}
        tags = state.one("SELECT tags FROM duckdb_databases() WHERE database_name = 'state'")
    assert "v1.5" in str(tags)
    assert codes(full) == []
