"""Days as people write them: ISO days, or a month whose day nobody knows yet.

A month means its first day: a supplier who "closes in October 2027" may close on the
first, and the cautious reading loses nothing but a little time.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from xref.errors import Impossible

_MONTH = re.compile(r"(\d{4})-(\d{1,2})")
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")


@dataclass(frozen=True)
class Written:
    """A day with the text it came from; `note` says how a month was read."""

    day: date
    text: str
    note: str | None = None


def written_day(text: str, what: str = "date") -> Written:
    """Read `2027-10-31`, or `2027-10` as its first day.

    Raises Impossible for a day the calendar does not have (29 February of a common year)
    and for any other way of writing it: 03/04/2027 is two different days to two readers.
    """
    plain = text.strip()
    month = _MONTH.fullmatch(plain)
    day = _DAY.fullmatch(plain)
    if month is None and day is None:
        raise Impossible(
            f"the {what} {text!r} is not written year-month-day: write 2027-10-31, "
            "or 2027-10 when only the month is known",
            at=what,
            code="impossible-date",
        )
    try:
        if month is not None:
            first = date(int(month[1]), int(month[2]), 1)
            return Written(
                first, plain, f"{plain} names no day: {first.isoformat()}, its first day, is used"
            )
        assert day is not None  # noqa: S101 - one of the two matched
        return Written(date(int(day[1]), int(day[2]), int(day[3])), plain)
    except ValueError:
        raise Impossible(
            f"the {what} {text!r} is not in the calendar: check the month and the day",
            at=what,
            code="impossible-date",
        ) from None


def day(text: str | date | None, what: str = "date") -> date | None:
    """Return the day of `text`; None stays None and a date stays itself."""
    if text is None or isinstance(text, date):
        return text
    return written_day(text, what).day
