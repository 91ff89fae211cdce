"""When a span of days, months or hours is over, and how pressing that is.

Sources
- Calendar months run from any day of a month to the last day of the month so many months later: the way that 14 CFR
  91.207(d), 91.409(a), 91.411 and 91.413 are read. The regulations do not define the words; it is convention.
- Days are counted from the day itself, which is day 0 (14 CFR 91.307(a): within the preceding 180 days). Plain months
  and years run to the same day, or to the last day of a month that has no such day.

Assumptions: what is due on a day is in order on that day and overdue on the next. Hours that are used up to the last
tenth are not overrun.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from datetime import MAXYEAR, date, timedelta
from decimal import Decimal

from buildlog.basics.bounds import Bounds
from buildlog.basics.times import Span

OVERDUE, SOON, LATER, NEVER, NOT_KNOWN, NOT_FITTED = STATES = (
    "overdue",
    "due-soon",
    "due",
    "never-done",
    "not-known",
    "not-fitted",
)
"""Where something that falls due stands, the most pressing first."""
SOON_DAYS = 60
SOON_HOURS = Decimal(10)
HOURS = "h"
_MONTHS = {"months": 1, "calendar months": 1, "years": 12}
_DAYS = {"days": 1, "weeks": 7}


def day_due(start: date, span: Span) -> date:
    """The last day of a span of days, weeks, months or years from a day on."""
    if span.unit in _DAYS:
        days = int(span.count) * _DAYS[span.unit]
        return start + timedelta(days=min(days, (date.max - start).days))
    months = start.year * 12 + start.month - 1 + int(span.count) * _MONTHS[span.unit]
    year, month = months // 12, months % 12 + 1
    if year > MAXYEAR:
        return date.max
    length = calendar.monthrange(year, month)[1]
    return date(year, month, length if span.unit == "calendar months" else min(start.day, length))


def by_day(due: date, on: date) -> str:
    """Where something stands that is due on a day."""
    if on > due:
        return OVERDUE
    return SOON if (due - on).days <= SOON_DAYS else LATER


def by_hours(left: Bounds, grace: Decimal = Decimal(0)) -> str:
    """Where something stands with so many hours left, which may be overrun by ``grace``.

    Not known where it may be overdue and may not; due soon where it may be soon.
    """
    if left.high is not None and left.high < -grace:
        return OVERDUE
    if left.low is None or left.low < -grace:
        return NOT_KNOWN
    return SOON if left.low <= SOON_HOURS else LATER


def pressing(states: Iterable[str]) -> str:
    """Whichever comes first of several limits; of none, not known.

    What is overdue by one of them is overdue; what is not known of one hides whether it is.
    """
    order = (OVERDUE, NOT_KNOWN, SOON, LATER)
    return min(states, key=order.index, default=NOT_KNOWN)
