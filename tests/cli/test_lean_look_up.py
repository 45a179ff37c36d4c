"""A look-up imports what it needs: on a warm store neither the database nor pandas."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from xref.store import Store

HEAVY = ("duckdb", "pandas", "rapidfuzz", "scipy", "rich", "starlette")
LOOK_UPS = [
    ["match", "--kind", "shaft_seal", "--shaft", "60.00mm", "--housing", "80.02mm"],
    ["match", "DG/1143"],
    ["match", "DG/1143", "--json"],
]


def imported_by(words: list[str]) -> set[str]:
    """Return which heavy modules a command imports, run as a process of its own."""
    program = (
        "import sys\n"
        "from xref.faces.cli.app import run\n"
        f"status = run({words!r})\n"
        f"print(*({set(HEAVY)!r} & set(sys.modules)), file=sys.stderr)\n"
        "sys.exit(status)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env=os.environ
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout
    return set(done.stderr.split())


@pytest.fixture
def warm_store(demo_store: Path) -> Path:
    """Return the demo store, written a minute ago and looked at since."""
    store = Store.open(demo_store)
    then = time.time_ns() - 60_000_000_123
    for path in store.state_files():
        if path.exists():
            os.utime(path, ns=(then, then))
    store.noted()
    return demo_store


@pytest.mark.usefixtures("warm_store")
@pytest.mark.parametrize("words", LOOK_UPS, ids=" ".join)
def test_a_match_on_a_warm_store_imports_no_database(words: list[str]) -> None:
    """By sizes, by number, as text and as JSON."""
    assert imported_by(words) == set()


@pytest.mark.usefixtures("demo_store")
def test_a_first_match_imports_the_database_and_no_pandas() -> None:
    """The test above can fail: where the state has yet to be read, the import shows."""
    assert imported_by(LOOK_UPS[0]) == {"duckdb"}
