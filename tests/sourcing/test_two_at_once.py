"""Two people entering at once: nothing is lost, no id is given twice."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from xref.sourcing import wants
from xref.store import Store

pytestmark = pytest.mark.store
EACH = 12
_WORKER = """
import sys
from datetime import date
from xref.sourcing import offers, suppliers, wants
from xref.store import Store

store, who = Store.open(sys.argv[1]), sys.argv[2]
on = date(2027, 9, 6)
for i in range(int(sys.argv[3])):
    want = wants.add(store, f"{who}{i}", quantity=1, on=on)["want"]
    offers.add(store, "Marlowe", want, price="1.00", remark=f"{who}{i}", on=on)
"""


def test_two_people_at_once_lose_nothing(private_store: Path) -> None:
    """Two processes note wants and offers at the same time; every one is there, once."""
    from xref.sourcing import offers, suppliers

    store = Store.open(private_store)
    suppliers.add(store, "Marlowe", currency="EUR", on=date(2027, 9, 6))
    environment = {**os.environ, "PYTHONWARNINGS": "error"}
    people = [
        subprocess.Popen(
            [sys.executable, "-c", _WORKER, str(private_store), who, str(EACH)],
            stderr=subprocess.PIPE,
            text=True,
            env=environment,
        )
        for who in ("Ann", "Ben")
    ]
    for person in people:
        _, errors = person.communicate(timeout=120)
        assert person.returncode == 0, errors
    listed = wants.listing(store, date(2027, 9, 6))["wants"]
    assert {w["number"] for w in listed} == {
        f"{who}{i}" for who in ("Ann", "Ben") for i in range(EACH)
    }
    assert sorted(w["want"] for w in listed) == list(range(1, 2 * EACH + 1))
    told = offers.listing(store, date(2027, 9, 6))["offers"]
    by_want = {w["want"]: w["number"] for w in listed}
    assert len(told) == 2 * EACH
    assert all(by_want[o["want"]] == o["remark"] for o in told)
