"""Any file to grids of raw text cells with their physical positions; what they mean comes later.

`grid` says what comes out; every other module reads one format.
"""

from xref.tables.formats.bulk import BulkText, bulk_text
from xref.tables.formats.grid import (
    DATE,
    ERROR,
    MERGED,
    ROUNDED,
    SCIENTIFIC,
    UNCACHED,
    At,
    Dialect,
    Grid,
    GridSet,
    Row,
)
from xref.tables.formats.read import read_grids

__all__ = [
    "DATE",
    "ERROR",
    "MERGED",
    "ROUNDED",
    "SCIENTIFIC",
    "UNCACHED",
    "At",
    "BulkText",
    "Dialect",
    "Grid",
    "GridSet",
    "Row",
    "bulk_text",
    "read_grids",
]
