"""A store for the sourcing tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from xref.store import Store


@pytest.fixture
def store(private_store: Path) -> Store:
    """Return the empty store to which XREF_STORE points."""
    return Store.open(private_store)
