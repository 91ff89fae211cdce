"""The calendar of what falls due (iCalendar, RFC 5545; its name by RFC 7986): an all-day event each.

The same content gives the same file: identifiers are made from the project's seed and the event's key, and the time stamp
is the day of the record, since nothing here asks a clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.site.feed import permanent_id

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//buildlog//falling due//EN"


@frozen
class Day:
    """An event of a day: its permanent key, the day, what it is, and more about it."""

    key: str
    day: date
    summary: str
    description: str = ""


def calendar(name: str, seed: str, on: date, days: Sequence[Day]) -> bytes:
    """The calendar as a file, as of a day."""
    from icalendar import Calendar  # a tenth of all that is loaded, and most records have nothing that falls due

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("name", name)
    for day in days:
        made.add_component(_event(day, seed, on))
    return bytes(made.to_ical())


def _event(day: Day, seed: str, on: date) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", permanent_id(seed, f"due {day.key}").removeprefix("urn:uuid:"))
    event.add("dtstamp", datetime.combine(on, time(), UTC))
    event.add("dtstart", day.day)
    event.add("summary", day.summary)
    if day.description:
        event.add("description", day.description)
    event.add("transp", "TRANSPARENT")  # a day on which something is due is not a day taken
    return event
