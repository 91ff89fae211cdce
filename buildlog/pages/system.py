"""One system's sheet: what is known of it, what is fitted, the work in order, and what it took and changed."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.cost import Outlay
from buildlog.pages.component import StateRow, state_row
from buildlog.pages.decisions import DecisionRow, decision_rows
from buildlog.pages.due import DueGroup, due_groups
from buildlog.pages.filed import Drawer, measured_system
from buildlog.pages.known import FactRow, QuestionRow, facts_about, questions_about
from buildlog.pages.lines import (
    ChangeLine,
    Desk,
    FindingLine,
    MeasureLine,
    PartLine,
    change_line,
    finding_line,
    findings_in_order,
    measure_lines,
    part_lines,
    photos_from,
)
from buildlog.pages.records import ShownLine, shown_lines
from buildlog.pages.seals import broken_mark
from buildlog.pages.sheet import Photo, Sheet, Tab, lead_photo
from buildlog.pages.signatures import SignatureLine, UnsignedLine, signatures_on, unsigned_lines
from buildlog.pages.sources import Source
from buildlog.records.changes import Measurement
from buildlog.records.entry import Entry
from buildlog.records.purchases import Part


@frozen
class RoleHours:
    """What one role did."""

    role: str
    hours: str


@frozen
class KindCost:
    """What one kind of cost came to."""

    kind: str
    amount: str


@frozen
class CostShare:
    """A payment's share that went to this system; ``whole`` is all of it where it was shared."""

    source: Source
    item: str
    kind: str
    amount: str
    whole: str


@frozen
class WorkRow:
    """An entry with the system's share of it; ``also`` names its other systems."""

    path: str
    title: str
    day: str
    also: str
    hours: str
    money: str
    weight: str
    photo: Photo | None
    milestone: str
    seal: str


@frozen
class Ledger:
    """What went to a system before the log; '' for nothing."""

    hours: str
    money: str
    """'' also where single amounts may not be seen."""


@frozen
class Work:
    """The entries of a system with its share of each, and their sums; '' for nothing, or what may not be seen."""

    rows: tuple[WorkRow, ...]
    ledger: Ledger | None
    hours: str
    money: str
    weight: str


@frozen
class SystemView:
    """A system's sheet."""

    tab: Tab
    span: str
    work: Work
    roles: tuple[RoleHours, ...]
    ordered: str
    open: int
    closed: int
    known: tuple[FactRow, ...]
    questions: tuple[QuestionRow, ...]
    fitted: tuple[StateRow, ...]
    gone: tuple[StateRow, ...]
    measured: tuple[MeasureLine, ...]
    findings: tuple[FindingLine, ...]
    parts: tuple[PartLine, ...]
    changes: tuple[ChangeLine, ...]
    decisions: tuple[DecisionRow, ...]
    photos: tuple[Photo, ...]
    kinds: tuple[KindCost, ...]
    costs: tuple[CostShare, ...]
    currency: str
    weight_unit: str
    arm_unit: str
    datum: str
    shows_costs: bool
    shows_hours: bool
    signed: tuple[SignatureLine, ...]
    unsigned: tuple[UnsignedLine, ...]
    asked: tuple[ShownLine, ...]
    due: tuple[DueGroup, ...]


def system_sheet(drawer: Drawer, desk: Desk) -> Sheet:
    """The sheet of one system."""
    key, book, sight = drawer.key, desk.worked.logbook, desk.worked.logbook.sight
    system, words = book.system(key), desk.words
    about = {name for name, part in book.components.items() if part.system == key}
    states = [state_row(state, desk) for name, state in desk.worked.components.items() if name in about]
    findings = [state for state in desk.worked.findings if state.system == key]
    photos = photos_from((entry for entry in drawer.entries if key in entry.facts.system), desk)
    number_open = sum(state.open for state in findings)
    view = SystemView(
        desk.at.tab(key),
        _span(drawer, desk),
        system_work(drawer, desk),
        tuple(_roles(drawer, desk)),
        words.money(drawer.ordered) if drawer.ordered else "",
        number_open,
        len(findings) - number_open,
        facts_about(desk.worked, words, desk.at, desk.papers, about),
        questions_about(desk.sources, book, desk.at, about),
        tuple(state for state in states if not state.gone),
        tuple(state for state in states if state.gone),
        measure_lines(_measured(drawer, desk), desk),
        tuple(finding_line(state, desk) for state in findings_in_order(findings)),
        part_lines(_bought(drawer), desk),
        tuple(change_line(change, desk) for change in desk.worked.weight.changes if change.system == key),
        decision_rows(tuple(one for one in book.decisions if one.facts.system == key), desk),
        photos,
        tuple(KindCost(words.kind(kind), words.money(net, unit=False)) for kind, net in sorted(drawer.kinds.items())),
        tuple(_shares(key, desk)) if desk.priced else (),
        words.currency,
        words.weight_unit,
        words.arm_unit,
        words.datum,
        sight.costs != "none",
        sight.hours,
        signatures_on(key, desk),
        unsigned_lines(desk, key),
        shown_lines(about, desk),
        due_groups((item for item in desk.worked.due if item.system == key or item.about in about), desk),
    )
    number = counted(len(drawer.entries), "entry", "entries")
    return Sheet(
        desk.at.system(key),
        "system.html",
        system.name,
        view,
        "systems.html",
        description=f"{system.name}: what is known of it, what is fitted, and what was done, in {number}.",
        picture=photos[0].file if photos else "",
        worked_from=number,
        name=f"{system.code} {system.name}".strip(),
        updated=drawer.entries[-1].day if drawer.entries else None,
    )


