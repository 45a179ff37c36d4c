"""Bands: what is permitted, what is there, and how far apart they are."""

from __future__ import annotations

from typing import Any

import pytest

from tests.drawings.svg_reader import Picture, box
from xref.faces.drawings.bands import LEFT, RIGHT, band
from xref.faces.drawings.lengths import interval, shown


def _check(permitted: Any, actual: Any, result: str = "pass", **more: Any) -> dict[str, Any]:
    return {
        "name": "housing",
        "permitted_mm": permitted,
        "actual_mm": actual,
        "estimate_mm": None,
        "result": result,
        **more,
    }


def _picture(check: dict[str, Any], unit: str = "mm") -> Picture:
    text = band(check, "b", unit)
    assert text is not None
    return Picture(text)


def test_both_bands_have_one_scale() -> None:
    """The lengths of the bars are in the proportion of the intervals, their starts aligned."""
    picture = _picture(_check([80.0, 80.046], [80.0, 80.023]))
    permitted, actual = (box(points) for points in picture.polygons())
    assert permitted[2] - permitted[0] == pytest.approx(2 * (actual[2] - actual[0]), rel=0.01)
    assert permitted[0] == actual[0]
    assert "the actual lies inside" in picture.description()
    assert "overlap" in picture.texts()


def test_disjoint_bands_say_how_far_apart_they_are() -> None:
    """Between limits that do not meet stands the distance, in the unit asked for."""
    check = _check([59.81, 60.0], [60.249, 60.401], "fail")
    picture = _picture(check)
    assert "apart by 0.249 mm" in picture.texts()
    assert "apart by 0.0098 in" in _picture(check, "in").texts()
    permitted, actual = (box(points) for points in picture.polygons())
    heavy = [(a[0], b[0]) for a, b, width in picture.lines() if width == 2.5]
    assert heavy == [(pytest.approx(permitted[2]), pytest.approx(actual[0]))]


def test_apart_below_is_told_like_apart_above() -> None:
    """An actual interval below the permitted one is as far apart as its upper end says."""
    assert "apart by 0.5 mm" in _picture(_check([10.0, 11.0], [9.0, 9.5], "fail")).texts()


def test_an_open_end_runs_to_the_edge() -> None:
    """A limit on one side only is a bar with an arrow head at the edge, and words for it."""
    picture = _picture(_check([8.3, None], [12.45, 12.55]))
    assert box(picture.polygons()[0])[2] == RIGHT
    assert "permitted 8.3 mm or more" in picture.texts()
    assert box(_picture(_check([None, 8.0], [7.0, 7.1])).polygons()[0])[0] == LEFT


def test_a_single_value_stays_visible() -> None:
    """An actual size without a spread is still a bar of two units."""
    left, _, right, _ = box(_picture(_check([5.0, 6.0], [5.5, 5.5])).polygons()[1])
    assert right - left == pytest.approx(2)


def test_crossing_a_limit_is_said() -> None:
    """An interval that leaves the permitted one overlaps, and is not said to lie inside."""
    assert "they overlap" in _picture(_check([62.0, 62.046], [61.96, 62.06])).description()


@pytest.mark.parametrize(
    ("permitted", "actual"),
    [([None, None], [1.0, 2.0]), ([1.0, 2.0], [None, None]), ([1.0, float("inf")], None)],
)
def test_what_has_no_two_bands_is_not_drawn(permitted: Any, actual: Any) -> None:
    """A check without a permitted or an actual interval has no picture."""
    assert band(_check(permitted, actual, "not checked"), "b") is None


def test_other_units_than_lengths_keep_theirs() -> None:
    """A speed is labelled as a speed, also where lengths are shown in inches."""
    check = {"name": "speed", "unit": "m/s", "result": "pass", "estimate_mm": None}
    check |= {"permitted": [None, 14.0], "actual": [3.2, 3.2]}
    texts = _picture(check, "in").texts()
    assert "permitted up to 14 m/s" in texts
    assert "actual 3.2 m/s" in texts


def test_the_name_of_a_check_is_text() -> None:
    """Markup in a check's name is escaped."""
    text = band(_check([1.0, 2.0], [1.0, 1.5]) | {"name": "<b>&"}, "b")
    assert text is not None
    assert "<b>" not in text
    assert Picture(text).root is not None


@pytest.mark.parametrize(
    ("mm", "unit", "expected"),
    [
        (25.4, "in", "1 in"),
        (60.325, "in", "2-3/8 in"),
        (9.525, "in", "3/8 in"),
        (60.31, "in", "2.3744 in"),
        (60.0, "mm", "60 mm"),
        (-0.0001, "mm", "0 mm"),
    ],
)
def test_lengths_read_as_the_trade_writes_them(mm: float, unit: str, expected: str) -> None:
    """1 in is 25.4 mm exactly (ISO 80000-3); 64ths are written as fractions, the rest decimal."""
    assert shown(mm, unit) == expected


def test_an_interval_in_inches_is_decimal() -> None:
    """Limits are never rounded to a fraction."""
    assert interval(60.249, 60.401, "in") == "2.372 to 2.378 in"
    assert interval(25.4, 50.8, "in") == "1 to 2 in"


def test_an_unknown_unit_is_refused() -> None:
    """A unit that is neither millimetre nor inch is an error of the caller."""
    with pytest.raises(ValueError, match="mm or in"):
        shown(1.0, "cm")


def test_the_best_estimate_is_marked_and_said() -> None:
    """A diamond stands on the actual bar at the estimate; its figure is in the text equivalent."""
    picture = _picture(_check([80.0, 80.046], [80.0, 80.02]) | {"estimate_mm": 80.005})
    _, actual, diamond = (box(points) for points in picture.polygons())
    middle = (diamond[0] + diamond[2]) / 2
    along = (middle - actual[0]) / (actual[2] - actual[0])
    assert along == pytest.approx(0.25, abs=0.01)
    assert "best estimate 80.005 mm" in picture.description()
    assert "best estimate" not in _picture(_check([1.0, 2.0], [1.5, 1.5])).description()
