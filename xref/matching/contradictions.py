"""Where the lists disagree: with each other, with the sizes, with what numbers themselves say.

Findings are values: `{"what", "rows", "why"}`, each row with its number and source. Nothing is
corrected and nothing is left out of the lists because of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from xref.kinds.designation import decode
from xref.matching.bore_code import bore_mm
from xref.matching.chains import Evidence
from xref.matching.claims import SAME_WITHIN_MM, Item, differing, in_words, refuted, sizes_of
from xref.matching.telling import did_not_fit, source_of
from xref.matching.variants import excludes, variant
from xref.store.number_key import number_key
from xref.store.statement_index import holds_both_ways
from xref.store.statements import SUPERSEDED_BY, Statement
from xref.tables.circles import circles

Finding = dict[str, Any]

UNFIT = "an interchange statement that the sizes contradict"
DISAGREE = "lists disagree about a replacement"
TWO_SIZES = "two sizes for one number"
TWO_KINDS = "two kinds for one number"
TWO_PRICES = "two prices for one number in one list"
DESIGNATION = "a designation that its sizes contradict"
LOOP = "numbers that supersede each other in a circle"
ITSELF = "a number that supersedes itself"
DANGLING = "a replacement that is in none of the lists"
DISPROVED = "a statement that the user's own proof contradicts"
FOUND_OTHERWISE = "a list that the machine itself contradicts"
_MOST_COMPARED = 60  # of one number's rows or statements with each other


def contradictions(
    items: Iterable[Item],
    statements: Iterable[Statement],
    *,
    number: str | None = None,
    evidence: Sequence[Evidence] = (),
) -> list[Finding]:
    """Return what contradicts what in these rows and statements; of one `number` if given.

    `items` are rows as the lists give them: `number, maker, kind, list, table, at, variant,
    dimensions_mm` and, of one list, `price`; `evidence` is what was found on machines. The order
    is that of the list of findings above.
    """
    rows = list(items)
    said = list(statements)
    by_key: dict[str, list[Item]] = {}
    for item in rows:
        by_key.setdefault(number_key(str(item.get("number") or "")), []).append(item)
    by_key.pop("", None)
    found = [
        *_unfit(by_key, said),
        *_disagreeing(by_key, said),
        *_two_values(by_key),
        *_designations(rows),
        *_circles(said),
        *_dangling(by_key, said),
        *_disproved(said),
        *_found_otherwise(by_key, said, evidence),
    ]
    if number is None:
        return found
    key = number_key(number)
    return [one for one in found if any(number_key(str(r["number"])) == key for r in one["rows"])]


def _finding(what: str, rows: Sequence[Mapping[str, Any]], why: str) -> Finding:
    return {"what": what, "rows": list(rows), "why": why}


def _row(item: Item) -> dict[str, Any]:
    return {
        "number": item.get("number"),
        "maker": item.get("maker"),
        "kind": item.get("kind"),
        "dimensions_mm": sizes_of(item),
        "variant": item.get("variant"),
        "source": source_of(dict(item)),
    }


def _said(statement: Statement) -> dict[str, Any]:
    return {
        "number": statement.number,
        "says": statement.sentence(),
        "source": statement.source,
    }


def _best(items: Sequence[Item], maker: str | None) -> Item | None:
    """Return the row that tells most of a number's sizes, of the maker named if there is one."""
    told = [i for i in items if sizes_of(i)]
    same = [i for i in told if maker and str(i.get("maker") or "").casefold() == maker.casefold()]
    return max(same or told, key=lambda item: len(sizes_of(item)), default=None)


def _unfit(by_key: Mapping[str, list[Item]], said: Sequence[Statement]) -> Iterator[Finding]:
    pairs = []
    for s in said:
        if not s.holds or s.is_own or len(s.to) != 1:
            continue
        old = _best(by_key.get(s.key, []), s.maker)
        new = _best(by_key.get(s.to_keys[0], []), s.to_maker)
        if old is not None and new is not None and old is not new:
            pairs.append((s, old, new))
    for s, old, new, why in refuted(pairs):
        yield _finding(UNFIT, [_said(s), _row(old), _row(new)], f"{s.sentence()}: {why}")


