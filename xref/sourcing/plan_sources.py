"""What can be bought for each want: offers given, and lines of suppliers' current lists."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.matching.telling import did_not_fit

from . import due
from .supply import shown_after

if TYPE_CHECKING:
    from xref.matching.experience import Experience

    from .supply import Listing

Row = dict[str, Any]
_TAX_OF_LIST = {"included": "with tax", "excluded": "without tax"}


@dataclass(frozen=True)
class Source:
    """One way to buy a want: an offer given, or a line of a supplier's current list."""

    id: int
    want: int
    supplier: str
    price: Decimal
    currency: str | None
    left: int | None
    work: Decimal
    offer: int | None
    until: date | None
    listing: Listing | None
    needed_days: int
    tax: str | None = None  # "with tax", "without tax", None when nobody said


def sources(
    seen: due.Picture,
    wanted: Sequence[Row],
    lines: Mapping[int, Sequence[Listing]],
    left_out: set[str],
    decision_days: int,
    own: Experience | None = None,
) -> tuple[list[Source], dict[int, list[str]]]:
    """Return what can be bought, and per want why something else cannot.

    An offer given by a supplier replaces what that supplier's list says about the same want. A
    part that was tried for the want in vain (`own`) is not bought again.
    """
    needed = {w["want"] for w in wanted}
    refused: dict[int, list[str]] = defaultdict(list)
    found: list[Source] = []
    for o in seen.offers:
        if o["want"] not in needed or o["supplier"] in left_out:
            continue
        trial = own.in_vain(seen.wants[o["want"]], o["number"], o["maker"]) if own else None
        reason = did_not_fit(trial) if trial else _refusal(seen, o["supplier"], o["price"])
        if reason:
            refused[o["want"]].append(f"offer {o['offer']}: {reason}")
            continue
        dates = seen.dates[o["supplier"]]
        found.append(
            Source(
                len(found),
                o["want"],
                o["supplier"],
                o["price"],
                o["currency"] or seen.suppliers[o["supplier"]].get("currency"),
                o["left"],
                o["work_hours"] or Decimal(0),
                o["offer"],
                o["until"],
                None,
                dates.postage_days + decision_days,
                o["tax_basis"] or seen.suppliers[o["supplier"]].get("tax_basis"),
            )
        )
    for want, listed in lines.items():
        for line in listed:
            key = line.supplier
            if (
                want not in needed
                or key not in seen.suppliers
                or key in left_out
                or not line.current
                or line.quantity == 0
                or (key, want) in seen.offered
                or not line.buyable
            ):
                continue
            asked = [r for r in seen.asked_of.get(want, ()) if r["supplier"] == key and r["answer"]]
            if asked and asked[-1]["answer"] == "no" and not shown_after(line, asked[-1]):
                refused[want].append(f"{seen.suppliers[key]['name']} said no")
                continue
            reason = _refusal(seen, key, line.price)
            if reason:
                refused[want].append(f"{line.number} in {line.list}: {reason}")
                continue
            assert line.price is not None  # noqa: S101 - refused otherwise
            dates = seen.dates[key]
            found.append(
                Source(
                    len(found),
                    want,
                    key,
                    line.price,
                    line.currency or seen.suppliers[key].get("currency"),
                    line.quantity,
                    Decimal(0),
                    None,
                    None,
                    line,
                    dates.reply_days + dates.postage_days + decision_days,
                    _TAX_OF_LIST.get(line.tax or "") or seen.suppliers[key].get("tax_basis"),
                )
            )
    return _shared(seen, found), refused


def _refusal(seen: due.Picture, key: str, price: Decimal | None) -> str | None:
    """Return why nothing can be bought there at all, or None."""
    dates = seen.dates[key]
    if dates.closed(seen.on):
        return f"{dates.name} no longer takes orders"
    if dates.deadline and (dates.deadline - seen.on).days < dates.postage_days:
        return (
            f"an order posted today would reach {dates.name} after {dates.deadline} "
            f"({dates.postage_days} days in the post)"
        )
    return "no price is known" if price is None else None


def named(source: Source) -> str:
    """Return how to speak of a source."""
    if source.offer is not None:
        return f"offer {source.offer}"
    assert source.listing is not None  # noqa: S101 - one of the two
    return f"{source.listing.number} in {source.listing.list}"


def _shared(seen: due.Picture, found: Sequence[Source]) -> list[Source]:
    """Share out list lines that show fewer pieces than the wants they serve need together.

    The more urgent want comes first: by priority, day needed, number in the list.
    """
    lines: dict[tuple[int, int], list[Source]] = defaultdict(list)
    for s in found:
        if s.listing is not None and s.listing.line is not None and s.left is not None:
            lines[s.listing.line].append(s)
    limits: dict[int, int] = {}
    for sharing in lines.values():
        left = sharing[0].left or 0
        if sum(int(seen.wants[s.want]["needed"]) for s in sharing) <= left:
            continue
        for s in sorted(sharing, key=lambda s: _urgency(seen.wants[s.want])):
            limits[s.id] = min(left, int(seen.wants[s.want]["needed"]))
            left -= limits[s.id]
    return [replace(s, left=limits[s.id]) if s.id in limits else s for s in found]


def _urgency(want: Row) -> tuple[int, date, int]:
    return want["priority"] or 2, want["needed_by"] or date.max, want["want"]
