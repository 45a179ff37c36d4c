"""A check as two bands on one scale: what is permitted above what is there."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from xref.faces.drawings import svg
from xref.faces.drawings.lengths import figure, interval, shown

WIDTH, HEIGHT = 344, 84
LEFT, RIGHT = 8.0, 336.0
PERMITTED_Y, ACTUAL_Y, BAR = 20.0, 56.0, 10.0
_ARROW = 7.0

Interval = tuple[float | None, float | None]


def band(check: Mapping[str, Any], ident: str, unit: str = "mm") -> str | None:
    """Return the picture of one check of a match; None when it has no two bands to draw.

    `check` is one of the contract's checks: `permitted_mm`, `actual_mm`, `estimate_mm` [mm].
    An end that is open runs to the edge with an arrow head.
    """
    permitted, actual = _ends(check, "permitted"), _ends(check, "actual")
    known = [end for end in (*permitted, *actual) if end is not None]
    if permitted == (None, None) or actual == (None, None) or not known:
        return None
    in_mm = check.get("unit", "mm") == "mm"
    start, end = _scale(known)

    def place(value: float) -> float:
        return LEFT + _ARROW + (value - start) / (end - start) * (RIGHT - LEFT - 2 * _ARROW)

    permitted_words = _words(permitted, unit, check)
    actual_words = _words(actual, unit, check)
    overlap = _overlap(permitted, actual)
    estimate = check.get("estimate_mm")
    content = [
        svg.text(LEFT, 14, f"permitted {permitted_words}"),
        _bar(permitted, place, PERMITTED_Y, svg.hatch(ident, "permitted")),
        svg.text(LEFT, HEIGHT - 4, f"actual {actual_words}"),
        _bar(actual, place, ACTUAL_Y, "currentColor"),
    ]
    if overlap is None:
        gap = _gap(permitted, actual)
        amount = (
            shown(gap[1] - gap[0], unit, fractions=False)
            if in_mm
            else f"{figure(gap[1] - gap[0])} {check['unit']}".strip()
        )
        said = f"apart by {amount}"
        content += _apart(place(gap[0]), place(gap[1]), said)
    else:
        low, high = (
            place(o) if o is not None else e for o, e in zip(overlap, (LEFT, RIGHT), strict=True)
        )
        said = "they overlap" if _leaves(permitted, actual) else "the actual lies inside"
        content += [
            svg.line((x, PERMITTED_Y), (x, ACTUAL_Y + BAR), 1, "2 3") for x in sorted({low, high})
        ]
        content.append(_overlap_word(low, high))
    spread = isinstance(estimate, int | float) and actual[0] != actual[1]
    marked = _finite(estimate) if spread else None
    if marked is not None:
        x, middle = place(marked), ACTUAL_Y + BAR / 2
        diamond = [(x - 4, middle), (x, middle - 9), (x + 4, middle), (x, middle + 9)]
        content.append(svg.polygon(diamond, "currentColor", 0.8))
    best = "" if marked is None else f", best estimate {_words((marked, marked), unit, check)}"
    description = (
        f"Permitted {permitted_words}; actual {actual_words}{best}; {said}. "
        f"Result: {check['result']}."
    )
    return svg.drawing(
        ident, WIDTH, HEIGHT, f"Band of {check['name']}", description, content, ["permitted"]
    )


def compared(check: Mapping[str, Any], unit: str = "mm") -> str | None:
    """Return a check's figures in words, for where nothing is drawn; None where it has none.

    What compares words (the type of a bearing, flanged or plain) has no figures: its rule says all.
    """
    permitted, actual = _ends(check, "permitted"), _ends(check, "actual")
    if permitted == (None, None) or actual == (None, None):
        return None
    return f"{_words(actual, unit, check)}, permitted {_words(permitted, unit, check)}"


def _overlap_word(low: float, high: float) -> str:
    """Name the overlap between its two lines, or beside them where they stand close."""
    y = PERMITTED_Y + BAR + 17
    if high - low >= 56:
        return svg.text((low + high) / 2, y, "overlap", 11, text_anchor="middle")
    if high + 50 <= RIGHT:
        return svg.text(high + 5, y, "overlap", 11)
    return svg.text(low - 5, y, "overlap", 11, text_anchor="end")


def _ends(check: Mapping[str, Any], name: str) -> Interval:
    """Return an interval of the check with its open or unknown ends as None."""
    low, high = check.get(f"{name}_mm") or check.get(name) or (None, None)
    return _finite(low), _finite(high)


def _finite(value: Any) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)


def _scale(known: list[float]) -> tuple[float, float]:
    start, end = min(known), max(known)
    room = (end - start) * 0.08 or max(abs(start) * 1e-4, 0.001)
    return start - room, end + room


def _words(ends: Interval, unit: str, check: Mapping[str, Any]) -> str:
    if check.get("unit", "mm") == "mm":
        return interval(*ends, unit)
    return f"{interval(*ends).removesuffix(' mm').replace(' mm or', ' or')} {check['unit']}".strip()


def _bar(ends: Interval, place: Any, y: float, fill: str) -> str:
    """Return a bar; open ends are pointed, a single value stays a visible line."""
    low, high = ends
    left = LEFT + _ARROW if low is None else place(low)
    right = RIGHT - _ARROW if high is None else place(high)
    if right - left < 2:
        middle = (left + right) / 2
        left, right = middle - 1, middle + 1
    points = [(left, y), (right, y)]
    points += [] if high is not None else [(RIGHT, y + BAR / 2)]
    points += [(right, y + BAR), (left, y + BAR)]
    points += [] if low is not None else [(LEFT, y + BAR / 2)]
    return svg.polygon(points, fill)


def _overlap(one: Interval, other: Interval) -> Interval | None:
    lows = [v for v in (one[0], other[0]) if v is not None]
    highs = [v for v in (one[1], other[1]) if v is not None]
    low, high = max(lows, default=None), min(highs, default=None)
    if low is not None and high is not None and low > high + 1e-6:
        return None
    return low, high


def _leaves(permitted: Interval, actual: Interval) -> bool:
    """Whether the actual interval crosses a permitted limit."""
    below = permitted[0] is not None and (actual[0] is None or actual[0] < permitted[0] - 1e-6)
    above = permitted[1] is not None and (actual[1] is None or actual[1] > permitted[1] + 1e-6)
    return below or above


def _gap(permitted: Interval, actual: Interval) -> tuple[float, float]:
    """Return the two limits between which there is nothing; for disjoint intervals."""
    if permitted[0] is not None and actual[1] is not None and actual[1] < permitted[0]:
        return actual[1], permitted[0]
    assert permitted[1] is not None and actual[0] is not None  # noqa: S101 - disjoint
    return permitted[1], actual[0]


def _apart(left: float, right: float, words: str) -> list[str]:
    middle = min(max((left + right) / 2, LEFT + 60), RIGHT - 60)
    y = PERMITTED_Y + BAR + 5
    return [
        svg.line((left, PERMITTED_Y), (left, ACTUAL_Y + BAR), 1, "2 3"),
        svg.line((right, PERMITTED_Y), (right, ACTUAL_Y + BAR), 1, "2 3"),
        svg.line((left, y), (right, y), 2.5),
        svg.text(middle, y + 15, words, 12, text_anchor="middle", font_weight="bold"),
    ]
