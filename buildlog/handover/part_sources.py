"""Where each figure comes from: the totals with what they are sums of, and the ledgers that travel in the file."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, column, heading, part, row, table, to

_FIGURES = (
    column("Figure", "1.4fr"),
    column("As of this record", right=True),
    column("Summed from, and where its lines stand", "3fr"),
)
_ATTACHED = (column("Attached file", "1fr"), column("What it holds", "2fr"), column("Relationship"))


def part_sources(binder: Binder) -> Node | None:
    """The totals, and the attached ledgers."""
    rows = list(_totals(binder))
    attached = [row(one.name, one.description, one.relationship) for one in binder.attachments]
    body = table(_FIGURES, rows)
    if attached:
        body += [heading(2, "Files attached to this document"), *table(_ATTACHED, attached)]
    return part("Where each figure comes from", "sources", body)


def _totals(binder: Binder) -> Iterator[Node]:
    worked, words = binder.desk.worked, binder.desk.words
    yield from _costs(binder)
    yield from _labour(binder)
    if worked.weight.changes:
        how = f"{len(worked.weight.changes)} changes, in the ledger of weight."
        yield row("Net change of weight", words.weight(worked.weight.total(), signed=True), to(how, "weight.html"))
    empty = worked.weight.empty()
    if empty is not None:
        how = "The last weighing, or a stated weight, and the changes since; method in the weight and balance report."
        yield row("Empty weight", words.weight(empty.kg), to(how, "weight.html"))
        if empty.arm_m is not None:
            yield row("Empty centre of gravity", words.arm(empty.arm_m), to(how, "weight.html"))
            yield row("Empty moment", words.moment(empty.kg * empty.arm_m), "Weight by centre of gravity.")
    if worked.findings:
        open_ = sum(state.open for state in worked.findings)
        yield row(
            "Findings",
            f"{open_} open of {len(worked.findings)}",
            to("Each with its entries, in the part on findings.", "findings.html"),
        )


def _costs(binder: Binder) -> Iterator[Node]:
    """What was paid, what came back, what is ordered; nothing for who may not see it."""
    cost, words = binder.desk.worked.cost, binder.desk.words
    if binder.desk.worked.logbook.sight.costs == "none" or not cost.outlays:
        return
    how = f"{len(cost.outlays)} payments and refunds in their entries, in the part on the work."
    yield row("Cost, less refunds", words.money(cost.net()), to(how, "systems.html"))
    if cost.refunded():
        yield row("Paid, before refunds", words.money(cost.paid()), to("The payments among them.", "systems.html"))
        yield row("Refunds", words.money(cost.refunded()), to("The refunds among them.", "systems.html"))
    if cost.ordered():
        yield row("Ordered, not yet paid", words.money(cost.ordered()), to("Orders in their entries.", "systems.html"))


def _labour(binder: Binder) -> Iterator[Node]:
    """The hours, and each person's."""
    worked, words = binder.desk.worked, binder.desk.words
    if not (worked.logbook.sight.hours and worked.labour.work):
        return
    how = f"{len(worked.labour.work)} lines of work in their entries, in the part on the work."
    yield row("Labour", words.labour(worked.labour.minutes()), to(how, "systems.html"))
    people = worked.logbook.project.people
    for key, minutes in worked.labour.by_person().items():
        known = people.get(key)
        who = (known.name if worked.logbook.sight.names else known.role) if known else key
        yield row(f"Labour of {who}", words.labour(minutes), to("The lines among them.", "systems.html"))
