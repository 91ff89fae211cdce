"""All systems with their totals, which add up to the record's; and what is known of the aircraft as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.charts import Bar, Bars, draw_bars
from buildlog.pages.drawings import drawn
from buildlog.pages.filed import Drawer, filed
from buildlog.pages.known import WHOLE, FactRow, QuestionRow, facts_about, questions_about
from buildlog.pages.lines import Desk
from buildlog.pages.measures import Measures
from buildlog.pages.sheet import Addresses, Sheet, Tab
from buildlog.pages.system import Work, system_sheet, system_work
from buildlog.pages.words import Words


@frozen
class SystemLine:
    """One system's totals; ``sheet`` is where their lines stand. Figures are '' for nothing or what may not be seen."""

    tab: Tab
    sheet: str
    entries: int
    hours: str
    cost: str
    ordered: str
    weight: str
    open: int
    closed: int


@frozen
class SystemsView:
    """The table of all systems; ``total`` is the record's own, worked out without them."""

    lines: tuple[SystemLine, ...]
    total: SystemLine
    currency: str
    weight_unit: str
    hours_chart: str
    cost_chart: str
    facts: tuple[FactRow, ...]
    questions: tuple[QuestionRow, ...]
    general: Work | None
    shows_costs: bool
    shows_hours: bool
    shows_orders: bool


def system_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The table of systems and one sheet for each of them."""
    desk, drawers = Desk.of(worked, words, at), filed(worked)
    yield _index(drawers, desk)
    for key, drawer in drawers.items():
        if key:
            yield system_sheet(drawer, desk)


def _index(drawers: dict[str, Drawer], desk: Desk) -> Sheet:
    worked, words, sight = desk.worked, desk.words, desk.worked.logbook.sight
    general = drawers.get("")
    view = SystemsView(
        tuple(_line(drawer, desk) for drawer in drawers.values()),
        _total(desk),
        words.currency,
        words.weight_unit,
        _hours_chart(drawers, desk) if sight.hours else "",
        _cost_chart(drawers, desk) if sight.costs != "none" else "",
        facts_about(worked, words, desk.at, desk.papers, WHOLE),
        questions_about(desk.sources, worked.logbook, desk.at, WHOLE),
        system_work(general, desk) if general else None,
        sight.costs != "none",
        sight.hours,
        any(drawer.ordered for drawer in drawers.values()),
    )
    number = counted(sum(1 for key in drawers if key), "system")
    return Sheet(
        "systems.html",
        "systems.html",
        "Systems",
        view,
        "systems.html",
        description=f"{number} of the aircraft, each with its entries, hours, weight change and findings.",
        worked_from=f"{number}, {counted(sum(1 for _ in worked.logbook.told()), 'entry', 'entries')}",
        updated=worked.logbook.last_day(),
    )


def _line(drawer: Drawer, desk: Desk) -> SystemLine:
    words, found = desk.words, [state for state in desk.worked.findings if state.system == drawer.key]
    minutes, money = sum(drawer.minutes.values()), sum(drawer.money.values())
    kg = sum(drawer.kg.values(), Fraction(0))
    number_open = sum(state.open for state in found)
    return SystemLine(
        desk.at.tab(drawer.key),
        desk.at.system(drawer.key) or "systems.html",
        len(drawer.entries),
        words.labour(minutes, unit=False) if drawer.minutes else "",
        words.money(money, unit=False) if drawer.money else "",
        words.money(drawer.ordered, unit=False) if drawer.ordered else "",
        words.weight(kg, signed=True, unit=False) if drawer.kg else "",
        number_open,
        len(found) - number_open,
    )


def _total(desk: Desk) -> SystemLine:
    """The record's totals as they are worked out over everything, not by adding the lines above."""
    worked, words = desk.worked, desk.words
    number_open = sum(state.open for state in worked.findings)
    return SystemLine(
        Tab("", "All", ""),
        "",
        sum(1 for _ in worked.logbook.told()),
        words.labour(worked.labour.minutes(), unit=False),
        words.money(worked.cost.net(), unit=False),
        words.money(worked.cost.ordered(), unit=False),
        words.weight(worked.weight.total(), signed=True, unit=False),
        number_open,
        len(worked.findings) - number_open,
    )


def _hours_chart(drawers: dict[str, Drawer], desk: Desk) -> str:
    measures, book = Measures(desk.words), desk.worked.logbook
    sums = [(book.system(key), sum(drawer.minutes.values())) for key, drawer in drawers.items()]
    bars = tuple(Bar(system.name, measures.hours(minutes), code=system.code) for system, minutes in sums if minutes)
    return drawn(
        draw_bars,
        Bars("Hours of work by system", bars, measures.told_hours, "hours of work", "The table above says the same."),
    )


def _cost_chart(drawers: dict[str, Drawer], desk: Desk) -> str:
    measures, book, currency = Measures(desk.words), desk.worked.logbook, desk.words.currency
    sums = [(book.system(key), sum(drawer.money.values()), drawer.ordered) for key, drawer in drawers.items()]
    bars = tuple(
        Bar(system.name, measures.money(net), measures.money(ordered), system.code)
        for system, net, ordered in sums
        if net or ordered
    )
    hollow = "ordered, not yet paid" if any(ordered for _, _, ordered in sums) else ""
    return drawn(
        draw_bars,
        Bars(
            f"Cost by system, {currency}",
            bars,
            measures.told_money,
            f"paid after refunds, {currency}",
            "The table above says the same.",
            "paid" if hollow else "",
            hollow,
        ),
    )