def _disagreeing(by_key: Mapping[str, list[Item]], said: Sequence[Statement]) -> Iterator[Finding]:
    """Yield numbers for which lists name replacements that differ from each other in diameter."""
    by_number: dict[str, list[Statement]] = {}
    for s in said:
        if s.holds and not s.is_own and len(s.to) == 1 and s.quantity == 1:
            by_number.setdefault(s.key, []).append(s)
    for all_of_it in by_number.values():
        told = {(s.list, s.table, s.to_keys): s for s in all_of_it}
        several = list(told.values())[:_MOST_COMPARED]
        if len({(s.list, s.table) for s in several}) < 2:
            continue
        for i, one in enumerate(several):
            for other in several[i + 1 :]:
                if (one.list, one.table) == (other.list, other.table) or _apart(
                    one.variant, other.variant
                ):
                    continue
                a = _best(by_key.get(one.to_keys[0], []), one.to_maker)
                b = _best(by_key.get(other.to_keys[0], []), other.to_maker)
                if a is None or b is None or a.get("kind") != b.get("kind"):
                    continue
                sizes = differing(sizes_of(a), sizes_of(b))
                across = {n: ab for n, ab in sizes.items() if n.endswith("diameter")}
                if across:
                    why = f"{one.to[0]} and {other.to[0]} differ: {in_words(across)}"
                    rows = [_said(one), _said(other), _row(a), _row(b)]
                    yield _finding(DISAGREE, rows, why)


def _apart(a: str | None, b: str | None) -> bool:
    """Whether two rows are for different variants: then they may well differ."""
    if not a or not b:
        return False
    return excludes(variant(a), variant(b)) or a.casefold() != b.casefold()


def _two_values(by_key: Mapping[str, list[Item]]) -> Iterator[Finding]:
    """Yield numbers of one maker with two sizes or kinds, and of one list with two prices."""
    for items in by_key.values():
        shown: set[tuple[str, str]] = set()
        several = _distinct(items)
        for i, a in enumerate(several):
            for b in several[i + 1 :]:
                if _apart(a.get("variant"), b.get("variant")) or not _one_maker(a, b):
                    continue
                what, why = _conflict(a, b)
                about = (what, str(a.get("maker")))
                if what and about not in shown:
                    shown.add(about)
                    yield _finding(what, [_row(a), _row(b)], f"{a['number']}: {why}")


def _distinct(items: Sequence[Item]) -> list[Item]:
    """Return one row of each that say the same: a number may stand in thousands of rows."""
    told: dict[object, Item] = {}
    for item in items:
        same = (
            item.get("maker"),
            item.get("kind"),
            item.get("variant"),
            tuple(sizes_of(item).items()),
            item.get("list") if item.get("price") is not None or not item.get("maker") else None,
            item.get("price"),
            item.get("condition"),
        )
        told.setdefault(same, item)
    return list(told.values())[:_MOST_COMPARED]


def _one_maker(a: Item, b: Item) -> bool:
    """Whether two rows speak of one maker's part: the same maker, or one list that names none."""
    one, other = (str(i.get("maker") or "").casefold() for i in (a, b))
    if one and other:
        return one == other
    return (
        not one
        and not other
        and (a.get("list"), a.get("table"))
        == (
            b.get("list"),
            b.get("table"),
        )
    )


def _conflict(a: Item, b: Item) -> tuple[str, str]:
    if a.get("kind") and b.get("kind") and a["kind"] != b["kind"]:
        return TWO_KINDS, f"{a['kind']} against {b['kind']}"
    if sizes := differing(sizes_of(a), sizes_of(b)):
        return TWO_SIZES, in_words(sizes)
    same_offer = all(
        a.get(c) == b.get(c) for c in ("list", "table", "currency", "condition", "location")
    )
    if same_offer and None not in (a.get("price"), b.get("price")) and a["price"] != b["price"]:
        return TWO_PRICES, f"{a['price']} against {b['price']}"
    return "", ""


