"""Lists as immutable editions, state as events; the only part of xref that knows DuckDB."""

from __future__ import annotations

from .edition import LIST_TABLES, Edition, ListInfo
from .store import Store

__all__ = ["LIST_TABLES", "Edition", "ListInfo", "Store"]
