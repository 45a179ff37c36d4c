"""Sheets: what stands on them, what a hostile text does to them, how they print."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from tests.command_line import Xref
from xref.errors import Impossible, NeedsAnswer, Refused
from xref.faces.sheets import gather, pdf
from xref.faces.sheets.sheets import Paper
from xref.sourcing import offers, orders, teardown, wants
from xref.store import Store

pytestmark = pytest.mark.store
DAY = date(2027, 9, 6)
HOBBLETON = "Hobbleton Bearing & Seal Stores"


def test_the_fit_sheet_has_the_whole_reasoning(demo_store: Path) -> None:
    """Section, bands, limits, sources, offer with closing date and cautions stand on the sheet."""
    text = gather.fit(Store.open(demo_store), Paper(DAY), "DG/1143")
    assert "UMB-735" in text
    assert text.count("<svg") == 4
    assert "permitted 60.249 to 60.401 mm" in text
    assert "OS-4" in text
    assert "closes 31 Oct 2027" in text
    assert "A size match is no load" in text


def test_a_sheet_stands_alone(demo_store: Path) -> None:
    """A written sheet needs no other file and asks nothing of any network."""
    text = gather.wanted(Store.open(demo_store), Paper(DAY, paper="Letter"))
    assert "size: letter" in text
    assert not re.search(r'(?:src|href)="', text)
    assert "<script" not in text


def test_inches_where_inches_are_asked_for(demo_store: Path) -> None:
    """The same sheet in inches labels its drawing in fractions."""
    text = gather.fit(Store.open(demo_store), Paper(DAY, unit="in"), "DG/1143")
    assert "⌀ 2-3/8 in" in text


def test_the_wanted_list_names_every_open_want(demo_store: Path) -> None:
    """Every want stands on the wall's list, urgent ones marked in words."""
    store = Store.open(demo_store)
    text = gather.wanted(store, Paper(DAY))
    for want in wants.listing(store, DAY)["wants"]:
        assert want["number"] in text
    assert "cannot run without" in text


def test_the_receiving_sheet_has_a_box_for_each_size(demo_store: Path) -> None:
    """Three readings of each dimension of the ordered kind have their boxes."""
    store = Store.open(demo_store)
    offer = offers.add(store, HOBBLETON, 2, on=DAY, price="7.60", number="UMB-735")["offer"]
    order = orders.add(store, offer, 1, DAY)["order"]
    text = gather.receiving(store, Paper(DAY), order)
    for title in ("Shaft diameter", "Outside diameter", "Width"):
        row = re.search(rf"<th scope=\"row\">{title}</th>(.*?)</tr>", text, re.S)
        assert row
        assert row[1].count('class="box"') == 4
    assert "UMB-735" in text


def test_the_assembly_sheet_carries_what_the_manual_says(demo_store: Path) -> None:
    """Lip direction, torque and on which end, and the page stand beside the place."""
    store = Store.open(demo_store)
    teardown.add_place(
        store,
        "Ostrel No. 3",
        "drum shaft",
        kind="shaft_seal",
        readings=["shaft@near,0=44.80mm"],
        instructions={"lip": "towards the gear case", "torque": "12 Nm", "torque_end": "nut"},
        on=DAY,
    )
    text = gather.assembly(store, Paper(DAY), "Ostrel No. 3")
    for words in ("lip: towards the gear case", "torque: 12 Nm", "torque end: nut"):
        assert words in text
    assert "44.78 to 44.82 mm" in text


def test_the_sketch_of_a_bush_has_limits_with_their_reasons(demo_store: Path) -> None:
    """A bush measured in its place is pressed by s6 and bored for its journal.

    ISO 286-2, from the table of zones: s6 of 35 mm is +0.059/+0.043 mm (confidence: standard,
    as in tests/sources/iso286_zones.csv); ISO 4379 presses OD s6 (from memory).
    """
    from xref.acts.shop_sketch import sketch

    store = Store.open(demo_store)
    readings = ["shaft=25.000mm", "housing=35.000mm"]
    done = teardown.add_place(
        store,
        "Ostrel No. 3",
        "fork",
        kind="plain_bushing",
        number="DG/1162",
        readings=readings,
        uncertainty="0.001mm",
        decision="replace",
        on=DAY,
    )
    found = {d["name"]: d for d in sketch(store, done["want"], DAY)["dimensions"]}
    outside, bore = found["outside_diameter"], found["bore_diameter"]
    assert outside["low_mm"] == pytest.approx(35.043)
    assert outside["high_mm"] == pytest.approx(35.059)
    assert 25.0 < bore["low_mm"] < bore["high_mm"] < 25.2
    assert bore["high_mm"] - bore["low_mm"] == pytest.approx(0.033)  # H8 of 25 mm, ISO 286-2
    text = gather.shop(store, Paper(DAY), done["want"])
    assert "35.043 to 35.059 mm" in text
    assert "ISO 4379" in text