def _designations(items: Iterable[Item]) -> Iterator[Finding]:
    for item in items:
        text, sizes = str(item.get("number") or ""), sizes_of(item)
        named = decode(text)
        if named is not None and item.get("kind") == named.kind:
            if wrong := differing(dict(named.dimensions_mm), sizes):
                why = f"{named.source}, against the row: {in_words(wrong)}"
                yield _finding(DESIGNATION, [_row(item)], why)
            continue
        bore = bore_mm(text) if item.get("kind") == "rolling_bearing" else None
        own = sizes.get("bore_diameter")
        if bore is not None and own is not None and abs(own - bore) > SAME_WITHIN_MM:
            why = f"{text} states bore {bore:g} mm by ISO/DIN 623, the row {own:g} mm"
            yield _finding(DESIGNATION, [_row(item)], why)


def _circles(said: Sequence[Statement]) -> Iterator[Finding]:
    forward = [s for s in said if s.holds and s.relation == SUPERSEDED_BY and not s.is_own]
    for s in forward:
        if s.key in s.to_keys:
            yield _finding(ITSELF, [_said(s)], f"{s.sentence()} leads nowhere")
    onward: dict[str, list[str]] = {}
    for s in forward:
        onward.setdefault(s.key, []).extend(to for to in s.to_keys if to != s.key)
    for circle in sorted(circles(onward)):
        inside = set(circle)
        rows = [s for s in forward if s.key in inside and inside & set(s.to_keys) - {s.key}]
        names = {s.key: s.number for s in rows}
        why = "each is said to be replaced by the next: " + ", ".join(
            names[key] for key in sorted(inside)
        )
        yield _finding(LOOP, [_said(s) for s in rows], why)


def _dangling(by_key: Mapping[str, list[Item]], said: Sequence[Statement]) -> Iterator[Finding]:
    onward = {s.key for s in said}
    for s in said:
        if not s.holds or s.is_own:
            continue
        for to, key in zip(s.to, s.to_keys, strict=True):
            if key not in by_key and key not in onward and not _is_designation(to):
                why = f"{to} has no row in any list and no further replacement"
                yield _finding(DANGLING, [_said(s)], why)


def _is_designation(text: str) -> bool:
    """Whether a number names its part by an open standard, list or no list."""
    return decode(text) is not None or bore_mm(text) is not None


def _disproved(said: Sequence[Statement]) -> Iterator[Finding]:
    against = [s for s in said if s.is_proof and not s.holds]
    for proof in against:
        old, new = proof.key, proof.to_keys[0]
        for s in said:
            claims = s.key == old and new in s.to_keys
            claims |= holds_both_ways(s) and s.key == new and old in s.to_keys
            if s.holds and not s.is_own and claims:
                why = f"{proof.to[0]} in place of {proof.number}: {did_not_fit(proof)}"
                yield _finding(DISPROVED, [_said(s), _said(proof)], why)


def _found_otherwise(
    by_key: Mapping[str, list[Item]], said: Sequence[Statement], evidence: Sequence[Evidence]
) -> Iterator[Finding]:
    """Yield what lists say of a number and a part found on a machine shows otherwise."""
    beside = {pair for s in said if not s.is_own for to in s.to_keys for pair in ((s.key, to),)}
    for seen in evidence:
        shown = {"number": seen.instead_of, "says": seen.sentence(), "source": seen.source}
        whys: dict[str, list[Item]] = {}
        measured = {n: s["nominal"] for n, s in seen.sizes.items() if s.get("nominal") is not None}
        for row in _distinct(by_key.get(seen.book_key, [])):
            if wrong := differing(sizes_of(row), measured):
                whys.setdefault(f"listed and found: {in_words(wrong)}", []).append(row)
        form, where = seen.form, seen.machine
        if form is not None and where is not None and excludes(where, form):
            why = f"{where.text} lies outside {form.text!r}, the form found on it"
            whys[why] = by_key.get(seen.book_key, [])[:1]
        linked = {(seen.book_key, seen.key), (seen.key, seen.book_key)} & beside
        if seen.key and seen.key != seen.book_key:
            for row in by_key.get(seen.key, []):
                if where and row.get("variant") and excludes(where, variant(row["variant"])):
                    why = f"{row['number']} is listed {row['variant']!r}; found on {where.text}"
                    whys.setdefault(why, []).append(row)
            if not linked:
                why = f"no list gives {seen.number} in place of {seen.instead_of}"
                whys.setdefault(why, by_key.get(seen.book_key, [])[:1])
        for why, rows in whys.items():
            yield _finding(FOUND_OTHERWISE, [*map(_row, rows), shown], f"{seen.instead_of}: {why}")
