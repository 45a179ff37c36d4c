"""What must be done by when: pure rules from dates to actions.

The latest safe day to ask is the earliest of last-order day, closing day and the day the
part is needed, less the days the supplier takes to reply, the days in the post and the
days the user wants for deciding (that default is common practice, no source).
All dates are whole days; nothing here knows a clock or a database.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

DECISION_DAYS = 7  # common practice, no source: a week to compare, measure and decide
REPLY_DAYS = 14  # common practice, no source: used when the supplier's own is not noted
POSTAGE_DAYS = 5  # common practice, no source: used when the supplier's own is not noted

# How likely a supplier is to hold a part, best first.
LISTED, LISTED_BEFORE, CARRIES_KIND, OWNER, NOT_KNOWN = 1, 2, 3, 4, 5
HOLDER_WORDS = {
    LISTED: "its current list shows it",
    LISTED_BEFORE: "an earlier list of theirs showed it",
    CARRIES_KIND: "carries this kind of part",
    OWNER: "an owner or a parts machine that may have one",
    NOT_KNOWN: "nothing is known against their having it",
}


@dataclass(frozen=True)
class Supplier:
    """The dates of a supplier that drive what to do; days unset fall back to the defaults."""

    name: str
    last_order: date | None = None
    closes: date | None = None
    reply_days: int = REPLY_DAYS
    postage_days: int = POSTAGE_DAYS

    @cached_property
    def deadline(self) -> date | None:
        """The last day on which an order must be there."""
        return _earliest(self.last_order, self.closes)

    def closed(self, on: date) -> bool:
        """Whether nothing can be ordered any more on that day."""
        return self.deadline is not None and self.deadline < on


@dataclass(frozen=True)
class Action:
    """One thing to do; `by` is the latest safe day, `start` the day it becomes sensible."""

    do: str
    supplier: str
    want: int
    by: date | None
    why: str
    start: date | None = None
    rank: int = 0
    record: str | None = None  # the enquiry, offer, order or receipt it is about

    def overdue(self, on: date) -> bool:
        """Whether the latest safe day has passed."""
        return self.by is not None and self.by < on

    def document(self, on: date) -> dict[str, object]:
        """Return the action as the contract's JSON."""
        return {
            "do": self.do,
            "supplier": self.supplier,
            "want": self.want,
            "by": self.by.isoformat() if self.by else None,
            "why": self.why,
            "record": self.record,
            "overdue": self.overdue(on),
            "days_left": (self.by - on).days if self.by else None,
        }


def ask(
    supplier: Supplier,
    want: int,
    needed_by: date | None,
    holder: int,
    decision_days: int = DECISION_DAYS,
    written: int | None = None,
    again: str | None = None,
) -> Action:
    """Return when this supplier must be asked for this want at the latest.

    `written`: the enquiry that is written but not sent; `again`: why one is asked again who has
    answered.
    """
    lead = supplier.reply_days + supplier.postage_days + decision_days
    limit, reason = _limit(supplier, needed_by)
    why = again or HOLDER_WORDS[holder]
    if limit is None:
        why += "; no closing date and no needed-by day is known"
    else:
        why += (
            f"; {reason} {limit.isoformat()}, less {supplier.reply_days} days to reply, "
            f"{supplier.postage_days} in the post and {decision_days} to decide"
        )
    if written is not None:
        why += f"; enquiry {written} is written but not sent"
    return Action("ask", supplier.name, want, _less(limit, lead), why, rank=holder)


def chase(supplier: Supplier, want: int, asked: date, enquiry: int, answer: str | None) -> Action:
    """Return when to ask again after an enquiry; `answer` is None or `looking`."""
    expected = asked + timedelta(days=supplier.reply_days)
    said = "they said they are looking" if answer else "asked"
    why = (
        f"{said} on {asked.isoformat()} (enquiry {enquiry}), an answer was expected within "
        f"{supplier.reply_days} days"
    )
    limit, reason = _limit(supplier, None)
    if limit is not None:
        why += f"; {reason} {limit.isoformat()}"
    return Action(
        "chase", supplier.name, want, expected, why, start=expected, record=f"enquiry {enquiry}"
    )


