"""Hours worked: by role, system, job and month, and line by line; jobs with their estimates beside what they took."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.figures.labour import JobRecord, Work
from buildlog.pages.cost import Hero
from buildlog.pages.hours_charts import MOST_ROLES, month_chart, roles_in_order, running_chart, system_chart
from buildlog.pages.lines import Desk
from buildlog.pages.months import first_day, month_anchor
from buildlog.pages.sheet import Addresses, Link, Sheet, Tab
from buildlog.pages.sources import Source
from buildlog.pages.words import Words
from buildlog.pages.years import Years


@frozen
class PersonHours:
    """Somebody's hours, by name and role where names may be seen, else by role."""

    name: str
    role: str
    hours: str


@frozen
class SystemHours:
    """What went to one system, and where its lines are."""

    tab: Tab
    hours: str
    path: str


@frozen
class MonthHours:
    """A month's hours, and all up to its end; ``path`` leads to its lines."""

    name: str
    path: str
    hours: str
    so_far: str


@frozen
class JobLine:
    """A job: its estimate (each '' if there is none) and what it took. ``verdict`` only once it is finished."""

    name: str
    tab: Tab | None
    low: str
    likely: str
    high: str
    worked: str
    done: str
    verdict: str


@frozen
class WorkLine:
    """One person's time in one entry."""

    source: Source
    who: str
    tabs: tuple[Tab, ...]
    hours: str


@frozen
class MonthOfWork:
    """The lines of a month and their sum."""

    year: int
    name: str
    anchor: str
    hours: str
    lines: tuple[WorkLine, ...]


@frozen
class HoursView:
    """The page of hours; ``lines`` are the newest where ``pages`` names those of the years."""

    strip: tuple[Hero, ...]
    running: str
    bars: str
    columns: str
    people: tuple[PersonHours, ...]
    systems: tuple[SystemHours, ...]
    months: tuple[MonthHours, ...]
    jobs: tuple[JobLine, ...]
    no_job: str
    total: str
    lines: tuple[MonthOfWork, ...]
    named: bool
    pages: tuple[Link, ...]


@frozen
class HoursYearView:
    """The lines of one year of a long ledger."""

    title: str
    year: str
    total: str
    count: str
    pages: tuple[Link, ...]
    lines: tuple[MonthOfWork, ...]


