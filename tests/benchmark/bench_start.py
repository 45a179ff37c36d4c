"""What `xref match` costs on the demo store, beside the floor no such program can go below.

The floor: start Python, build an empty Typer command, import DuckDB, open a database file and
run one query. Floor and subject are run in turn; the ratio of the medians counts, bound 1.5.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

FLOOR = """
import os, typer
app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
@app.command()
def look():
    import duckdb
    with duckdb.connect(os.environ['FLOOR_DATABASE'], read_only=True) as con:
        print(con.execute('select count(*) from parts').fetchone()[0])
app(standalone_mode=False)
"""
XREF = "import sys; from xref.faces.cli.app import main; sys.exit(main())"
SEAL = ["match", "--kind", "shaft_seal", "--shaft", "60.00mm", "--housing", "80.02mm"]
BOUND = 1.5
REST = 0.2  # seconds after which the store believes that its state was not written just now


def timed(command: list[str], environment: dict[str, str]) -> float:
    """Return the wall time [s] of one run, which must succeed."""
    start = time.perf_counter()
    subprocess.run(command, env=environment, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> int:
    """Measure and report; exit 1 above the bound."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--runs", type=int, default=25)
    options.add_argument("--json", action="store_true", help="measure `match --json` instead")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        import duckdb

        database = Path(folder) / "floor.duckdb"
        with duckdb.connect(str(database)) as con:
            con.execute("create table parts as select range as part from range(1000)")
        # Installed packages come with their modules compiled; a checkout may forbid writing that
        # beside itself. Both sides keep theirs in one folder, filled by the runs that warm up.
        inherited = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment = {
            **inherited,
            "PYTHONPYCACHEPREFIX": str(Path(folder) / "compiled"),
            "FLOOR_DATABASE": str(database),
            "XREF_STORE": str(Path(folder) / "store"),
            "COLUMNS": "80",
        }
        python = sys.executable
        subprocess.run(
            [python, "-c", XREF, "demo"], env=environment, check=True, capture_output=True
        )
        floor_command = [python, "-c", FLOOR]
        subject = [python, "-c", XREF, *SEAL, *(["--json"] if given.json else [])]
        time.sleep(REST)
        for _ in range(2):  # warm: files in memory, modules compiled, the state's rows kept beside
            timed(floor_command, environment), timed(subject, environment)
        floor, match = [], []
        for _ in range(given.runs):
            floor.append(timed(floor_command, environment))
            match.append(timed(subject, environment))
    ratio = statistics.median(match) / statistics.median(floor)
    sys.stdout.write(
        f"floor {statistics.median(floor) * 1000:.0f} ms, xref match "
        f"{statistics.median(match) * 1000:.0f} ms, ratio {ratio:.2f} (bound {BOUND}), "
        f"{given.runs} runs each\n"
    )
    return 0 if ratio <= BOUND else 1


if __name__ == "__main__":
    sys.exit(main())
