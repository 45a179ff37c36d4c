"""A disk that is full, or gives back something else: a sentence, and nothing kept is lost."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pytest

from xref.errors import StoreUnavailable
from xref.store import ListInfo, Store, opening

pytestmark = pytest.mark.store

_LIMITED = """
import resource, sys
from pathlib import Path
import pandas as pd
from xref.errors import StoreUnavailable
from xref.store import ListInfo, Store
folder, limit, act = sys.argv[1:]
store = Store.open(folder)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(limit), int(limit)))
try:
    if act == "record":
        with store.writing("a test") as state:
            state.record("kept", "profiles", "b", {"supplier": "x" * 5000})
    elif act == "load":
        rows = pd.DataFrame({"number": [f"N {i}" for i in range(500)]})
        store.add_edition(ListInfo("stock", "c", "Kolm", digest="2"), rows)
    else:
        store.backup(Path(folder).with_name("copy.zip"))
except StoreUnavailable as error:
    print(error.code, error)
"""


@pytest.fixture
def kept(store: Store) -> Store:
    """Return a store with a list and a record."""
    store.add_edition(ListInfo("stock", "b", "Brunn", digest="1"), pd.DataFrame({"number": ["A"]}))
    with store.writing("a test") as state:
        state.record("kept", "profiles", "a", {"supplier": "Brunn"})
    return store


@pytest.mark.parametrize("act", ["record", "load", "backup"])
@pytest.mark.parametrize("limit", [0, 100])
def test_without_room_nothing_is_lost_and_it_is_said(kept: Store, act: str, limit: int) -> None:
    """With no room for what is written the store says so; what was there stays and is sound."""
    command = [sys.executable, "-c", _LIMITED, str(kept.folder), str(limit), act]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    assert told.stderr == ""
    code, _, sentence = told.stdout.partition(" ")
    assert code in ("store-full", "store-unavailable")
    assert "ile too large" in sentence
    assert str(kept.folder.parent) in sentence
    found = kept.check()
    assert (found["damage"], found["events"], found["editions"]) == ([], 2, 1)
    with kept.writing("a test") as state:  # and when there is room again
        state.record("kept", "profiles", "b", {"supplier": "Kolm"})
    assert kept.check()["damage"] == []


def test_the_limit_is_this_test_s_own() -> None:
    """The limit holds in the child alone."""
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] == resource.RLIM_INFINITY


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def _turned(path: Path) -> None:
    """Alter one byte in each block."""
    content = bytearray(path.read_bytes())
    for place in range(20_000, len(content), 100_000):
        content[place] ^= 0x5A
    path.write_bytes(content)


def _turned_behind_the_headers(path: Path) -> None:
    content = bytearray(path.read_bytes())
    for place in range(300_000, len(content), 50_000):
        content[place] ^= 0x5A
    path.write_bytes(content)


@pytest.mark.parametrize("damage", [_cut, _turned, _turned_behind_the_headers])
def test_a_damaged_state_is_named_by_whoever_meets_it(kept: Store, damage: object) -> None:
    """A state cut or altered in its midst is damage to the check, and a sentence to others."""
    assert callable(damage)
    damage(kept.folder / "state.duckdb")
    found = kept.check()["damage"]
    assert [(one["code"], one["where"]) for one in found] == [("state-unreadable", "state.duckdb")]
    assert _read(kept) == "store-damaged"
    assert _write(kept) == "store-damaged"


def _read(store: Store) -> str:
    try:
        with store.reading() as state:
            state.rows("SELECT * FROM events JOIN profiles ON true JOIN editions ON true")
    except StoreUnavailable as error:
        assert "xref store restore" in str(error)
        return error.code
    return "no error"


def _write(store: Store) -> str:
    try:
        with store.writing("a test") as state:
            state.record("kept", "profiles", "c", {"supplier": "Kolm"})
    except StoreUnavailable as error:
        return error.code
    return "no error"


def test_a_lost_list_of_what_is_current_is_told_and_written_anew(kept: Store) -> None:
    """Without current.json no list is found; the check says so and puts it back."""
    (kept.folder / "lists" / "current.json").unlink()
    assert kept.editions() == []
    found = kept.check()
    assert [note["code"] for note in found["notes"]] == ["current-missing"]
    assert [edition.name for edition in kept.editions()] == ["b"]
    assert kept.check()["notes"] == []


def test_an_erasure_broken_off_is_made_good_by_the_next(
    kept: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed before the file is written anew, the traces are gone when it is asked again."""
    details = "Mill Lane 3, telephone 555 0123 0123"
    with kept.writing("a test") as state:
        state.note_contact("brunn", {"contact": details})

    def killed(con: duckdb.DuckDBPyConnection, _path: Path) -> None:
        con.close()
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("xref.store.store.settle", killed)
        with pytest.raises(KeyboardInterrupt):
            kept.erase_contact("brunn")
    assert not kept.erase_contact("brunn")  # there was nothing left to erase but its traces
    traces = [p for p in kept.folder.rglob("*") if p.is_file() and b"0123 0123" in p.read_bytes()]
    assert traces == []
    assert kept.check()["damage"] == []


