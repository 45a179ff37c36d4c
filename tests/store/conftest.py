"""A fresh store for every test."""

from __future__ import annotations

from pathlib import Path

import pytest

from xref.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.open(tmp_path / "store")
