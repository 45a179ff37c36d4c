"""A messy CSV into an edition, beside what the engine needs to read it all as text.

The file (seeded): fractions and millimetres, quantities in words, money with signs and per ten,
several suppliers' conditions. Each round runs the engine's read, the reading, and the edition,
in processes of their own, in turn; the ratio of the medians counts. Bounds: 4 times without the
number index (nothing then finds a row by its number), 6 with it, 1.5 GB. A 200,000-row XLSX
beside its bare reading: 2.5 times. The engine reads on all processors, and we write on two:
processor time is what the bounds are held against; the wall clock is shown beside it.
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

HEADINGS = ["Part No.", "Maker", "Description", "Shaft", "OD", "Width", "Qty", "Price", "Condition"]
_CLOCK = """
import json, resource, sys, time
wall, cpu = time.perf_counter(), time.process_time()
def done(**more):
    print(json.dumps({"wall": time.perf_counter() - wall, "cpu": time.process_time() - cpu,
                      "gb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20, **more}))
"""
ENGINE = (
    _CLOCK
    + """
import duckdb
con = duckdb.connect()
con.execute("SET enable_progress_bar = false")
con.execute("CREATE TABLE t AS FROM read_csv(?, all_varchar = true, header = true)", [sys.argv[1]])
done()
"""
)
READING = (
    _CLOCK
    + """
from xref.tables import read_table
reading = read_table(sys.argv[1])
done(rows=len(reading.coded_rows))
"""
)
EDITION = (
    _CLOCK
    + """
import datetime, tempfile
from xref.store import ListInfo, Store
from xref.store.writing import add_edition
from xref.tables import read_table
rows = read_table(sys.argv[1]).coded_rows
with tempfile.TemporaryDirectory() as folder:
    info = ListInfo(table="stock", name="big", supplier="big", currency=None, unit=None, file="big",
                    digest="big", as_of=datetime.date(2026, 11, 1), decisions={})
    add_edition(Store.open(folder), info, rows, number_index=NUMBER_INDEX)
    done(rows=len(rows))
"""
)
WITHOUT_INDEX = EDITION.replace("NUMBER_INDEX", "False")
WITH_INDEX = EDITION.replace("NUMBER_INDEX", "True")
SHEET = (
    _CLOCK
    + """
import python_calamine
python_calamine.CalamineWorkbook.from_path(sys.argv[1]).get_sheet_by_index(0).to_python()
done()
"""
)


def row(random_: random.Random, number: int) -> list[str]:
    """Return one messy row."""
    pick = random_.choice
    eighth = pick(["", "-1/8", "-1/4", "-3/8", "-1/2", "-5/8", "-3/4", "-7/8"])
    if random_.random() < 0.5:
        sizes = [f"{random_.randint(10, 150)} mm", f"{random_.randint(160, 300)} mm", "12 mm"]
    else:
        sizes = [f'{random_.randint(1, 4)}{eighth}"', f'{random_.randint(6, 9)}{eighth}"', '1/2"']
    price = f"{random_.randint(1, 99)}.{random_.randint(0, 99):02}"
    return [
        f"{pick('ABCDWXTR')}{pick('KLMN')}-{number // 7}/{number % 7}{random_.randint(0, 9)}",
        pick(["Orlwick", "Hennebro", "Zwalm & Co", "Tarn Bros"]),
        f"Oil seal, {pick(['rubber', 'steel'])}",
        *sizes,
        pick([str(random_.randint(0, 200)), f"{random_.randint(1, 20)}+", "call", "NIL", "1 pr"]),
        pick([f"£{price}", price, "POA", f"{price} per 10"]),
        pick(["NOS", "new", "used", "recon", ""]),
    ]


def write(path: Path, rows: int) -> None:
    """Write the file, the same for the same number of rows."""
    random_ = random.Random(5)  # noqa: S311 - a benchmark, no secret
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        writer.writerows(row(random_, number) for number in range(rows))


def write_sheet(path: Path, rows: int) -> None:
    """Write the same rows as a workbook."""
    from xref.tables.writing import write_rows

    random_ = random.Random(5)  # noqa: S311 - a benchmark, no secret
    write_rows(path, HEADINGS, (row(random_, number) for number in range(rows)))


def run(program: str, path: Path) -> dict[str, float]:
    """Run one program on the file in a process of its own; return its clock."""
    command = [sys.executable, "-c", program, str(path)]
    # An installed package comes compiled; a checkout may forbid writing that beside it.
    inherited = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    as_installed = {
        "PYTHONPYCACHEPREFIX": str(path.with_name("compiled")),
        "OPENBLAS_NUM_THREADS": "1",  # as the command line sets it
    }
    found = subprocess.run(
        command, check=True, capture_output=True, text=True, env=inherited | as_installed
    )
    clock: dict[str, float] = json.loads(found.stdout.splitlines()[-1])
    return clock


def compare(path: Path, floor: str, subjects: dict[str, str], rounds: int) -> None:
    """Print each subject's medians beside the floor's, measured in turn."""
    clocks: dict[str, list[dict[str, float]]] = {name: [] for name in ("floor", *subjects)}
    run(subjects["edition" if "edition" in subjects else "reading"], path)  # compiles the modules
    for _ in range(rounds):
        for name, program in {"floor": floor, **subjects}.items():
            clocks[name].append(run(program, path))
    for name, found in clocks.items():
        medians = {
            what: statistics.median(clock[what] for clock in found) for what in ("wall", "cpu")
        }
        ratios = {
            what: medians[what] / statistics.median(clock[what] for clock in clocks["floor"])
            for what in medians
        }
        print(
            f"{name:10} wall {medians['wall']:7.2f} s ({ratios['wall']:5.1f} x)   "
            f"cpu {medians['cpu']:7.2f} s ({ratios['cpu']:5.1f} x)   "
            f"{max(clock['gb'] for clock in found):.2f} GB"
        )


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1_000_000)
    parser.add_argument("--sheet-rows", type=int, default=200_000)
    parser.add_argument("--rounds", type=int, default=3)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.csv"
        write(path, options.rows)
        print(f"CSV of {options.rows:,} rows; floor: the engine reads it as text")
        subjects = {"reading": READING, "edition": WITHOUT_INDEX, "with index": WITH_INDEX}
        compare(path, ENGINE, subjects, options.rounds)
        if options.sheet_rows:
            sheet = Path(folder) / "big.xlsx"
            write_sheet(sheet, options.sheet_rows)
            print(f"XLSX of {options.sheet_rows:,} rows; floor: its cells alone")
            compare(sheet, SHEET, {"reading": READING}, options.rounds)
    return 0


if __name__ == "__main__":
    sys.exit(main())
