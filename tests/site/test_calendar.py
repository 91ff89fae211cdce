"""The calendar, read back by the library and by its lines."""

from __future__ import annotations

from datetime import UTC, date, datetime

from icalendar import Calendar

from buildlog.site.calendar import PRODUCT, Day, calendar

DAYS = (
    Day("check oil", date(2026, 7, 4), "Due: Oil, and filter; twice", "every 25 h\nor sooner"),
    Day("life belt", date(2027, 2, 28), "Due: Gürtel " + "lang " * 40),
)


def made(name: str = "A log: falling due", seed: str = "seed", days: tuple[Day, ...] = DAYS) -> bytes:
    return calendar(name, seed, date(2026, 5, 1), days)


def test_every_event_is_a_whole_day_with_what_it_says() -> None:
    read = Calendar.from_ical(made())
    assert (read["prodid"], read["version"]) == (PRODUCT, "2.0")
    events = read.walk("VEVENT")
    assert [event.decoded("dtstart") for event in events] == [day.day for day in DAYS]
    assert [type(event.decoded("dtstart")) for event in events] == [date, date]
    assert [str(event["summary"]) for event in events] == [day.summary for day in DAYS]
    assert str(events[0]["description"]) == "every 25 h\nor sooner" and "description" not in events[1]
    assert {event.decoded("dtstamp") for event in events} == {datetime(2026, 5, 1, tzinfo=UTC)}


def test_lines_end_and_fold_as_the_standard_says() -> None:
    lines = made().split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR" and lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(map(len, lines)) <= 75 and b"\n" not in b"".join(lines)


def test_the_same_content_gives_the_same_bytes_and_identifiers_stay() -> None:
    assert made() == made()
    moved = made(days=(Day("check oil", date(2028, 1, 1), "Otherwise"),))
    first, other = (Calendar.from_ical(text).walk("VEVENT")[0]["uid"] for text in (made(), moved))
    assert first == other
    ids = {event["uid"] for text in (made(), made(seed="another")) for event in Calendar.from_ical(text).walk("VEVENT")}
    assert len(ids) == 4
