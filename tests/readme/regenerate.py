"""Write the real output of every command shown in the README back into it."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.readme.shown import README, rewritten

if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        before = README.read_text(encoding="utf-8")
        README.write_text(rewritten(before, Path(folder) / "bench"), encoding="utf-8")