def test_an_unmeasured_sketch_says_measure_first(demo_store: Path) -> None:
    """Limits from nominal sizes carry the sentence that nothing was measured."""
    from xref.acts.shop_sketch import sketch

    found = sketch(Store.open(demo_store), 5, DAY)
    assert found["number"] == "DG/1162"
    assert any("measure" in note.lower() for note in found["notes"])


def test_what_no_shop_makes_is_refused(demo_store: Path) -> None:
    """A seal has no sketch, and neither has a bush of unknown size."""
    from xref.acts.shop_sketch import sketch

    store = Store.open(demo_store)
    with pytest.raises(Impossible, match="shaft seal"):
        sketch(store, 1, DAY)
    unknown = wants.add(store, "ZZ 9", quantity=1, kind="plain_bushing", on=DAY)["want"]
    with pytest.raises(NeedsAnswer, match="not measured"):
        sketch(store, unknown, DAY)


def test_hostile_text_is_text_on_paper(demo_store: Path) -> None:
    """Markup in a want is escaped on the sheet."""
    store = Store.open(demo_store)
    hostile = "<script>x</script>"
    wants.add(store, "DG/1143", quantity=1, description=hostile, place=hostile, on=DAY)
    text = gather.wanted(store, Paper(DAY))
    assert "&lt;script&gt;" in text
    assert hostile not in text


def test_a_sheet_is_written_where_it_was_asked_for(
    demo_store: Path, xref: Xref, tmp_path: Path
) -> None:
    """The command writes the file, says where, and refuses a place it cannot write."""
    place = tmp_path / "wall.html"
    answer = xref("sheet", "wanted", "--out", place, "--store", demo_store, "--json")
    assert answer.document["file"] == str(place)
    assert place.read_text(encoding="utf-8").startswith("<!doctype html>")
    answer = xref("sheet", "wanted", "--out", tmp_path / "no" / "x.html", "--store", demo_store)
    assert answer.status == 4
    assert "cannot be written" in " ".join(answer.err.split())


@pytest.mark.parametrize("words", [["--unit", "cm"], ["--paper", "A9"]])
def test_a_wrong_answer_is_a_usage_error(demo_store: Path, xref: Xref, words: list[str]) -> None:
    """Another unit or paper than those there are is refused in words."""
    answer = xref("sheet", "wanted", "--store", demo_store, *words)
    assert answer.status == 2
    assert words[1] in answer.err


def test_without_a_browser_a_pdf_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no Chromium is found, --pdf says how to get one and what to do without."""
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(Refused, match="apt install chromium"):
        pdf.write("<p>x", tmp_path / "x.pdf")
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "points"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_a_fit_sheet_prints_on_one_page(
    demo_store: Path, tmp_path: Path, paper: str, points: tuple[int, int]
) -> None:
    """Printed by Chromium the fit sheet is one page of the paper asked for, with its text."""
    import pdfplumber

    if pdf.browser() is None:
        pytest.fail(
            "This test prints with Chromium and found none. Install it (Debian: apt install "
            "chromium).",
            pytrace=False,
        )
    place = tmp_path / "fit.pdf"
    pdf.write(gather.fit(Store.open(demo_store), Paper(DAY, paper=paper), "DG/1143"), place)
    with pdfplumber.open(place) as printed:
        assert len(printed.pages) == 1
        page = printed.pages[0]
        assert (round(page.width), round(page.height)) == points
        text = page.extract_text()
    assert "UMB-735" in text
    assert "permitted 60.249 to 60.401 mm" in text
