"""A store written with one supported DuckDB line is read and written on with the other.

Needs a second Python with the other line in it, named by XREF_OTHER_PYTHON.
"""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import duckdb
import pandas as pd
import pytest

from xref.store import ListInfo, Store

OTHER = os.environ.get("XREF_OTHER_PYTHON")
ROOT = Path(__file__).parents[2]

pytestmark = [
    pytest.mark.store,
    pytest.mark.skipif(OTHER is None, reason="XREF_OTHER_PYTHON names no second Python"),
]

WORK = """
import json, os, signal, sys
import duckdb, pandas as pd
from xref.store import ListInfo, Store
store = Store.open(sys.argv[1])
seen = [row["number"] for row in store.items_by_number("A 1")]
store.add_edition(
    ListInfo("catalogue", "other", digest=duckdb.__version__),
    pd.DataFrame({"number": ["B-1"], "kind": "o_ring", "inside_diameter_mm": [20.0]}),
)
store.erase_contact("brunn")
damage = store.check()["damage"]
print(json.dumps([duckdb.__version__, seen, damage]), flush=True)
with store.writing("a test") as state:
    state.record("kept", "profiles", "theirs", {"supplier": "Kolm"})
if sys.argv[2] == "die":
    writing = store.writing("a test")
    state = writing.__enter__()
    state.record("kept", "profiles", "log", {})
    state._con.execute("COMMIT")
    os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize("end", ["whole", "die"])
def test_each_line_goes_on_where_the_other_left_off(store: Store, end: str) -> None:
    """Lists, state and (after a kill) the write-ahead log of either are good for the other."""
    store.add_edition(ListInfo("stock", "b", "Brunn", digest="1"), pd.DataFrame({"number": ["A1"]}))
    with store.writing("a test") as state:
        state.record("kept", "profiles", "ours", {"supplier": "Brunn"})
        state.note_contact("brunn", {"telephone": "0123"})
    answer = subprocess.run(
        [str(OTHER), "-c", WORK, str(store.folder), end],
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert answer.returncode == (0 if end == "whole" else -9), answer.stderr
    version, seen, damage = json.loads(answer.stdout)
    assert version.split(".")[0] != duckdb.__version__.split(".")[0]
    assert (seen, damage) == (["A1"], [])
    with store.reading() as state:
        found = {row["profile"] for row in state.rows("SELECT profile FROM profiles")}
    assert found == {"ours", "theirs"} | ({"log"} if end == "die" else set())
    assert [row["number"] for row in store.items_by_number("b1")] == ["B-1"]
    with store.writing("a test") as state:
        state.record("kept", "profiles", "ours again", {})
    assert store.check()["damage"] == []
