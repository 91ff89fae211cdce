"""Dates: exact ones (ISO 8601) and uncertain ones (a part of EDTF, ISO 8601-2, levels 0 and 1)."""

from __future__ import annotations

import calendar
import re
from datetime import date, time

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread, shown

_EXAMPLE = "2026-05-16"
_FIRST_YEAR, _LAST_YEAR = 1900, 2199
# Northern seasons by calendar months; a winter has days at both ends of its year, so it may be any of them.
_SEASONS = {21: (3, 5), 22: (6, 8), 23: (9, 11), 24: (1, 12)}


def read_date(text: object) -> date:
    """``2026-05-16``; nothing else, because 4/5 is two dates. Raises Misread."""
    if isinstance(text, date):
        return text
    written = text.strip() if isinstance(text, str) else ""
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", written, re.ASCII):
        return _real_day(written)
    parts = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", written, re.ASCII)
    if parts:
        raise Misread(
            "broken-date",
            f"{shown(written)} wants two digits for month and day",
            f"write  {parts[1]}-{int(parts[2]):02d}-{int(parts[3]):02d}",
        )
    raise Misread("broken-date", f"{shown(text)} is not a date", f"write year, month and day, as in  {_EXAMPLE}")


def _real_day(written: str) -> date:
    try:
        day = date.fromisoformat(written)
    except ValueError:
        raise Misread(
            "no-such-date",
            f"{shown(written)} is not a day of the calendar",
            f"look at month and day; a date is written  {_EXAMPLE}",
        ) from None
    _near_enough(day.year, written)
    return day


def _near_enough(year: int, written: str) -> None:
    """A year far off is a slip of the finger, and would carry sums of dates out of the calendar."""
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        raise Misread(
            "far-date",
            f"{shown(written)} is not between the years {_FIRST_YEAR} and {_LAST_YEAR}",
            f"look at the year; a date is written  {_EXAMPLE}",
        )


def read_date_range(text: object) -> tuple[date, date]:
    """``2026-07-04/2026-07-06``, the first day not after the last. Raises Misread."""
    if isinstance(text, tuple):
        return text
    first, slash, last = text.partition("/") if isinstance(text, str) else ("", "", "")
    if not slash:
        raise Misread("broken-date", f"{shown(text)} is not a first and a last day", "write  2026-07-04/2026-07-06")
    days = (read_date(first), read_date(last))
    if days[0] > days[1]:
        raise Misread(
            "dates-reversed", f"{shown(text)}: the last day is before the first", f"write  {days[1]}/{days[0]}"
        )
    return days


def read_clock(text: object) -> time:
    """A time of day, ``14:30``. Raises Misread."""
    if isinstance(text, time):
        return text
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", text.strip(), re.ASCII) if isinstance(text, str) else None
    if not found:
        raise Misread("not-a-time", f"{shown(text)} is not a time of day", "write hours and minutes, as in  14:30")
    return time(int(found[1]), int(found[2]))


@frozen
class HazyDate:
    """A date that may be uncertain: its text, the first and last day it can mean (None: open), and the doubt said."""

    text: str
    earliest: date | None
    latest: date | None
    about: bool = False
    doubtful: bool = False

    def exact(self) -> bool:
        """Whether it means one day and says so without doubt."""
        return self.earliest is not None and self.earliest == self.latest and not (self.about or self.doubtful)

    def __str__(self) -> str:
        return self.text


def read_hazy(text: object) -> HazyDate:
    """EDTF: ``2004-06``, ``2001~``, ``1998/2003``, ``199X``, ``2006-23`` (autumn), ``../2004``. Raises Misread."""
    if isinstance(text, HazyDate):
        return text
    if not isinstance(text, str):
        raise _no_hazy(text)
    written = text.strip()
    if "/" in written:
        first, _, last = (part.strip() for part in written.partition("/"))
        begin = None if first in {"..", ""} else _one_hazy(first, written)
        end = None if last in {"..", ""} else _one_hazy(last, written)
        if begin and end and begin.earliest and end.latest and begin.earliest > end.latest:
            raise Misread(
                "dates-reversed", f"{shown(written)}: the end is before the beginning", f"write  {last}/{first}"
            )
        parts = [part for part in (begin, end) if part]
        if not parts:
            raise _no_hazy(written)
        return HazyDate(
            written,
            begin.earliest if begin else None,
            end.latest if end else None,
            any(p.about for p in parts),
            any(p.doubtful for p in parts),
        )
    return _one_hazy(written, written)


def _one_hazy(part: str, written: str) -> HazyDate:
    found = re.fullmatch(r"(\d{2}[\dX]{2})(?:-(\d{2}|XX))?(?:-(\d{2}|XX))?([~?%]?)", part, re.ASCII)
    bounds = _bounds(found[1], found[2], found[3]) if found else None
    if not found or bounds is None:
        raise _no_hazy(written)
    _near_enough(bounds[0].year, written)
    return HazyDate(part, *bounds, about=found[4] in {"~", "%"}, doubtful=found[4] in {"?", "%"})


def _no_hazy(written: object) -> Misread:
    return Misread(
        "broken-date",
        f"{shown(written)} is not a date, certain or uncertain",
        "write  2004-06-12,  2004-06,  2001~  (about),  1998/2003  or  199X",
    )


def _bounds(year: str, month: str | None, day: str | None) -> tuple[date, date] | None:
    """The first and last day that year, month and day with their unknown digits can mean."""
    first, last = int(year.replace("X", "0")), int(year.replace("X", "9"))
    if (
        first == 0
        or ("X" in year and (month or year[2] == "X" != year[3]))
        or (month == "XX" and day not in {None, "XX"})
    ):
        return None
    if month is None or month == "XX":
        return date(first, 1, 1), date(last, 12, 31)
    number = int(month)
    if number in _SEASONS and day is None:
        begin, end = _SEASONS[number]
        return date(first, begin, 1), date(first, end, calendar.monthrange(first, end)[1])
    if number not in range(1, 13):
        return None
    length = calendar.monthrange(first, number)[1]
    if day is None or day == "XX":
        return date(first, number, 1), date(first, number, length)
    return (date(first, number, int(day)),) * 2 if 1 <= int(day) <= length else None
