"""Sizes inside descriptions, such as `Oil seal 60x80x8`, where a list has no size columns."""

from __future__ import annotations

import re

_N = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d+[⅛¼⅜½⅝¾⅞]|\d+[.,]\d+|[.,]\d+|\d+|[⅛¼⅜½⅝¾⅞])"
_UNIT = r"(?:\s?(?:mm|in\.?|ins|inch|inches|\"|''|″|”))?"
_LABEL = r"(?:\s?(?:i\.?d\.?|o\.?d\.?|bore|long|lg|wide|w|thick|thk|dia)\b\.?)?"
_ONE = rf"[Øø⌀φ]?\s?{_N}{_UNIT}{_LABEL}"
_CROSSED = re.compile(rf"(?<![\w./-]){_ONE}(?:\s?[x×X*]\s?{_ONE}){{1,2}}(?![\w/]|[.,]\d)", re.I)
_SLASHED = re.compile(
    r"(?<![\w./-])(\d+(?:[.,]\d+)?/){2}\d+(?:[.,]\d+)?(?:\s?mm)?(?![\w/]|[.,]\d|-\d)"
)
_LED = (
    r"(?:i\.?d\.?|o\.?d\.?|w|bore|inside dia(?:meter)?|outside dia(?:meter)?|length|width|"
    r"thickness)"
    rf"\s?[:=]?\s?{_N}{_UNIT}"
)
_LED_BY_LABELS = re.compile(
    rf"(?<![\w./-]){_LED}(?:\s?[,;x×/]?\s?{_LED}){{1,2}}(?![\w/]|[.,]\d)", re.I
)


_BEHIND = rf"{_N}{_UNIT}\s?(?:i\.?d\.?|o\.?d\.?|bore|long|lg|wide|thick|thk)\b\.?"
_LABELS_BEHIND = re.compile(
    rf"(?<![\w./-]){_BEHIND}(?:\s?[,;/]?\s?{_BEHIND}){{1,2}}(?![\w/]|[.,]\d)", re.I
)


def _crossed(text: str) -> str:
    """Return `ID: 20 mm, OD: 25 mm` in the form that sizes together are written in."""
    return " x ".join(re.sub(r"[:=]", " ", one).strip() for one in re.findall(_LED, text, re.I))


def find(text: str) -> str:
    """Return the one run of sizes in `text`, or an empty text where there is none or two."""
    if len(text) > 2000 or not any(map(str.isdigit, text)):
        return ""
    found = [match.group().strip() for match in _CROSSED.finditer(text)]
    if not found:
        found = [match.group().strip() for match in _SLASHED.finditer(text)]
    if not found:
        found = [_crossed(match.group()) for match in _LED_BY_LABELS.finditer(text)]
    if not found:
        behind = [match.group() for match in _LABELS_BEHIND.finditer(text)]
        found = [" x ".join(re.findall(_BEHIND, one, re.I)) for one in behind]
    return found[0] if len(found) == 1 else ""
