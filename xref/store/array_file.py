"""Several numpy arrays in one file that is mapped, not read.

Layout: eight bytes of magic, the length of the description (little-endian, eight bytes), the
description (JSON: name, type, shape and offset of each array, and the writer's own words), then
the arrays, each on a multiple of 64 bytes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from xref.errors import StoreUnavailable

_MAGIC = b"xrefarr1"
_ALIGNMENT = 64

Arrays = dict[str, np.ndarray[Any, Any]]


def _aligned(offset: int) -> int:
    return -(-offset // _ALIGNMENT) * _ALIGNMENT


def write_arrays(path: Path, arrays: Mapping[str, np.ndarray[Any, Any]], about: str) -> None:
    """Write `arrays` to `path`; `about` names what they are and is checked on opening."""
    offset = 0
    described = {}
    for name, array in arrays.items():
        described[name] = {"type": array.dtype.str, "shape": array.shape, "offset": offset}
        offset = _aligned(offset + array.nbytes)
    head = json.dumps({"about": about, "bytes": offset, "arrays": described}).encode()
    with path.open("wb") as file:
        file.write(_MAGIC + len(head).to_bytes(8, "little") + head)
        for array in arrays.values():
            file.write(bytes(_aligned(file.tell()) - file.tell()))
            np.ascontiguousarray(array).tofile(file)
        file.write(bytes(_aligned(file.tell()) - file.tell()))


def about(path: Path) -> str | None:
    """Return what the arrays of `path` are said to be; None if it holds none."""
    try:
        with path.open("rb") as file:
            start = file.read(16)
            if start[:8] != _MAGIC:
                return None
            told = json.loads(file.read(int.from_bytes(start[8:], "little")))["about"]
    except (OSError, ValueError, KeyError, TypeError, OverflowError, MemoryError):
        return None
    return str(told)


def open_arrays(path: Path, about: str) -> Arrays:
    """Return the arrays of `path`, mapped read-only: only the parts looked at are read.

    Raises `StoreUnavailable` if the file is missing, cut short or holds something else.
    """
    try:
        with path.open("rb") as file:
            start = file.read(16)
            head = json.loads(file.read(int.from_bytes(start[8:], "little")))
        if start[:8] != _MAGIC or head["about"] != about:
            raise ValueError(about)
        whole = np.memmap(path, dtype=np.uint8, mode="r")
        body = whole[_aligned(16 + int.from_bytes(start[8:], "little")) :]
        if body.size < head["bytes"]:
            raise ValueError(about)
        arrays: Arrays = {}
        for name, told in head["arrays"].items():
            kind, shape = np.dtype(told["type"]), tuple(told["shape"])
            size = int(np.prod(shape, dtype=np.int64)) * kind.itemsize
            piece = np.asarray(body[told["offset"] : told["offset"] + size])
            arrays[name] = piece.view(kind).reshape(shape)
    except (OSError, ValueError, KeyError, TypeError, OverflowError, MemoryError) as error:
        raise StoreUnavailable(
            f"The file {path.name} of this list is missing or damaged; load the list again.",
            at=str(path),
        ) from error
    return arrays
