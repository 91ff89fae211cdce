"""Money: what was paid, what came back, what is ordered; over time, by system, kind, month and supplier; line by line.

Where an audience may see totals only, no single amount is shown or can be read off a chart: the running cost then goes
from month to month.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.charts import (
    Bar,
    Bars,
    Columns,
    Event,
    Month,
    Point,
    Series,
    Steps,
    draw_bars,
    draw_columns,
    draw_steps,
)
from buildlog.pages.cost_lines import MonthOfLines, OrderLine, QuoteLine, lines_by_month, month_anchor, order_lines, quote_lines
from buildlog.pages.drawings import drawn
from buildlog.pages.filed import ordered_by_system
from buildlog.pages.lines import Desk
from buildlog.pages.measures import Measures
from buildlog.pages.sheet import Addresses, Sheet, Tab
from buildlog.pages.words import Words
from buildlog.records.logbook import system_order


@dataclass(frozen=True)
class Hero:
    """A large figure of the strip: the number, its unit, what it is, and where its lines are."""

    figure: str
    unit: str
    words: str
    path: str


@dataclass(frozen=True)
class SystemCost:
    """What went to one system; ``ordered`` is '' for nothing."""

    tab: Tab
    net: str
    ordered: str
    path: str


@dataclass(frozen=True)
class NamedCost:
    """A name and what went to it; ``so_far`` is the running total where there is one."""

    name: str
    net: str
    anchor: str = ""
    so_far: str = ""


@dataclass(frozen=True)
class CostView:
    """The page of money."""

    strip: tuple[Hero, ...]
    running: str
    bars: str
    columns: str
    systems: tuple[SystemCost, ...]
    kinds: tuple[NamedCost, ...]
    months: tuple[NamedCost, ...]
    suppliers: tuple[NamedCost, ...]
    net: str
    ordered: str
    currency: str
    orders: tuple[OrderLine, ...]
    quotes: tuple[QuoteLine, ...]
    lines: tuple[MonthOfLines, ...]
    apart: tuple[str, ...]
    rates: tuple[str, ...]
    full: bool
    shows_suppliers: bool
    shows_receipts: bool


def cost_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of money; none for an audience that may not see any."""
    sight = worked.logbook.sight
    if sight.costs == "none":
        return
    desk, cost = Desk.of(worked, words, at), worked.cost
    view = CostView(
        tuple(_strip(desk)), _running(desk), _bars(desk), _columns(desk), tuple(_systems(desk)),
        tuple(NamedCost(words.kind(kind), words.money(net, unit=False)) for kind, net in cost.by_kind().items()),
        tuple(_months(desk)), tuple(_suppliers(desk)) if sight.suppliers else (),
        words.money(cost.net(), unit=False), words.money(cost.ordered(), unit=False), words.currency,
        order_lines(desk), quote_lines(desk), lines_by_month(desk) if desk.priced else (),
        tuple(words.written_money(money) for money in cost.unconverted().values()), tuple(_rates(desk)),
        desk.priced, sight.suppliers, sight.receipts,
    )  # fmt: skip
    yield Sheet(
        "cost.html", "cost.html", "Cost", view, "cost.html",
        description=f"{words.money(cost.net())} paid after refunds; by system, kind and month.",
        worked_from=counted(len(cost.outlays), "payment"), updated=worked.logbook.last_day(),
    )  # fmt: skip


def _strip(desk: Desk) -> Iterator[Hero]:
    cost, words = desk.worked.cost, desk.words
    lines = "#lines" if desk.priced else "#months"
    yield Hero(words.money(cost.paid(), unit=False), words.currency, "paid, before refunds", lines)
    yield Hero(words.money(cost.refunded(), unit=False), words.currency, "came back", lines)
    yield Hero(words.money(cost.net(), unit=False), words.currency, "paid after refunds", lines)
    yield Hero(words.money(cost.ordered(), unit=False), words.currency, "ordered and not yet paid", "#orders")


