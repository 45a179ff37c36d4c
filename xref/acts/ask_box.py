"""One box for whatever the user has: a number, sizes, a place as measured, or a description.

What a text is, in this order: a number that a list knows; sizes (with the place's words, `shaft
60.31mm housing 80.01mm`, or joined, `60x80x8 seal`); a designation by a standard; else a number
or a description to be looked for. What stays open is a question with its answers, never a guess.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from xref.errors import Impossible, NeedsAnswer, Refused
from xref.kinds.designation import decode
from xref.kinds.spec import kinds, spec

if TYPE_CHECKING:
    from xref.sizes import Size
    from xref.store import Store

Row = dict[str, Any]
LONGEST = 200
_JOINED = re.compile(r"(?i)\d\s*(?:mm|in|inch|\"|″)?\s*[x×*]\s*[ø⌀]?\s*[.\d]")
_UNIT = re.compile(r"(?i)\d\s*(?:mm|in|inch|\"|″)(?![a-z])")


def understand(store: Store, text: str, *, kind: str | None = None, unit: str | None = None) -> Row:
    """Say what a text is; nothing is looked up beyond whether a list knows it as a number.

    Returns `text`, `reading` (`nothing`, `number`, `sizes`, `question`, `search`), and with it
    `number`, or `kind`, `part` and `place` (written sizes by dimension and by place), or the
    `question` with its `choices` (`label`, `name` of what is to be said, `value`). `why` says in
    words how it was read. `kind` and `unit` are answers given before.
    """
    plain = " ".join(unicodedata.normalize("NFC", text).split())
    if len(plain) > LONGEST:
        raise Impossible(
            f"The box takes up to {LONGEST} characters; this text has {len(plain)}. To look for "
            "many parts, read them as a list.",
            code="too-long",
        )
    if kind is not None and kind not in kinds():
        raise Impossible(f"{kind!r} is not a kind of part: {', '.join(kinds())}", at="kind")
    if not plain:
        return {"text": plain, "reading": "nothing"}
    if store.items_by_number(plain):
        return _number(plain, "a number that stands in your lists")
    try:
        sized = _sizes(plain, kind, unit)
    except NeedsAnswer as question:
        return {
            "text": plain,
            "reading": "question",
            "question": question.question,
            "choices": _units(question.readings),
        }
    if sized is not None:
        return {"text": plain, **sized}
    designation = decode(plain)
    if designation is not None:
        return _number(plain, f"a designation: {designation.source}")
    return {
        "text": plain,
        "reading": "search",
        "why": "words to look for: no list has it as a number as it stands",
    }


def answer(
    store: Store,
    text: str,
    *,
    kind: str | None = None,
    unit: str | None = None,
    place: Mapping[str, str] | None = None,
    uncertainty: str | None = None,
    service: Mapping[str, Any] | None = None,
    top: int = 10,
    on: date | None = None,
) -> Row:
    """Understand the text and do what it asks: match it, look for it, or put the question.

    `place`, `uncertainty` and `service` come from the fields beside the box and add to what the
    text says. Returns `asked` (see `understand`), `match` (the document of a match) or None, and
    `matches` (what a search found).
    """
    from xref.acts.identify import identify
    from xref.acts.match import match

    given = {name: in_unit(size, unit) for name, size in (place or {}).items()}
    asked = understand(store, text, kind=kind, unit=unit)
    if asked["reading"] == "nothing" and given:
        asked = _with_kind({"text": "", "part": {}, "place": {}}, kind, 0, given)
    result: Row = {"asked": asked, "match": None, "matches": []}
    if asked["reading"] == "search":
        result["matches"] = identify(store, asked["text"], top=top)["matches"]
        return result
    if asked["reading"] not in ("number", "sizes"):
        return result
    try:
        result["match"] = match(
            store,
            number=asked.get("number"),
            kind=kind if asked["reading"] == "number" else asked["kind"],
            part=asked.get("part"),
            place={**asked.get("place", {}), **given},
            uncertainty=uncertainty,
            service=service,
            top=top,
            on=on,
        )
    except NeedsAnswer as question:
        asked |= {"reading": "question", "question": question.question}
        asked["choices"] = _units(question.readings)
        if asked.get("number"):
            result["matches"] = identify(store, asked["number"], top=top)["matches"]
            if question.code == "number-ambiguous":
                asked["question"] = f"{asked['number']} has different sizes. Which is yours?"
                asked["choices"] = _forms(store, asked["number"])
        return result
    if asked.get("number") and not result["match"]["candidates"]:
        result["matches"] = identify(store, asked["number"], top=top)["matches"]
    return result


def _number(text: str, why: str) -> Row:
    return {"text": text, "reading": "number", "number": text, "why": why}


def _sizes(text: str, kind: str | None, unit: str | None) -> Row | None:
    """Read the text as sizes with the words of a kind and of places; None if it is none."""
    if not any(c.isdigit() for c in text):
        return None
    rest, named = _without_kind(text)
    rest, place = _without_places(rest)
    kind = kind or named
    if not place and not _JOINED.search(rest) and not _UNIT.search(rest) and unit is None:
        return None  # a bare figure is a number before it is a size
    from xref.sizes import sizes

    read: list[Size] = []
    if rest:
        try:
            read = sizes(rest, _known_unit(unit))
        except Refused:
            return None
    if not read and not place:
        return None
    if kind is not None:
        order = spec(kind).written_order or spec(kind).dimension_names
        if len(read) > len(order):
            raise Impossible(
                f"{rest} has {len(read)} sizes; a {spec(kind).title.lower()} has {len(order)}: "
                + " × ".join(name.replace("_", " ") for name in order),
                at="sizes",
            )
        part = {n: _written(s) for n, s in zip(order, read, strict=False)}
    else:
        part = {}
    place = {name: in_unit(size, unit) for name, size in place.items()}
    return _with_kind({"part": part, "place": place}, kind, len(read), place)


def _with_kind(found: Row, kind: str | None, count: int, place: Iterable[str]) -> Row:
    if kind is not None:
        return {
            **found,
            "reading": "sizes",
            "kind": kind,
            "why": f"sizes of {_article(_title(kind))}",
        }
    return {
        **found,
        "reading": "question",
        "question": "These are sizes. Of what kind of part?",
        "choices": [
            {"label": spec(k).title, "name": "kind", "value": k}
            for k in kinds()
            if k != "other"
            and len(spec(k).written_order) >= count
            and {p.name for p in spec(k).places}.issuperset(place)
        ],
    }


def _written(size: Size) -> str:
    """Return a size's text with its unit, so that it reads the same alone."""
    return size.text if _UNIT.search(size.text) else f"{size.text}{size.unit}"


