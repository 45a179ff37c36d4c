"""Sheets: what stands on them, what a hostile text does to them, how they print."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.command_line import Xref
from xref.errors import Impossible, NeedsAnswer, Refused
from xref.faces.sheets import gather, pdf
from xref.faces.sheets.sheets import Paper
from xref.sourcing import offers, orders, suppliers, teardown, wants
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


def test_the_plan_sheet_carries_its_notes(tmp_path: Path) -> None:
    """Prices with and without tax are not compared on paper in silence."""
    store = Store.open(tmp_path)
    wants.add(store, "AQ 4562", kind="shaft_seal", quantity=1, on=DAY)
    for name, tax in (("Gross", "with tax"), ("Net", "without tax")):
        suppliers.add(store, name, currency="EUR", tax=tax, on=DAY)
        offers.add(store, name, 1, on=DAY, price="11")
    text = gather.plan(store, Paper(DAY))
    assert "with tax: Gross; without tax: Net" in text


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
    for words in ("lip: towards the gear case", "torque: 12 Nm", "on the end: nut"):
        assert words in text
    assert "44.78 to 44.82 mm" in text


def test_the_sketch_of_a_bush_has_limits_with_their_reasons(demo_store: Path) -> None:
    """A bush measured in its place is pressed by s6 and bored for its journal.

    tests/sources/iso286_zones.csv (ISO 286-2 tables, "two independent texts agree"): row
    52,s6 is +72/+53 µm; row 20,H8 is +33/0 µm. That a bush is pressed by s6 and bored H8 is
    ISO 4379 (from memory).
    """
    from xref.acts.shop_sketch import sketch

    store = Store.open(demo_store)
    readings = ["shaft=20.000mm", "housing=52.000mm"]
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
    assert outside["low_mm"] == pytest.approx(52.053)
    assert outside["high_mm"] == pytest.approx(52.072)
    assert 20.0 < bore["low_mm"] < bore["high_mm"] < 20.2
    assert bore["high_mm"] - bore["low_mm"] == pytest.approx(0.033)  # row 20,H8
    text = gather.shop(store, Paper(DAY), done["want"])
    assert "52.053 to 52.072 mm" in text
    assert "⌀ 52.053 to 52.072 mm" in text  # in the drawing too
    assert "ISO 4379" in text


def test_an_unmeasured_sketch_says_measure_first(demo_store: Path) -> None:
    """Limits from nominal sizes carry the sentence that nothing was measured."""
    from xref.acts.shop_sketch import sketch

    found = sketch(Store.open(demo_store), 5, DAY)
    assert found["number"] == "DG/1162"
    assert any("measure" in note.lower() for note in found["notes"])


def _sketched(store: Store, kind: str, readings: list[str]) -> dict[str, Any]:
    """Return the limits of a part made for a place as measured, by dimension."""
    from xref.acts.shop_sketch import sketch_of_place

    noted = teardown.add_place(
        store,
        "Ostrel No. 3",
        f"{kind} place",
        kind=kind,
        readings=readings,
        uncertainty="0.001mm",
        decision="make",
        on=DAY,
    )
    found = sketch_of_place(store, "Ostrel No. 3", str(noted["place"]))
    assert not any("No place was measured" in note for note in found["notes"])
    return {d["name"]: d for d in found["dimensions"]}


@pytest.mark.parametrize("called", ["idler gear", "IDLER GEAR", "DG/1161", "id"])
def test_a_place_is_sketched_by_a_command(
    xref: Xref, demo_store: Path, tmp_path: Path, called: str
) -> None:
    """`xref sheet make` writes the sketch of the page, of a place by name, number or id."""
    noted = teardown.add_place(
        Store.open(demo_store),
        "Ostrel No. 3",
        "idler gear",
        kind="plain_bushing",
        number="DG/1161",
        readings=["shaft=24.980mm", "housing=32.010mm"],
        uncertainty="0.001mm",
        decision="make",
        on=DAY,
    )
    place = str(noted["place"]) if called == "id" else called
    out = tmp_path / "make.html"
    answer = xref("sheet", "make", "Ostrel No. 3", place, "--out", out, "--on", DAY, "--json")
    assert answer.document == {
        "contract": 1, "sheet": "make", "file": str(out), "paper": "A4", "pdf": False,
    }  # fmt: skip
    text = out.read_text(encoding="utf-8")
    assert "for idler gear" in text
    assert text == gather.make(Store.open(demo_store), Paper(DAY), "Ostrel No. 3", place)


def test_a_place_that_is_not_there_is_said(xref: Xref, demo_store: Path) -> None:
    """An unknown machine or place is a sentence that names those known, and writes nothing."""
    teardown.add_place(Store.open(demo_store), "Ostrel No. 3", "idler gear", on=DAY)
    for words, known in ((("No. 9", "fork"), "Ostrel No. 3"), (("Ostrel No. 3", "9"), "idler")):
        answer = xref("sheet", "make", *words)
        assert (answer.status, known in answer.err) == (1, True)


@pytest.mark.usefixtures("demo_store")
def test_a_fit_sheet_carries_groove_and_service(xref: Xref, tmp_path: Path) -> None:
    """The ring's own groove is judged and shown, and what it has to bear stands on the sheet."""
    out = tmp_path / "ring.html"
    groove = ("--groove-diameter", "25.40mm", "--mating-diameter", "31.14mm",
              "--groove-width", "4.60mm")  # fmt: skip
    service = ("--gland", "piston", "--motion", "static", "--pressure-bar", "10", "--dirt")
    assert xref("sheet", "fit", "IP/2171", *groove, *service, "--out", out).status == 0
    text = out.read_text(encoding="utf-8")
    assert "groove width 4.55 to 4.65 mm" in text
    assert "<strong>squeeze</strong>: pass" in text
    assert "Form of the groove: piston; Pressure, bar: 10; Dirt reaches it: yes; Motion" in text
    washer = ("DG/1181", "--gap", "2.60mm", "--wear-track", "6mm,2mm", "--unit", "in")
    assert xref("sheet", "fit", *washer, "--out", out).status == 0
    text = out.read_text(encoding="utf-8")
    assert "gap 0.1" in text
    assert "track position 0.2362 in; track width 0.0787 in" in text


