"""Deadlines as a calendar file (RFC 5545): one all-day entry per action, with alarms.

All-day entries carry no clock time and so no time zone. An entry's identity follows from what
is to be done, so that importing a newer file moves an entry instead of doubling it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from xref.errors import Refused

from .due_rules import Action

ALARM_DAYS = (7, 1)  # common practice, no source: a week and a day before
WORDS = {
    "ask": "Ask {supplier} about want {want}",
    "chase": "Ask {supplier} again about want {want}",
    "decide": "Decide on the offer of {supplier} for want {want}",
    "order": "Order want {want} from {supplier}",
    "test": "Test what {supplier} sent for want {want}",
}


def calendar(actions: Iterable[Action], on: date, parts: dict[int, str] | None = None) -> bytes:
    """Return the actions that have a day as an iCalendar file.

    `parts` names each want's part for the entry's title. Actions without a day have no place
    in a calendar and are left out.
    """
    from icalendar import Alarm, Calendar, Event

    book = Calendar()
    book.add("prodid", "-//xref//due//EN")
    book.add("version", "2.0")
    stamp = datetime.combine(on, time(), UTC)
    seen: set[str] = set()
    for action in actions:
        if action.by is None:
            continue
        identity = _identity(action)
        if identity in seen:
            continue
        seen.add(identity)
        title = WORDS[action.do].format(supplier=action.supplier, want=action.want)
        part = (parts or {}).get(action.want)
        if part:
            title += f" ({part})"
        event = Event()
        event.add("uid", identity)
        event.add("dtstamp", stamp)
        event.add("summary", title)
        event.add("description", action.why)
        event.add("dtstart", action.by)
        event.add("dtend", action.by + timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        for days in ALARM_DAYS:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", title)
            # From midnight of the day: 15 hours into the day before is 9 in the morning.
            alarm.add("trigger", timedelta(hours=9) - timedelta(days=days))
            event.add_component(alarm)
        book.add_component(event)
    content: bytes = book.to_ical()
    return content


def write(path: Path, content: bytes) -> None:
    """Write the calendar file; raises Refused when the place cannot be written."""
    try:
        path.write_bytes(content)
    except OSError as error:
        raise Refused(
            f"the calendar {path} cannot be written: {error.strerror or error}", at=str(path)
        ) from None


def _identity(action: Action) -> str:
    record = action.record or ""
    text = f"{action.do}|{action.supplier}|{action.want}|{record}"
    return f"{hashlib.sha256(text.encode()).hexdigest()[:24]}@xref"
