"""Reading files on the page: long loads, questions, refusals, and mending that cannot be."""

from __future__ import annotations

import re
import threading
import time
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from tests.web.conftest import DAY
from tests.web.pages import Browser, forms
from xref.acts.list_file import mend, preview
from xref.errors import Impossible, NothingFound
from xref.faces.web import pages_lists
from xref.faces.web.bench import Bench
from xref.resources import folder
from xref.store import Store

pytestmark = pytest.mark.store
NETTLEWICK = "stock_nettlewick.html"


def _send(browser: Browser, name: str, content: bytes, **answers: str) -> str:
    browser.open("/lists")
    return browser.send("/lists", {"file": (name, content)}, **answers)


def _load(browser: Browser) -> None:
    form = next(f for f in forms(browser.page.text) if "/load" in f.action)
    browser.page = browser.client.post(form.action, data=form.fields)


def test_a_long_load_says_that_it_goes_on(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a load takes its time the page says since when and looks again; then it shows it."""
    from xref.acts import load as module

    real = module.load

    def slow(*words: Any, **answers: Any) -> dict[str, Any]:
        time.sleep(1.5)
        return real(*words, **answers)

    monkeypatch.setattr(module, "load", slow)
    monkeypatch.setattr(pages_lists, "AT_ONCE", 0.05)
    _send(browser, "x.csv", b"Part No,Description,Qty\nMW 1,Bush,4\n", table="stock")
    _load(browser)
    assert 'http-equiv="refresh"' in browser.page.text
    assert "so far" in browser.page.text
    text = browser.wait()
    assert "1 row loaded" in text
    assert 'http-equiv="refresh"' not in text


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("empty.csv", b""),
        ("noise.bin", bytes(range(256)) * 20),
        ("broken.xlsx", b"PK\x03\x04 not really"),
        ("words.txt", b"Dear friends, thank you for the letter.\n"),
    ],
)
def test_what_is_no_table_is_refused_in_words(
    browser: Browser, demo_store: Path, name: str, content: bytes
) -> None:
    """An empty, binary, broken or other file is answered with a sentence and loads nothing."""
    before = len(Store.open(demo_store).editions())
    text = _send(browser, name, content, table="stock")
    assert browser.page.status_code == 200
    assert browser.said()
    assert "Load " not in re.findall(r"<button>(.*?)</button>", text)
    assert len(Store.open(demo_store).editions()) == before


def test_a_load_that_cannot_be_says_why(browser: Browser, demo_store: Path) -> None:
    """A list with a question left open is not loaded; the question is put instead."""
    before = len(Store.open(demo_store).editions())
    content = b"Part No,Description,Price,Price\nMW 1,Bush,4.00,5.00\n"
    text = _send(browser, "two.csv", content, table="stock")
    assert 'class="question"' in text
    loads = [f for f in forms(text) if "/load" in f.action]
    if loads:
        _load(browser)
        browser.wait()
        assert browser.page.status_code == 422
    assert len(Store.open(demo_store).editions()) == before


def test_a_file_sent_before_the_page_started_anew_is_asked_for_again(browser: Browser) -> None:
    """A file that is no longer kept is not guessed at."""
    browser.open("/lists/file/gone")
    assert browser.page.status_code == 404
    assert "Send it again" in browser.said()
    browser.open("/lists/load/gone")
    assert browser.page.status_code == 404


def test_the_preview_has_few_rows_and_all_counts() -> None:
    """Of a long list the first rows are shown, and how many there are in all."""
    found = preview(folder("data_demo") / NETTLEWICK)
    assert found["row_count"] == 22
    assert len(found["rows"]) == 12
    assert found["aside_count"] == len(found["aside"]) == 2
    assert found["aside"][1]["cells"]["Size"] == "44 x 26 x 1.5 mm"


def test_mending_nothing_or_another_row_is_said(demo_store: Path) -> None:
    """Cells left as they were, and rows never set aside, are no mending."""
    store, path = Store.open(demo_store), folder("data_demo") / NETTLEWICK
    row = preview(path)["aside"][1]
    with pytest.raises(Impossible, match="nothing to mend"):
        mend(store, path, {row["key"]: row["cells"]}, on=DAY, name="x")
    with pytest.raises(NothingFound, match="4711"):
        mend(store, path, {"4711": {"Size": "1 x 2 x 3 mm"}}, on=DAY, name="x")


def test_a_row_mended_wrongly_stays_set_aside(demo_store: Path) -> None:
    """What is still wrong after mending is set aside again; the list keeps its rows."""
    store, path = Store.open(demo_store), folder("data_demo") / NETTLEWICK
    good, bad = reversed(preview(path)["aside"])
    name = next(e.name for e in store.editions() if e.file == NETTLEWICK)
    before = next(e.items for e in store.editions() if e.name == name)
    done = mend(
        store,
        path,
        {
            good["key"]: {"Size": "26 x 44 x 1.5 mm"},
            bad["key"]: {"Part No": "2.00E+05"},
        },
        on=DAY,
        name=name,
        supplier=name,
        table="stock",
    )
    assert done["set_aside"] == 1
    assert next(e.items for e in store.editions() if e.name == name) == before + 1


def test_a_load_under_way_says_what_is_done(
    browser: Browser, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a list is loaded the page shows the stages that ended, with their rows, as they end."""
    load_module: Any = import_module("xref.acts.load")
    monkeypatch.setattr(pages_lists, "AT_ONCE", 0.01)
    reached, further = threading.Event(), threading.Event()
    changed = load_module._document

    def held(*args: Any, **more: Any) -> Any:
        reached.set()
        assert further.wait(30)
        return changed(*args, **more)

    monkeypatch.setattr(load_module, "_document", held)
    browser.open("/lists")
    content = b"Part No,Qty\nMW 1,4\nMW 2,1\nMW 3,x9\n"
    text = browser.send("/lists", {"file": ("m.csv", content)}, table="stock", supplier="Marrowby")
    key = browser.page.url.path.rpartition("/")[2]
    assert bench.file(key)
    browser.send(f"/lists/file/{key}/load")
    try:
        assert reached.wait(30)
        text = browser.open(str(browser.page.url))
        assert re.search(r"<li>\d rows read, \d set aside <span", text)
        assert re.search(r"<li>\d rows written and indexed", text)
        assert "Comparing with the list before" in text
        assert 'http-equiv="refresh"' in text
    finally:
        further.set()
    assert "loaded" in browser.wait()
