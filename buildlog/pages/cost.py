"""Money: what was paid, what came back, what is ordered; over time, by system, kind, month and supplier; line by line.

Where an audience may see totals only, no single amount is shown or can be read off a chart: the running cost then goes
from month to month.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.cost_charts import month_chart, running_chart, system_chart
from buildlog.pages.cost_lines import MonthOfLines, OrderLine, QuoteLine, lines_by_month, order_lines, quote_lines
from buildlog.pages.filed import ordered_by_system
from buildlog.pages.lines import Desk
from buildlog.pages.months import first_day, month_anchor
from buildlog.pages.sheet import Addresses, Link, Sheet, Tab
from buildlog.pages.words import Words
from buildlog.pages.years import Years


@frozen
class Hero:
    """A large figure of the strip: the number, its unit, what it is, and where its lines are."""

    figure: str
    unit: str
    words: str
    path: str


@frozen
class SystemCost:
    """What went to one system; ``ordered`` is '' for nothing."""

    tab: Tab
    net: str
    ordered: str
    path: str


@frozen
class NamedCost:
    """A name and what went to it; ``path`` leads to its lines, ``so_far`` is the running total where there is one."""

    name: str
    net: str
    path: str = ""
    so_far: str = ""


@frozen
class CostView:
    """The page of money; ``lines`` are the newest where ``pages`` names those of the years."""

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
    pages: tuple[Link, ...]


@frozen
class CostYearView:
    """The payments of one year of a long ledger."""

    title: str
    year: str
    net: str
    count: str
    currency: str
    pages: tuple[Link, ...]
    lines: tuple[MonthOfLines, ...]
    shows_suppliers: bool
    shows_receipts: bool


def cost_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of money; none for an audience that may not see any."""
    sight = worked.logbook.sight
    if sight.costs == "none":
        return
    desk, cost = Desk.of(worked, words, at), worked.cost
    lines = lines_by_month(desk) if desk.priced else ()
    years = Years.of("cost.html", "Totals", (line.day.year for line in cost.outlays if desk.priced))
    view = CostView(
        tuple(_strip(desk)),
        running_chart(desk),
        system_chart(desk),
        month_chart(desk),
        tuple(_systems(desk)),
        tuple(NamedCost(words.kind(kind), words.money(net, unit=False)) for kind, net in cost.by_kind().items()),
        tuple(_months(years, desk)),
        tuple(_suppliers(desk)) if sight.suppliers else (),
        words.money(cost.net(), unit=False),
        words.money(cost.ordered(), unit=False),
        words.currency,
        order_lines(desk),
        quote_lines(desk),
        years.newest(lines),
        tuple(words.written_money(money) for money in cost.unconverted().values()),
        tuple(_rates(desk)),
        desk.priced,
        sight.suppliers,
        sight.receipts,
        years.links(),
    )
    yield Sheet(
        "cost.html",
        "cost.html",
        "Cost",
        view,
        "cost.html",
        description=f"{words.money(cost.net())} paid after refunds; by system, kind and month.",
        worked_from=counted(len(cost.outlays), "payment"),
        updated=worked.logbook.last_day(),
    )
    yield from (_year(year, years, lines, desk) for year in years.years)


def _year(year: int, years: Years, lines: tuple[MonthOfLines, ...], desk: Desk) -> Sheet:
    """The payments of one year."""
    paid = [line for line in desk.worked.cost.outlays if line.day.year == year]
    net = sum(cents for month, cents in desk.worked.cost.by_month().items() if first_day(month).year == year)
    title, sight = f"Cost, {year}", desk.worked.logbook.sight
    view = CostYearView(
        title,
        str(year),
        desk.words.money(net, unit=False),
        counted(len(paid), "payment"),
        desk.words.currency,
        years.links(),
        tuple(month for month in lines if month.year == year),
        sight.suppliers,
        sight.receipts,
    )
    return Sheet(
        years.path(year),
        "cost_year.html",
        title,
        view,
        "cost.html",
        description=f"Every payment and refund of {year}: {desk.words.money(net)} after refunds.",
        worked_from=view.count,
        updated=paid[-1].day,
    )


def _strip(desk: Desk) -> Iterator[Hero]:
    cost, words = desk.worked.cost, desk.words
    lines = ("#lines" if desk.priced else "#months") if cost.outlays else ""
    yield Hero(words.money(cost.paid(), unit=False), words.currency, "paid, before refunds", lines)
    yield Hero(words.money(cost.refunded(), unit=False), words.currency, "came back", lines)
    yield Hero(words.money(cost.net(), unit=False), words.currency, "paid after refunds", lines)
    yield Hero(words.money(cost.ordered(), unit=False), words.currency, "ordered and not yet paid", "#orders")


def _systems(desk: Desk) -> Iterator[SystemCost]:
    net, ordered, words = desk.worked.cost.by_system(), ordered_by_system(desk.worked), desk.words
    for key in desk.in_order({*net, *ordered}):
        waiting = words.money(ordered[key], unit=False) if ordered.get(key) else ""
        path = f"{desk.at.system(key)}#cost" if key else "systems.html#no-system"
        yield SystemCost(desk.at.tab(key), words.money(net.get(key, 0), unit=False), waiting, path)


def _months(years: Years, desk: Desk) -> Iterator[NamedCost]:
    so_far = 0
    for month, net in desk.worked.cost.by_month().items():
        so_far += net
        name = desk.words.month(first_day(month))
        path = years.lines(first_day(month).year, month_anchor(month)) if desk.priced else ""
        yield NamedCost(name, desk.words.money(net, unit=False), path, desk.words.money(so_far, unit=False))


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
