"""xref: find what fits now.

The library in one glance, each name loaded when first used so that importing
the package costs nothing:

- `size(text)`, `sizes(text)` read written sizes exactly (`xref.sizes`);
- `read_table(path)` reads any parts table (`xref.tables`);
- `match(originals, catalogue)` ranks what fits (`xref.matching`);
- `fits` holds the engineering: zones, interference, press fits, glands;
- `XrefError`, `NeedsAnswer`, `Refused` are what can go wrong.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from xref.errors import NeedsAnswer, Refused, XrefError

if TYPE_CHECKING:
    from xref import fits
    from xref.matching.match import match
    from xref.sizes import Size, size, sizes
    from xref.tables import read_table

__version__ = "0.1.0"

_LAZY = {
    "size": ("xref.sizes", "size"),
    "sizes": ("xref.sizes", "sizes"),
    "Size": ("xref.sizes", "Size"),
    "read_table": ("xref.tables", "read_table"),
    "match": ("xref.matching.match", "match"),
    "fits": ("xref.fits", None),
}

__all__ = [
    "NeedsAnswer",
    "Refused",
    "Size",
    "XrefError",
    "__version__",
    "fits",
    "match",
    "read_table",
    "size",
    "sizes",
]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module 'xref' has no attribute {name!r}")
    module, attribute = _LAZY[name]
    loaded = import_module(module)
    return loaded if attribute is None else getattr(loaded, attribute)