def _known_unit(unit: str | None) -> Literal["mm", "in"] | None:
    if unit is None:
        return None
    if unit == "mm":
        return "mm"
    if unit == "in":
        return "in"
    raise Impossible(f"{unit!r} is no unit of sizes: mm or in", at="unit")


def in_unit(text: str, unit: str | None) -> str:
    """Return a size with the unit the user answered with, where it has none of its own."""
    return text if unit is None or not text or _UNIT.search(text) else f"{text}{unit}"


def _without_kind(text: str) -> tuple[str, str | None]:
    """Take the trade's name of a kind out of a text, the longest name first."""
    names = sorted(
        (
            (name, kind)
            for kind in kinds()
            if kind != "other"
            for name in (kind.replace("_", " "), spec(kind).title, *spec(kind).other_names)
        ),
        key=lambda pair: -len(pair[0]),
    )
    for name, kind in names:
        pattern = rf"(?i)(?<![\w-]){re.escape(name)}(?:s|es)?(?![\w-])"
        shorter, count = re.subn(pattern, " ", text, count=1)
        if count:
            return " ".join(shorter.split()).strip(" ,;:"), kind
    return text, None


def _without_places(text: str) -> tuple[str, dict[str, str]]:
    """Take `shaft 60.31mm` and the like out of a text."""
    words = {p.name.replace("_", " "): p.name for kind in kinds() for p in spec(kind).places}
    words |= {"journal": "shaft", "pocket": "depth"}
    longest = sorted(words, key=len, reverse=True)
    pattern = re.compile(rf"(?i)\b({'|'.join(map(re.escape, longest))})\b\s*[:=]?\s*")
    pieces = pattern.split(text)
    place = {
        words[name.lower()]: said.strip(" ,;and")
        for name, said in zip(pieces[1::2], pieces[2::2], strict=True)
        if said.strip(" ,;and")
    }
    return pieces[0].strip(" ,;:"), place


def _units(readings: Sequence[object]) -> list[Row]:
    units = dict.fromkeys(getattr(reading, "unit", None) for reading in readings)
    words = {"mm": "millimetres", "in": "inches"}
    return [{"label": words[u], "name": "unit", "value": u} for u in units if u in words]


def _forms(store: Store, number: str) -> list[Row]:
    """Return the different sizes that lists give one number, as texts for the box."""
    forms: dict[str, Row] = {}
    for item in store.items_by_number(number):
        kind, sizes = item["kind"], item["dimensions_mm"]
        if not kind or not sizes:
            continue
        order = [n for n in spec(kind).written_order if n in sizes]
        text = " x ".join(f"{sizes[n]:.10g}" for n in order) + " mm"
        variant = f", {item['variant']}" if item.get("variant") else ""
        label = f"{_title(kind)} {text}{variant} ({item['list']})"
        forms.setdefault(
            f"{text} {kind}", {"label": label, "name": "q", "value": f"{text} {_title(kind)}"}
        )
    return list(forms.values())


def _article(noun: str) -> str:
    return f"an {noun}" if noun[0] in "aeiouO" else f"a {noun}"


def _title(kind: str) -> str:
    return spec(kind).title.lower().replace("o-ring", "O-ring")
