"""Bytes to text, saying how the encoding was found out.

Byte order mark, then UTF-16 by the pattern of its zero bytes, then strict UTF-8, then the few
single-byte encodings old office programs wrote. A parts list holds a handful of bytes outside
ASCII (½, Ø, £, ü), too few for statistics over a language: each candidate is judged by whether
those bytes become characters that belong in such a list where they stand, and
charset-normalizer only breaks ties (alone it took `Ø60 ±0.02` and `½ doz` for other things).
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from xref.errors import Refused
from xref.tables.formats.source import printable

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark it starts with
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_CANDIDATES = ("cp1252", "cp850", "mac_roman", "cp1250")  # earlier wins a tie

_WESTERN = frozenset("äöüßéèêëàâçùûîïôœæøåñáíóúìòãõÿ")
_SELDOM = frozenset("ìòõÿ")
_CENTRAL = frozenset("šžčřěůýťďňąęłńśźżćőűăşţđ")
_AFTER_NUMBER = frozenset("½¼¾⅛⅜⅝⅞°²³×±µ\"'”’″′%€£")
_BEFORE_NUMBER = frozenset("£€±Øø×≤≥⌀~")
_PUNCTUATION = frozenset("½¼¾°±×µ²³®™©·•–—‘’“”…ºª«»§£€Øø¿¡")
_SAMPLE = 20_000


@dataclass(frozen=True, slots=True)
class Decoded:
    """Text, the name of its encoding and a sentence saying how that was found."""

    text: str
    encoding: str
    how: str


def decode(data: bytes, label: str, encoding: str | None = None) -> Decoded:
    """Decode a whole text file; `encoding` is the user's word and overrides everything.

    Raises Refused for an unknown encoding name, bytes the stated encoding does not have, and
    data that is no text.
    """
    name, how, text = _found(data, label, encoding)
    try:
        text = data.decode(name) if text is None else text
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Refused(
            f"{label} is not {name}: the byte 0x{data[error.start]:02x} in line {line} does not "
            "exist in it; name another with --encoding.",
            at=str(line),
        ) from None
    except UnicodeError:
        raise Refused(f"{label} is not {name}; name another with --encoding.") from None
    if "\x00" in text and not _strays(text):
        raise Refused(f"{label} holds NUL characters and is not a text table: export it again.")
    return Decoded(text, "utf-8" if name == "utf-8-sig" else name, how)


def find_encoding(data: bytes, label: str, encoding: str | None = None) -> tuple[str, str]:
    """Return a codec's name and how it was found, for `data` that is the whole file.

    Raises Refused for an unknown name and for data that is no text.
    """
    return _found(data, label, encoding)[:2]


def _found(data: bytes, label: str, encoding: str | None) -> tuple[str, str, str | None]:
    """Return a codec's name, how it was found, and the text where finding it decoded it."""
    if encoding is not None:
        return _stated(data, encoding), "as stated", None
    for mark, name in _MARKS:
        if data.startswith(mark):
            return name, "byte order mark", None
    if wide := _utf16_without_mark(data):
        return wide, "every other byte is zero: UTF-16 without a byte order mark", None
    if b"\x00" in data and not _strays(data.decode("latin-1")):
        raise Refused(f"{label} is binary data, not a table: export the list as CSV or XLSX.")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start >= len(data) - 3 and error.reason == "unexpected end of data":
            # A file cut off inside its last character is still UTF-8 where it has others.
            head = data[: error.start]
            if not head.isascii():
                raise Refused(
                    f"{label} ends in the middle of a character: it was cut off; send it again."
                ) from None
    else:
        return "utf-8", "plain ASCII" if text.isascii() else "valid UTF-8", text
    if _control_share(data) > 0.02:
        raise Refused(f"{label} is binary data, not a table: export the list as CSV or XLSX.")
    return *_single_byte(data), None


def _strays(text: str) -> bool:
    """Whether the NULs of a text are single ones in lines of ordinary characters: hostile data.

    A run of them is a file cut off or a binary one, and so is one that is full of them.
    """
    count = text.count("\x00")
    return "\n" in text and "\x00\x00" not in text and count * 20 <= len(text)


def _stated(data: bytes, encoding: str) -> str:
    try:
        name = codecs.lookup(encoding).name
        text_codec = isinstance("a".encode(name), bytes)  # `hex` and its like refuse text
    except (LookupError, ValueError):
        text_codec = False
    if not text_codec:
        raise Refused(
            f"there is no encoding named {printable(encoding)}: try utf-8, utf-16, cp1252, cp850 "
            "or mac_roman."
        )
    if name == "utf-8" and data.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    return name


