"""Write a file of any content and read it back as grids."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from xref.tables.formats import GridSet, read_grids

Reader = Callable[..., GridSet]


@pytest.fixture
def read(tmp_path: Path) -> Reader:
    """Return a function that writes bytes or text to a file and reads its grids."""

    def read_content(content: bytes | str, name: str = "list.txt", **answers: Any) -> GridSet:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_grids(path, **answers)

    return read_content
