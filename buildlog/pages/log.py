"""The log: every entry by month, newest first, with what each month took; a long one by years."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.charts import Event, Timeline, Work, draw_timeline
from buildlog.pages.charts import Row as Line
from buildlog.pages.drawings import drawn
from buildlog.pages.lines import Desk
from buildlog.pages.listing import Amounts, Row, RowMaker, entries_told
from buildlog.pages.measures import Measures
from buildlog.pages.sheet import Addresses, Link, Sheet, Tab
from buildlog.pages.words import Words
from buildlog.records.entry import Entry
from buildlog.records.logbook import system_order

LONGEST = 150
"""Entries on one page; a longer log has a page for each year."""


@frozen
class KeyedTab:
    """A system's tab, the key the filter knows it by, and how many entries of this page it has."""

    key: str
    tab: Tab
    entries: str


@frozen
class Month:
    """A month of the log with its subtotals."""

    anchor: str
    name: str
    hours: str
    money: str
    weight: str
    rows: tuple[Row, ...]


@frozen
class LogView:
    """The log, or a year of it; ``before`` tells what the ledgers hold from before the log."""

    title: str
    summary: str
    before: str
    years: tuple[Link, ...]
    filter: tuple[KeyedTab, ...]
    months: tuple[Month, ...]
    timeline: str


def log_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The log on one page, or on one for each year when it is long."""
    desk, maker = Desk.of(worked, words, at), RowMaker(worked, words, at)
    entries, took = list(worked.logbook.told())[::-1], _by_system(desk)
    by_year = {year: list(group) for year, group in groupby(entries, key=lambda entry: entry.day.year)}
    years = sorted(by_year, reverse=True)
    long = len(entries) > LONGEST and len(years) > 1
    links = tuple(Link(str(year), log_path(year, years)) for year in years) if long else ()
    for year in years if long else [0]:
        mine = by_year[year] if year else entries
        title = f"The log, {year}" if year else "The log"
        view = LogView(
            title,
            _summary(mine, maker.took, desk),
            _before(desk) if not year or year == years[-1] else "",
            links,
            _filter(mine, desk),
            tuple(_months(mine, maker, desk)),
            _timeline(mine, took, desk),
        )
        yield Sheet(
            log_path(year, years) if year else "log.html",
            "log.html",
            title,
            view,
            "log.html",
            f"{view.summary} {worked.logbook.project.title}.",
            name=title[:1].lower() + title[1:],
            worked_from=entries_told(len(mine), words),
            updated=mine[0].day if mine else None,
        )


def log_path(year: int, years: list[int]) -> str:
    """The page of a year; the newest has the log's own address."""
    return "log.html" if year == years[0] else f"log-{year}.html"


def _summary(entries: list[Entry], took: Amounts, desk: Desk) -> str:
    hours, money, weight = _sums(entries, took, desk)
    return ", ".join(filter(None, (entries_told(len(entries), desk.words), hours, money, weight))) + ". Newest first."


def _before(desk: Desk) -> str:
    """What the totals hold and this list does not."""
    minutes, net = desk.worked.labour.by_entry().get("", 0), desk.worked.cost.by_entry().get("", 0)
    sight = desk.worked.logbook.sight
    figures = [desk.words.labour(minutes)] if minutes and sight.hours else []
    figures += [desk.words.money(net)] if net and sight.costs != "none" else []
    return f"From before the log, and in the totals elsewhere: {desk.words.listed(figures)}." if figures else ""


def _sums(entries: list[Entry], took: Amounts, desk: Desk) -> tuple[str, str, str]:
    """What some entries took together: hours, money after refunds, change of weight."""
    words, sight = desk.words, desk.worked.logbook.sight
    slugs = [entry.slug for entry in entries]
    minutes = sum(took.minutes.get(slug, 0) for slug in slugs)
    net = sum(took.money.get(slug, 0) for slug in slugs)
    kg = sum((took.kg.get(slug, Fraction(0)) for slug in slugs), Fraction(0))
    return (
        words.labour(minutes) if minutes and sight.hours else "",
        words.money(net) if net and sight.costs != "none" else "",
        words.weight(kg, signed=True) if kg else "",
    )


def _filter(entries: list[Entry], desk: Desk) -> tuple[KeyedTab, ...]:
    book = desk.worked.logbook
    found: dict[str, int] = {}
    for entry in entries:
        for key in entry.facts.system:
            found[key] = found.get(key, 0) + 1
    return tuple(
        KeyedTab(key, desk.at.tab(key), str(found[key]))
        for key in sorted(found, key=lambda k: system_order(book.system(k)))
    )


def _months(entries: list[Entry], maker: RowMaker, desk: Desk) -> Iterator[Month]:
    for first, group in groupby(entries, key=lambda entry: entry.day.replace(day=1)):
        mine = list(group)
        yield Month(f"{first:%Y-%m}", desk.words.month(first), *_sums(mine, maker.took, desk), maker.rows(mine))


def _by_system(desk: Desk) -> dict[tuple[str, str], int]:
    """The minutes of each entry that went to each system."""
    took: dict[tuple[str, str], int] = {}
    for line in desk.worked.labour.work:
        for system, minutes in line.parts:
            took[line.entry, system] = took.get((line.entry, system), 0) + minutes
    return took


def _timeline(entries: list[Entry], took: dict[tuple[str, str], int], desk: Desk) -> str:
    """When each system was worked on: a tick for each entry, its area the time that went to the system."""
    book, measures = desk.worked.logbook, Measures(desk.words)
    spent: dict[str, list[Work]] = {}
    for entry in reversed(entries):
        first = entry.first_day if entry.first_day < entry.day else None
        for key in entry.facts.system:
            hours = measures.hours(took.get((entry.slug, key), 0))
            spent.setdefault(key, []).append(
                Work(first or entry.day, hours, entry.facts.title, entry.day if first else None)
            )
    rows = tuple(
        Line(book.system(key).name, tuple(spent[key]), book.system(key).code)
        for key in sorted(spent, key=lambda key: system_order(book.system(key)))
    )
    events = tuple(Event(entry.day, entry.facts.milestone) for entry in reversed(entries) if entry.facts.milestone)
    return drawn(
        draw_timeline,
        Timeline(
            "When each system was worked on",
            rows,
            measures.told_hours,
            measures.dates,
            axis="each entry, its area for its hours",
            details="A tick for each entry, by its time on the system. The list above tells the same.",
            events=events,
        ),
    )
