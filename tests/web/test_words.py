"""How values and sentences read on a page."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from xref.faces.web.words import dated, percent, sizes, with_place


@pytest.mark.parametrize(
    ("sentence", "shown"),
    [
        ("orders only until 2027-09-30; ask", "orders only until 30 Sep 2027; ask"),
        ("needed by 2027-12-01, less 7 days", "needed by 1 Dec 2027, less 7 days"),
        ("part 2027-13-45 of 2027", "part 2027-13-45 of 2027"),
        ("no day", "no day"),
    ],
)
def test_days_in_a_sentence_read_as_the_page_writes_days(sentence: str, shown: str) -> None:
    """ISO days become the page's days; figures that are no day stay."""
    assert dated(sentence) == shown


def test_a_moment_is_told_by_the_local_clock() -> None:
    """A time stamp of the store is told as hour and day, in the local zone."""
    moment = datetime(2027, 9, 6, 12, 30, tzinfo=UTC)
    local = moment.astimezone()
    told = dated(f"since {moment.isoformat()}; waited")
    assert told == f"since {local:%H:%M} on {local.day} Sep 2027; waited"


@pytest.mark.parametrize(
    ("part", "unit", "shown"),
    [
        (
            {"kind": "shaft_seal",
             "dimensions_mm": {"shaft_diameter": 60.0, "outside_diameter": 80.0, "width": 8.0}},
            "mm", "60 × 80 × 8 mm",
        ),
        (
            {"kind": "rolling_bearing",
             "dimensions_mm": {"bore_diameter": 30.0, "outside_diameter": 62.0,
                               "assembled_width": 17.25}},
            "mm", "30 × 62 mm, assembled width 17.25 mm",
        ),
        (
            {"kind": "plain_bushing",
             "dimensions_mm": {"bore_diameter": 25.4, "outside_diameter": 33.3375, "length": None,
                               "flange_diameter": 38.1}},
            "in", "1 × 1-5/16 in, flange diameter 1-1/2 in",
        ),
        ({"kind": None, "dimensions_mm": {}}, "mm", ""),
    ],
)  # fmt: skip
def test_all_sizes_of_a_part_are_said(part: dict[str, Any], unit: str, shown: str) -> None:
    """The kind's order first, then what else is known, each named; nothing known is nothing."""
    assert sizes(part, unit) == shown


@pytest.mark.parametrize(
    ("description", "place", "shown"),
    [
        ("Seal, drum shaft", "drum shaft, drive side", "Seal, drum shaft, drive side"),
        ("Bush, clutch fork", "clutch fork", "Bush, clutch fork"),
        ("Oil seal", None, "Oil seal"),
        (None, "Countershaft", "Rotary shaft seal, Countershaft"),
    ],
)
def test_a_place_is_said_once(description: str | None, place: str | None, shown: str) -> None:
    """What description and place both say stands once."""
    want = {"description": description, "place": place, "kind": "shaft_seal"}
    assert with_place(want) == shown


@pytest.mark.parametrize(
    ("chance", "shown"),
    [
        (1.0, "100 %"),
        (0.9999, "over 99 %"),
        (0.641, "64 %"),
        (0.0001, "under 1 %"),
        (0.0, "0 %"),
        (None, "not known"),
    ],
)
def test_a_chance_is_never_rounded_to_certainty(chance: float | None, shown: str) -> None:
    """Only 1 is 100 %, only 0 is 0 %."""
    assert percent(chance) == shown
