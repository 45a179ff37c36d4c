"""Who has a part: stock lists and offers, with prices as written and closing dates."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.store.edition import folded
from xref.store.number_key import number_key

if TYPE_CHECKING:
    from xref.store import Store


class Supply:
    """Offers of parts, from stock lists and from what suppliers answered, as of `on`."""

    def __init__(self, store: Store, on: date) -> None:
        self.store = store
        self.on = on
        self._noted = store.noted()
        self._suppliers = {row["supplier"]: row for row in self._noted.rows("suppliers")}

    def add(self, entries: Sequence[dict[str, Any]]) -> None:
        """Put offers into the entries' documents, and the lowest price beside them."""
        by_number = self._offers([entry["item"]["number"] for entry in entries])
        for entry in entries:
            item = entry["item"]
            maker = folded(item["maker"])
            offers = [
                offer
                for other, offer in by_number.get(item["number_key"] or "", ())
                if not maker or not other or other == maker
            ]
            entry["document"]["offers"] = offers
            prices = [float(o["price"]) for o in offers if o["price"] is not None]
            if prices:
                entry["price"] = min(prices)

    def originals(self, number: str, candidates: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """Return offers of the original itself, when no candidate is the original."""
        key = number_key(number)
        shown = {number_key(c["parts"][0]["number"] or "") for c in candidates}
        if key in shown:
            return []
        return [offer for _, offer in self._offers([number]).get(key, ())]

    def _offers(self, numbers: Sequence[str | None]) -> dict[str, list[tuple[str, dict[str, Any]]]]:
        found: dict[str, list[tuple[str, dict[str, Any]]]] = {}
        wanted = {number_key(n) for n in numbers if n}
        if not wanted:
            return found
        for item in self.store.items_by_number([n for n in numbers if n], ("stock",)):
            # Nothing available is no offer; an unknown quantity still is one.
            if (item["quantity"] is not None and item["quantity"] <= 0) or self._closed(
                item["supplier"]
            ):
                continue
            found.setdefault(item["number_key"], []).append(
                (folded(item["maker"]), self._listed(item))
            )
        for row in self._noted.offers_of(wanted):
            is_past = row["until"] is not None and row["until"] < self.on
            if not is_past and not self._closed(row["supplier"]):
                key = row["offered_key"]
                found.setdefault(key, []).append((folded(row["maker"]), self._answered(row)))
        return found

    def _listed(self, item: dict[str, Any]) -> dict[str, Any]:
        return {
            "supplier": item["supplier"] or item["list"],
            "quantity": item["quantity"],
            "or_more": bool(item.get("or_more")),
            "price": item["price"],
            "currency": item["currency"],
            "as_of": _iso(item["as_of"]),
            "closes_on": self._closes(item["supplier"]),
            "condition": item.get("condition"),
            "from": item["list"],
        }

    def _answered(self, row: dict[str, Any]) -> dict[str, Any]:
        known = self._suppliers.get(row["supplier"], {})
        return {
            "supplier": known.get("name") or row["supplier"],
            "quantity": row["left"],
            "or_more": False,
            "price": row["price"],
            "currency": row["currency"],
            "as_of": _iso(row["noted_on"]),
            "closes_on": self._closes(row["supplier"]),
            "condition": row["condition"],
            "from": f"offer {row['offer']}",
        }

    def _closes(self, supplier: str | None) -> str | None:
        return _iso(self._suppliers.get(folded(supplier), {}).get("closes"))

    def _closed(self, supplier: str | None) -> bool:
        closes = self._suppliers.get(folded(supplier), {}).get("closes")
        return closes is not None and closes < self.on


def _iso(day: date | str | None) -> str | None:
    return day.isoformat() if isinstance(day, date) else day
