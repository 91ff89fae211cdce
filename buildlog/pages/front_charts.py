"""The charts of the front page: what went in and came out at its arm, and how cost and hours added up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import zip_longest

from buildlog.pages.charts import (
    NARROW,
    Event,
    Format,
    Number,
    Point,
    Series,
    Sheet,
    Steps,
    draw_steps,
)
from buildlog.pages.lines import Desk
from buildlog.pages.measures import Measures
from buildlog.pages.words import Words

HALF = Sheet(560, "mid")
"""The sheet for a chart that shares the page's width with another."""
DAILY = 150
"""Days up to which each has its own step; a longer record has one a month."""
_LEAST = 2
"""Days with an amount that a line needs."""


def strip_words(desk: Desk) -> str:
    """What all changes together have done, from the first weighing on if there is one."""
    words, weight, empty = desk.words, desk.worked.weight, desk.worked.weight.empty()
    if empty is None or not weight.weighings:
        return f"{_heavier(weight.total(), words)} when the log began." if weight.total() else ""
    first = weight.weighings[0]
    if empty.weighing is first and not empty.changes:
        return ""
    moved = _moved(first.arm_m, empty.arm_m, words)
    return f"{_heavier(empty.kg - first.kg, words)} at the weighing of {words.day(first.day)}{moved}."


def _heavier(kg: Fraction, words: Words) -> str:
    return f"{words.weight(abs(kg))} {'heavier' if kg > 0 else 'lighter'} than" if kg else "As heavy as"


def _moved(before: Fraction | None, now: Fraction | None, words: Words) -> str:
    """How far the centre of gravity went, and which way where the datum says which way is aft."""
    if before is None or now is None:
        return ""
    if words.arm(before) == words.arm(now):
        return ", and the centre of gravity is where it was"
    far = words.arm(abs(now - before))
    if "positive aft" in words.datum.casefold():
        return f", and the centre of gravity {far} further {'forward' if now < before else 'aft'}"
    return f", and the arm of the centre of gravity {far} {'less' if now < before else 'more'}"


def money_chart(desk: Desk) -> str:
    """The running cost, refunds taken off; '' where it may not be seen."""
    if desk.worked.logbook.sight.costs == "none":
        return ""
    measures = Measures(desk.words)
    lines = ((line.day, line.value) for line in desk.worked.cost.outlays if line.value is not None)
    return _steps(desk, f"Paid so far, {desk.words.currency}", lines, measures.money, measures.told_money)


def hours_chart(desk: Desk) -> str:
    """The running hours of work; '' where they may not be seen."""
    if not desk.worked.logbook.sight.hours:
        return ""
    measures = Measures(desk.words)
    lines = ((line.day, line.minutes) for line in desk.worked.labour.work)
    return _steps(desk, "Hours of work so far", lines, measures.hours, measures.told_hours)


def _steps(
    desk: Desk, label: str, lines: Iterable[tuple[date, int]], plain: Callable[[int], Number], tell: Format
) -> str:
    measures = Measures(desk.words)
    points = tuple(_points(lines, plain))
    if len(points) < _LEAST:
        return ""
    events = tuple(
        Event(entry.day, entry.facts.milestone) for entry in desk.worked.logbook.told() if entry.facts.milestone
    )
    chart = Steps(
        label,
        (Series("", points),),
        measures.tick,
        tell,
        measures.dates,
        axis=label,
        events=events,
        until=desk.worked.on,
    )
    alone = replace(chart, series=(Series(label, points),), axis="")  # the narrow drawing heads each line with its name
    return draw_steps(chart, HALF) + draw_steps(alone, NARROW)


def _points(lines: Iterable[tuple[date, int]], plain: Callable[[int], Number]) -> Iterator[Point]:
    """The running total at the end of each day; of a long record at the last of each month."""
    by_day: dict[date, int] = {}
    for day, amount in lines:
        by_day[day] = by_day.get(day, 0) + amount
    days, total = sorted(by_day), 0
    for day, following in zip_longest(days, days[1:]):
        total += by_day[day]
        same_month = following is not None and (following.year, following.month) == (day.year, day.month)
        if len(days) <= DAILY or not same_month:
            yield Point(day, plain(total))