def test_a_washer_is_made_to_the_gap_as_measured(demo_store: Path) -> None:
    """Its thickness is the gap less the middle end float; it goes over the shaft as measured.

    Worked by hand: 2.60 mm less (0.05 + 0.25) / 2 is 2.45 mm, +0/-0.05. The figures are common
    practice, no source (xref/fits/tables/workshop_practice.csv, from memory).
    """
    store = Store.open(demo_store)
    found = _sketched(store, "thrust_washer", ["gap=2.600mm", "shaft=25.900mm"])
    assert found["thickness"]["high_mm"] == pytest.approx(2.45)
    assert found["thickness"]["low_mm"] == pytest.approx(2.40)
    assert found["inside_diameter"]["low_mm"] == pytest.approx(25.901)
    assert found["inside_diameter"]["high_mm"] == pytest.approx(26.899)


def test_a_ring_fills_its_gap(demo_store: Path) -> None:
    """A ring is as thick as its gap and enters its housing, uncertainty taken off both limits.

    Worked by hand: 4.000 ± 0.001 mm leaves 3.951 to 4.049 mm, 62.000 ± 0.001 mm leaves 58.001 to
    61.999 mm (0.05 mm and 4 mm are common practice, no source).
    """
    store = Store.open(demo_store)
    found = _sketched(store, "spacer_ring", ["gap=4.000mm", "housing=62.000mm"])
    assert found["thickness"]["low_mm"] == pytest.approx(3.951)
    assert found["thickness"]["high_mm"] == pytest.approx(4.049)
    assert found["outside_diameter"]["low_mm"] == pytest.approx(58.001)
    assert found["outside_diameter"]["high_mm"] == pytest.approx(61.999)


