"""The state file is never written into: state and log become one in a new file."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pytest

from xref.store import Store, opening, settling

pytestmark = pytest.mark.store


def entered(store: Store, first: int, count: int) -> None:
    """Enter `count` wants, one writing block each."""
    for n in range(first, first + count):
        with store.writing("want add") as state:
            want = state.next_id("wants")
            state.record("want added", "wants", want, {"number": f"N-{n}"})


def numbers(store: Store) -> list[str]:
    """Return the numbers of all wants."""
    with store.reading() as state:
        return [row["number"] for row in state.rows("SELECT number FROM wants ORDER BY want")]


def test_the_state_file_is_never_written_into(tmp_path: Path) -> None:
    """As long as it is the same file it holds the same bytes; in time another takes its place."""
    store = Store.open(tmp_path)
    state, log = store.state_files()
    seen: dict[int, bytes] = {}
    for n in range(120):
        entered(store, n, 1)
        here = state.stat().st_ino
        assert seen.setdefault(here, state.read_bytes()) == state.read_bytes()
        assert not log.exists() or log.stat().st_size < 2 * settling.LONG_LOG
    assert len(seen) > 1
    assert numbers(store) == [f"N-{n}" for n in range(120)]
    assert store.check()["damage"] == []


@pytest.mark.parametrize("step", range(4))
def test_a_settling_broken_off_anywhere_loses_and_doubles_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """Before the log is put aside, before the new file takes its place, before the log goes."""
    store = Store.open(tmp_path)
    entered(store, 0, 5)
    steps = 0

    def broken_off(name: str) -> None:
        original = getattr(Path, name)

        def method(path: Path, *arguments: object, **named: object) -> object:
            nonlocal steps
            renamed = name == "replace" and "state.duckdb" in path.name
            if path.parent == tmp_path and (renamed or path.name.endswith(".settled")):
                steps += 1
                if steps > step:
                    raise KeyboardInterrupt
            return original(path, *arguments, **named)

        monkeypatch.setattr(Path, name, method)

    with monkeypatch.context():
        broken_off("replace")
        broken_off("unlink")
        monkeypatch.setattr(settling, "LONG_LOG", 0)
        if step < 3:
            with pytest.raises(KeyboardInterrupt):
                entered(store, 5, 1)
        else:
            entered(store, 5, 1)
        monkeypatch.undo()
    with opening.unwritten_copy(store.state_files()[0], tmp_path / "copy.duckdb"):
        pass
    copy = duckdb.connect(str(tmp_path / "copy.duckdb"), read_only=True)
    assert copy.execute("SELECT count(*) FROM wants").fetchone() == (6,)
    copy.close()
    if step % 2:  # whoever writes first finishes it: a backup, say, as well as an entry
        store.backup(tmp_path / "backup.zip")
    assert numbers(Store.open(tmp_path)) == [f"N-{n}" for n in range(6)]
    entered(store, 6, 2)
    assert numbers(store) == [f"N-{n}" for n in range(8)]
    assert store.check()["damage"] == []
    assert not settling.is_broken_off(store.state_files()[0])


def test_what_cannot_be_settled_is_entered_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An entry stands in the log: no room for a new file is no reason to refuse it."""
    store = Store.open(tmp_path)
    entered(store, 0, 1)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(settling, "LONG_LOG", 0)
        patch.setattr(settling, "settle", full)
        entered(store, 1, 3)
    assert numbers(store) == [f"N-{n}" for n in range(4)]
