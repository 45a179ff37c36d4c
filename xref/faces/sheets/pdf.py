"""A sheet as PDF, printed by a Chromium that is installed; nothing is fetched."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

from xref.errors import Refused

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
SECONDS = 60
_QUIET = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
)


def browser() -> str | None:
    """Return the path of an installed Chromium, or None."""
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


def write(html: str, path: Path) -> None:
    """Print a sheet to a PDF file.

    Raises Refused, saying what to install, when no Chromium is found or it does not print.
    """
    program = browser()
    if program is None:
        raise Refused(
            "a PDF is printed by Chromium, and none is installed here. Install it (Debian: "
            "apt install chromium), or open the HTML sheet in any browser and print it to PDF.",
            at=str(path),
            code="no-browser",
        )
    with tempfile.TemporaryDirectory(prefix="xref-sheet-") as folder:
        source, made = Path(folder) / "sheet.html", Path(folder) / "sheet.pdf"
        source.write_text(html, encoding="utf-8")
        words = [program, *_QUIET, f"--user-data-dir={folder}/profile", f"--print-to-pdf={made}"]
        if _is_root():
            words.append("--no-sandbox")  # Chromium refuses its sandbox to the superuser
        try:
            done = subprocess.run(  # noqa: S603 - the browser found on the user's own path
                [*words, source.as_uri()], capture_output=True, timeout=SECONDS, check=False
            )
        except (OSError, subprocess.TimeoutExpired) as error:
            raise _failed(path, str(error)) from error
        if done.returncode != 0 or not made.is_file():
            raise _failed(path, done.stderr.decode(errors="replace").strip()[-200:])
        try:
            shutil.copyfile(made, path)
        except OSError as error:
            raise Refused(f"{path} cannot be written: {error.strerror}", at=str(path)) from error


def _is_root() -> bool:
    import os

    return hasattr(os, "geteuid") and os.geteuid() == 0


def _failed(path: Path, why: str) -> Refused:
    return Refused(
        f"Chromium did not print the sheet ({why}). Open the HTML sheet in a browser and print it.",
        at=str(path),
        code="not-printed",
    )
