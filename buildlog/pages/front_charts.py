"""The charts of the front page: what went in and came out at its arm, and how cost and hours added up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction

from buildlog.pages.charts import (
    NARROW,
    Event,
    Format,
    Item,
    Number,
    Point,
    Series,
    Sheet,
    Steps,
    Strip,
    draw_steps,
    draw_strip,
)
from buildlog.pages.drawings import drawn
from buildlog.pages.lines import Desk
from buildlog.pages.measures import UNIT_NAMES, Measures
from buildlog.pages.words import Words

HALF = Sheet(560, "mid")
"""The sheet for a chart that shares the page's width with another."""

_LEAST = 2
"""Days with an amount that a line needs."""


def strip_chart(desk: Desk) -> str:
    """The station strip; '' while no change has an arm."""
    measures, words = Measures(desk.words), desk.words
    items = tuple(
        Item(
            measures.arm(change.arm_m),
            measures.weight(change.kg),
            change.item,
            f"{words.brief_day(change.day)}, {change.basis}",
        )
        for change in desk.worked.weight.changes
        if change.arm_m is not None
    )
    return drawn(
        draw_strip,
        Strip(
            "Station strip: each item put on or taken off, at its arm",
            items,
            measures.tick,
            measures.told_arm,
            measures.told_change,
            measures.told_weight,
            axis=f"arm, {UNIT_NAMES[words.arm_unit]} from the datum",
            details="In stands on the line, out hangs below it. The weight page lists every item.",
            datum_name="datum",
            in_name="in",
            out_name="out",
        ),
    )


def strip_words(desk: Desk) -> str:
    """What all changes together have done, from the first weighing on if there is one."""
    words, weight, empty = desk.words, desk.worked.weight, desk.worked.weight.empty()
    if empty is None or not weight.weighings:
        return f"{_more_or_less(weight.total(), words)} than when the log began." if weight.total() else ""
    first = weight.weighings[0]
    heavier = empty.kg - first.kg
    if empty.weighing is first and not empty.changes:
        return ""
    moved = ""
    if empty.arm_m is not None and first.arm_m is not None and empty.arm_m != first.arm_m:
        way = "forward" if empty.arm_m < first.arm_m else "aft"
        way = way if words.datum else f"{'less' if empty.arm_m < first.arm_m else 'more'} from the datum"
        moved = f", and the centre of gravity {words.arm(abs(empty.arm_m - first.arm_m))} further {way}"
    return f"{_more_or_less(heavier, words)} than at the weighing of {words.day(first.day)}{moved}."


def _more_or_less(kg: Fraction, words: Words) -> str:
    return "As heavy" if not kg else f"{words.weight(abs(kg))} {'heavier' if kg > 0 else 'lighter'}"


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
        Event(entry.day, entry.facts.milestone)
        for entry in desk.worked.logbook.told()
        if entry.facts.milestone
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
    alone = replace(
        chart, series=(Series(label, points),), axis=""
    )  # the narrow drawing heads each line with its name
    return draw_steps(chart, HALF) + draw_steps(alone, NARROW)


def _points(lines: Iterable[tuple[date, int]], plain: Callable[[int], Number]) -> Iterator[Point]:
    """The running total at the end of each day."""
    by_day: dict[date, int] = {}
    for day, amount in lines:
        by_day[day] = by_day.get(day, 0) + amount
    total = 0
    for day in sorted(by_day):
        total += by_day[day]
        yield Point(day, plain(total))
