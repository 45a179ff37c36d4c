"""Match many originals at once against the distinct keys of the store's lists.

The pure `xref.match` judges keys instead of rows: a catalogue of ten million rows has some tens
of thousands of them. Only the best are expanded to the rows that bear a number.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from xref.acts.own_word import OwnWord, as_found, own_word
from xref.errors import NeedsAnswer
from xref.kinds.spec import dimension_names, trait_names
from xref.matching.engine import MISSES_SHOWN
from xref.matching.experience import experience
from xref.matching.variants import Variant, excludes, variant
from xref.store.number_key import number_key

if TYPE_CHECKING:
    from xref.matching.match import OnOffer
    from xref.store import Store

# The verdict on a part that was tried in vain or is for other machines, whatever its sizes say.
_IN_VAIN = {"verdict": "does not fit", "certainty": "sure", "conformance": 0.0, "work": ""}
_KEY_BITS = 32  # of a number that holds an edition and a key
KNOWN_FIRST = ("originals", "catalogue", "stock")  # where a number's sizes are looked up


def ranked(
    store: Store,
    originals: Sequence[Mapping[str, Any]],
    *,
    top: int,
    service: dict[str, Any] | None = None,
) -> list[dict[str, Any]]:
    """Return rows as `xref.match` does, against the catalogues and stock lists of the store.

    Parts that several lists show count once; `list` names the first that shows it. `accepts` of
    an original are the variants and substitutes taken besides; `want` is the want it is for.
    """
    import pandas as pd

    from xref.matching.match import COLUMNS
    from xref.matching.match import ranked as ranked_keys

    asked = pd.DataFrame([{k: v for k, v in one.items() if k != "accepts"} for one in originals])
    found = ranked_keys(asked, partial(_keys, store), top=top, service=service, notes=[])
    items: dict[tuple[int, int], list[dict[str, Any]]] = {}
    wanted = (_edition_and_key(part) for _, _, part, *_ in found if part >= 0)
    for item in store.items(wanted, per_key=top):
        items.setdefault((item["edition"], item["key"]), []).append(item)
    numbered = {
        at: number
        for at in dict.fromkeys(row for row, *_ in found)
        if isinstance(number := originals[at].get("number"), str)
    }
    elsewhere = _elsewhere(store, numbered, [one.get("accepts") or () for one in originals])
    own = {
        at: own_word(store, numbered.get(at), elsewhere.get(at), originals[at].get("want"))
        for at in dict.fromkeys(row for row, *_ in found)
    }
    rows = [
        (dict(zip(COLUMNS, (at, numbered.get(at), rank, None, None, *told), strict=True)), part)
        for at, rank, part, *told in found
    ]
    return _expanded(rows, items, top, own)


def _elsewhere(
    store: Store, numbered: dict[int, str], accepts: Sequence[Sequence[str]]
) -> dict[int, dict[str, str]]:
    """Return what is for other machines than an original, of those that have a serial break."""
    from xref.acts.support import standing

    texts = list(dict.fromkeys(numbered.values()))
    broken = {
        row["number_key"]
        for row in store.items_by_number(texts, tables=("originals",))
        if row["variant"] and variant(row["variant"]).is_range
    }
    found = {}
    for at, number in numbered.items():
        if number_key(number) not in broken:
            continue
        others = standing(store, number, accepted=[variant(t) for t in accepts[at]]).elsewhere
        asked_for = {number_key(text) for text in accepts[at]}
        found[at] = {key: why for key, why in others.items() if key not in asked_for}
    return found


def _keys(store: Store, kind: str) -> OnOffer:
    """Return the distinct keys of a kind, each called by its edition and key in one number.

    Of keys that rank the same, what is in stock comes before what only a catalogue shows.
    """
    import numpy as np

    from xref.acts.offered import offered
    from xref.matching.match import OnOffer

    there = offered(store, kind)
    rows = there.edition << _KEY_BITS | there.key
    in_stock = np.isin(there.edition, [e.edition for e in store.editions("stock")])
    return OnOffer(there.by_size, rows, np.where(in_stock, rows - rows.max(initial=0), rows))


def _edition_and_key(name: int) -> tuple[int, int]:
    return name >> _KEY_BITS, name & ((1 << _KEY_BITS) - 1)


def _expanded(
    rows: list[tuple[dict[str, Any], int]],
    items: dict[tuple[int, int], list[dict[str, Any]]],
    top: int,
    own: dict[int, OwnWord],
) -> list[dict[str, Any]]:
    """Put the rows that bear numbers in place of their keys, each part once per original.

    What the user tried for an original in vain, and what the lists have for other machines, stands
    after what fits, as not fitting.
    """
    result: list[dict[str, Any]] = []
    seen: set[tuple[int, str, str]] = set()
    place: dict[tuple[int, bool], int] = {}
    for row, part in rows:
        if part < 0:
            result.append({**row, "list": None})
            continue
        original = row["original_row"]
        for item in items.get(_edition_and_key(part), []):
            word = own.get(original)
            failing = word.failing(item["number_key"], item["maker"]) if word else None
            fits = row["verdict"] != "does not fit" and failing is None
            name = (original, str(item["maker"] or ""), number_key(item["number"] or ""))
            if name in seen or place.get((original, fits), 0) >= (top if fits else MISSES_SHOWN):
                continue
            seen.add(name)
            place[original, fits] = place.get((original, fits), 0) + 1
            rank = sum(place.get((original, word), 0) for word in (True, False))
            result.append(
                {
                    **row,
                    **({} if failing is None else {**_IN_VAIN, "failing_check": failing}),
                    "rank": rank,
                    "maker": item["maker"],
                    "number": item["number"],
                    "list": item["list"],
                }
            )
    if any(word.tried or word.elsewhere for word in own.values()):
        result.sort(key=lambda row: (row["original_row"], row["verdict"] == "does not fit"))
        place = {}
        for row in result:
            if row["number"] is not None:
                place[row["original_row"], True] = place.get((row["original_row"], True), 0) + 1
                row["rank"] = place[row["original_row"], True]
    return result


def originals_by_number(
    store: Store, wanted: list[tuple[str, str | None]]
) -> tuple[list[dict[str, Any] | None], list[str | None]]:
    """Return, for each (number, variant), its row for `xref.match`, or why there is none.

    The parts book comes before catalogues and stock. A number that has two forms with different
    sizes is decided by the variant; undecided, it is not matched, so that the form before a
    serial break never gets the later one unasked. A number without sizes of its own may be a
    designation, or take those of what supersedes it.
    """
    by_key: dict[str, list[dict[str, Any]]] = {}
    rows = store.items_by_number([number for number, _ in wanted], tables=KNOWN_FIRST)
    for row in sorted(rows, key=lambda row: KNOWN_FIRST.index(row["table"])):
        if row["kind"] and row["dimensions_mm"]:
            by_key.setdefault(row["number_key"], []).append(row)
    known = experience(store)
    chosen: list[dict[str, Any] | None] = []
    reasons: list[str | None] = []
    for number, form in wanted:
        items = by_key.get(number_key(number), [])
        try:
            items, _ = as_found(known, number, items)
        except NeedsAnswer as error:
            chosen.append(None)
            reasons.append(str(error))
            continue
        if items:
            item, reason = _one_form(items, None if not form else variant(form))
            chosen.append(None if item is None else {**_original(item), "number": number})
        else:
            row_, reason = _otherwise_known(store, number)
            chosen.append(row_)
        reasons.append(reason)
    return chosen, reasons


def _otherwise_known(store: Store, number: str) -> tuple[dict[str, Any] | None, str | None]:
    """Return a number's row by designation or supersession, as `xref match NUMBER` would."""
    from xref.acts.known_part import known_part

    try:
        known = known_part(store, number)
    except NeedsAnswer as error:
        return None, str(error)
    if known is None:
        return None, "no list gives its sizes"
    sizes = {f"{name}_text": text for name, text in known["written"].items()}
    return {
        "number": number,
        "kind": known["kind"],
        "written_unit": known["unit"],
        **sizes,
        **known["traits"],
    }, None