def chase_order(supplier: Supplier, want: int, ordered: date, order: int) -> Action:
    """Return when goods that were ordered should be asked after."""
    days = supplier.reply_days + supplier.postage_days
    expected = ordered + timedelta(days=days)
    why = f"order {order} of {ordered.isoformat()} was expected within {days} days"
    return Action(
        "chase", supplier.name, want, expected, why, start=expected, record=f"order {order}"
    )


def decide(supplier: Supplier, want: int, offer: int, until: date | None) -> Action:
    """Return when an offer must be decided: it stands to the end of its last day."""
    if until is None:
        why = f"offer {offer} is open and has no last day"
    else:
        why = f"offer {offer} expires after {until.isoformat()}"
    return Action("decide", supplier.name, want, until, why, record=f"offer {offer}")


def decide_failed(
    supplier: Supplier, want: int, failed: date, tests: Iterable[str], receipt: int
) -> Action:
    """Return when it must be said what becomes of a part that failed: while it can go back."""
    why = (
        f"{', '.join(tests)} failed on {failed.isoformat()}: note that it did not fit "
        f"(`xref proof add {want} --failed WHY`), and it is wanted again"
    )
    by = _less(supplier.deadline, supplier.postage_days)
    return Action("decide", supplier.name, want, by, why, record=f"receipt {receipt}")


def order(
    supplier: Supplier,
    want: int,
    offer: int,
    needed_by: date | None,
    decision_days: int = DECISION_DAYS,
) -> Action | None:
    """Return when an offered part must be ordered, or None when no date presses."""
    limit, reason = _limit(supplier, needed_by)
    if limit is None:
        return None
    why = (
        f"offer {offer}: {reason} {limit.isoformat()}, less {supplier.postage_days} days in the "
        f"post and {decision_days} to decide"
    )
    by = _less(limit, supplier.postage_days + decision_days)
    return Action("order", supplier.name, want, by, why, record=f"offer {offer}")


def test(
    supplier: Supplier,
    want: int,
    received: date,
    tests: Iterable[str],
    needed_by: date | None,
    receipt: int,
) -> Action:
    """Return when a received part must be proved: while it can still be sent back or replaced."""
    limit, reason = _limit(supplier, needed_by)
    why = f"received on {received.isoformat()}, still to do: {', '.join(tests)}"
    if limit is None:
        return Action("test", supplier.name, want, None, why, record=f"receipt {receipt}")
    back = supplier.postage_days if limit == supplier.deadline else 0
    if back:
        why += f"; a faulty one must be back {back} days in the post before {limit.isoformat()}"
    else:
        why += f"; {reason} {limit.isoformat()}"
    by = _less(limit, back)
    return Action("test", supplier.name, want, by, why, record=f"receipt {receipt}")


def most_urgent_first(actions: Iterable[Action]) -> list[Action]:
    """Sort by latest safe day, then likeliest holder; actions without a day come last."""
    return sorted(
        actions,
        key=lambda a: (a.by or date.max, a.rank, _ORDER_OF[a.do], a.supplier.casefold(), a.want),
    )


_ORDER_OF = {"order": 0, "decide": 1, "ask": 2, "chase": 3, "test": 4}


def chance_of_missing(left: int | None, needed: int) -> float | None:
    """Return the share of the days left that the steps still to take use up, 0 to 1.

    `left`: days until the last order, closing or expiry [d], None when no date is known;
    `needed`: days for reply, post and decision that still lie ahead [d].
    A planning figure by a stated rule, not a measured frequency: common practice, no source.
    """
    if left is None:
        return None
    if left < needed or left < 0:
        return 1.0
    if left == 0:
        return 1.0 if needed else 0.0
    return round(needed / left, 2)


def _limit(supplier: Supplier, needed_by: date | None) -> tuple[date | None, str]:
    limit = _earliest(supplier.deadline, needed_by)
    if limit is None:
        return None, ""
    if limit == supplier.last_order:
        return limit, "last orders"
    if limit == supplier.closes:
        return limit, "they close"
    return limit, "needed by"


def _earliest(*days: date | None) -> date | None:
    return min((d for d in days if d is not None), default=None)


def _less(limit: date | None, days: int) -> date | None:
    """Return `limit` less `days`; a day before the calendar begins counts as its first."""
    if limit is None:
        return None
    return date.fromordinal(max(limit.toordinal() - days, 1))
