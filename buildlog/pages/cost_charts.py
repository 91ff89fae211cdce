"""The drawings of the page of money: running, by system, by month.

Where single amounts may not be seen, the running cost goes from month to month.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from buildlog.pages.charts import Bar, Bars, Columns, Month, Point, Series, Steps, draw_bars, draw_columns, draw_steps
from buildlog.pages.drawings import drawn
from buildlog.pages.filed import ordered_by_system
from buildlog.pages.lines import Desk
from buildlog.pages.measures import Measures
from buildlog.pages.months import first_day, last_day


def running_chart(desk: Desk) -> str:
    """The running cost: from day to day, or from month to month where single amounts may not be seen."""
    cost, measures = desk.worked.cost, Measures(desk.words)
    points = _by_day(desk) if desk.priced else _by_month(desk)
    label = f"Paid after refunds, running: {desk.words.money(cost.net())}"
    return drawn(
        draw_steps,
        Steps(
            label,
            (Series("", tuple(points)),),
            measures.tick,
            measures.told_money,
            measures.dates,
            axis=f"paid after refunds, {desk.words.currency}",
            events=desk.milestones(),
            until=desk.worked.on,
            details="The tables by month and line by line say the same."
            if desk.priced
            else "The table by month says the same.",
        ),
    )


def _by_day(desk: Desk) -> Iterator[Point]:
    """The running cost at the end of each day that moved it."""
    measures, so_far = Measures(desk.words), 0
    for day, group in groupby(desk.worked.cost.outlays, key=lambda line: line.day):
        lines = [line for line in group if line.value is not None]
        so_far += sum(line.value or 0 for line in lines)
        titles = dict.fromkeys(desk.sources.of(line.entry, line.day).title for line in lines)
        if lines:
            yield Point(day, measures.money(so_far), desk.words.listed(titles))


def _by_month(desk: Desk) -> Iterator[Point]:
    measures, so_far = Measures(desk.words), 0
    for month, net in desk.worked.cost.by_month().items():
        so_far += net
        last = last_day(month)
        yield Point(min(last, desk.worked.on or last), measures.money(so_far))


def system_chart(desk: Desk) -> str:
    """Paid and ordered by system."""
    net, ordered, measures = desk.worked.cost.by_system(), ordered_by_system(desk.worked), Measures(desk.words)
    bars = []
    for key in desk.in_order({*net, *ordered}):
        system = desk.worked.logbook.system(key)
        paid, waiting = measures.money(net.get(key, 0)), measures.money(ordered.get(key, 0))
        if paid or waiting:
            bars.append(Bar(system.name, paid, waiting, system.code))
    return drawn(
        draw_bars,
        Bars(
            f"Cost by system, {desk.words.currency}",
            tuple(bars),
            measures.told_money,
            axis=f"by system, {desk.words.currency}",
            details="The table below says the same.",
            solid_name="paid after refunds",
            hollow_name="ordered, not yet paid" if any(ordered.values()) else "",
        ),
    )


def month_chart(desk: Desk) -> str:
    """Paid by month."""
    measures = Measures(desk.words)
    months = tuple(Month(first_day(month), measures.money(net)) for month, net in desk.worked.cost.by_month().items())
    return drawn(
        draw_columns,
        Columns(
            f"Paid after refunds by month, {desk.words.currency}",
            months,
            measures.tick,
            measures.told_money,
            measures.dates,
            axis=f"paid after refunds in each month, {desk.words.currency}",
            details="The table below says the same.",
        ),
    )