def system_work(drawer: Drawer, desk: Desk) -> Work:
    """The entries of a system in order, each with the system's share of it, and the sums."""
    sight, words = desk.worked.logbook.sight, desk.words
    minutes, money = drawer.minutes.get("", 0), drawer.money.get("", 0)
    ledger = Ledger(_hours(minutes, desk), _money(money, desk)) if minutes or money else None
    kg = sum(drawer.kg.values(), Fraction(0))
    return Work(
        tuple(_row(entry, drawer, desk) for entry in drawer.entries),
        ledger,
        words.labour(sum(drawer.minutes.values())) if sight.hours and drawer.minutes else "",
        words.money(sum(drawer.money.values())) if sight.costs != "none" and drawer.money else "",
        words.weight(kg, signed=True) if drawer.kg else "",
    )


def _row(entry: Entry, drawer: Drawer, desk: Desk) -> WorkRow:
    facts, slug, book = entry.facts, entry.slug, desk.worked.logbook
    kg = drawer.kg.get(slug)
    return WorkRow(
        desk.at.entry(slug),
        facts.title,
        desk.words.brief_day(entry.day),
        desk.words.listed(book.system(key).name for key in facts.system if key != drawer.key),
        _hours(drawer.minutes.get(slug, 0), desk),
        _money(drawer.money.get(slug, 0), desk),
        desk.words.weight(kg, signed=True) if kg is not None else "",
        lead_photo(entry),
        facts.milestone or "",
        broken_mark(slug, desk.seals),
    )


def _hours(minutes: int, desk: Desk) -> str:
    return desk.words.labour(minutes) if minutes and desk.worked.logbook.sight.hours else ""


def _money(minor: int, desk: Desk) -> str:
    return desk.words.money(minor) if minor and desk.priced else ""


def _span(drawer: Drawer, desk: Desk) -> str:
    """How many entries, from when to when."""
    number = counted(len(drawer.entries), "entry", "entries")
    if not drawer.entries:
        return "no entry yet"
    first, last = drawer.entries[0].first_day, drawer.entries[-1].day
    return f"{number}, {desk.words.days(first, last)}"


def _roles(drawer: Drawer, desk: Desk) -> Iterator[RoleHours]:
    for role, minutes in sorted(drawer.roles.items(), key=lambda item: (-item[1], item[0])):
        yield RoleHours(role, desk.words.labour(minutes))


def _measured(drawer: Drawer, desk: Desk) -> Iterator[tuple[Entry, Measurement]]:
    book = desk.worked.logbook
    for entry in drawer.entries:
        yield from ((entry, line) for line in entry.facts.measured if measured_system(entry, line, book) == drawer.key)


def _bought(drawer: Drawer) -> Iterator[tuple[Entry, Part]]:
    """What was bought for a system; without one of its own, a part is for all the systems of its entry."""
    for entry in drawer.entries:
        ours = drawer.key in entry.facts.system
        yield from (
            (entry, line) for line in entry.facts.parts if drawer.key == line.system or (ours and not line.system)
        )


def _shares(key: str, desk: Desk) -> Iterator[CostShare]:
    for outlay in desk.worked.cost.outlays:
        for system, amount in outlay.parts:
            if system == key:
                yield _share(outlay, amount, desk)


def _share(outlay: Outlay, amount: int, desk: Desk) -> CostShare:
    words = desk.words
    whole = words.money(outlay.value, unit=False) if outlay.value is not None and outlay.value != amount else ""
    source = desk.sources.of(outlay.entry, outlay.day)
    return CostShare(source, outlay.item, outlay.kind, words.money(amount, unit=False), whole)
