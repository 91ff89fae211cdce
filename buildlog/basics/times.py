"""Labour (hours and minutes worked), time in service (decimal hours) and spans (11 weeks, 24 calendar months)."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import number
from buildlog.basics.problems import Misread, shown

_CLOCK = re.compile(r"(\d{1,5}):([0-5]\d)", re.ASCII)
_HOURS_MINUTES = re.compile(
    r"(?:([\d.,]+)\s*(?:h|hr|hrs|hour|hours))?\s*(?:(\d{1,6})\s*(?:m|min|mins|minute|minutes))?", re.ASCII
)
_LONGEST_BARE = 24
_SPAN = re.compile(r"([\d.,]+)\s*([a-z ]+)")
_LONGEST_SPAN = {"days": 99_999, "weeks": 9_999, "months": 3_600, "calendar months": 3_600, "years": 300}
_SPAN_UNITS = {
    "day": "days",
    "days": "days",
    "week": "weeks",
    "weeks": "weeks",
    "month": "months",
    "months": "months",
    "year": "years",
    "years": "years",
    "calendar month": "calendar months",
    "calendar months": "calendar months",
    "h": "h",
    "hour": "h",
    "hours": "h",
}


def read_labour(text: object) -> int:
    """Labour in whole minutes: ``3:15``, ``3h 15m``, ``45 min``, ``3.25 h``; bare ``3.25`` is hours. Raises Misread."""
    example = "3:15  (three hours and a quarter)"
    if isinstance(text, int) and not isinstance(text, bool):
        return text
    if not isinstance(text, str):
        raise Misread("wrong-shape", f"hours of work are wanted here, not {shown(text)}", f"write  {example}")
    written = text.strip()
    clock = _CLOCK.fullmatch(written)
    if clock:
        return int(clock[1]) * 60 + int(clock[2])
    if re.fullmatch(r"[\d.,]+", written):
        hours = number(written, example)
        if hours > _LONGEST_BARE:
            raise Misread(
                "doubtful-hours",
                f"{shown(written)} would be {written} hours in one entry",
                f"write  3:15  for three hours and a quarter, or  {written} h  if it is meant",
            )
        return _whole_minutes(hours, Decimal(0), written)
    parts = _HOURS_MINUTES.fullmatch(written.lower())
    if not parts or not (parts[1] or parts[2]):
        raise Misread("not-hours", f"{shown(written)} is not a time worked", f"write  {example},  45 min  or  3.25 h")
    return _whole_minutes(number(parts[1] or "0", example, written), Decimal(parts[2] or 0), written)


def _whole_minutes(hours: Decimal, minutes: Decimal, written: str) -> int:
    total = Fraction(hours) * 60 + Fraction(minutes)
    if total.denominator != 1:
        whole = round(total)
        raise Misread(
            "part-minutes",
            f"{shown(written)} is not a whole number of minutes",
            f"write  {whole // 60}:{whole % 60:02d}",
        )
    return int(total)


def read_hours(text: object) -> Decimal:
    """Time in service in decimal hours, ``412.6 h``; the unit must be there. Raises Misread."""
    if isinstance(text, Decimal):
        return text
    if isinstance(text, str):
        found = re.fullmatch(r"([\d.,]+)\s*(h|hr|hrs|hour|hours)?", text.strip())
        if found and (found[2] or found[1] == "0"):
            return number(found[1], "412.6 h", text.strip())
        if found:
            hours = number(found[1], "412.6 h")
            raise Misread("no-unit", f"{shown(text)} has no unit", f"write  {hours} h")
    raise Misread("not-hours", f"{shown(text)} is not a time in service", "write decimal hours, as in  412.6 h")


@frozen
class Span:
    """A stretch of time: ``unit`` is days, weeks, months, calendar months, years or h (hours in service)."""

    count: Decimal
    unit: str

    def __str__(self) -> str:
        unit = self.unit[:-1] if self.count == 1 and self.unit.endswith("s") else self.unit
        return f"{self.count} {unit}"


def read_span(text: object) -> Span:
    """``11 weeks``, ``24 calendar months``, ``180 days``, ``100 h``. Raises Misread."""
    if isinstance(text, Span):
        return text
    remedy = "write  11 weeks,  180 days,  24 calendar months  or  100 h"
    found = _SPAN.fullmatch(text.strip().lower()) if isinstance(text, str) else None
    unit = _SPAN_UNITS.get(" ".join(found[2].split())) if found else None
    if not found or unit is None:
        raise Misread("not-a-span", f"{shown(text)} is not a stretch of time", remedy)
    count = number(found[1], "11 weeks")
    if unit != "h" and count != int(count):
        raise Misread("not-a-span", f"{shown(text)}: only hours may have a fraction", remedy)
    if count > _LONGEST_SPAN.get(unit, count):
        raise Misread("endless-span", f"{shown(text)} is longer than three hundred years", remedy)
    return Span(count, unit)
