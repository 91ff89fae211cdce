"""The work, system by system: what each took and changed, and every entry in full under its main system."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, column, heading, line, para, part, row, tab, table, to, under
from buildlog.handover.part_work_entry import entry_blocks
from buildlog.pages.system import SystemView, WorkRow
from buildlog.pages.systems import SystemLine, SystemsView
from buildlog.records.entry import Entry


def part_work(binder: Binder) -> Node | None:
    """The table of systems, then each system with its entries; what names no system comes last."""
    book = binder.desk.worked.logbook
    told: dict[str, list[Entry]] = {}
    for entry in book.told():
        told.setdefault(entry.main_system or "", []).append(entry)
    if not told:
        return None
    body = [*_table(binder)]
    for system in [*book.systems(), book.system("")]:
        view = binder.system(system.key) if system.key else None
        body += _system(view, told.get(system.key, []), binder)
    return part("The work, system by system", "systems.html", body)


def _table(binder: Binder) -> list[Node]:
    view = binder.systems
    columns = (
        column("System", "2fr"),
        column("Entries", right=True),
        column("Hours", right=True),
        column(f"Cost, {view.currency}", right=True),
        column("Ordered", right=True),
        column(f"Weight, {view.weight_unit}", right=True),
        column("Findings open", right=True),
        column("Closed", right=True),
    )
    rows = [_line(one, view) for one in view.lines]
    rows.append(_line(view.total, view, "sum") | {"cells": [line("All"), *_line(view.total, view)["cells"][1:]]})
    shared = " and ".join([*["hours"] * view.shows_hours, *["costs"] * view.shows_costs])
    rest = f"; {shared} are shared between them as it says" if shared else ""
    words = f"An entry counts under every system that it names{rest}."
    return [para(words, kind="lede"), *table(columns, rows)]


def _line(one: SystemLine, view: SystemsView, kind: str = "") -> Node:
    """A system's figures, those that this reader may see."""
    hours = one.hours if view.shows_hours else ""
    cost, ordered = (one.cost, one.ordered) if view.shows_costs else ("", "")
    figures = (hours, cost, ordered, one.weight, _some(one.open), _some(one.closed))
    return row(tab(one.tab), str(one.entries), *figures, kind=kind)


def _some(number: int) -> str:
    return str(number) if number else ""


def _system(view: SystemView | None, entries: list[Entry], binder: Binder) -> list[Node]:
    """One system: its facts in a line, its entries in a table, then those that are mainly its own."""
    if view is None:
        return [heading(2, "Without a system"), *_told(entries, binder)] if entries else []
    if not (view.work.rows or view.parts or view.changes):
        return []
    head = heading(2, f"{view.tab.code} {view.tab.name}".strip(), view.tab.path)
    return [head, para(_took(view), kind="note", sticky=True), *_rows(view), *_told(entries, binder)]


def _took(view: SystemView) -> str:
    found = f"{view.open} open and {view.closed} closed findings" if view.open or view.closed else ""
    weight = f"{view.work.weight} in weight" if view.work.weight else ""
    figures = (view.span, view.work.hours and f"{view.work.hours} of work", view.work.money, weight, found)
    return "; ".join(filter(None, figures)) + "."


def _rows(view: SystemView) -> list[Node]:
    columns = (
        column("Day"),
        column("Entry", "3fr"),
        column("Hours", right=True),
        column("Cost", right=True),
        column("Weight", right=True),
    )
    return table(columns, [_row(one) for one in view.work.rows])


def _row(one: WorkRow) -> Node:
    also = f"also {one.also}" if one.also else ""
    return row(one.day, line(to(one.title, one.path), under(also)), one.hours, one.money, one.weight)


def _told(entries: list[Entry], binder: Binder) -> list[Node]:
    return [node for entry in entries for node in entry_blocks(entry, binder)]
