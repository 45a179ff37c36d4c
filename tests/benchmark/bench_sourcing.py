"""What `xref due` and `xref plan` cost with 2,000 wants, 200 suppliers and 20,000 offers.

`due` is measured as a process beside the floor no such program can go below (start Python, build
an empty Typer command, import DuckDB, open a database file, run one query), in turn; the
difference of the medians counts, bound 0.5 s. `plan` is measured once as a process: within 20 s
its gap to the proven bound must be at most 1 %. Everything is seeded; postage is 20 to 80.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

WANTS, SUPPLIERS, OFFERS = 2_000, 200, 20_000
ON = date(2027, 9, 6)
DUE_BOUND_S, PLAN_BOUND_S, GAP_BOUND = 0.5, 20.0, 0.01
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
KINDS = ("shaft_seal", "rolling_bearing", "plain_bushing", "o_ring")


def fill(folder: Path, seed: int, spread: float) -> None:
    """Fill a store; offers of one want differ by up to `spread` of its usual price."""
    from xref.store import Store

    draw = random.Random(seed)  # noqa: S311 - a benchmark's data, not secrets
    store = Store.open(folder)
    usual = [draw.randint(300, 6_000) for _ in range(WANTS)]
    with store.writing("fill the benchmark") as state:
        for i in range(SUPPLIERS):
            closing = ON + timedelta(days=draw.randint(30, 400)) if i % 3 == 0 else None
            state.record(
                "supplier noted",
                "suppliers",
                f"supplier {i}",
                {
                    "name": f"Supplier {i}",
                    "sort": "supplier",
                    "currency": "EUR",
                    "postage": f"{draw.randint(2_000, 8_000) / 100:.2f}",
                    "closes": closing,
                    "reply_days": draw.randint(2, 21),
                    "carries": draw.sample(KINDS, 2),
                },
            )
        for i in range(1, WANTS + 1):
            state.record(
                "want noted",
                "wants",
                i,
                {
                    "number": f"N{i}",
                    "number_key": f"N{i}",
                    "kind": draw.choice(KINDS),
                    "quantity": draw.choice([1, 1, 1, 2, 2, 4, 6]),
                    "noted_on": ON,
                    "priority": 2,
                    "needed_by": ON + timedelta(days=draw.randint(60, 600)),
                },
            )
        for i in range(1, OFFERS + 1):
            want = draw.randint(1, WANTS)
            price = usual[want - 1] * draw.uniform(1 - spread, 1 + spread) / 100
            state.record(
                "offer noted",
                "offers",
                i,
                {
                    "supplier": f"supplier {draw.randrange(SUPPLIERS)}",
                    "want": want,
                    "price": f"{price:.2f}",
                    "currency": "EUR",
                    "noted_on": ON,
                    "quantity": draw.choice([None, None, 1, 2, 5]),
                    "until": draw.choice([None, ON + timedelta(days=draw.randint(1, 90))]),
                },
            )


def timed(command: list[str], environment: dict[str, str]) -> tuple[float, bytes]:
    """Return the wall time [s] and output of one run, which must succeed."""
    start = time.perf_counter()
    done = subprocess.run(command, env=environment, check=True, capture_output=True)
    return time.perf_counter() - start, done.stdout


def main() -> int:
    """Measure and report; exit 1 when a bound is missed."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--runs", type=int, default=11)
    options.add_argument("--seed", type=int, default=6)
    options.add_argument(
        "--spread",
        type=float,
        default=0.3,
        help="how far offers of one want differ; small is hard to plan",
    )
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        import duckdb

        database = Path(folder) / "floor.duckdb"
        with duckdb.connect(str(database)) as con:
            con.execute("create table parts as select range as part from range(1000)")
        begun = time.perf_counter()
        fill(Path(folder) / "store", given.seed, given.spread)
        sys.stdout.write(f"store filled in {time.perf_counter() - begun:.0f} s\n")
        environment = {
            **os.environ,
            "FLOOR_DATABASE": str(database),
            "XREF_STORE": str(Path(folder) / "store"),
        }
        python, on = sys.executable, ON.isoformat()
        floor_command = [python, "-c", FLOOR]
        due_command = [python, "-c", XREF, "due", "--json", "--on", on]
        timed(floor_command, environment)
        _, answer = timed(due_command, environment)
        actions = len(json.loads(answer)["actions"])
        floor, due = [], []
        for _ in range(given.runs):
            floor.append(timed(floor_command, environment)[0])
            due.append(timed(due_command, environment)[0])
        over = statistics.median(due) - statistics.median(floor)
        sys.stdout.write(
            f"due: {actions} actions, floor {statistics.median(floor):.2f} s, due "
            f"{statistics.median(due):.2f} s, over the floor {over:.2f} s (bound {DUE_BOUND_S})\n"
        )
        took, answer = timed([python, "-c", XREF, "plan", "--json", "--on", on], environment)
        plan = json.loads(answer)
        sys.stdout.write(
            f"plan: {len(plan['lines'])} lines, total {plan['total']} {plan['currency']}, "
            f"{'proven' if plan['proven'] else 'not proven'}, gap {plan['gap']:.3%} (bound "
            f"{GAP_BOUND:.0%}) in {took:.1f} s (bound {PLAN_BOUND_S:.0f})\n"
        )
    kept = over <= DUE_BOUND_S and took <= PLAN_BOUND_S and plan["gap"] <= GAP_BOUND
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
