"""Every address of the page, walked: what changes is guarded, what is looked at changes nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.full_store import NOT_PAGES, fill
from tests.web.pages import Browser
from xref.faces.web.app import CHANGE, LOOK, application
from xref.faces.web.bench import Bench
from xref.store import Store

pytestmark = pytest.mark.store
HEAVIEST = 150_000  # bytes of a page with its style and script, not packed


@pytest.fixture
def pages(demo_store: Path) -> dict[str, list[str]]:
    """Return the addresses of every page, on a store in the middle of the work."""
    return fill(demo_store)


def _events(store: Path) -> int:
    with Store.open(store).reading() as state:
        return int(state.rows("SELECT count(*) AS n FROM events")[0]["n"])


def _address(path: str) -> str:
    return re.sub(r"\{\w+(?::key)?\}", "1", path)


def test_no_page_is_forgotten(pages: dict[str, list[str]]) -> None:
    """Each page that can be looked at has an address here, so that all are walked."""
    assert set(pages) | set(NOT_PAGES) == set(LOOK)


@pytest.mark.parametrize("path", list(CHANGE))
def test_no_change_without_its_token(browser: Browser, demo_store: Path, path: str) -> None:
    """Every form's address refuses a form without the token, with another's, and other methods."""
    browser.open("/wanted")
    before = _events(demo_store)
    for given in ({}, {"token": ""}, {"token": "0" * 64}):
        answer = browser.client.post(
            _address(path), data={"what": "X 1", "quantity": "1", **given}, follow_redirects=False
        )
        assert answer.status_code == 403
    for method in ("PUT", "PATCH", "DELETE"):
        assert browser.client.request(method, _address(path)).status_code in (403, 405)
    assert _events(demo_store) == before


@pytest.mark.parametrize("path", list(CHANGE))
def test_no_change_from_elsewhere(browser: Browser, demo_store: Path, path: str) -> None:
    """With the right token a change is refused from another page, and under another host."""
    browser.open("/wanted")
    token = re.search(r'name="token" value="(\w+)"', browser.page.text)
    assert token
    form = {"what": "X 1", "quantity": "1", "name": "X", "token": token[1]}
    before = _events(demo_store)
    for headers, status in (
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"host": "evil.example"}, 400),
        ({"host": "127.0.0.1.evil.example:8624"}, 400),
    ):
        answer = browser.client.post(
            _address(path), data=form, headers=headers, follow_redirects=False
        )
        assert answer.status_code == status
    assert _events(demo_store) == before


def test_looking_at_every_page_changes_nothing(
    browser: Browser, demo_store: Path, pages: dict[str, list[str]]
) -> None:
    """Opening each page, with the refusals among them, records no event."""
    before = _events(demo_store)
    for address in _all(pages):
        browser.open(address)
        assert browser.page.status_code in (200, 404, 422), address
    assert _events(demo_store) == before


def test_no_page_has_a_script_or_style_of_its_own(
    browser: Browser, pages: dict[str, list[str]]
) -> None:
    """Scripts and styles are files of this page's own; nothing runs or is styled inline."""
    for address in _all(pages):
        text = browser.open(address)
        assert re.findall(r"<script(?![^>]*\ssrc=\"/static/)", text) == [], address
        assert re.findall(r"<[^>]+\s(?:on\w+|style)=", text) == [], address
        assert "<style" not in text, address
        named = re.findall(r"(?:src|href|action)=\"([^\"#?]*)", text)
        assert [a for a in named if a and not a.startswith(("/", "#"))] == [], address
        policy = browser.page.headers["content-security-policy"]
        assert "unsafe" not in policy
        assert "default-src 'none'" in policy


def test_every_page_stays_light(browser: Browser, pages: dict[str, list[str]]) -> None:
    """No page, its drawings within it, with style and script weighs more than 150 kB unpacked."""
    rest = sum(
        len(browser.client.get(f"/static/{name}").content)
        for name in ("bench.css", "bench.js", "mark.svg")
    )
    weights = {a: len(browser.open(a).encode()) + rest for a in _all(pages)}
    heaviest = max(weights, key=lambda a: weights[a])
    assert weights[heaviest] <= HEAVIEST, (heaviest, weights[heaviest])
    assert "<svg" in browser.open(heaviest)  # the heaviest is one with drawings


def test_closed_pages_show_nothing(demo_store: Path, pages: dict[str, list[str]]) -> None:
    """Without the access code every page leads to the question for it, changes too."""
    locked = Bench(demo_store, code="abcd-efgh")
    browser = Browser(application(locked))
    for address in _all(pages):
        answer = browser.client.get(address, follow_redirects=False)
        asked = answer.status_code == 200 and address == "/code"
        assert asked or (answer.status_code, answer.headers.get("location")) == (303, "/code")
    for path in CHANGE:
        if path != "/code":
            answer = browser.client.post(_address(path), data={}, follow_redirects=False)
            assert (answer.status_code, answer.headers["location"]) == (303, "/code")
    locked.close()


def _all(pages: dict[str, list[str]]) -> Iterator[str]:
    for addresses in pages.values():
        yield from addresses