def hours_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of hours, and of a long ledger one for each year; none for an audience that may not see them."""
    if not worked.logbook.sight.hours:
        return
    desk, labour = Desk.of(worked, words, at), worked.labour
    unnamed, lines = labour.by_job().get("", 0), tuple(_lines(desk))
    years = Years.of("hours.html", "Totals", (line.day.year for line in labour.work))
    view = HoursView(
        tuple(_strip(desk)),
        running_chart(desk),
        system_chart(desk),
        month_chart(desk),
        tuple(_people(desk)),
        tuple(_systems(desk)),
        tuple(_months(years, desk)),
        tuple(_job(job, desk) for job in labour.jobs),
        words.labour(unnamed, unit=False) if unnamed else "",
        words.labour(labour.minutes(), unit=False),
        years.newest(lines),
        worked.logbook.sight.names,
        years.links(),
    )
    yield Sheet(
        "hours.html",
        "hours.html",
        "Hours",
        view,
        "hours.html",
        description=f"{words.labour(labour.minutes())} of work; by role, system, job and month.",
        worked_from=counted(len(labour.work), "line"),
        updated=worked.logbook.last_day(),
    )
    yield from (_year(year, years, lines, desk) for year in years.years)


def _year(year: int, years: Years, lines: tuple[MonthOfWork, ...], desk: Desk) -> Sheet:
    """The lines of one year."""
    work = [line for line in desk.worked.labour.work if line.day.year == year]
    minutes, title = sum(line.minutes for line in work), f"Hours, {year}"
    view = HoursYearView(
        title,
        str(year),
        desk.words.labour(minutes, unit=False),
        counted(len(work), "line"),
        years.links(),
        tuple(month for month in lines if month.year == year),
    )
    return Sheet(
        years.path(year),
        "hours_year.html",
        title,
        view,
        "hours.html",
        description=f"Every line of work of {year}: {desk.words.labour(minutes)}.",
        worked_from=view.count,
        updated=work[-1].day,
    )


def _strip(desk: Desk) -> Iterator[Hero]:
    """All hours, and those of the roles that did most."""
    labour, words = desk.worked.labour, desk.words
    yield Hero(words.labour(labour.minutes(), unit=False), "h", "of work in all", "#lines" if labour.work else "")
    for role, minutes in roles_in_order(desk)[:MOST_ROLES]:
        yield Hero(words.labour(minutes, unit=False), "h", f"by the {role}", "#people")


def _people(desk: Desk) -> Iterator[PersonHours]:
    people, words, sight = desk.worked.logbook.project.people, desk.words, desk.worked.logbook.sight
    if not sight.names:
        yield from (PersonHours("", role, words.labour(minutes, unit=False)) for role, minutes in roles_in_order(desk))
        return
    roles = dict(desk.worked.labour.roles)
    by_person = desk.worked.labour.by_person()
    for key in sorted(by_person, key=lambda key: (-by_person[key], key)):
        name = people[key].name if key in people else ""
        yield PersonHours(name, roles.get(key, key), words.labour(by_person[key], unit=False))


def _systems(desk: Desk) -> Iterator[SystemHours]:
    minutes = desk.worked.labour.by_system()
    for key in desk.in_order(minutes):
        path = f"{desk.at.system(key)}#work" if key else "systems.html#no-system"
        yield SystemHours(desk.at.tab(key), desk.words.labour(minutes[key], unit=False), path)


def _months(years: Years, desk: Desk) -> Iterator[MonthHours]:
    so_far, words = 0, desk.words
    for month, minutes in desk.worked.labour.by_month().items():
        so_far += minutes
        name, path = words.month(first_day(month)), years.lines(first_day(month).year, month_anchor(month))
        yield MonthHours(name, path, words.labour(minutes, unit=False), words.labour(so_far, unit=False))


def _job(record: JobRecord, desk: Desk) -> JobLine:
    job, words = record.job, desk.words
    hours = job.hours
    on = desk.worked.on
    done = job.done is not None and (on is None or job.done <= on)
    return JobLine(
        job.name,
        desk.at.tab(job.system) if job.system else None,
        words.labour(hours.low, unit=False) if hours else "",
        words.labour(hours.likely, unit=False) if hours else "",
        words.labour(hours.high, unit=False) if hours else "",
        words.labour(record.worked, unit=False) if record.worked else "",
        words.brief_day(job.done) if done and job.done else "",
        _verdict(record) if done else "",
    )


def _verdict(record: JobRecord) -> str:
    """How a finished job lies to its estimate."""
    hours = record.job.hours
    if hours is None or not record.worked:
        return ""
    if record.worked > hours.high:
        return "more than the high figure"
    return "less than the low figure" if record.worked < hours.low else "within the estimate"


def _lines(desk: Desk) -> Iterator[MonthOfWork]:
    by_month, roles = desk.worked.labour.by_month(), dict(desk.worked.labour.roles)
    for month, group in groupby(desk.worked.labour.work, key=lambda line: f"{line.day:%Y-%m}"):
        lines = tuple(_line(line, roles, desk) for line in group)
        total, first = desk.words.labour(by_month[month], unit=False), first_day(month)
        yield MonthOfWork(first.year, desk.words.month(first), month_anchor(month), total, lines)


def _line(line: Work, roles: dict[str, str], desk: Desk) -> WorkLine:
    book = desk.worked.logbook
    person = book.project.people.get(line.person)
    who = person.name if person and book.sight.names else roles.get(line.person, line.person)
    source = desk.sources.of(line.entry, line.day)
    if not line.entry:
        source = Source(source.day, f"{line.what} ({source.title})", "")
    tabs = tuple(desk.at.tab(key) for key, _ in line.parts if key)
    return WorkLine(source, who, tabs, desk.words.labour(line.minutes, unit=False))
