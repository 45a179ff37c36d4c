"""What fits in place of a number, of sizes, or of a place as measured, and who has it.

Lists are matched by their distinct judgement keys: each key is judged once, and
only the best are expanded to the parts and offers that bear it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.acts.offered import offered
from xref.acts.parts_beside import add_parts, named
from xref.acts.supply import Supply
from xref.errors import Impossible, NeedsAnswer
from xref.fits.quantity import OWN_LIMITS, Quantity
from xref.kinds.companions import companions
from xref.kinds.spec import spec
from xref.matching import rank
from xref.matching.beside import asked_for
from xref.matching.engine import MISSES_SHOWN, Ranked, Support, search
from xref.matching.judging import describe, judge_of
from xref.matching.needs import dimension_for, one_need
from xref.store.edition import folded

if TYPE_CHECKING:
    from xref.acts.own_word import OwnWord
    from xref.acts.support import Supporter
    from xref.fits.judgement import Beside
    from xref.kinds.base import Need
    from xref.store import Store

ITEMS_PER_KEY = 200
EVERYTHING = 1000
_Told = tuple[tuple[float, ...], dict[str, Any], "list[Beside]"]


@dataclass(slots=True)
class Question:
    """What is asked: a need with where its sizes come from, and what was assumed."""

    need: Need
    number: str | None
    origin: dict[str, str]
    assumed: list[str]
    notes: list[str]


def match(
    store: Store,
    *,
    number: str | None = None,
    kind: str | None = None,
    part: Mapping[str, str] | None = None,
    place: Mapping[str, str] | None = None,
    uncertainty: str | None = None,
    service: Mapping[str, Any] | None = None,
    top: int = 10,
    all_: bool = False,
    on: date | None = None,
) -> dict[str, Any]:
    """Return the contract's document of `xref match`, without its contract number.

    `part` and `place` hold written sizes by option name; `service` the service
    options. Offers of suppliers closed before `on` are left out. With nothing
    known of a number the document has no candidates and says what is near.
    Raises `Impossible`, `NeedsAnswer`, `Refused` with a sentence.
    """
    on = on or date.today()
    conditions = {**(service or {}), **_words_of_place(place or {})}
    asked = ask(
        store, number, kind, part or {}, _sizes_of_place(place or {}), uncertainty, conditions
    )
    if isinstance(asked, dict):
        return asked
    limit = EVERYTHING if all_ else top
    misses = EVERYTHING if all_ else MISSES_SHOWN
    supporting, own = _said_of(store, number) if number else ({}, None)
    tried = 0
    if own is not None:
        asked.notes.extend(note for note in own.notes if note not in asked.notes)
        tried = len(own.tried) + len(own.elsewhere)
    supply = Supply(store, on)
    judged = [
        (of_kind, one)
        for of_kind in (asked.need.kind, *companions(asked.need.kind))
        for one in _candidates(store, of_kind, asked.need, supporting, limit + tried, misses)
    ]
    bearing = _bearing(store, [(edition, key) for _, (_, edition, key) in judged])
    entries = [
        entry
        for of_kind, one in judged
        for entry in _entries(bearing, one, of_kind, supporting, own)
    ]
    supply.add(entries)
    ordered = _sorted(entries)
    fitting = [e for e in ordered if e["fits"]][:limit]
    beside = [(e["document"], e["beside"]) for e in fitting if e["beside"]]
    if beside:
        add_parts(store, beside)
    candidates = _numbered(fitting, limit)
    near = _numbered([e for e in ordered if not e["fits"]], misses)
    return {
        "need": _need_document(asked),
        "candidates": candidates,
        "near_misses": near,
        "original_offers": supply.originals(number, candidates) if number else [],
        "cautions": list(spec(asked.need.kind).cautions),
    }


def ask(
    store: Store,
    number: str | None,
    kind: str | None,
    part: Mapping[str, str],
    place: Mapping[str, str],
    uncertainty: str | None,
    service: Mapping[str, Any],
) -> Question | dict[str, Any]:
    """Turn what the user gave into a need; a document saying so when a number is not known."""
    written: dict[str, str] = {}
    traits: dict[str, Any] = {}
    notes: list[str] = []
    origin: dict[str, str] = {}
    unit: str | None = None
    if number is not None:
        from xref.acts.known_part import known_part

        known = known_part(store, number, kind)
        if known is None and not part and not place:
            return _unknown(store, number)
        if known is not None:
            kind = kind or known["kind"]
            written, traits, unit = known["written"], known["traits"], known["unit"]
            notes.append(known["note"])
            origin = dict.fromkeys(written, known["note"])
    if kind is None:
        raise NeedsAnswer(
            f"The number {number!r} stands in no list here, so its kind is not known: "
            "say --kind with the sizes.",
            code="kind-not-known",
        )
    judge_of(kind)  # refuses a kind there is not, or that is not matched by size
    if not written and not part and not place:
        raise Impossible(
            "Nothing to match by: give at least one size of the part or of its place, "
            "for example --shaft 60.31mm.",
            code="no-size",
        )
    given = {dimension_for(kind, option): text for option, text in part.items()}
    need, sources, assumed = one_need(
        kind,
        part={**written, **given},
        place=place,
        uncertainty=uncertainty,
        service=service,
        traits=traits,
        unit=unit,
        listed=written.keys() - given.keys(),
    )
    origin = {
        name: origin.get(name, text) if name not in given else text
        for name, text in sources.items()
    }
    for one in spec(kind).places:
        if one.from_part in need.part and one.name not in need.place:
            assumed.append(
                f"{one.title.lower()} derived from the old part's nominal size: "
                "measure before buying"
            )
    return Question(need, number, origin, assumed, notes)


def _said_of(store: Store, number: str) -> tuple[dict[str, Supporter], OwnWord]:
    """Return what lists and proofs offer in place of a number, and the user's own word on it."""
    from xref.acts.own_word import own_word  # late: sizes are matched without the graph
    from xref.acts.support import standing

    found = standing(store, number)
    return found.supporters, own_word(store, number, found.elsewhere)


