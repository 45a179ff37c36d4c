"""Backup and restore: one file out, the same store back, nothing lost on the way."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pandas as pd
import pytest

from xref.errors import Refused
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store


@pytest.fixture
def full(store: Store) -> Store:
    """Return a store with a list and a profile."""
    store.add_edition(ListInfo("stock", "b", "Brunn", digest="1"), pd.DataFrame({"number": ["A"]}))
    with store.writing("a test") as state:
        state.record("kept", "profiles", "a", {"supplier": "Brunn"})
    return store


def test_a_restored_store_is_the_store(full: Store, tmp_path: Path) -> None:
    """Restored elsewhere, lists and state are the same and the check passes."""
    full.backup(tmp_path / "b.zip")
    answer = Store.restore(tmp_path / "b.zip", tmp_path / "other")
    other = Store.open(tmp_path / "other")
    assert answer["kept_aside"] is None
    assert other.editions() == full.editions()
    assert other.items_by_number("a") == full.items_by_number("a")
    with full.reading() as one, other.reading() as two:
        assert one.rows("SELECT * FROM events") == two.rows("SELECT * FROM events")
    assert other.check()["damage"] == []


def test_the_store_replaced_is_kept_aside(full: Store, tmp_path: Path) -> None:
    """What was entered after the backup is in the folder kept aside, not lost."""
    full.backup(tmp_path / "b.zip")
    with full.writing("a test") as state:
        state.record("kept", "profiles", "later", {})
    answer = Store.restore(tmp_path / "b.zip", full.folder)
    with full.reading() as state:
        assert state.rows("SELECT profile FROM profiles") == [{"profile": "a"}]
    aside = Store.open(answer["kept_aside"])
    with aside.reading() as state:
        assert len(state.rows("SELECT profile FROM profiles")) == 2
    assert full.folder.stat().st_mode & 0o777 == 0o700


def test_a_store_too_damaged_to_open_can_be_replaced(full: Store, tmp_path: Path) -> None:
    """Restore does not need the old store to be readable."""
    full.backup(tmp_path / "b.zip")
    (full.folder / "store.json").write_text("{")
    (full.folder / "state.duckdb").write_bytes(b"?")
    Store.restore(tmp_path / "b.zip", full.folder)
    assert Store.open(full.folder).check()["damage"] == []


def rewritten(file: Path, out: Path, name: str, content: bytes) -> Path:
    """Copy a backup with one file of it replaced or added."""
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(out, "w") as new:
        for other in old.namelist():
            if other != name:
                new.writestr(other, old.read(other))
        new.writestr(name, content)
    return out


def test_an_unsound_backup_replaces_nothing(full: Store, tmp_path: Path) -> None:
    """No zip, cut short, altered, not a backup: a sentence, and the store stays."""
    full.backup(tmp_path / "b.zip")
    whole = (tmp_path / "b.zip").read_bytes()
    bad = tmp_path / "bad.zip"
    files = [tmp_path / "none.zip"]
    for n, content in enumerate((b"", b"hello", whole[: len(whole) // 2], whole[:-30])):
        files.append(tmp_path / f"{n}.zip")
        files[-1].write_bytes(content)
    files.append(rewritten(tmp_path / "b.zip", bad, "store.json", b'{"format": 2 }'))
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as archive:
        archive.writestr("letter.txt", "dear")
    files.append(tmp_path / "other.zip")
    for file in files:
        with pytest.raises(Refused):
            Store.restore(file, full.folder)
    assert full.check()["damage"] == []
    left = [p.name for p in tmp_path.iterdir() if "restoring" in p.name or "replaced" in p.name]
    assert left == []


@pytest.mark.parametrize(
    "name", ["../evil", "/etc/evil", "lists/1/../../evil", "lists/1/1/.x", "C:\\evil", "notes.txt"]
)
def test_a_backup_cannot_write_outside_the_store(full: Store, tmp_path: Path, name: str) -> None:
    """A path that is no part of a store is refused, wherever it points."""
    full.backup(tmp_path / "b.zip")
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        manifest = json.loads(archive.read("backup.json"))
    manifest["files"][name] = "0" * 64
    with_it = rewritten(tmp_path / "b.zip", tmp_path / "c.zip", name, b"x")
    bad = rewritten(with_it, tmp_path / "d.zip", "backup.json", json.dumps(manifest).encode())
    with pytest.raises(Refused, match="no part of a store"):
        Store.restore(bad, tmp_path / "t" / "new")
    assert list((tmp_path / "t").iterdir()) == []


def test_a_backup_never_overwrites_a_file(full: Store, tmp_path: Path) -> None:
    """An existing file is not taken for the backup."""
    (tmp_path / "b.zip").write_text("precious")
    with pytest.raises(Refused, match="there already"):
        full.backup(tmp_path / "b.zip")
    assert (tmp_path / "b.zip").read_text() == "precious"


def test_a_backup_is_for_its_owner_only(full: Store, tmp_path: Path) -> None:
    """The file holds contact details: mode 0600."""
    full.backup(tmp_path / "b.zip")
    assert (tmp_path / "b.zip").stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("marks", "value"),
    [
        pytest.param({b"PK\x03\x04": 6, b"PK\x01\x02": 8}, 1, id="encrypted"),
        pytest.param({b"PK\x03\x04": 8, b"PK\x01\x02": 10}, 99, id="packed in an unknown way"),
    ],
)
def test_an_archive_that_cannot_be_opened_is_refused(
    full: Store, tmp_path: Path, marks: dict[bytes, int], value: int
) -> None:
    """An archive with a password, or of a packing nobody here knows, is refused in a sentence.

    Bytes of the local and the central header: PKWARE APPNOTE 4.3.7 and 4.3.12, general purpose
    bit flag (bit 0: encrypted) and compression method.
    """
    file = tmp_path / "b.zip"
    full.backup(file)
    content = bytearray(file.read_bytes())
    for mark, offset in marks.items():
        place = -1
        while (place := content.find(mark, place + 1)) >= 0:
            content[place + offset] = value
    file.write_bytes(content)
    with pytest.raises(Refused, match="no sound backup"):
        Store.restore(file, full.folder)
    assert full.check()["damage"] == []
