"""The drawings of the page of hours: running, by system, by month."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from buildlog.figures.labour import Work
from buildlog.pages.charts import Bar, Bars, Columns, Month, Point, Series, Steps, draw_bars, draw_columns, draw_steps
from buildlog.pages.charts.steps import Stroke
from buildlog.pages.drawings import drawn
from buildlog.pages.lines import Desk
from buildlog.pages.measures import Measures
from buildlog.pages.months import first_day

MOST_ROLES = 3
"""Roles that have a line of their own."""
_STROKES: tuple[Stroke, ...] = ("dashed", "dotted", "thin")


def roles_in_order(desk: Desk) -> list[tuple[str, int]]:
    """Roles with their minutes, the most first."""
    return sorted(desk.worked.labour.by_role().items(), key=lambda item: (-item[1], item[0]))


def running_chart(desk: Desk) -> str:
    """Running hours, all and by role where there are several."""
    labour, measures = desk.worked.labour, Measures(desk.words)
    roles = [role for role, _ in roles_in_order(desk)][:MOST_ROLES]
    named = dict(labour.roles)
    series = [Series("all", tuple(_points(list(labour.work), measures)))]
    for role, stroke in zip(roles if len(roles) > 1 else (), _STROKES, strict=False):
        mine = [line for line in labour.work if named.get(line.person, line.person) == role]
        series.append(Series(role, tuple(_points(mine, measures)), stroke))
    return drawn(
        draw_steps,
        Steps(
            f"Hours of work, running: {desk.words.labour(labour.minutes())}",
            tuple(series),
            measures.tick_hours,
            measures.told_hours,
            measures.dates,
            axis="hours of work",
            events=desk.milestones(),
            until=desk.worked.on,
            details="The tables by month and line by line say the same.",
        ),
    )


def _points(lines: list[Work], measures: Measures) -> Iterator[Point]:
    """The running hours at the end of each day that added some."""
    so_far = 0
    for day, group in groupby(lines, key=lambda line: line.day):
        work = list(group)
        so_far += sum(line.minutes for line in work)
        yield Point(day, measures.hours(so_far), measures.words.listed(dict.fromkeys(line.what for line in work)))


def system_chart(desk: Desk) -> str:
    """Hours by system."""
    measures, book = Measures(desk.words), desk.worked.logbook
    minutes = desk.worked.labour.by_system()
    systems = [(book.system(key), minutes[key]) for key in desk.in_order(minutes) if minutes[key]]
    bars = tuple(Bar(system.name, measures.hours(worked), code=system.code) for system, worked in systems)
    return drawn(
        draw_bars,
        Bars(
            "Hours of work by system",
            bars,
            measures.told_hours,
            axis="by system, hours of work",
            details="The table below says the same.",
        ),
    )


def month_chart(desk: Desk) -> str:
    """Hours by month."""
    measures = Measures(desk.words)
    by_month = desk.worked.labour.by_month()
    months = tuple(Month(first_day(month), measures.hours(minutes)) for month, minutes in by_month.items())
    return drawn(
        draw_columns,
        Columns(
            "Hours of work by month",
            months,
            measures.tick_hours,
            measures.told_hours,
            measures.dates,
            axis="hours of work in each month",
            details="The table below says the same.",
        ),
    )
