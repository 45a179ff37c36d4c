"""Written text to tokens: one spelling for dashes, marks, spaces and fraction characters.

Nothing is decided here; what has no place in a size stays a token of its own
and is refused by the grammar. The scan is one pass without backtracking.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

from xref.errors import Refused

LONGEST = 200  # characters; no size needs a third of it

_FOLD: dict[int, str | None] = {
    **dict.fromkeys(map(ord, "‐‑‒–—―−﹣"), "-"),
    **dict.fromkeys(map(ord, "″“”„‟〃˝"), '"'),
    **dict.fromkeys(map(ord, "′’‘‛´`"), "'"),
    **dict.fromkeys(map(ord, "⌀ØøφΦϕ∅"), "⌀"),
    **dict.fromkeys(map(ord, "⁄∕"), "/"),
    **dict.fromkeys(map(ord, "×✕✖⨯хХ"), "×"),  # the last two are the Cyrillic letter
    **dict.fromkeys(map(ord, "°º˚"), "°"),
    **dict.fromkeys(map(ord, "µμ"), "µ"),
    # Invisible, and without effect on how the number looks: zero-width space and byte-order mark.
    **dict.fromkeys((0x200B, 0xFEFF), None),
    ord("…"): "..",
    ord("㎜"): "mm",
    ord("㎝"): "cm",
    **{0xFF01 + n: chr(0x21 + n) for n in range(94)},  # full-width forms
}
for _code in (*range(0xBC, 0xBF), *range(0x2150, 0x215F), 0x2189):
    # ⅜ becomes " 3/8": without the space 2⅜ would read 23/8.
    _FOLD[_code] = " " + unicodedata.normalize("NFKD", chr(_code)).replace("⁄", "/")

_SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_STACKED = re.compile(r"([⁰¹²³⁴⁵⁶⁷⁸⁹]+)\s*[/⁄∕]\s*([₀₁₂₃₄₅₆₇₈₉]+)")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_SPACES = re.compile(r"\s+")

_TOKEN = re.compile(
    r"""(?P<space>\ )
      | (?P<num>[0-9]+(?:[.,][0-9]+)?|\.[0-9]+)
      | (?P<dots>\.\.\.?)
      | (?P<pm>\+\ ?/\ ?-|\+-|-/\+|±)
      | (?P<sign>[+-])
      | (?P<off>[UuOo]/[Ss](?![A-Za-z]))
      | (?P<label>[IiOo]\.\ ?[Dd])
      | (?P<mm>[mM]/[mM](?![A-Za-z]))
      | (?P<word>[^\W\d_]+)
      | (?P<mark>.)""",
    re.VERBOSE,
)
_MARKS = {
    "/": "slash", '"': "unit", "'": "unit", "×": "times", "*": "times", "⌀": "phi",
    "°": "degree", "(": "open", ")": "close", "=": "equals", ",": "comma", ";": "comma",
    "#": "hash", "&": "and",
}  # fmt: skip

_ABBREVIATED = ("word", "unit", "label")  # a full stop behind one of these is its own

_SPELLINGS = {
    ("unit", "in"): "in ins inch inches zoll pouce pouces pollice pollici pulgada pulgadas duim",
    ("unit", "mm"): "mm mms millimetre millimetres millimeter millimeters millimètre millimètres",
    ("unit", "ft"): "ft foot feet",
    ("unit", "thou"): "thou thous thousandth thousandths",
    ("unit", "tenth"): "tenth tenths",
    ("unit", "mil"): "mil mils",
    ("unit", "µm"): "µm um micron microns micrometre micrometres micrometer micrometers",
    ("unit", "cm"): "cm centimetre centimetres centimeter centimeters",
    ("label", "diameter"): "dia diam diameter diamètre durchmesser bore",
    ("label", "id"): "id inside",
    ("label", "od"): "od outside",
    ("label", "length"): "lg long length lgth lang länge",
    ("label", "width"): "wide width thk thick thickness breit breite",
    ("times", "x"): "x by",
    ("to", "to"): "to bis",
    ("and", "and"): "and und",
    ("degree", "°"): "deg degs degree degrees",
}
_WORDS = {word: token for token, words in _SPELLINGS.items() for word in words.split()}


class Token(NamedTuple):
    """One token: its kind, its text, whether a space stands before it, and where it starts."""

    kind: str
    text: str
    spaced: bool
    at: int


def cleaned(text: object) -> str:
    """Fold spellings and spaces; raises `Refused` for what cannot be a size at all."""
    if not isinstance(text, str):
        raise Refused(
            f"a size is read from text, not from {type(text).__name__}: "
            "a bare number has lost its unit and its fractions. Pass it as it was written.",
            code="size-not-text",
        )
    folded = text.strip()
    if len(folded) > LONGEST:
        raise Refused(
            f"“{folded[:30]}…” is {len(folded)} characters long; a size takes a few. "
            "Give the size alone.",
            code="size-too-long",
        )
    if _CONTROL.search(folded):
        raise Refused(
            f"{folded[:30]!a} holds control characters and may not be what it looks like. "
            "Type the size again.",
            code="size-control-characters",
        )
    if not folded.isascii():
        folded = _STACKED.sub(_unstack, folded).translate(_FOLD)
    folded = _SPACES.sub(" ", folded).strip().replace("''", '"')
    if folded[-1:] == "." and folded[-2:-1].isdigit():
        folded = folded[:-1]  # the full stop of a sentence
    if not folded:
        raise Refused("there is no size here: the text is empty.", code="size-empty")
    return folded


def _unstack(match: re.Match[str]) -> str:
    return f" {match[1].translate(_SUPERSCRIPT)}/{match[2].translate(_SUPERSCRIPT)}"


def tokens(text: str) -> list[Token]:
    """Tokens of a `cleaned` text."""
    found: list[Token] = []
    spaced = False
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or "mark"
        piece = match[0]
        at = match.start()
        if kind == "space":
            spaced = True
            continue
        if kind == "word":
            found.extend(_word(piece, spaced, at))
        elif kind == "label":
            found.append(Token("label", "id" if piece[0] in "iI" else "od", spaced, at))
        elif kind == "mm":
            found.append(Token("unit", "mm", spaced, at))
        elif kind == "off":
            found.append(Token("off", piece.upper(), spaced, at))
        elif kind == "mark":
            if piece == "." and not spaced and found and found[-1].kind in _ABBREVIATED:
                continue
            name = _MARKS.get(piece, "other")
            found.append(Token(name, {'"': "in", "'": "ft"}.get(piece, piece), spaced, at))
        else:
            found.append(Token(kind, piece, spaced, at))
        spaced = False
    return found


def _word(piece: str, spaced: bool, at: int) -> list[Token]:
    known = _WORDS.get(piece.lower())
    if known is not None:
        return [Token(*known, spaced, at)]
    stem = _WORDS.get(piece[:-1].lower())
    if piece[-1] in "xX" and stem is not None and stem[0] in ("unit", "label"):
        # 60mmx80mm
        return [Token(*stem, spaced, at), Token("times", "x", False, at + len(piece) - 1)]
    return [Token("word", piece, spaced, at)]
