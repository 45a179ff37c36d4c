"""Everybody can use it: axe-core finds nothing, targets are large, every width works."""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import NewContext

pytestmark = [pytest.mark.browser, pytest.mark.store]
MACHINE = "Ostrel No. 3"
PAGES = [
    "/",
    "/fits?q=DG/1143",
    "/fits?q=60x80x8",
    "/fits?q=FD/4111&shaft=44.8mm&housing=62.02mm",
    "/fits?q=oil+seal",
    "/wanted",
    "/wanted/1",
    "/today",
    "/plan?currency=GBP&rates=EUR+0.86",
    "/machines",
    "/lists",
    "/arrived",
    "/wanted/999",
    "/sheet/wanted",
    "/sheet/fit?q=DG/1143",
]


def _violations(page: Page) -> list[Any]:
    found = Axe().run(page).response["violations"]
    return [(v["id"], v["help"], [n["html"][:160] for n in v["nodes"][:3]]) for v in found]


def _open_everything(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_axe_finds_nothing(new_context: NewContext, size: str, scheme: str) -> None:
    """No page violates a rule of axe-core (WCAG A and AA, contrast among them)."""
    page = new_context(size, scheme=scheme).new_page()
    found = {}
    for address in PAGES:
        page.goto(address)
        _open_everything(page)
        if wrong := _violations(page):
            found[address] = wrong
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
def test_targets_are_large(new_context: NewContext, size: str) -> None:
    """Whatever is touched is at least 44 by 44 pixels; links within a sentence are text."""
    page = new_context(size).new_page()
    small = {}
    for address in PAGES:
        if address.startswith("/sheet"):
            continue  # paper is not touched
        page.goto(address)
        _open_everything(page)
        if found := page.evaluate(TOO_SMALL):
            small[address] = found
    assert small == {}


@pytest.mark.parametrize("width", [360, 390, 600, 820, 1280, 1600])
def test_every_width_works(new_context: NewContext, width: int) -> None:
    """From 360 to 1600 pixels nothing sticks out sideways."""
    page = new_context().new_page()
    page.set_viewport_size({"width": width, "height": 900})
    wide = []
    for address in PAGES:
        page.goto(address)
        _open_everything(page)
        if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
            wide.append(address)
    assert wide == []