@pytest.fixture
def read_only(kept: Store, monkeypatch: pytest.MonkeyPatch) -> Store:
    """Return the store as it is on a disk that the system has made read-only after an error."""
    system_open = os.open

    def refuses(path: Any, flags: int, *more: Any, **named: Any) -> int:
        inside = Path(os.fsdecode(path)).is_relative_to(kept.folder)
        if inside and flags & (os.O_RDWR | os.O_WRONLY | os.O_CREAT):
            raise OSError(errno.EROFS, os.strerror(errno.EROFS), path)
        return system_open(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", refuses)
    return kept


def test_a_read_only_store_is_checked_and_backed_up(read_only: Store, tmp_path: Path) -> None:
    """What can be read can be checked and saved, though nothing can be entered."""
    before = {p: p.stat().st_mtime_ns for p in read_only.folder.rglob("*")}
    with pytest.raises(StoreUnavailable) as refused, read_only.writing("a test"):
        pass
    assert refused.value.code == "store-read-only"
    found = read_only.check()
    assert (found["damage"], found["notes"], found["events"]) == ([], [], 2)
    read_only.backup(tmp_path / "copy.zip")
    assert {p: p.stat().st_mtime_ns for p in read_only.folder.rglob("*")} == before
    Store.restore(tmp_path / "copy.zip", tmp_path / "other")
    with Store.open(tmp_path / "other").reading() as one, read_only.reading() as two:
        assert one.rows("SELECT * FROM events") == two.rows("SELECT * FROM events")


def test_a_read_only_store_is_not_put_right(read_only: Store) -> None:
    """A wrong list of what is current is told and left as it is."""
    current = read_only.folder / "lists" / "current.json"
    wrong = current.read_text(encoding="utf-8").replace("Brunn", "Kolm")
    current.write_text(wrong, encoding="utf-8")
    (found,) = read_only.check()["damage"]
    assert (found["code"], found["what"]) == ("current-wrong", "did not show the current lists")
    assert current.read_text(encoding="utf-8") == wrong


def test_the_log_of_a_killed_writer_is_in_the_copy(kept: Store, tmp_path: Path) -> None:
    """Entries that lie in the state's log alone are read, and saved with the rest."""
    moved = tmp_path / "moved"
    script = (
        "import os, sys\nfrom xref.store import Store\n"
        "with Store.open(sys.argv[1]).writing('a test') as state:\n"
        "    state.record('kept', 'profiles', 'last', {'supplier': 'Kolm'})\n"
        "    state._con.execute('COMMIT')\n    os._exit(0)\n"
    )
    shutil.copytree(kept.folder, moved)
    subprocess.run([sys.executable, "-c", script, str(moved)], check=True)
    assert (moved / "state.duckdb.wal").stat().st_size > 0
    with opening.unwritten_copy(moved / "state.duckdb", tmp_path / "copy.duckdb"):
        pass
    con = duckdb.connect(str(tmp_path / "copy.duckdb"), read_only=True)
    assert con.execute("SELECT count(*) FROM profiles").fetchone() == (2,)
    con.close()
