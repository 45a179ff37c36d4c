"""Match many originals at once against the distinct keys of the store's lists.

The pure `xref.match` judges keys instead of rows: a catalogue of ten million rows has some tens
of thousands of them. Only the best are expanded to the rows that bear a number.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from xref.acts.own_word import OwnWord, as_found, own_word
from xref.errors import NeedsAnswer
from xref.kinds.companions import companions
from xref.kinds.spec import dimension_names, trait_names
from xref.matching.experience import experience
from xref.matching.variants import Variant, excludes, variant
from xref.store.number_key import number_key

if TYPE_CHECKING:
    import pandas as pd

    from xref.store import Store

# The verdict on a part that was tried in vain or is for other machines, whatever its sizes say.
_IN_VAIN = {"verdict": "does not fit", "certainty": "sure", "conformance": 0.0, "work": ""}
KNOWN_FIRST = ("originals", "catalogue", "stock")  # where a number's sizes are looked up


def ranked(
    store: Store, originals: pd.DataFrame, *, top: int, service: dict[str, Any] | None = None
) -> list[dict[str, Any]]:
    """Return rows as `xref.match` does, against the catalogues and stock lists of the store.

    Parts that several lists show count once; `list` names the first that shows it. A column
    `accepts` holds, in lists, the variants and substitutes taken besides.
    """
    from xref.matching.match import match

    accepts: list[Any] = [()] * len(originals)
    if "accepts" in originals:
        accepts = originals["accepts"].tolist()
        originals = originals.drop(columns="accepts")
    asked = originals["kind"].dropna().unique()
    catalogue = _keys(store, dict.fromkeys(k for one in asked for k in (one, *companions(one))))
    found = match(originals, catalogue, top=top, service=service)
    pairs = [tuple(map(int, text.split(":"))) for text in found["number"].dropna()]
    items: dict[tuple[int, int], list[dict[str, Any]]] = {}
    for item in store.items(((e, k) for e, k in pairs), per_key=top):
        items.setdefault((item["edition"], item["key"]), []).append(item)
    rows = [{str(name): value for name, value in row.items()} for row in found.to_dict("records")]
    numbered = {
        row["original_row"]: row["original_number"]
        for row in rows
        if isinstance(row["original_number"], str)
    }
    elsewhere = _elsewhere(store, numbered, accepts)
    own = {at: own_word(store, n, elsewhere.get(at)) for at, n in numbered.items()}
    return _expanded(rows, items, top, own)


def _elsewhere(
    store: Store, numbered: dict[int, str], accepts: list[Any]
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
        taken = accepts[at] if isinstance(accepts[at], list) else []
        others = standing(store, number, accepted=[variant(text) for text in taken]).elsewhere
        asked_for = {number_key(text) for text in taken}
        found[at] = {key: why for key, why in others.items() if key not in asked_for}
    return found


def _keys(store: Store, kinds: Iterable[str]) -> pd.DataFrame:
    """Return the distinct keys of these kinds; `number` holds edition and key."""
    import pandas as pd

    frames = []
    for kind in kinds:
        keys = store.keys(kind)
        names = [f"{e}:{k}" for e, k in zip(keys["edition"], keys["key"], strict=True)]
        columns = {name: values for name, values in keys.items() if name not in ("edition", "key")}
        frames.append(pd.DataFrame({"number": names, "kind": kind, "maker": "", **columns}))
    if not frames:
        return pd.DataFrame({"number": [], "kind": [], "maker": []})
    return pd.concat([frame for frame in frames if len(frame)] or frames[:1], ignore_index=True)


def _expanded(
    rows: list[dict[str, Any]],
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
    for row in rows:
        if row["number"] is None or row["number"] != row["number"]:  # or NaN
            result.append({**row, "number": None, "maker": None, "list": None})
            continue
        edition, key = map(int, row["number"].split(":"))
        original = row["original_row"]
        for item in items.get((edition, key), []):
            word = own.get(original)
            failing = word.failing(item["number_key"], item["maker"]) if word else None
            fits = row["verdict"] != "does not fit" and failing is None
            name = (original, str(item["maker"] or ""), number_key(item["number"] or ""))
            if name in seen or place.get((original, fits), 0) >= (top if fits else 3):
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
