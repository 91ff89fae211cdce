"""What each single limit says of something that falls due: a stretch of days or months, hours, a life.

Assumptions
- An uncertain day counts from the first day that it can mean. What nobody knows is to be treated as expired until somebody
  entitled to has resolved it.
- Life in months is in calendar months, from the day it was made, overhauled or fitted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from buildlog.basics.bounds import UNKNOWN, Bounds
from buildlog.basics.dates import HazyDate
from buildlog.basics.frozen import frozen
from buildlog.basics.times import Span
from buildlog.figures.due_dates import HOURS, NOT_KNOWN, OVERDUE, by_day, by_hours, day_due
from buildlog.figures.due_done import Done, hours_left
from buildlog.figures.service import Hours, Times
from buildlog.records.registers import Life

RESOLVE = "treat as expired until somebody entitled to has resolved it"
_BEGUN = {"new": "made", "overhaul": "overhauled", "fitted": "fitted"}


@frozen
class Limit:
    """What one limit says: where the thing stands, the day or the hours left, and why."""

    state: str
    due: date | None = None
    left: Bounds = UNKNOWN
    reason: str = ""


def recurring(
    done: tuple[Done, ...], every: Sequence[Span], key: str, times: Times, on: date, grace: Decimal | None = None
) -> list[Limit]:
    """The limits of something that comes back, from when it was last done."""
    if not done:
        return [Limit(NOT_KNOWN, reason=f"no entry told here says when it was last done; {RESOLVE}")] if every else []
    dates = [from_day(done[-1].day, span, on) for span in every if span.unit != HOURS]
    return dates + [_run(done, span.count, key, times, grace or Decimal(0)) for span in every if span.unit == HOURS]


def _run(done: tuple[Done, ...], every: Decimal, key: str, times: Times, grace: Decimal) -> Limit:
    """The limit in hours; its reason says what is doubtful about them."""
    left, last, first = hours_left(done, every, key, times, grace), times.clock.last, done[-1].day.earliest
    state, reason = by_hours(left, grace), ""
    if state == NOT_KNOWN:
        reason = f"the hours run since are not known well enough; {RESOLVE}"
    elif last is not None and first is not None and last.day < first:
        reason = "the meter has not been read since"
    elif state != OVERDUE and left.low is not None and left.low < 0:
        reason = f"overrun by no more than the {grace} h that carry over into the next"
    return Limit(state, left=left, reason=reason)


def from_day(start: HazyDate, span: Span, on: date) -> Limit:
    """The limit in days or months from a day that may be uncertain."""
    if start.earliest is not None:
        due = day_due(start.earliest, span)
        hazy = "" if start.exact() else "the day is uncertain: counted from the first it can mean"
        return Limit(by_day(due, on), due, reason=hazy)
    due = day_due(start.latest, span) if start.latest else date.max
    if by_day(due, on) == OVERDUE:
        return Limit(OVERDUE, due, reason="the day is uncertain: overdue whichever day it was")
    return Limit(NOT_KNOWN, reason=f"the day is too uncertain to count from; {RESOLVE}")


def life_hours(life: Life, hours: Hours) -> Iterator[Limit]:
    """A life in hours, if there is one."""
    if life.hours:
        left = Bounds.exactly(life.hours) - hours.bounds
        state = by_hours(left)
        said = f"hours since {life.since} are not known well enough; {RESOLVE}" if state == NOT_KNOWN else ""
        conflict = "what is known of its hours conflicts" if hours.conflict else ""
        yield Limit(state, left=left, reason="; ".join(filter(None, (conflict, said))))


def life_months(life: Life, start: Done | None, on: date) -> Iterator[Limit]:
    """A life in calendar months, if there is one."""
    if life.months and start is None:
        yield Limit(NOT_KNOWN, reason=f"nothing says when it was {_BEGUN[life.since]}; {RESOLVE}")
    elif life.months and start is not None:
        yield from_day(start.day, Span(Decimal(life.months), "calendar months"), on)


def least(hours: Sequence[Bounds]) -> Bounds:
    """The fewest hours left of several limits."""
    if not hours:
        return UNKNOWN
    lows, highs = [one.low for one in hours], [one.high for one in hours if one.high is not None]
    sure = [low for low in lows if low is not None]
    return Bounds(min(sure) if len(sure) == len(lows) else None, min(highs, default=None))