def _utf16_without_mark(data: bytes) -> str | None:
    sample = data[:4096]
    sample = sample[: len(sample) // 2 * 2]
    if len(sample) < 4 or len(data) % 2:
        return None
    units = len(sample) // 2
    first, second = sample[0::2].count(0), sample[1::2].count(0)
    for name, zero, other in (("utf-16-le", second, first), ("utf-16-be", first, second)):
        if zero > 0.6 * units and other == 0:
            try:
                text = sample.decode(name)
            except UnicodeDecodeError:
                continue
            if sum(c.isprintable() or c in "\t\r\n" for c in text) > 0.95 * len(text):
                return name
    return None


def _control_share(data: bytes) -> float:
    sample = data[:65536]
    controls = sum(sample.count(c) for c in range(32) if c not in (9, 10, 11, 12, 13, 27))
    return controls / max(1, len(sample))


def _single_byte(data: bytes) -> tuple[str, str]:
    sample = b"\n".join(_lines_outside_ascii(data))
    scores = {name: _belonging(sample, name) for name in _CANDIDATES}
    best = max(scores.values())
    level = [name for name in _CANDIDATES if scores[name] == best]
    name = level[0]
    # Of two that read the same text the first is told: `ü` is the same in cp1252 and cp1250.
    texts = {sample.decode(one, errors="replace"): one for one in reversed(level)}
    level = [one for one in level if one in texts.values()]
    if len(level) > 1:
        name = _by_statistics(sample, level) or name
    count = len(re.findall(rb"[\x80-\xff]", data))
    try:
        data.decode(name)
    except UnicodeDecodeError:
        name = "cp850"  # all 256 bytes mean something in it, so no row is lost
    shown = _first_character(sample, name)
    return name, (
        f"guessed from {count} byte{'s' if count != 1 else ''} outside ASCII, read as {shown}; "
        f"tried {', '.join(_CANDIDATES)}; another is stated with --encoding"
    )


def _lines_outside_ascii(data: bytes) -> list[bytes]:
    lines: list[bytes] = []
    size = 0
    for match in re.finditer(rb"[^\r\n]{0,40}[\x80-\xff][^\r\n]{0,40}", data):
        lines.append(match.group())
        size += len(lines[-1])
        if size > _SAMPLE:
            break
    return lines


def _belonging(sample: bytes, name: str) -> float:
    """Score how well the bytes outside ASCII fit where they stand, decoded as `name`."""
    text = sample.decode(name, errors="replace")
    score = 0.0
    for match in re.finditer(r"[^\x00-\x7f]", text):
        c = match.group()
        before = text[match.start() - 1] if match.start() else " "
        after = text[match.end()] if match.end() < len(text) else " "
        score += _fitness(c, before, after, central=name == "cp1250")
    return score


def _fitness(c: str, before: str, after: str, *, central: bool) -> float:
    in_word = before.isalpha() or after.isalpha()
    if (c in _BEFORE_NUMBER and (after.isdigit() or after == " ")) or (
        c in _AFTER_NUMBER and (before.isdigit() or before in " -\n,;\t\"'")
    ):
        return 3.0
    if c.isupper() and before.islower():
        return -1.5
    if c in "Øø":
        if before.isdigit():
            return -0.5
        return 2.0 if in_word or after.isspace() else 0.5
    if c.lower() in _WESTERN:
        return (1.0 if c in _SELDOM else 2.0) if in_word or c in "àÀ" else -1.0
    if c.lower() in _CENTRAL:
        return (1.5 if central else -1.0) if in_word else -1.5
    if c == "\xa0":
        return 0.5
    if c in _PUNCTUATION:
        return 0.5 if not (before.isalpha() and after.isalpha()) or c in "’–·" else -1.0
    if c == "�" or "\x80" <= c <= "\x9f" or "─" <= c <= "╿":
        return -3.0
    return -1.5


def _by_statistics(sample: bytes, level: list[str]) -> str | None:
    from charset_normalizer import from_bytes

    best = from_bytes(sample, cp_isolation=level).best()
    return best.encoding if best is not None and best.encoding in level else None


def _first_character(sample: bytes, name: str) -> str:
    text = sample.decode(name, errors="replace")
    match = re.search(r"\S{0,12}[^\x00-\x7f]\S{0,12}", text)
    return f"“{printable(match.group())}”" if match else "spaces"
