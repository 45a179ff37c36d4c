"""Twenty people at one bench page, reading and writing, while the command line writes beside."""

from __future__ import annotations

import random
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import httpx2 as httpx
import uvicorn

from xref.faces.cli.serve import listening
from xref.faces.web.app import application
from xref.faces.web.bench import Bench
from xref.sourcing import teardown, wants
from xref.store import Store

DAY = date(2027, 9, 6)
USERS = 20
READS = ("/", "/fits?q=DG/1143", "/fits?q=60x80x8+seal", "/wanted", "/today", "/machines", "/lists")
MACHINE = "Ostrel No. 3"


@dataclass
class Crowd:
    """What a crowd did: entries it made, by name, times of its requests [s], and all failures."""

    wanted: list[str] = field(default_factory=list)
    readings: int = 0
    reads: list[float] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    commands: list[str] = field(default_factory=list)
    failures: list[str] = field(default_factory=list)


@contextmanager
def served(store: Path, on: date = DAY) -> Iterator[str]:
    """Serve the bench page on a free port; give its address."""
    bench = Bench(store, on=on)
    with listening("127.0.0.1", 0) as listener:
        server = uvicorn.Server(uvicorn.Config(application(bench), log_config=None))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        try:
            yield f"http://127.0.0.1:{listener.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join(20)
            bench.close()


def work(address: str, store: Path, seconds: float) -> Crowd:
    """Let everybody work for that long, the command line beside them; return what they did."""
    crowd = Crowd()
    until = time.monotonic() + seconds
    people = [
        threading.Thread(target=_person, args=(crowd, address, number, until))
        for number in range(USERS)
    ]
    people.append(threading.Thread(target=_command_line, args=(crowd, store, until)))
    for person in people:
        person.start()
    for person in people:
        person.join()
    return crowd


def lost(crowd: Crowd, store: Path) -> list[str]:
    """Return the entries that somebody was told are noted and that the store does not have."""
    opened = Store.open(store)
    there = {w["place"] for w in wants.listing(opened, DAY, everything=True)["wants"]}
    missing = [name for name in [*crowd.wanted, *crowd.commands] if name not in there]
    _, places = teardown.places(opened, MACHINE)
    found = sum(len(p["readings"]) for p in places)
    if found != crowd.readings:
        missing.append(f"{crowd.readings - found} readings")
    damage = opened.check()["damage"]
    return missing + [str(one) for one in damage]


def _person(crowd: Crowd, address: str, number: int, until: float) -> None:
    chance = random.Random(number)  # noqa: S311 - what people do next is no secret
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60) as client:
        entry = 0
        while time.monotonic() < until:
            try:
                if chance.random() < 0.6:
                    _read(crowd, client, chance.choice(READS))
                elif chance.random() < 0.7:
                    _want(crowd, client, f"user {number} entry {entry}")
                else:
                    _reading(crowd, client, chance)
            except httpx.HTTPError as error:
                crowd.failures.append(repr(error))
            entry += 1
            time.sleep(chance.uniform(0.05, 0.3))


def _read(crowd: Crowd, client: httpx.Client, address: str) -> None:
    start = time.perf_counter()
    answer = client.get(address)
    crowd.reads.append(time.perf_counter() - start)
    if answer.status_code != 200:
        crowd.failures.append(f"{address}: {answer.status_code}")


def _want(crowd: Crowd, client: httpx.Client, name: str) -> None:
    token = _token(client.get("/lists").text)
    given = {"what": "DG/1143", "quantity": "1", "place": name, **token}
    if _send(crowd, client, "/wanted", given):
        crowd.wanted.append(name)


def _reading(crowd: Crowd, client: httpx.Client, chance: random.Random) -> None:
    token = _token(client.get("/lists").text)
    given = {"machine": MACHINE, "place": "countershaft", "dimension": "shaft", **token}
    given |= {"plane": "near", "direction": "0", "size": f"60.3{chance.randint(0, 9)}"}
    if _send(crowd, client, "/machines/reading", given):
        crowd.readings += 1


def _send(crowd: Crowd, client: httpx.Client, address: str, given: dict[str, str]) -> bool:
    start = time.perf_counter()
    answer = client.post(address, data=given)
    crowd.writes.append(time.perf_counter() - start)
    done = answer.status_code == 200 and "told" in answer.text
    if answer.status_code != 200:
        said = re.search(r'class="sorry">(.*?)</p>', answer.text, re.S)
        crowd.failures.append(f"{address}: {answer.status_code} {said[1] if said else ''}")
    return done or answer.status_code == 200


def _token(text: str) -> dict[str, str]:
    found = {}
    for name in ("token", "once"):
        match = re.search(rf'name="{name}" value="([\w-]+)"', text)
        assert match
        found[name] = match[1]
    return found


def _command_line(crowd: Crowd, store: Path, until: float) -> None:
    count = 0
    while time.monotonic() < until:
        name = f"command line {count}"
        words = ["want", "add", "DG/1143", "--quantity", "1", "--place", name]
        for one in (words, ["want", "list", "--json"]):
            done = subprocess.run(
                [
                    *(sys.executable, "-m", "xref.faces.cli.app", *one),
                    *("--on", DAY.isoformat(), "--store", str(store)),
                ],
                capture_output=True,
                text=True,
                check=False,
            )
            if done.returncode != 0:
                crowd.failures.append(f"xref {' '.join(one)}: {done.returncode} {done.stderr}")
            elif one is words:
                crowd.commands.append(name)
        count += 1
