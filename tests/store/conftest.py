"""A fresh store for every test."""

from __future__ import annotations

from pathlib import Path

import pytest

from xref.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Return a store in a folder of its own."""
    return Store.open(tmp_path / "store")