def _one_form(
    items: list[dict[str, Any]], form: Variant | None
) -> tuple[dict[str, Any] | None, str | None]:
    first = [item for item in items if item["table"] == items[0]["table"]]
    if form is not None:
        first = [
            item
            for item in first
            if not item["variant"] or not excludes(form, variant(item["variant"]))
        ]
        if not first:
            return None, f"no form of it is for {form.text}"
    sizes = {tuple(sorted(item["dimensions_mm"].items())) for item in first}
    if len(sizes) > 1:
        forms = ", ".join(str(item["variant"] or "no form named") for item in first)
        return None, f"it has forms of different sizes ({forms}); name the one you have"
    return first[0], None


def _original(item: dict[str, Any]) -> dict[str, Any]:
    """Return an item of a list as a row of `xref.match`'s originals."""
    row: dict[str, Any] = {
        "number": item["number"],
        "kind": item["kind"],
        "written_unit": item["written_unit"],
    }
    for name in dimension_names():
        if name in item["dimensions_mm"]:
            row[f"{name}_mm"] = item["dimensions_mm"][name]
        if name in item["written"]:
            row[f"{name}_text"] = item["written"][name]
        if name in item["limits_mm"]:
            row[f"{name}_low_mm"], row[f"{name}_high_mm"] = item["limits_mm"][name]
    row |= {name: item["traits"][name] for name in trait_names() if name in item["traits"]}
    return row
