"""Twenty people and the command line on one store; the benchmark runs the same for a minute."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.web import crowd
from xref.sourcing import teardown
from xref.store import Store

pytestmark = pytest.mark.store


def test_twenty_people_and_the_command_line(demo_store: Path) -> None:
    """Eight seconds of mixed reads and writes end without a failure and without a lost entry."""
    teardown.add_place(
        Store.open(demo_store), crowd.MACHINE, "countershaft", kind="shaft_seal", on=crowd.DAY
    )
    with crowd.served(demo_store) as address:
        done = crowd.work(address, demo_store, seconds=8)
    assert done.failures == []
    assert crowd.lost(done, demo_store) == []
    assert done.wanted
    assert done.commands
    assert done.readings > 0
