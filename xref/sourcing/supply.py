"""Which supplier lists show a want, and who is likeliest to hold it.

A want is listed under its own number, under a variant or substitute the user accepts, or
under a candidate that was found to fit it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.matching.experience import experience
from xref.store.number_key import number_key

from . import forms, lookup
from .due_rules import CARRIES_KIND, LISTED, LISTED_BEFORE, NOT_KNOWN, OWNER

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]
# Parts found to fit each want: (maker, number, verdict).
Candidates = Mapping[int, Sequence[tuple[str | None, str, str]]]


@dataclass(frozen=True)
class Listing:
    """A line of a supplier's stock list that shows a part a want can take.

    `how`: `number`, `variant` or `candidate`; `quantity` None when the list sets no limit;
    `current` is false when only an earlier list showed it.
    """

    supplier: str
    number: str
    maker: str | None
    price: Decimal | None  # per piece, as the list gives it
    currency: str | None
    quantity: int | None
    condition: str | None
    as_of: date | None
    list: str
    how: str
    current: bool = True
    verdict: str | None = None
    line: tuple[int, int] | None = None  # edition and item: two wants may name one line
    tax: str | None = None  # "included", "excluded", as the list says

    @property
    def buyable(self) -> bool:
        """Whether the plan may count on it: the number asked for, or a part that fits as it is."""
        return self.verdict in (None, "as is")


def numbers_of(want: Row) -> list[tuple[str, str]]:
    """Return the number keys under which a want may be listed, each with how."""
    pairs = [(want["number"], "number")] if want["number"] else []
    pairs += [(v, "variant") for v in forms.of_want(want["variants"])[1]]
    keyed = ((number_key(text), how) for text, how in pairs)
    return list({key: (key, how) for key, how in keyed if key}.values())


def listings(
    store: Store, wants: Sequence[Row], candidates: Candidates | None = None
) -> dict[int, list[Listing]]:
    """Return per want the stock-list lines that show it, without those of parts tried in vain.

    `candidates` maps a want to (maker, number, verdict) of parts found to fit it.
    """
    asked: dict[str, list[tuple[int, str, str | None, str | None]]] = defaultdict(list)
    for want in wants:
        named = dict(numbers_of(want))
        for own_key, how in named.items():
            asked[own_key].append((want["want"], how, None, None))
        for made_by, number, fit in (candidates or {}).get(want["want"], ()):
            key = number_key(number)
            if key and key not in named:
                asked[key].append((want["want"], "candidate", made_by, fit))
    by_id = {want["want"]: want for want in wants}
    own = experience(store)
    result: dict[int, list[Listing]] = defaultdict(list)
    if not asked or not store.editions("stock"):
        return result
    for item in store.items_by_number(list(asked), tables=("stock",)):
        shown: dict[int, Listing] = {}  # a line stands once for a want: as its best candidate
        for want_id, how, maker, verdict in asked.get(item["number_key"], ()):
            mine = (
                _same_maker(maker, item.get("maker"))
                if how == "candidate"
                else (forms.applies(by_id[want_id], item))
            )
            if mine and not own.in_vain(by_id[want_id], item["number"], item["maker"]):
                shown.setdefault(want_id, listing(item, how, verdict))
        for want_id, line in shown.items():
            result[want_id].append(line)
    for item in store.not_listed(list(asked)):
        gone = {**item, "current": False, "as_of": item["last_listed"]}
        shown = {}
        for want_id, how, maker, verdict in asked.get(number_key(item["number"]), ()):
            if how != "candidate" or _same_maker(maker, item.get("maker")):
                shown.setdefault(want_id, listing(gone, how, verdict))
        for want_id, line in shown.items():
            result[want_id].append(line)
    return result


def _same_maker(one: str | None, other: str | None) -> bool:
    """Whether two makers can be one: the same name, or either unknown."""
    return not one or not other or lookup.supplier_key(one) == lookup.supplier_key(other)


def listing(item: Row, how: str, verdict: str | None = None) -> Listing:
    """Return a stock-list item as a listing."""
    quantity, price = item.get("quantity"), item.get("price")
    return Listing(
        supplier=lookup.supplier_key(item.get("supplier") or ""),
        number=item["number"],
        maker=item.get("maker"),
        price=None if price is None else Decimal(str(price)),
        currency=item.get("currency"),
        quantity=None if quantity is None or item.get("or_more") else int(quantity),
        condition=item.get("condition"),
        as_of=item.get("as_of"),
        list=item.get("list") or "",
        how=how,
        current=bool(item.get("current", True)),
        verdict=verdict,
        line=(item["edition"], item["item"]) if "item" in item else None,
        tax=item.get("tax"),
    )


def shown_after(line: Listing, answered: Row) -> bool:
    """Whether a current list shows the part although an earlier answer was no, or used up."""
    return bool(
        line.current
        and line.quantity != 0
        and line.as_of
        and answered["answered_on"]
        and line.as_of > answered["answered_on"]
    )


def listed_by(lines: Sequence[Listing], suppliers: Mapping[str, Row]) -> dict[str, int]:
    """Return the suppliers whose lists show a want, with LISTED or LISTED_BEFORE.

    A current list that says none is left counts as an earlier one.
    """
    best: dict[str, int] = {}
    for line in lines:
        if line.supplier in suppliers:
            rank = LISTED if line.current and line.quantity != 0 else LISTED_BEFORE
            best[line.supplier] = min(rank, best.get(line.supplier, rank))
    return best


def may_have(kind: str | None, suppliers: Mapping[str, Row]) -> dict[str, int]:
    """Return the suppliers that may have a part of a kind although no list tells, with rank.

    A supplier that carries the kind, then private owners and parts machines, then those of whom
    nothing tells: the want has no kind, or nobody noted what they carry.
    """
    found: dict[str, int] = {}
    for key, row in suppliers.items():
        carries = row.get("carries") or ()
        if kind and kind in carries:
            found[key] = CARRIES_KIND
        elif (row.get("sort") or "supplier") in lookup.OWNERS:
            found[key] = OWNER
        elif not kind or not carries:
            found[key] = NOT_KNOWN
    return found
