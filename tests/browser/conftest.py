"""A real browser at a real server, on a demo store of the test's own."""

from __future__ import annotations

import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, expect, sync_playwright

from xref.faces.cli.serve import listening
from xref.faces.web.app import application
from xref.faces.web.bench import Bench

DAY = date(2027, 9, 6)
SIZES = {"tablet": (820, 1180), "phone": (390, 844)}
OUTPUT = Path(__file__).resolve().parents[1] / "output"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
expect.set_options(timeout=20_000)  # a busy machine is slow, not wrong
NewContext = Callable[..., BrowserContext]


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Return where Chromium is; without one these tests fail and say how to install it."""
    named = os.environ.get("CHROMIUM")
    found = named or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found or not Path(found).exists():
        pytest.fail(
            "These tests drive Chromium and found none. Install it (Debian: apt install "
            "chromium), or name it: CHROMIUM=/path/to/chromium pytest tests/browser",
            pytrace=False,
        )
    return found


@pytest.fixture(scope="session")
def chromium(chromium_path: str) -> Iterator[Browser]:
    """Return the browser, started once."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def server(demo_store: Path) -> Iterator[str]:
    """Serve the bench page on a free port; return its address."""
    bench = Bench(demo_store, on=DAY)
    with listening("127.0.0.1", 0) as listener:
        running = uvicorn.Server(uvicorn.Config(application(bench), log_config=None))
        thread = threading.Thread(target=running.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        while not running.started and thread.is_alive():
            time.sleep(0.01)
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
        running.should_exit = True
        thread.join(20)
    bench.close()


@pytest.fixture
def new_context(chromium: Browser, server: str) -> Iterator[NewContext]:
    """Return a function that opens a context at the page; it fails on whatever leaves the machine.

    Scripts that fail and requests elsewhere are collected and fail the test at its end.
    """
    opened: list[BrowserContext] = []
    wrong: list[str] = []

    def make(size: str = "tablet", script: bool = True, scheme: str = "light") -> BrowserContext:
        width, height = SIZES[size]
        context = chromium.new_context(
            base_url=server,
            viewport={"width": width, "height": height},
            java_script_enabled=script,
            color_scheme="dark" if scheme == "dark" else "light",
        )
        context.set_default_timeout(20_000)
        context.on(
            "request",
            lambda r: None if r.url.startswith((server, "data:")) else wrong.append(r.url),
        )
        context.on("weberror", lambda e: wrong.append(str(e.error)))
        opened.append(context)
        return context

    yield make
    for context in opened:
        context.close()
    assert wrong == []
