"""One box for whatever the user has: a number, sizes, a place as measured, or a description.

What a text is, in this order: a number that a list knows; sizes (with the place's words, `shaft
60.31mm housing 80.01mm`, or joined, `60x80x8 seal`); a designation by a standard; else a number
or a description to be looked for. What stays open is a question with its answers, never a guess.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from xref.acts import box_text
from xref.errors import Impossible, NeedsAnswer, Refused
from xref.kinds.designation import decode
from xref.kinds.spec import kinds, known_kind, spec

if TYPE_CHECKING:
    from xref.sizes import Size
    from xref.store import Store

Row = dict[str, Any]
LONGEST = 200
_LISTED = "a number that stands in your lists"
_UNITS = {"mm": "millimetres", "in": "inches"}
# What is most often renewed stands first among the kinds that are asked about (common practice).
_ASKED_FIRST = ("shaft_seal", "rolling_bearing", "plain_bushing", "o_ring", "thrust_washer")


def understand(store: Store, text: str, *, kind: str | None = None, unit: str | None = None) -> Row:
    """Say what a text is; nothing is looked up beyond whether a list knows it as a number.

    Returns `text`, `reading` (`nothing`, `number`, `sizes`, `question`, `search`), and with it
    `number`, or `kind`, `part` and `place` (written sizes by dimension and by place), or the
    `question` with its `choices` (`label`, `name` of what is to be said, `value`). `why` says in
    words how it was read. `kind` and `unit` are answers given before.
    """
    plain = box_text.plain(text)
    if len(plain) > LONGEST:
        raise Impossible(
            f"The box takes up to {LONGEST} characters; this text has {len(plain)}. To look for "
            "many parts, read them as a list.",
            code="too-long",
        )
    if kind is not None:
        known_kind(kind, code=Impossible.code)
    if not plain:
        return {"text": plain, "reading": "nothing"}
    if store.items_by_number(plain):
        return _number(plain, _LISTED)
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
    other = _named(store, plain) or _maybe_sizes(plain, unit)
    if other is not None:
        return other
    why = "words to look for: no list has it as a number as it stands"
    refusal = _refusal(plain)
    return {
        "text": plain,
        "reading": "search",
        "why": f"{why}, and as sizes it cannot be read: {refusal}" if refusal else why,
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
    if asked["reading"] == "search" or asked.get("look"):
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
        if question.code == "size-two-standards":
            asked["choices"] = _standards(asked["text"], question.readings)
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


def _named(store: Store, text: str) -> Row | None:
    """Return the number in a text that says more: `no. DG/1143`, `6205 bearing`, two numbers."""
    uncalled = box_text.uncalled(text)
    if uncalled != text and store.items_by_number(uncalled):
        return {**_number(uncalled, _LISTED), "text": text}
    rest, kind = box_text.without_kind(text)
    if kind is not None and rest:
        if store.items_by_number(rest):
            return {**_number(rest, _LISTED), "text": text}
        if kind == "o_ring" and decode(f"dash {rest}") is not None:
            return {**_number(f"dash {rest}", f"the AS568 dash number {rest}"), "text": text}
        first, _, more = rest.partition(" ")
        named = decode(first)
        if named is not None and named.kind == kind and " " not in more:
            why = f"a designation: {named.source}" + (f"; not looked at: {more}" if more else "")
            return {**_number(first, why), "text": text}
    pieces = [piece for piece in box_text.several(text) if store.items_by_number(piece)]
    if len(pieces) > 1:
        return {
            "text": text,
            "reading": "question",
            "question": "These are several numbers. Which first?",
            "choices": [{"label": one, "name": "q", "value": one} for one in pieces],
        }
    return None


def _maybe_sizes(text: str, unit: str | None) -> Row | None:
    """Return the question that figures raise which may be sizes or a number; None for others.

    What may be a number is looked for besides (`look`).
    """
    row = box_text.figures_in_a_row(text)
    choices: list[Row]
    if row is not None:
        question = f"No list has {text} as a number. Are these sizes?"
        choices = [{"label": f"Sizes: {row.replace(' x ', ' × ')}", "name": "q", "value": row}]
    elif box_text.is_single_size(text) and unit is None:
        question = f"{text} is no number in your lists. Is it a size?"
        fraction = "/" in text or not set(box_text.VULGAR).isdisjoint(text)
        units = ("in",) if fraction else ("mm", "in")
        choices = [
            {"label": f"A size: {text} {_UNITS[u]}", "name": "q", "value": f"{text} {u}"}
            for u in units
        ]
    elif text.isdigit() and decode(f"dash {text}") is not None:
        question = f"No list has {text} as a number. Is it the dash number of an O-ring?"
        choices = [{"label": f"O-ring, dash {text}", "name": "q", "value": f"dash {text}"}]
    else:
        return None
    return {
        "text": text, "reading": "question", "question": question, "choices": choices,
        "look": True,
    }  # fmt: skip


def _sizes(text: str, kind: str | None, unit: str | None) -> Row | None:
    """Read the text as sizes with the words of a kind and of places; None if it is none."""
    if not any(c.isdigit() or c in box_text.VULGAR for c in text):
        return None
    rest, named = box_text.without_kind(text)
    rest, place = box_text.without_places(box_text.joined(rest))
    kind = kind or named
    row = box_text.figures_in_a_row(rest) if kind is not None else None
    if row is not None and row.count(" x ") + 1 == len(spec(kind or "").written_order) > 2:
        rest = row  # `seal 60 80 8`: as many figures as that kind has sizes
    size_like = bool(box_text.JOINED.search(rest) or box_text.UNIT.search(rest))
    size_like |= kind is not None and box_text.is_single_size(rest)
    if not place and not size_like and unit is None:
        return None  # a bare figure is a number before it is a size
    read, unused = _read(rest, unit)
    if not read and not place:
        return None
    if kind is not None:
        order = spec(kind).written_order or spec(kind).dimension_names
        if len(read) > len(order):
            raise Impossible(
                f"{rest} has {len(read)} sizes; {_article(_title(kind))} has {len(order)}: "
                + " × ".join(name.replace("_", " ") for name in order),
                at="sizes",
            )
        part = {n: _written(s) for n, s in zip(order, read, strict=False)}
    else:
        part = {}
    place = {name: in_unit(size, unit) for name, size in place.items()}
    return _with_kind({"part": part, "place": place}, kind, len(read), place, unused)


def _read(text: str, unit: str | None) -> tuple[list[Size], list[str]]:
    """Return the sizes of a text, and the words that are none; no sizes where it cannot be read.

    Raises NeedsAnswer where the unit is open.
    """
    from xref.sizes import sizes

    if not text:
        return [], []
    try:
        return sizes(text, _known_unit(unit)), []
    except Refused:
        rest, words = box_text.without_words(text)
    if not words or not rest:
        return [], []
    try:
        return sizes(rest, _known_unit(unit)), words
    except Refused:
        return [], []


def _refusal(text: str) -> str:
    """Return why a text that looks like sizes is not read as such, in the words of the reader."""
    from xref.sizes import sizes

    rest, _ = box_text.without_kind(text)
    if not box_text.JOINED.search(rest):
        return ""
    try:
        sizes(box_text.joined(rest))
    except Refused as refusal:
        return str(refusal)
    except NeedsAnswer:
        return ""
    return ""


def _with_kind(
    found: Row, kind: str | None, count: int, place: Iterable[str], unused: Sequence[str] = ()
) -> Row:
    """Return sizes of a kind, or the question which kind they are of."""
    left = f"; not looked at: {' '.join(unused)}" if unused else ""
    if kind is not None:
        why = f"sizes of {_article(_title(kind))}{left}"
        return {**found, "reading": "sizes", "kind": kind, "why": why}
    return {
        **found,
        "reading": "question",
        "question": f"These are sizes{left}. Of what kind of part?",
        "choices": [
            {"label": spec(k).title, "name": "kind", "value": k}
            for k in dict.fromkeys((*_ASKED_FIRST, *kinds()))
            if k != "other"
            and len(spec(k).written_order) >= count
            and {p.name for p in spec(k).places}.issuperset(place)
        ],
    }


def _written(size: Size) -> str:
    """Return a size's text with its unit, so that it reads the same alone."""
    return size.text if box_text.UNIT.search(size.text) else f"{size.text}{size.unit}"


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
    return text if unit is None or not text or box_text.UNIT.search(text) else f"{text}{unit}"


def _units(readings: Sequence[object]) -> list[Row]:
    units = dict.fromkeys(getattr(reading, "unit", None) for reading in readings)
    return [{"label": _UNITS[u], "name": "unit", "value": u} for u in units if u in _UNITS]


def _standards(text: str, readings: Sequence[Any]) -> list[Row]:
    """Return the two standard sizes that an inch decimal may mean, as texts for the box.

    The figure alone is replaced, so that the unit stays where it is written: by a fraction, or by
    the millimetres in four decimals of an inch, which no 64th shares.
    """
    figure = readings[0].text.rstrip(' "inches')
    choices = []
    for one in readings if figure and figure in text else ():
        inches = one.shown().removesuffix(" in")
        if one.unit == "mm":
            inches = f"{float(one.nominal) / 25.4:.4f}"
        choices.append(
            {"label": one.shown(), "name": "q", "value": text.replace(figure, inches, 1)}
        )
    return choices


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
