"""Any file to rows, set-aside rows and furniture, driven by the Table Schema files.

The way of a file: `formats` gives grids of text cells; `layout` and `headrows` find headings,
blocks and furniture; `recognise`, `names` and `columns` say what each column is; `kindrows`,
`sizecells`, `units` and `sizing` settle kinds and sizes; `cells` holds one reader per idea;
`assemble`, `duplicates` and `finish` make the rows. `read` is the whole of it.

Cells are coded (`column`, `coded`), rows that are alike in the columns a step reads are taken
together (`grouped`, `alike`), and `result` spreads them over all rows only when asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xref.tables.mending import read_mended, write_rejects
    from xref.tables.read import read_table
    from xref.tables.reading import Reading
    from xref.tables.schema import describe

_LAZY = {
    "read_table": ("xref.tables.read", "read_table"),
    "Reading": ("xref.tables.reading", "Reading"),
    "read_mended": ("xref.tables.mending", "read_mended"),
    "write_rejects": ("xref.tables.mending", "write_rejects"),
    "describe": ("xref.tables.schema", "describe"),
}

__all__ = ["Reading", "describe", "read_mended", "read_table", "write_rejects"]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module 'xref.tables' has no attribute {name!r}")
    module, attribute = _LAZY[name]
    return getattr(import_module(module), attribute)
