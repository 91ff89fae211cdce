"""What is filed under each system: its entries, and its share of every entry's hours, money and weight.

An entry stands under each system that it or one of its lines names; its hours and costs are shared as the entry says.
What names no system stands under ''.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from buildlog.figures.cost import split
from buildlog.figures.figures import Figures
from buildlog.records.changes import Measurement
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook, system_order


@dataclass
class Drawer:
    """What is filed under one system: minutes, minor units and kilograms by the address of their entry.

    The ledgers have the address ''.
    """

    key: str
    entries: list[Entry] = field(default_factory=list)
    minutes: dict[str, int] = field(default_factory=dict)
    money: dict[str, int] = field(default_factory=dict)
    kg: dict[str, Fraction] = field(default_factory=dict)
    roles: dict[str, int] = field(default_factory=dict)
    kinds: dict[str, int] = field(default_factory=dict)
    ordered: int = 0


def filed(worked: Figures) -> dict[str, Drawer]:
    """Every system that anything is filed under, in the order of their numbers, '' last."""
    book = worked.logbook
    drawers = {key: Drawer(key) for key in _only_named(worked)}
    found = {state.line.key: state.system for state in worked.findings}
    for entry in book.told():
        for key in dict.fromkeys(_named(entry, book, found)):
            _drawer(drawers, key).entries.append(entry)
    _file_hours(drawers, worked)
    _file_money(drawers, worked)
    for change in worked.weight.changes:
        held = _drawer(drawers, change.system).kg
        held[change.entry] = held.get(change.entry, Fraction(0)) + change.kg
    return {key: drawers[key] for key in sorted(drawers, key=lambda key: system_order(book.system(key)))}


def ordered_by_system(worked: Figures) -> dict[str, int]:
    """What is ordered and not yet paid, by system, split as the entry that ordered it says."""
    entries = {entry.slug: entry for entry in worked.logbook.entries}
    totals: dict[str, int] = {}
    for order in worked.cost.orders:
        for key, amount in split(order.open_value or None, order.line.system, entries[order.entry].shares()):
            _add(totals, key, amount)
    return totals


def measured_system(entry: Entry, line: Measurement, book: Logbook) -> str:
    """What a measurement belongs to: the system it names, else that of its component, else its entry's main one."""
    part = book.components.get(line.component or "")
    return line.system or (part.system if part else None) or entry.main_system or ""


def _drawer(drawers: dict[str, Drawer], key: str) -> Drawer:
    return drawers.setdefault(key, Drawer(key))


def _file_hours(drawers: dict[str, Drawer], worked: Figures) -> None:
    roles = dict(worked.labour.roles)
    for work in worked.labour.work:
        for key, minutes in work.parts:
            _add(_drawer(drawers, key).minutes, work.entry, minutes)
            _add(_drawer(drawers, key).roles, roles.get(work.person, work.person), minutes)


def _file_money(drawers: dict[str, Drawer], worked: Figures) -> None:
    for outlay in worked.cost.outlays:
        for key, amount in outlay.parts:
            _add(_drawer(drawers, key).money, outlay.entry, amount)
            _add(_drawer(drawers, key).kinds, outlay.kind, amount)
    for key, amount in ordered_by_system(worked).items():
        _drawer(drawers, key).ordered = amount


def _add(totals: dict[str, int], name: str, amount: int) -> None:
    totals[name] = totals.get(name, 0) + amount


def _named(entry: Entry, book: Logbook, findings: dict[str, str]) -> Iterator[str]:
    """The systems that an entry or one of its lines names; '' for one that names none itself."""
    facts, main = entry.facts, entry.main_system or ""
    yield from (key for key, _ in entry.shares())
    bought = [line.system for line in facts.bought]
    yield from filter(
        None, [*bought, *(line.system for line in facts.weight), *(line.system for line in facts.measured)]
    )
    for closing in facts.closes:
        yield findings.get(closing.key, main)
    for finding in facts.findings:
        yield findings.get(finding.key, main)
    for change in facts.components:
        part = book.components.get(change.key)
        if part is not None and part.system:
            yield part.system


def _only_named(worked: Figures) -> Iterator[str]:
    """The systems that have no line of their own and yet are named on some page."""
    book = worked.logbook
    yield from (part.system for part in book.components.values() if part.system)
    yield from (job.system for job in book.plan.jobs if job.system)
    yield from (decision.facts.system for decision in book.decisions if decision.facts.system)
