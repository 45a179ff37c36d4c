"""A bench page on a demo store of the test's own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tests.web.pages import Browser
from xref.faces.web.app import application
from xref.faces.web.bench import Bench

DAY = date(2027, 9, 6)


@pytest.fixture
def bench(demo_store: Path) -> Iterator[Bench]:
    """Return a bench on the demo store, on the demo's day."""
    opened = Bench(demo_store, on=DAY)
    yield opened
    opened.close()


@pytest.fixture
def browser(bench: Bench) -> Browser:
    """Return a browser without scripts at the bench page."""
    return Browser(application(bench))
