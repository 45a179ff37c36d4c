"""The engineering: pure functions over numpy arrays, lengths in millimetres.

Subjects: `quantity` (sizes with uncertainty, GUM), `conformance` (JCGM 106),
`judgement` (checks to verdict), `zones` (ISO 286), `seals`, and one module for
every further subject. Figures stand in `tables/*.csv` with source and basis.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xref.fits.seals import seal_interference, surface_speed
    from xref.fits.zones import zone

_LAZY = {
    "zone": "xref.fits.zones",
    "surface_speed": "xref.fits.seals",
    "seal_interference": "xref.fits.seals",
    "press_fit": "xref.fits.press",
    "oring_gland": "xref.fits.glands",
}

__all__ = ["oring_gland", "press_fit", "seal_interference", "surface_speed", "zone"]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module 'xref.fits' has no attribute {name!r}")
    return getattr(import_module(_LAZY[name]), name)
