"""The calendar file, read back with the icalendar package (RFC 5545)."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from xref.sourcing import due_rules
from xref.sourcing.calendar_file import calendar
from xref.sourcing.due_rules import Supplier

ON = date(2027, 9, 6)


def _events(content: bytes) -> list[dict[str, object]]:
    return [
        {
            "uid": str(e["uid"]),
            "summary": str(e["summary"]),
            "description": str(e["description"]),
            "start": e.decoded("dtstart"),
            "end": e.decoded("dtend"),
            "alarms": [a.decoded("trigger") for a in e.walk("VALARM")],
        }
        for e in Calendar.from_ical(content).walk("VEVENT")
    ]


def test_month_ends_and_leap_days_read_back() -> None:
    """Entries are whole days, also on 31 December and 29 February; the end is the day after."""
    for by in (date(2027, 12, 31), date(2028, 2, 29), date(2027, 2, 28), date(2028, 4, 30)):
        action = due_rules.decide(Supplier("S"), 1, 4, by)
        (event,) = _events(calendar([action], ON))
        assert event["start"] == by
        assert event["end"] == by + timedelta(days=1)
        assert type(event["start"]) is date  # a day, not a moment: no time zone applies


def test_alarms_come_before_the_day() -> None:
    """Each entry carries alarms a week and a day before, at nine in the morning."""
    action = due_rules.decide(Supplier("S"), 1, 4, date(2027, 12, 31))
    (event,) = _events(calendar([action], ON))
    assert event["alarms"] == [timedelta(days=-7, hours=9), timedelta(days=-1, hours=9)]


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=200))
def test_any_name_survives(name: str) -> None:
    """Commas, semicolons, quotes, long and foreign names come back as they were."""
    action = due_rules.decide(Supplier(name), 7, 4, date(2027, 12, 31))
    (event,) = _events(calendar([action], ON))
    assert event["summary"] == f"Decide on the offer of {name} for want 7"


def test_the_same_deadline_keeps_its_identity() -> None:
    """Importing a newer file moves an entry: the same offer has the same UID, another has not."""

    def uid(offer: int, by: date) -> object:
        return _events(calendar([due_rules.decide(Supplier("S"), 1, offer, by)], ON))[0]["uid"]

    assert uid(4, date(2027, 12, 1)) == uid(4, date(2027, 12, 8))
    assert uid(4, date(2027, 12, 1)) != uid(5, date(2027, 12, 1))


def test_actions_without_a_day_are_left_out() -> None:
    """What has no day has no place in a calendar, and the calendar is still one."""
    action = due_rules.decide(Supplier("S"), 1, 4, None)
    assert _events(calendar([action], ON)) == []
