"""The format of a store: newer ones are left alone, older ones brought up after a backup."""

from __future__ import annotations

import json
import re
import zipfile
from pathlib import Path

import duckdb
import pytest

from xref.errors import StoreUnavailable
from xref.store import Store

pytestmark = pytest.mark.store


def format_1(folder: Path) -> Path:
    """Make a store as format 1 was: events without digests, no note of the format inside."""
    (folder / "lists").mkdir(parents=True)
    (folder / "store.json").write_text('{"format": 1}')
    con = duckdb.connect(
        str(folder / "state.duckdb"), config={"storage_compatibility_version": "v1.5.0"}
    )
    con.execute(
        """CREATE TABLE events(seq BIGINT NOT NULL, recorded_at TIMESTAMP NOT NULL,
           act VARCHAR NOT NULL, in_table VARCHAR NOT NULL, key VARCHAR NOT NULL,
           content VARCHAR NOT NULL)"""
    )
    con.execute("CREATE TABLE about(name VARCHAR, value VARCHAR)")
    con.execute("INSERT INTO about VALUES ('declared', 'of then')")
    con.execute("CREATE TABLE profiles(profile VARCHAR, supplier VARCHAR, table_name VARCHAR)")
    for seq, supplier in enumerate(("Brunn", "Kolm"), 1):
        con.execute(
            "INSERT INTO events VALUES (?, '2025-01-02 03:04:05.678', 'kept', 'profiles', ?, ?)",
            [seq, supplier.lower(), json.dumps({"supplier": supplier})],
        )
        con.execute("INSERT INTO profiles VALUES (?, ?, NULL)", [supplier.lower(), supplier])
    con.close()
    return folder


def test_an_older_store_is_brought_up_after_a_backup(tmp_path: Path) -> None:
    """Format 1 opens: nothing entered is lost, the check passes, the old store is in a backup."""
    folder = format_1(tmp_path / "s")
    store = Store.open(folder)
    assert store.check()["damage"] == []
    with store.reading() as state:
        assert state.rows("SELECT profile, supplier FROM profiles ORDER BY 1") == [
            {"profile": "brunn", "supplier": "Brunn"},
            {"profile": "kolm", "supplier": "Kolm"},
        ]
    assert json.loads((folder / "store.json").read_text()) == {"format": 2}
    (backup,) = (folder / "backups").iterdir()
    with zipfile.ZipFile(backup) as archive:
        assert json.loads(archive.read("store.json")) == {"format": 1}
        assert "state.duckdb" in archive.namelist()


def test_the_backup_of_an_older_store_can_be_restored(tmp_path: Path) -> None:
    """The backup made before a migration goes back in, and is brought up like its original."""
    Store.open(format_1(tmp_path / "s"))
    (backup,) = (tmp_path / "s" / "backups").iterdir()
    Store.restore(backup, tmp_path / "t")
    store = Store.open(tmp_path / "t")
    assert store.check() | {"folder": ""} == {
        "folder": "",
        "events": 2,
        "editions": 0,
        "damage": [],
        "notes": [],
    }


def test_a_migration_broken_off_before_its_mark_is_taken_up_again(tmp_path: Path) -> None:
    """State already brought up but store.json still old: opening again completes it."""
    folder = format_1(tmp_path / "s")
    Store.open(folder)
    (folder / "store.json").write_text('{"format": 1}')
    assert Store.open(folder).check()["damage"] == []
    assert json.loads((folder / "store.json").read_text()) == {"format": 2}


def test_a_newer_store_is_left_alone_with_the_way_out(tmp_path: Path) -> None:
    """A store of a newer xref is refused before anything in it is touched."""
    Store.open(tmp_path / "s")
    (tmp_path / "s" / "store.json").write_text('{"format": 99}')
    with pytest.raises(StoreUnavailable, match=r"format 99.*Update xref") as caught:
        Store.open(tmp_path / "s")
    assert (caught.value.code, caught.value.exit_status) == ("store-newer", 5)
    assert (tmp_path / "s" / "store.json").read_text() == '{"format": 99}'


def test_a_folder_of_other_things_is_no_store(tmp_path: Path) -> None:
    """--store with the wrong folder says so and writes nothing into it."""
    (tmp_path / "letters.txt").write_text("x")
    with pytest.raises(StoreUnavailable, match=r"not a store of xref: it holds letters\.txt"):
        Store.open(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["letters.txt"]


def test_a_damaged_mark_or_state_is_a_sentence(tmp_path: Path) -> None:
    """Garbage in store.json or state.duckdb names the file and the way out; a check reports it."""
    store = Store.open(tmp_path / "s")
    (store.folder / "state.duckdb").write_bytes(b"nonsense" * 1000)
    sentence = r"state\.duckdb cannot be opened.*restore"
    with pytest.raises(StoreUnavailable, match=sentence), store.reading():
        pass
    (found,) = store.check()["damage"]
    assert found["code"] == "state-unreadable"
    assert re.search(sentence, found["what"])
    (store.folder / "store.json").write_text("{")
    with pytest.raises(StoreUnavailable, match=r"store\.json cannot be read.*restore"):
        Store.open(tmp_path / "s")


def test_a_state_of_a_newer_duckdb_is_a_sentence(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What DuckDB 1.5.6 says of a file that DuckDB 2 wrote its own way becomes the way out."""
    said = (
        "IO Error: Trying to read a database file with version number 69, but we can only read "
        "versions between 64 and 68.\nThe database file was created with a newer version of DuckDB."
    )

    def refuse(*_: object, **__: object) -> None:
        raise duckdb.IOException(said)

    with store.writing("a test"):
        pass
    monkeypatch.setattr("xref.store.opening.database", refuse)
    with pytest.raises(StoreUnavailable, match="Update duckdb") as caught, store.reading():
        pass
    assert caught.value.code == "store-newer"


def test_the_store_is_for_its_owner_only(tmp_path: Path) -> None:
    """The folder is made with mode 0700, whatever the umask."""
    store = Store.open(tmp_path / "deep" / "s")
    assert store.folder.stat().st_mode & 0o777 == 0o700


def test_the_default_place_follows_xref_store(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """XREF_STORE names the store; without it the platform's data directory is used."""
    monkeypatch.setenv("XREF_STORE", str(tmp_path / "named"))
    assert Store.open().folder == tmp_path / "named"
    monkeypatch.delenv("XREF_STORE")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert Store.open().folder.name == "xref"


def test_only_built_in_extensions_are_used(store: Store) -> None:
    """The engine never tries to install or load an extension by itself."""
    from xref.store.engine import memory

    con = memory()
    rows = con.execute(
        "SELECT name, value FROM duckdb_settings() WHERE name LIKE 'auto%known_extensions'"
    ).fetchall()
    assert dict(rows) == {
        "autoinstall_known_extensions": "false",
        "autoload_known_extensions": "false",
    }
    con.close()
    with store.writing("a test") as state:
        tags = state.one("SELECT tags FROM duckdb_databases() WHERE database_name = 'state'")
    assert "v1.5" in str(tags)
