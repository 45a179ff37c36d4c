"""The three main jobs by real clicks, on a tablet and on a phone, with and without scripts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OUTPUT, SIZES, NewContext
from xref.resources import folder

pytestmark = [pytest.mark.browser, pytest.mark.store]
HANDS = [(size, script) for size in SIZES for script in (True, False)]
NAMES = [f"{size}-{'script' if script else 'plain'}" for size, script in HANDS]


def _keep(page: Page, name: str) -> None:
    OUTPUT.mkdir(exist_ok=True)
    page.screenshot(path=OUTPUT / f"{name}.png", full_page=True)


def _fits_the_screen(page: Page) -> bool:
    width = page.viewport_size["width"] if page.viewport_size else 0
    box = page.locator("main").bounding_box()
    return box is not None and box["x"] + box["width"] <= width


@pytest.mark.parametrize(("size", "script"), HANDS, ids=NAMES)
def test_find_what_fits_and_want_it(new_context: NewContext, size: str, script: bool) -> None:
    """Type the number as it is smudged, read what fits and who closes, touch once to want it."""
    page = new_context(size, script).new_page()
    page.goto("/")
    page.get_by_label("A number, a description, or sizes").fill("dg 1143")
    page.get_by_role("button", name="Find what fits").click()
    first = page.locator("article.candidate").first
    expect(first).to_contain_text("UMB-735")
    expect(first).to_contain_text("as is")
    expect(first).to_contain_text("closes 31 Oct 2027")
    expect(first.locator("figure svg")).to_be_visible()
    assert first.locator(".check svg").count() >= 3
    assert _fits_the_screen(page)
    _keep(page, f"find-{size}-{'script' if script else 'plain'}")
    page.get_by_role("button", name="Add to wanted", exact=True).click()
    expect(page.locator(".told")).to_contain_text("is on the list")
    page.get_by_role("link", name="Wanted", exact=True).click()
    expect(page.get_by_role("link", name="DG/1143").first).to_be_visible()
    _keep(page, f"wanted-{size}-{'script' if script else 'plain'}")


@pytest.mark.parametrize(("size", "script"), HANDS, ids=NAMES)
def test_read_a_list_and_mend_it(new_context: NewContext, size: str, script: bool) -> None:
    """Choose a file, look at it, load it, correct a cell that was set aside, load that too."""
    page = new_context(size, script).new_page()
    page.goto("/lists")
    page.locator("input[type=file]").set_input_files(folder("data_demo") / "stock_nettlewick.html")
    page.get_by_label("Whose list is it").fill("Marrowby Spares")
    page.get_by_role("button", name="Look at it first").click()
    expect(page.get_by_role("heading", name="Its first rows")).to_be_visible()
    assert _fits_the_screen(page)
    _keep(page, f"preview-{size}-{'script' if script else 'plain'}")
    page.get_by_role("button", name=re.compile(r"^Load \d+ rows")).click()
    expect(page.get_by_role("heading", name="Mend what was set aside")).to_be_visible()
    cell = page.locator('input[value="44 x 26 x 1.5 mm"]')
    cell.fill("26 x 44 x 1.5 mm")
    _keep(page, f"mend-{size}-{'script' if script else 'plain'}")
    page.get_by_role("button", name="Load what is mended").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Marrowby Spares")
    page.goto("/fits?q=TLW-19X")
    expect(page.locator("main")).to_contain_text("Marrowby Spares")


@pytest.mark.parametrize(("size", "script"), HANDS, ids=NAMES)
def test_measure_order_and_receive(new_context: NewContext, size: str, script: bool) -> None:
    """Measure a place, replace its part, note offer and order, judge what came, record it."""
    page = new_context(size, script).new_page()
    page.goto("/machines")
    page.get_by_label("Machine", exact=True).fill("Ostrel No. 3, serial 468")
    page.get_by_label("Assembly number in the parts book").fill("DG/1000")
    page.get_by_label("Serial number of the machine").fill("468")
    page.get_by_role("button", name="Note its places").click()
    page.get_by_role("link", name="countershaft").click()
    for reading in ("60.31", "60.32", "60.31", "60.32"):
        page.get_by_label("Reading, mm").fill(reading)
        page.get_by_role("button", name="Note it, then the next").click()
        expect(page.locator(".told")).to_contain_text(reading)
    _keep(page, f"readings-{size}-{'script' if script else 'plain'}")
    page.get_by_label("Decision").select_option("replace")
    page.get_by_role("button", name="Note it", exact=True).click()
    page.get_by_role("link", name=re.compile(r"^Want \d+")).click()
    page.get_by_label("Supplier").first.fill("Hobbleton Bearing & Seal Stores")
    page.get_by_label("Price each").fill("7.60")
    page.get_by_label("Number they named").fill("UMB-735")
    page.get_by_role("button", name="Note the offer").click()
    page.get_by_role("button", name="Note as ordered").click()
    page.get_by_role("link", name=re.compile("It came")).click()
    page.get_by_label("Shaft diameter, mm").fill("60.1")
    page.get_by_label("Outside diameter, mm").fill("79.5")
    page.get_by_label("Width, mm").fill("9.5")
    if not script:
        page.get_by_role("button", name="Judge it").click()
    expect(page.locator(".decision")).to_contain_text("accept")
    assert _fits_the_screen(page)
    _keep(page, f"receive-{size}-{'script' if script else 'plain'}")
    page.get_by_role("button", name="Record as judged").click()
    expect(page.locator(".told")).to_contain_text("accept 1")
    expect(page.locator("main")).to_contain_text("came in")


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_note_what_the_machine_shows(new_context: NewContext, script: bool) -> None:
    """The part fitted bears another number than the book: noted beside the proofs, taken back."""
    page = new_context("phone", script).new_page()
    page.goto("/wanted/1")
    page.get_by_text("The machine shows another part than the book").click()
    page.get_by_label("Machine", exact=True).fill("Ostrel No. 3, serial 300")
    page.get_by_label("Number on the part fitted").fill("DG/1141")
    assert _fits_the_screen(page)
    _keep(page, f"evidence-phone-{'script' if script else 'plain'}")
    page.get_by_role("button", name="Note what it shows").click()
    expect(page.locator(".told")).to_contain_text("the part fitted bears DG/1141")
    page.goto("/fits?q=DG/1141A")
    expect(page.locator("main")).to_contain_text("the part fitted bears DG/1141")
    page.goto("/wanted/1")
    page.get_by_label("Why", exact=True).first.fill("misread")
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator(".told")).to_contain_text("is taken back: misread")


def test_the_decision_follows_the_typing(new_context: NewContext) -> None:
    """While sizes are typed the decision changes without a touch, also back again."""
    page = new_context().new_page()
    page.goto("/wanted/2")
    page.get_by_label("Supplier").first.fill("Hobbleton Bearing & Seal Stores")
    page.get_by_label("Number they named").fill("UMB-735")
    page.get_by_role("button", name="Note the offer").click()
    page.get_by_role("button", name="Note as ordered").click()
    page.get_by_role("link", name=re.compile("It came")).click()
    page.get_by_label("Shaft diameter, mm").press_sequentially("60.1")
    page.get_by_label("Outside diameter, mm").press_sequentially("95")
    page.get_by_label("Width, mm").press_sequentially("9.5")
    expect(page.locator(".decision")).to_contain_text("return")
    page.get_by_label("Outside diameter, mm").fill("79.5")
    expect(page.locator(".decision")).to_contain_text("accept")
    page.get_by_label("Width, mm").fill("nine")
    expect(page.locator("#decision .sorry")).to_contain_text("nine")


def test_the_keyboard_is_enough(new_context: NewContext) -> None:
    """The first stop leads past the navigation; Enter in the box finds; Enter on a link opens."""
    page = new_context().new_page()
    page.goto("/wanted")
    page.keyboard.press("Tab")
    expect(page.locator(":focus")).to_have_text("To the content")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.goto("/")
    expect(page.get_by_label("A number, a description, or sizes")).to_be_focused()
    page.keyboard.type("60x80x8 seal")
    page.keyboard.press("Enter")
    expect(page.locator("article.candidate").first).to_be_visible()


def test_hostile_cells_never_run(new_context: NewContext, tmp_path: Path) -> None:
    """Scripts, handlers and links in cells, headings and names stay text, before and after."""
    hostile = (
        "<img src=x onerror=\"document.title='caught'\"><script>document.title='caught'</script>"
    )
    cell = '"' + hostile.replace('"', '""') + '"'
    file = tmp_path / "<b onmouseover=alert(1)>.csv"
    file.write_text(
        f"Part No,Description,Qty,{cell}\nMW 1,{cell},4,{cell}\n{cell},Bush,x,2\n",
        encoding="utf-8",
    )
    page = new_context().new_page()
    dialogs: list[str] = []
    page.on("dialog", lambda d: (dialogs.append(d.message), d.dismiss()))
    page.goto("/lists")
    page.locator("input[type=file]").set_input_files(file)
    page.get_by_label("Whose list is it").fill(hostile)
    page.get_by_label("What it is").select_option("stock")
    page.get_by_role("button", name="Look at it first").click()
    expect(page.locator("main")).to_contain_text("<script>")
    page.get_by_role("button", name=re.compile(r"^Load \d+ row")).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("loaded")
    for address in ("/lists", "/fits?q=MW 1", "/wanted"):
        page.goto(address)
        assert "caught" not in page.title()
    assert page.locator("main img, main script").count() == 0
    assert dialogs == []
