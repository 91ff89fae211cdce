"""The ledgers of what was done: entries, hours, money, papers."""

from __future__ import annotations

from buildlog.figures.cost import Outlay
from buildlog.figures.figures import Figures
from buildlog.figures.labour import Work
from buildlog.handover.ledger_columns import Cell, Column, Ledger, Make, Pen, listed
from buildlog.records.changes import DocumentLine
from buildlog.records.entry import Entry

_ENTRY = "address of the entry; empty where it is not shown in this package, or the line comes from a list"


def entry_ledger(worked: Figures, pen: Pen) -> Ledger:
    """Every entry that may be read."""
    minutes = worked.labour.by_entry()
    seals = worked.logbook.sealed()

    def seal(entry: Entry) -> str:
        found = seals.get(entry.slug)
        return "" if found is None else "whole" if found.whole else "broken"

    columns = (
        Column("entry", lambda e: e.slug, "address of the entry"),
        Column("first_day", lambda e: pen.day(e.first_day), "first day of the work", "ISO 8601"),
        Column("day", lambda e: pen.day(e.day), "last day of the work, under which it is told", "ISO 8601"),
        Column("title", lambda e: e.facts.title, "what happened, in a few words"),
        Column(
            "systems", lambda e: listed(e.facts.system), "systems worked on, the main one first; between semicolons"
        ),
        Column("jobs", lambda e: listed(e.facts.job), "jobs of the plan; between semicolons"),
        Column("milestone", lambda e: e.facts.milestone, "milestone reached"),
        Column("minutes", lambda e: minutes.get(e.slug), "time worked, of all persons", "min"),
        Column("corrects", lambda e: e.facts.corrects, "the entry that this one corrects"),
        Column("summary", lambda e: e.facts.summary, "one sentence"),
        Column("signatures", lambda e: len(e.facts.signed), "how many signatures are over it"),
        Column("seal", seal, "whole or broken at the day of the record; empty for an entry that is not sealed"),
    )
    return Ledger("entries.csv", columns, [*worked.logbook.told()])


def hours_ledger(worked: Figures, pen: Pen) -> Ledger | None:
    """Each person's time in each entry; none where hours may not be seen."""
    if not worked.logbook.sight.hours:
        return None

    def systems(work: Work) -> str:
        return "; ".join(f"{key or 'none'}: {minutes}" for key, minutes in work.parts)

    columns = (
        Column("day", lambda w: pen.day(w.day), "the day", "ISO 8601"),
        Column("entry", lambda w: pen.entry(w.entry), _ENTRY),
        Column("person", lambda w: w.person, "who worked, by key or role"),
        Column("minutes", lambda w: w.minutes, "time worked", "min"),
        Column("by_system", systems, "the same by system, adding up to it; between semicolons", "min"),
        Column("what", lambda w: w.what, "what was done"),
    )
    return Ledger("hours.csv", columns, worked.labour.work)


def cost_ledger(worked: Figures, pen: Pen) -> Ledger | None:
    """Every payment and refund; none where lines of money may not be seen."""
    if worked.logbook.sight.costs != "full":
        return None

    def value(outlay: Outlay) -> Cell:
        return pen.money(outlay.value)

    columns = (
        Column("day", lambda o: pen.day(o.day), "the day it was paid or came back", "ISO 8601"),
        Column("entry", lambda o: pen.entry(o.entry), _ENTRY),
        Column("item", lambda o: o.item, "what for"),
        Column("kind", lambda o: o.kind, "part, material, service, tool, shipping, tax, fee or refund"),
        Column("quantity", lambda o: o.quantity, "how many"),
        Column(
            "amount", lambda o: o.money.amount, "the amount as paid, in the currency beside it; a refund without sign"
        ),
        Column("currency", lambda o: o.money.currency, "ISO 4217 code of the amount"),
        Column("value", value, "the amount in this currency; refunds negative; empty without a rate", pen.currency),
        Column("by_system", lambda o: pen.share(o.parts), "the value by system, adding up to it", pen.currency),
        Column("supplier", lambda o: o.supplier, "who was paid"),
        Column("receipt", lambda o: o.receipt, "file of the receipt"),
        Column("note", lambda o: o.note, "remark"),
    )
    return Ledger("costs.csv", columns, worked.cost.outlays)


def cost_totals(worked: Figures, pen: Pen) -> Ledger | None:
    """Money by system; none where no money may be seen."""
    if worked.logbook.sight.costs == "none":
        return None
    columns = (
        Column("system", lambda pair: pair[0] or "none", "the system; none for what belongs to no system"),
        Column("net", lambda pair: pen.money(pair[1]), "paid, less what came back", pen.currency),
    )
    return Ledger("costs-by-system.csv", columns, [*worked.cost.by_system().items()])


def document_ledger(worked: Figures, pen: Pen) -> Ledger:
    """The papers that entries keep."""
    rows = [(entry, paper) for entry in worked.logbook.told() for paper in entry.facts.documents]

    def paper(row: tuple[Entry, DocumentLine]) -> DocumentLine:
        return row[1]

    columns = (
        Column("file", lambda row: paper(row).file, "file of the paper in the builder's project"),
        Column("title", lambda row: paper(row).title, "what it is"),
        Column("kind", lambda row: paper(row).kind, "what sort of paper"),
        Column("day", lambda row: pen.day(row[0].day), "day of the entry that keeps it", "ISO 8601"),
        Column("entry", lambda row: row[0].slug, "address of that entry"),
    )
    return Ledger("documents.csv", columns, rows)


WORK_LEDGERS: tuple[Make, ...] = (entry_ledger, hours_ledger, cost_ledger, cost_totals, document_ledger)