def _unknown(store: Store, number: str) -> dict[str, Any]:
    """The document for a number nothing is known of: no candidates, and what is near it."""
    from xref.acts.identify import identify

    found = identify(store, number)["matches"]
    same = [m for m in found if m["how"] in ("exact", "same characters")]
    near = [m for m in found if m not in same][:5]
    note = f"The number {number!r} stands in no list here."
    if same:
        note = f"The number {number!r} stands in {same[0]['source']}; no list gives its sizes."
    if near:
        note += " Near it: " + "; ".join(f"{m['number']} ({m['how']})" for m in near) + "."
    return {
        "need": {
            "number": number,
            "kind": None,
            "part_mm": {},
            "place_mm": {},
            "from": {},
            "assumed": [],
            "notes": [note],
        },
        "candidates": [],
        "near_misses": [],
        "nearest": near,
        "cautions": [],
    }


def _candidates(
    store: Store,
    kind: str,
    need: Need,
    supporting: Mapping[str, Supporter],
    top: int,
    misses: int,
) -> list[tuple[Ranked[_Told], int, int]]:
    """Search the lists' keys of a kind; each result with the edition and key it stands for."""
    import numpy as np

    there = offered(store, kind)
    codes: dict[tuple[int, int], int] = {}
    for item in store.items_by_number([s.number for s in supporting.values()]):
        if item["kind"] != kind:
            continue
        row = there.row_of(item["edition"], item["key"])
        if row is not None:
            code = supporting[item["number_key"]].code
            codes[(0, row)] = min(code, codes.get((0, row), code))
    found = search(
        kind,
        need,
        there.part,
        by_size=there.by_size,
        names=np.arange(len(there)),
        top=top,
        misses=misses,
        tell=lambda judged, row: (
            rank.key(judged, row),
            describe(judged, row),
            asked_for(judged, row),
        ),
        support=Support(codes),
    )
    return [(one, int(there.edition[one.part_row]), int(there.key[one.part_row])) for one in found]


def _bearing(
    store: Store, keys: Sequence[tuple[int, int]]
) -> dict[tuple[int, int], list[dict[str, Any]]]:
    """Return the parts that bear each key, read in one query."""
    found: dict[tuple[int, int], list[dict[str, Any]]] = {}
    for item in store.items(keys, ITEMS_PER_KEY):
        found.setdefault((item["edition"], item["key"]), []).append(item)
    return found


def _entries(
    bearing: Mapping[tuple[int, int], Sequence[dict[str, Any]]],
    found: tuple[Ranked[_Told], int, int],
    kind: str,
    supporting: Mapping[str, Supporter],
    own: OwnWord | None,
) -> list[dict[str, Any]]:
    """Expand one judged key to the parts that bear it; what was tried in vain fits no more."""
    one, edition, key = found
    ranking, told, beside = one.told
    entries = []
    for item in bearing.get((edition, key), ()):
        backing = supporting.get(item["number_key"])
        shown = told if own is None else own.marked(told, item["number_key"], item["maker"])
        entries.append(
            {
                "fits": one.fits and shown is told,
                "ranking": ranking,
                "support": rank.UNSUPPORTED if backing is None else backing.code,
                "item": item,
                "beside": beside,
                "document": {
                    "rank": 0,
                    **shown,
                    "parts": [named(item, kind)],
                    "supported_by": [] if backing is None else [backing.text],
                    "offers": [],
                },
            }
        )
    return entries


def _sorted(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Order parts by the ranking key with support and supply in their places; each part once."""
    entries = sorted(
        entries,
        key=lambda e: (
            rank.with_support(e["ranking"], e["support"]),
            not e["document"]["offers"],
            e.get("price", float("inf")),
            folded(e["item"]["maker"]),
            e["item"]["number"] or "",
        ),
    )
    seen: set[tuple[str, tuple[float | None, ...]]] = set()
    once = []
    for entry in entries:
        item = entry["item"]
        # A stock list rarely names the maker: its row is the same part as the catalogue's.
        sizes = tuple(item["dimensions_mm"].get(n) for n in spec(item["kind"]).written_order)
        identity = (item["number_key"] or f"item {item['item']}", sizes)
        if identity not in seen:
            seen.add(identity)
            once.append(entry)
    return once


def _numbered(entries: Sequence[dict[str, Any]], limit: int) -> list[dict[str, Any]]:
    return [
        entry["document"] | {"rank": position}
        for position, entry in enumerate(entries[:limit], start=1)
    ]


def _need_document(asked: Question) -> dict[str, Any]:
    need = asked.need
    return {
        "number": asked.number,
        "kind": need.kind,
        "part_mm": {n: round(float(need.named(n).estimate[0]), 4) for n in need.part},
        "part_limits_mm": {n: _interval(q) for n, q in need.part.items() if q.how[0] == OWN_LIMITS},
        "place_mm": {n: _interval(q) for n, q in need.place.items()},
        "from": asked.origin,
        "assumed": asked.assumed,
        "notes": asked.notes,
        "service": {n: v[0].item() for n, v in need.service.items() if n != "inch_printed_mm"},
    }


def _interval(size: Quantity) -> list[float]:
    return [round(float(size.low[0]), 4), round(float(size.high[0]), 4)]


def _sizes_of_place(place: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in place.items() if name != "gland"}


def _words_of_place(place: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in place.items() if name == "gland"}
