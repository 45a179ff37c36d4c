"""Sizes as people write them, read exactly: fractions, limits, deviations, zones, drills, threads.

`size` reads one, `sizes` all in a text. A text with two readings raises
`xref.errors.NeedsAnswer` with the readings; a text that is no size raises
`xref.errors.Refused`. Nothing is guessed: a bare 60 is asked about.

The way of a text: `text` folds spellings and cuts tokens, `special` takes what goes
by a name (drills, threads, undersizes), `several` parts `AxBxC`, `grammar` reads one
size from its `number`s, `settle` decides or asks for the unit. `iso286` holds the zones.
"""

import sys
from types import ModuleType

from xref.sizes.iso286 import zone_deviations
from xref.sizes.read import size, sizes
from xref.sizes.value import Size, Unit

__all__ = ["Size", "Unit", "size", "sizes", "zone_deviations"]


class _CallableModule(ModuleType):
    """Lets `xref.sizes(text)` be the function once this package is imported.

    Importing a package binds it in its parent under its own name, over whatever stood there.
    """

    def __call__(self, text: str, unit: Unit | None = None) -> list[Size]:
        """Return every size in a text, as `sizes` does."""
        return sizes(text, unit)


sys.modules[__name__].__class__ = _CallableModule