def _systems(desk: Desk) -> Iterator[SystemCost]:
    net, ordered, words = desk.worked.cost.by_system(), ordered_by_system(desk.worked), desk.words
    for key in _in_order({*net, *ordered}, desk):
        waiting = words.money(ordered[key], unit=False) if ordered.get(key) else ""
        path = f"{desk.at.system(key)}#cost" if key else "systems.html#no-system"
        yield SystemCost(desk.at.tab(key), words.money(net.get(key, 0), unit=False), waiting, path)


def _in_order(keys: set[str], desk: Desk) -> list[str]:
    book = desk.worked.logbook
    return sorted(keys, key=lambda key: system_order(book.system(key)))


def _months(desk: Desk) -> Iterator[NamedCost]:
    so_far = 0
    for month, net in desk.worked.cost.by_month().items():
        so_far += net
        name = desk.words.month(_first(month))
        anchor = month_anchor(month) if desk.priced else ""
        yield NamedCost(name, desk.words.money(net, unit=False), anchor, desk.words.money(so_far, unit=False))


def _suppliers(desk: Desk) -> Iterator[NamedCost]:
    """The largest first; what names no supplier last."""
    totals = desk.worked.cost.by_supplier()
    for name in sorted(totals, key=lambda name: (not name, -totals[name], name)):
        yield NamedCost(name or "no supplier named", desk.words.money(totals[name], unit=False))


def _rates(desk: Desk) -> Iterator[str]:
    words = desk.words
    for rate in desk.worked.logbook.project.exchange:
        if rate.to == words.currency:
            yield f"1 {rate.from_} is {words.plain(rate.rate)} {rate.to} from {words.day(rate.on)} on"


def _first(month: str) -> date:
    return date.fromisoformat(f"{month}-01")


def _running(desk: Desk) -> str:
    """The running cost: from day to day, or from month to month where single amounts may not be seen."""
    cost, measures = desk.worked.cost, Measures(desk.words)
    points = _by_day(desk) if desk.priced else _by_month(desk)
    label = f"Paid after refunds, running: {desk.words.money(cost.net())}"
    events = tuple(Event(entry.day, entry.facts.milestone) for entry in desk.worked.logbook.told() if entry.facts.milestone)
    return drawn(draw_steps, Steps(
        label, (Series("", tuple(points)),), measures.tick, measures.told_money, measures.dates,
        axis=f"paid after refunds, {desk.words.currency}", events=events, until=desk.worked.on,
        details="The tables by month and line by line say the same." if desk.priced else "The table by month says the same.",
    ))  # fmt: skip


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
        first = _first(month)
        last = first.replace(day=calendar.monthrange(first.year, first.month)[1])
        yield Point(min(last, desk.worked.on or last), measures.money(so_far))


def _bars(desk: Desk) -> str:
    net, ordered, measures = desk.worked.cost.by_system(), ordered_by_system(desk.worked), Measures(desk.words)
    bars = []
    for key in _in_order({*net, *ordered}, desk):
        system = desk.worked.logbook.system(key)
        paid, waiting = measures.money(net.get(key, 0)), measures.money(ordered.get(key, 0))
        if paid or waiting:
            bars.append(Bar(system.name, paid, waiting, system.code))
    return drawn(draw_bars, Bars(
        f"Cost by system, {desk.words.currency}", tuple(bars), measures.told_money, axis=f"by system, {desk.words.currency}",
        details="The table below says the same.", solid_name="paid after refunds",
        hollow_name="ordered, not yet paid" if any(ordered.values()) else "",
    ))  # fmt: skip


def _columns(desk: Desk) -> str:
    measures = Measures(desk.words)
    months = tuple(Month(_first(month), measures.money(net)) for month, net in desk.worked.cost.by_month().items())
    return drawn(draw_columns, Columns(
        f"Paid after refunds by month, {desk.words.currency}", months, measures.tick, measures.told_money, measures.dates,
        axis=f"paid after refunds in each month, {desk.words.currency}", details="The table below says the same.",
    ))  # fmt: skip
