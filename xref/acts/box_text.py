"""What stands in the text of the one box: the trade's names, places, figures in a row.

Nothing is looked up here. Each function takes something out of a text and gives the rest back.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from xref.kinds.spec import kinds, spec

VULGAR = "½¼¾⅛⅜⅝⅞⅓⅔"
_FIGURE = rf"[\d{VULGAR}]"
JOINED = re.compile(rf"(?i){_FIGURE}\s*(?:mm|in|inch|\"|″)?\s*(?:[x×*]|by)\s*[ø⌀]?\s*[.\d{VULGAR}]")
UNIT = re.compile(rf"(?i){_FIGURE}\s*(?:mm|in|inch|\"|″)(?![a-z])")
_NUMBER = r"[ø⌀]?\s*\d+(?:[.,]\d+)?"
_ROW = re.compile(rf"(?i){_NUMBER}(?P<by>\s*[-/]\s*|\s+){_NUMBER}(?:(?P=by){_NUMBER})?")
_SINGLE = re.compile(rf"(?:\d+[.,]\d+|\d+[ -]\d+/\d+|\d+/\d+|\d*[{VULGAR}])")
_BY = re.compile(
    rf"(?i)(?<={_FIGURE})(\s*(?:mm|in|inch|\"|″)?)\s*(?:by|х)\s*(?=[ø⌀]?[.\d{VULGAR}])"
)
_CALLED = re.compile(r"(?i)^\s*(?:part|order|item)?\s*(?:no|nr|number|num|p/n|#)\s*[.:#]?\s*(?=\S)")
_BETWEEN = re.compile(r"(?i)\s*[,;+]\s*|\s+(?:and|or|und)\s+")
_UNIT_WORDS = ("mm", "cm", "in", "in.", "inch", "inches", "thou")
_WORD = re.compile(r"[^\W\d_][\w-]*\.?")
# Written before a size and said by the place's own name already.
_DIAMETER = r"(?:diameter|dia\.?|ø|⌀)?"
_BEFORE = re.compile(r"(?i)^(?:(?:for|with|of|on|at|in|a|an|the|and|into)\s+)+(?=\S)")
_LOOSE = re.compile(r"(?i)(?:^|\s)(?:for|with|of|on|at|a|an|the|and|into)$")


def plain(text: str) -> str:
    """Return a text on one line without unseen characters."""
    seen = "".join(c for c in text if unicodedata.category(c) not in ("Cf", "Co", "Cs"))
    spaced = "".join(" " if unicodedata.category(c) == "Cc" else c for c in seen)
    return " ".join(unicodedata.normalize("NFC", spaced).split())


def without_kind(text: str) -> tuple[str, str | None]:
    """Take the trade's name of a kind out of a text, the longest name first."""
    names = sorted(
        ((name, kind) for kind in kinds() if kind != "other" for name in spec(kind).names),
        key=lambda pair: -len(pair[0]),
    )
    for name, kind in names:
        pattern = rf"(?i)(?<![\w-]){re.escape(name)}(?:s|es)?(?![\w-])"
        shorter, count = re.subn(pattern, " ", text, count=1)
        if count:
            return " ".join(shorter.split()).strip(" ,;:"), kind
    return text, None


def without_places(text: str) -> tuple[str, dict[str, str]]:
    """Take `shaft 60.31mm` and the like out of a text.

    `bore` is the housing's beside a shaft, and what an O-ring seals against beside a groove;
    alone it may as well be a part's own, and is left.
    """
    words = {p.name.replace("_", " "): p.name for kind in kinds() for p in spec(kind).places}
    words |= {"journal": "shaft", "pocket": "depth"}
    if re.search(r"(?i)\bgroove\b", text):
        words |= {"bore": "mating_diameter", "rod": "mating_diameter"}
    elif re.search(r"(?i)\b(?:shaft|journal)\b", text):
        words |= {"bore": "housing", "housing bore": "housing"}
    longest = sorted(words, key=len, reverse=True)
    named = "|".join(map(re.escape, longest))
    pattern = re.compile(rf"(?i)\b({named})\b\s*{_DIAMETER}\s*[:=]?\s*")
    before, *pieces = pattern.split(text)
    names, sizes = pieces[0::2], pieces[1::2]
    if names and _has_figure(before) and not _has_figure(sizes[-1]):
        # `60mm shaft, 80mm bore`: the sizes stand before what they are of
        before, sizes = sizes[-1], [before, *sizes[:-1]]
    place = {}
    for name, said in zip(names, sizes, strict=True):
        size = said.strip(" ,;")
        unit = UNIT.search(size)
        if unit is not None and re.search(r"(?i)(?:mm|\"|″|\bin)\s+in$", size):
            size = size[:-2].rstrip()  # `60mm in housing`: the second `in` is no inch
        size = _LOOSE.sub("", _BEFORE.sub("", size)).strip(" ,;")
        if size:
            place[words[name.lower()]] = size
    return _LOOSE.sub("", before.strip(" ,;:")).strip(" ,;:"), place


def joined(text: str) -> str:
    """Return sizes joined by `by`, or by the Cyrillic letter that looks like x, joined by x."""
    return _BY.sub(r"\1 x ", text)


def figures_in_a_row(text: str) -> str | None:
    """Return `25-52-7`, `25/52/7`, `25 52 7` as `25 x 52 x 7`; None for anything else.

    Whether they are sizes is for the user to say: a part number may look the same.
    """
    found = _ROW.fullmatch(text)
    if found is None:
        return None
    figures = re.findall(_NUMBER, text)
    return " x ".join(f.replace(" ", "") for f in figures)


def is_single_size(text: str) -> bool:
    """Whether a text is one figure with a fraction or decimals, `2-3/8` or `25,4`."""
    return _SINGLE.fullmatch(text) is not None


def without_words(text: str) -> tuple[str, list[str]]:
    """Take words before and after the figures of a text off it: what is no size by itself."""
    tokens, dropped = text.split(), []
    while tokens and not _has_figure(tokens[0]):
        dropped.append(tokens.pop(0))
    behind: list[str] = []
    while tokens and _WORD.fullmatch(tokens[-1]) and tokens[-1].lower() not in _UNIT_WORDS:
        behind.insert(0, tokens.pop())
    words = [w.strip(" ,;:") for w in (*dropped, *behind)]
    return " ".join(tokens).strip(" ,;:"), [w for w in words if w]


def uncalled(text: str) -> str:
    """Return a number without `No.` or `part number` before it."""
    return _CALLED.sub("", text, count=1).strip()


def several(text: str) -> Sequence[str]:
    """Return the pieces of a text that lists several things."""
    return [piece for piece in _BETWEEN.split(text) if piece]


def _has_figure(token: str) -> bool:
    return any(c.isdigit() or c in VULGAR for c in token)
