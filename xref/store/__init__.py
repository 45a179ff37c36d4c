"""Lists as immutable editions, state as events; the only part of xref that knows DuckDB."""

from __future__ import annotations

from .store import Store

__all__ = ["Store"]