def test_a_sleeve_is_pressed_on_and_runs_under_a_seal() -> None:
    """A sleeve 28 to 35 mm takes the interference of H7/s6 on its shaft, and h11 for its seal.

    tests/sources/iso286_zones.csv (ISO 286-2 tables, "two independent texts agree"): rows
    28,s6 +48/+35 and 28,H7 +21/0 µm, so bored 28 - 0.048 to 28 - (0.035 - 0.021) mm; row
    35,h11 0/-160 µm. h11 under a seal is ISO 6194-1 (from memory); H7/s6 common practice.
    """
    from xref.acts.shop_limits import limits_of

    found = limits_of(
        "shaft_sleeve", {"inside_diameter": 28.0, "outside_diameter": 35.0, "width": 20.0}, {}
    )
    inside, outside = found["inside_diameter"], found["outside_diameter"]
    assert (inside["low_mm"], inside["high_mm"]) == pytest.approx((27.952, 27.986))
    assert (outside["low_mm"], outside["high_mm"]) == pytest.approx((34.84, 35.0))
    assert found["width"]["source"] == "ISO 2768-1"


def test_limits_without_room_ask_to_measure_again() -> None:
    """Readings too rough for the fit give no limits, and a wall that is drawn is not turned."""
    from xref.acts.shop_limits import limits_of

    own = {"inside_diameter": 28.0, "outside_diameter": 35.0}
    with pytest.raises(Impossible, match="better instrument"):
        limits_of("shaft_sleeve", own, {"shaft": (27.9, 28.1)})
    with pytest.raises(Impossible, match="drawn, not turned"):
        limits_of("shaft_sleeve", {"inside_diameter": 45.0, "outside_diameter": 45.5}, {})


def test_a_flanged_bush_is_sketched_with_its_flange(demo_store: Path) -> None:
    """Flange diameter and thickness stand in the drawing and the table, with the corner's note."""
    store = Store.open(demo_store)
    want = wants.add(store, "IP/2162", quantity=2, on=DAY)["want"]
    text = gather.shop(store, Paper(DAY), want)
    for words in ("⌀ 27.8 to 28.2 mm", "2.9 to 3.1 mm flange", "relieve the corner"):
        assert words in text


def test_what_no_shop_makes_is_refused(demo_store: Path) -> None:
    """Seal, bearing, O-ring, blank have no sketch, each for its reason; nor has an unknown size."""
    from xref.acts.shop_sketch import sketch

    store = Store.open(demo_store)
    with pytest.raises(Impossible, match=r"shaft seal.*its lip is moulded"):
        sketch(store, 1, DAY)
    with pytest.raises(Impossible, match=r"Rolling bearing.*hardened and ground"):
        sketch(store, 3, DAY)
    with pytest.raises(Impossible, match=r"O-ring.*moulded in one piece"):
        sketch(store, 8, DAY)
    blank = wants.add(store, "28 x 42 x 120 mm", quantity=1, kind="bushing_blank", on=DAY)
    with pytest.raises(Impossible, match="stock that is bought"):
        sketch(store, blank["want"], DAY)
    with pytest.raises(Impossible, match="draw it by hand"):
        sketch(store, 14, DAY)
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


# Of each kind the sheet that holds most: a bush made of a blank, one with its place measured,
# an inch seal, a worn shaft, a bearing with four offers, a flanged bush.
FULL = {
    "DG/1143": {},
    "FD/4111": {"place": {"shaft": "44.8mm", "housing": "62.02mm", "depth": "12mm"}},
    "CJ/3162": {},
    "DG/1162": {},
    "CJ/3112": {},
    "DG/1151": {},
    "IP/2162": {},
}


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "points"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_a_fit_sheet_prints_on_one_page(
    demo_store: Path, tmp_path: Path, paper: str, points: tuple[int, int]
) -> None:
    """Printed by Chromium a fit sheet is one page of the paper asked for, with its text."""
    import pdfplumber

    if pdf.browser() is None:
        pytest.fail(
            "This test prints with Chromium and found none. Install it (Debian: apt install "
            "chromium).",
            pytrace=False,
        )
    store = Store.open(demo_store)
    pages, texts = {}, {}
    for number, asked in FULL.items():
        place = tmp_path / "fit.pdf"
        pdf.write(gather.fit(store, Paper(DAY, paper=paper), number, **asked), place)
        with pdfplumber.open(place) as printed:
            page = printed.pages[0]
            pages[number] = (len(printed.pages), round(page.width), round(page.height))
            texts[number] = page.extract_text()
    assert pages == dict.fromkeys(FULL, (1, *points))
    assert "UMB-735" in texts["DG/1143"]
    assert "permitted 60.249 to 60.401 mm" in texts["DG/1143"]
