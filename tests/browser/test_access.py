"""Everybody can use it: axe-core finds nothing, targets are large, every width works."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import NewContext
from tests.web.full_store import fill

pytestmark = [pytest.mark.browser, pytest.mark.store]
MACHINE = "Ostrel No. 3"


@pytest.fixture
def pages(demo_store: Path) -> list[str]:
    """Return the addresses of every page, on a store in the middle of the work."""
    return [address for addresses in fill(demo_store).values() for address in addresses]


def _violations(page: Page) -> list[Any]:
    found = Axe().run(page).response["violations"]
    return [(v["id"], v["help"], [n["html"][:160] for n in v["nodes"][:3]]) for v in found]


def _open_everything(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_axe_finds_nothing(new_context: NewContext, pages: list[str], size: str) -> None:
    """No page violates a rule of axe-core (WCAG A and AA, contrast among them), light or dark."""
    page = new_context(size).new_page()
    found = {}
    for address in pages:
        page.goto(address)
        _open_everything(page)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            if wrong := _violations(page):
                found[address, scheme] = wrong
    assert found == {}


def test_axe_finds_nothing_in_forms_under_way(new_context: NewContext) -> None:
    """The pages inside a job are as usable: places, readings, preview, mending, goods in."""
    page = new_context("phone").new_page()
    found = []
    page.goto("/machines")
    page.get_by_label("Machine", exact=True).fill(MACHINE)
    page.get_by_label("Assembly number in the parts book").fill("DG/1000")
    page.get_by_role("button", name="Note its places").click()
    found += _violations(page)
    page.get_by_role("link", name="countershaft").click()
    page.get_by_label("Reading, mm").fill("60.31")
    page.get_by_role("button", name="Note it, then the next").click()
    found += _violations(page)
    page.goto("/wanted/2")
    page.get_by_label("Supplier").first.fill("Hobbleton Bearing & Seal Stores")
    page.get_by_role("button", name="Note the offer").click()
    page.get_by_role("button", name="Note as ordered").click()
    _open_everything(page)
    found += _violations(page)
    page.goto("/arrived/1?shaft_diameter=60.1&outside_diameter=79.5")
    _open_everything(page)
    found += _violations(page)
    page.goto("/sheet/receiving/1")
    found += _violations(page)
    assert found == []


def test_the_checker_sees_what_it_is_for(new_context: NewContext) -> None:
    """axe-core reports a field without a label, so that finding nothing means something."""
    page = new_context().new_page()
    page.goto("/")
    page.evaluate("document.querySelector('label[for=q]').remove()")
    page.evaluate("document.querySelector('#q').removeAttribute('aria-describedby')")
    assert "label" in [rule for rule, _, _ in _violations(page)]


TOO_SMALL = """() => [...document.querySelectorAll('a, button, input, select, summary, textarea')]
  .filter(e => e.type !== 'hidden' && e.checkVisibility() && !e.closest('.skip')
    && !(e.tagName === 'A' && getComputedStyle(e).display === 'inline'))
  .map(e => [e, e.getBoundingClientRect()])
  .map(([e, r]) => e.type === 'checkbox' ? [e, e.parentElement.getBoundingClientRect()] : [e, r])
  .filter(([e, r]) => r.width > 0 && (r.height < 43.5 || r.width < 43.5))
  .map(([e, r]) => e.outerHTML.slice(0, 90) + ' ' + r.width + 'x' + r.height)"""


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_targets_are_large(new_context: NewContext, pages: list[str], size: str) -> None:
    """Whatever is touched is at least 44 by 44 pixels; links within a sentence are text."""
    page = new_context(size).new_page()
    small = {}
    for address in pages:
        if address.startswith("/sheet"):
            continue  # paper is not touched
        page.goto(address)
        _open_everything(page)
        if found := page.evaluate(TOO_SMALL):
            small[address] = found
    assert small == {}


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_every_width_works(new_context: NewContext, pages: list[str], script: bool) -> None:
    """From 360 to 1600 pixels nothing sticks out sideways, with and without scripts."""
    page = new_context(script=script).new_page()
    wide = []
    for address in pages:
        page.goto(address)
        for width in (360, 390, 600, 820, 1280, 1600):
            page.set_viewport_size({"width": width, "height": 900})
            box = page.locator("html").bounding_box()
            inside = page.locator("main").evaluate(
                "m => Math.max(...[m, ...m.querySelectorAll('*')].filter(e =>"
                " !e.closest('.scroll, svg, [hidden]') && e.checkVisibility())"
                ".map(e => e.getBoundingClientRect().right))"
            )
            letters = page.locator(".letter").evaluate_all(
                "all => all.filter(e => e.scrollWidth > e.clientWidth).length"
            )
            if box is None or inside > width + 0.5 or letters:
                wide.append((address, width, inside))
    assert wide == []
