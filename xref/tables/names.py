"""Which headings mean which field: exact and folded names first, then close spellings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from xref.kinds.spec import kinds, spec
from xref.tables.heading import Heading, parse, parts
from xref.tables.schema import table_schema
from xref.tables.text import fold, folds

EXACT, GENERAL, LESSER, CLOSE = 100, 90, 70, 60
"""How well a heading names a field: by its own name, by a general name of a size, by a name that
is also used for something else, by a spelling close to a name."""

_CLOSE_RATIO = 88.0
_CLOSE_LEAST = 5  # letters: shorter words are too easily another word
_CLOSE_LEAD = 3.0  # a close spelling must beat every other meaning by so much


class Target(NamedTuple):
    """What a heading may mean.

    `role` is "field" (of the table), "size" (a general size column), "dimension" or "trait" (of
    `kind`), or "kept" (known to mean something that xref keeps as it is).
    """

    role: str
    name: str
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Meaning:
    """One meaning of a heading, with how well it is named."""

    target: Target
    score: int


@cache
def _index(table: str) -> dict[str, dict[Target, int]]:
    schema = table_schema(table)
    index: dict[str, dict[Target, int]] = {}

    def add(name: str, target: Target, score: int) -> None:
        # One letter alone means different things in capitals: d is inside, D is outside.
        keys = (name,) if len(name) == 1 else (*folds(name), *folds(name.replace("_", " ")))
        for key in keys:
            if key:
                meanings = index.setdefault(key, {})
                meanings[target] = max(score, meanings.get(target, 0))

    for field in schema.fields:
        target = Target("field", field.name)
        for name in (field.name, field.title, *field.other_names):
            add(name, target, EXACT)
        for name in field.lesser_names:
            add(name, target, LESSER)
    for name in schema.other_headings:
        add(name, Target("kept", name), EXACT)
    if schema.with_kinds:
        _add_kinds(add)
    return index


def _add_kinds(add) -> None:  # type: ignore[no-untyped-def]  # the closure above
    for field in table_schema("sizes").fields:
        for name in (field.name, field.title, *field.other_names):
            add(name, Target("size", field.name), GENERAL)
    for kind in kinds():
        declared = spec(kind)
        for dimension in declared.dimensions:
            target = Target("dimension", dimension.name, kind)
            for name in (dimension.name, dimension.title):
                add(name, target, EXACT)
            for name in (dimension.symbol, *dimension.other_names):
                if name:
                    add(name, target, GENERAL)
        for trait in declared.traits:
            target = Target("trait", trait.name, kind)
            for name in (trait.name, trait.title):
                add(name, target, EXACT)
            for name in trait.other_names:
                add(name, target, GENERAL)


@cache
def meanings(text: str, table: str) -> tuple[Meaning, ...]:
    """Return what the heading `text` may mean in `table`, best first; empty if nothing known."""
    if len(text) > 200:
        return ()
    heading = parse(text)
    found = _known(heading, table)
    if not found and (size := _written_together(text)):
        found = {size: EXACT}
    if not found:
        found = _two_languages(text, table)
    if not found:
        found = _composed(heading, table)
    if not found:
        found = _close(heading, table)
    ranked = sorted(found.items(), key=lambda item: -item[1])
    return tuple(Meaning(target, score) for target, score in ranked)


def _known(heading: Heading, table: str) -> dict[Target, int]:
    index = _index(table)
    bare = heading.text.strip()
    if (heading.currency or heading.sign) and not heading.words:
        # A column headed only `EUR` or `£` holds prices.
        return dict(index.get("price", {}))
    if len(bare) == 1:
        return _single(bare, index)
    for spelling in heading.spellings:
        if len(spelling) == 1 and (letter := _letter(bare, spelling)) in index:
            return dict(index[letter])
        if spelling in index:
            return dict(index[spelling])
    return {}


def _single(letter: str, index: dict[str, dict[Target, int]]) -> dict[Target, int]:
    if letter in "dDtT" and letter in index:
        return dict(index[letter])
    return {**index.get(letter.casefold(), {}), **index.get(letter.upper(), {})}


def _letter(text: str, folded: str) -> str:
    """Return the single letter of a heading such as `D (mm)` as it was written."""
    first = text[:1]
    return first if first.casefold() == folded else folded


def _written_together(text: str) -> Target | None:
    """Recognise `ID x OD x W` and `d/D/B`: all sizes in one column."""
    pieces = [piece for piece in _split_times(text) if piece]
    if not 2 <= len(pieces) <= 3:
        return None
    for piece in pieces:
        names = _index("stock").get(piece) or _index("stock").get(fold(piece)) or {}
        if not any(target.role in ("size", "dimension") for target in names):
            return None
    return Target("size", "size")


def _split_times(text: str) -> list[str]:
    bare = re.sub(r"[(\[].*?[)\]]", "", text).strip()
    if re.search(r"[x×*]", bare):
        pieces = [piece.strip(" ø.") for piece in re.split(r"\s*[x×*]\s*", bare)]
        # `Abmessung d x D x b`: only the symbols stand between the signs.
        return [pieces[0].split(" ")[-1], *pieces[1:-1], pieces[-1].split(" ")[0]]
    if bare.count("/") == 2:
        return [piece.strip() for piece in bare.split("/")]
    return []


_ALONG = frozenset(Target("size", name) for name in ("width", "length", "thickness"))


def _two_languages(text: str, table: str) -> dict[Target, int]:
    """Recognise `Menge / Qty`: every piece that is known must allow the same meaning."""
    found = [known for piece in parts(text) if (known := _known(parse(piece), table))]
    if found and all(known.keys() & _ALONG for known in found):
        # `Width / Length` is the width of one kind and the length of another.
        return {target: score for known in found for target, score in known.items()}
    return {t: s for t, s in found[0].items() if all(t in one for one in found)} if found else {}


# Small words between two names of one thing: `Antal i lager`, `Qty on shelf`.
_BETWEEN = frozenset(
    [
        *("in", "on", "at", "of", "i", "a", "en", "au", "auf", "am", "an", "per", "pro", "na"),
        *("op", "po", "em", "v", "w", "sul", "de", "del", "da"),
    ]
)


def _composed(heading: Heading, table: str) -> dict[Target, int]:
    """Recognise `Qty on shelf` and `Antal i lager`: two names of one field side by side."""
    index = _index(table)
    for spelling in heading.spellings:
        words = spelling.split()
        for cut in range(1, len(words)):
            behind = words[cut:]
            ends = [behind, behind[1:]] if behind[0] in _BETWEEN else [behind]
            before = index.get(" ".join(words[:cut]), {})
            for end in ends:
                after = index.get(" ".join(end), {})
                both = [t for t in before if t in after and t.role == "field"]
                if len(both) == 1:
                    return {both[0]: CLOSE}
    return {}


def _close(heading: Heading, table: str) -> dict[Target, int]:
    from rapidfuzz import fuzz, process

    best: dict[Target, float] = {}
    for spelling in heading.spellings:
        packed = spelling.replace(" ", "")
        if len(packed) < _CLOSE_LEAST or any(c.isdigit() for c in packed):
            continue
        found = process.extract(
            packed, _packed(table), scorer=fuzz.ratio, score_cutoff=_CLOSE_RATIO - 6, limit=12
        )
        for _, ratio, key in found:
            for target, score in _index(table)[key].items():
                if score >= GENERAL:
                    best[target] = max(best.get(target, 0.0), ratio)
    if not best:
        return {}
    top = max(best.values())
    if top < _CLOSE_RATIO:
        return {}
    near = {target: ratio for target, ratio in best.items() if ratio > top - _CLOSE_LEAD}
    # Several kinds may share a name; several fields of the table may not.
    fields = {target for target in near if target.role in ("field", "kept")}
    if len(fields) > 1 or (fields and len(near) > len(fields)):
        return {}
    return dict.fromkeys(near, CLOSE)


@cache
def _packed(table: str) -> dict[str, str]:
    return {
        key: key.replace(" ", "")
        for key in _index(table)
        if len(key.replace(" ", "")) >= _CLOSE_LEAST
    }
