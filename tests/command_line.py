"""What one run of the command line gave, as tests look at it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Answer:
    """What one run of the command line gave."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """The one JSON document on stdout."""
        document = json.loads(self.out)
        assert document["contract"] == 1
        return document


Xref = Callable[..., Answer]
