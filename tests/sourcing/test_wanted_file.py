"""Wanted and supplier lists as files: nothing that stands in a row is dropped in silence."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from xref.acts.load import load
from xref.sourcing import suppliers, wants
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 1, 11)
HEADINGS = "Part No,Maker,Description,Size,Kind,Qty,Needed by,Place,Remarks\n"


def _load(store: Store, folder: Path, table: str, text: str) -> dict[str, Any]:
    file = folder / f"{table}.csv"
    file.write_text(text, encoding="utf-8")
    return load(store, file, on=ON, table=table)


def test_all_that_a_row_says_is_kept(store: Store, tmp_path: Path) -> None:
    """Sizes in their unit, description, and in the remark whatever has no field of its own."""
    rows = (
        "LM-201,Hesket,Oil seal,45x62x8 mm,shaft_seal,1,2027-05-01,front,urgent\n"
        'UM-1,,Oil seal,"2-3/8 x 3-1/8 x 1/2 in",shaft_seal,2,,rear,\n'
    )
    assert _load(store, tmp_path, "wanted", HEADINGS + rows)["notes"] == []
    one, two = wants.listing(store, ON)["wants"]
    assert one["sizes"] == {"shaft_diameter": "45mm", "outside_diameter": "62mm", "width": "8mm"}
    assert (one["description"], one["remark"]) == ("Oil seal", "maker: Hesket; Remarks: urgent")
    assert two["sizes"] == {
        "shaft_diameter": "2.375in",
        "outside_diameter": "3.125in",
        "width": "0.5in",
    }


def test_pieces_are_never_guessed_in_silence(store: Store, tmp_path: Path) -> None:
    """None wanted is set aside; pieces not understood, and a day that is none, are told."""
    rows = (
        "LM-1,,Bush,,,0,,,\n"
        "LM-2,,Bush,,,two or so,2027-02-30,,\n"
        "LM-3,,Bush,,,,,,\n"
        "LM-4,,Bush,,,4,,,\n"
    )
    done = _load(store, tmp_path, "wanted", HEADINGS + rows)
    assert [(w["number"], w["quantity"]) for w in wants.listing(store, ON)["wants"]] == [
        ("LM-2", 1),
        ("LM-3", 1),
        ("LM-4", 4),
    ]
    (aside,) = done["set_aside_rows"]
    assert (aside["at"], aside["raw"]) == (2, "number: LM-1; description: Bush; quantity: 0")
    assert [n for n in done["notes"] if n.endswith("1 is noted")] == [
        "row 3: 'two or so' is no number of pieces: 1 is noted",
        "row 4: no number of pieces stands there: 1 is noted",
    ]
    assert "row 3: date '2027-02-30' is not in the calendar" in done["notes"]


def test_more_pieces_of_what_is_wanted_are_not_dropped(store: Store, tmp_path: Path) -> None:
    """The same number and place, however written, with other pieces is set aside with the want."""
    rows = "LM-201,,Oil seal,,,1,,front,\n"
    _load(store, tmp_path, "wanted", HEADINGS + rows)
    assert _load(store, tmp_path, "wanted", HEADINGS + rows)["new"] == 0
    done = _load(store, tmp_path, "wanted", HEADINGS + "lm 201,,Oil seal,,,4,, Front,\n")
    assert len(wants.listing(store, ON)["wants"]) == 1
    (aside,) = done["set_aside_rows"]
    assert (
        "want 1 is open for this number and place (pieces: 1), and this row says 4"
        in (aside["reason"])
    )


def test_a_supplier_s_row_is_kept_whole(store: Store, tmp_path: Path) -> None:
    """Address, telephone and mail are contact details, tax a term of it; slips are told."""
    done = _load(
        store,
        tmp_path,
        "suppliers",
        "Supplier,Address,Telephone,Email,Tax,Closes,Remark,Opening hours\n"
        "Alder Quay,Mill Lane 3,555 01,a@b.example,excl. VAT,2027-02-30,ring twice,Tuesdays\n",
    )
    row = suppliers.show(store, "Alder Quay", ON)
    assert row["contact"] == "Mill Lane 3; 555 01; a@b.example"
    assert row["tax_basis"] == "without tax"
    assert row["remark"] == "ring twice; Opening hours: Tuesdays"
    assert done["notes"] == ["row 2: date '2027-02-30' is not in the calendar"]
