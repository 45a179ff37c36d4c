"""Letters put into a folder, each as text and as HTML."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from xref.errors import Refused


def folder(path: Path) -> None:
    """Make sure letters can be put there, before any is recorded; raises Refused if not."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(
            f"letters cannot be put into {path}: {error.strerror or error}", at=str(path)
        ) from None


def write(path: Path, letters: Iterable[Mapping[str, Any]]) -> list[str]:
    """Write each letter as `enquiry-N-supplier.txt` and `.html`; return the files' paths."""
    files = []
    for letter in letters:
        name = re.sub(r"[^a-z0-9]+", "-", letter["supplier"].lower()).strip("-")[:40]
        stem = f"enquiry-{letter['enquiry']}-{name}".rstrip("-")
        for ending, text in (("txt", letter["letter"]), ("html", letter["html"])):
            file = path / f"{stem}.{ending}"
            try:
                file.write_text(text, encoding="utf-8")
            except OSError as error:
                raise Refused(
                    f"{file} cannot be written: {error.strerror or error}", at=str(file)
                ) from None
            files.append(str(file))
    return files
