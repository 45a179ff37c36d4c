"""Where the two data folders are: beside the package in a checkout, inside it when installed."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Return the folder `schemas` or `data_demo`.

    Raises FileNotFoundError when neither place holds it, which means a broken installation.
    """
    for candidate in (_PACKAGE / "bundled" / name, _PACKAGE.parent / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"the folder {name!r} is missing from this installation of xref")
