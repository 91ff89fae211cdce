"""One entry on paper: its facts, its text and photos, and what it lists."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
    Node,
    Said,
    box,
    column,
    heading,
    line,
    linked,
    of_file,
    para,
    points,
    row,
    shut,
    soft,
    still_open,
    strong,
    tab,
    table,
    terms,
    to,
    under,
)
from buildlog.pages.entry import EntryView
from buildlog.pages.entry_fact import Fact
from buildlog.pages.entry_fact import Said as SaidLine
from buildlog.pages.entry_money import PaperRow
from buildlog.pages.entry_tables import Tables
from buildlog.records.entry import Entry

LEVEL = 3
_IN_TABLES = ("Components", "Signed, as the entry says")
"""Facts of the margin that stand in full further down."""


def entry_blocks(entry: Entry, binder: Binder) -> list[Node]:
    """An entry in full."""
    path = binder.desk.at.entry(entry.slug)
    view = binder.entry(path)
    body = [
        heading(LEVEL, view.title, path),
        para(_when(view), kind="facts", sticky=True),
        *_corrections(view),
        *terms((fact.name, _fact(fact)) for fact in view.facts if fact.name not in _IN_TABLES),
        *binder.text(view.text, LEVEL + 1, view.title),
        *binder.photos(view.photos, view.title),
        *(node for made in _tables(view, binder) for node in made),
    ]
    return of_file(entry.file, body)


def _when(view: EntryView) -> Line:
    tabs = [piece for one in view.tabs for piece in line(tab(one), "   ")]
    mark = line("   ", strong(view.milestone)) if view.milestone else []
    return line(soft(view.when), "   ", tabs, mark)


def _corrections(view: EntryView) -> Iterator[Node]:
    for one in view.corrected_by:
        yield box(
            para(
                "Corrected by ",
                to(one.words, one.path),
                f", {one.note}. What was written here stays as it was.",
                kind="facts",
            ),
            sticky=True,
        )
    if view.corrects:
        there = to(view.corrects.words, view.corrects.path)
        yield box(
            para(
                "Corrects ",
                there,
                f", {view.corrects.note}. The wrong line stays there; the right one is here.",
                kind="facts",
            ),
            sticky=True,
        )


def _fact(fact: Fact) -> Line:
    made = line(strong(fact.figure)) if fact.figure else []
    for number, said in enumerate(fact.lines):
        between: Line | str = [{"t": "break"}] if number and fact.broad else "; " if number else "  " if made else ""
        made = line(made, between, _said(said))
    return made


def _said(said: SaidLine) -> Line:
    words = to(said.words, said.path)
    marked = [still_open(words)] if said.mark == "open" else [shut(words)] if said.mark == "shut" else words
    rest = ", ".join(filter(None, (said.basis, said.note)))
    return line(marked, soft(f" {rest}") if rest else "")


def _tables(view: EntryView, binder: Binder) -> Iterator[list[Node]]:
    t = view.tables
    yield _titled("Measured", table(_measured_columns(t), list(_measured(t))))
    yield _titled("Weight off and on", _weights(view))
    if t.weighing:
        yield [
            para(
                line("The weighing\u2019s form stands in the ", to("weight and balance report", "weight.html"), "."),
                kind="note",
            )
        ]
    yield _titled("Components", _events(t, binder))
    yield _titled("Bought and paid" if any(one.price for one in t.bought) else "Bought", _bought(t, binder))
    yield _titled("Ordered and asked for", _orders(t))
    yield _titled("Papers", points([_paper(one, binder) for one in t.papers]))
    yield _titled("Signed, as the entry says", points([line(one.who, under(one.words)) for one in t.signed]))


def _titled(title: str, made: list[Node]) -> list[Node]:
    return [heading(LEVEL + 1, title, marked=False), *made] if made else []


def _measured_columns(t: Tables) -> tuple[Node, ...]:
    after = "After" if any(one.before for one in t.measured) else "Value"
    return (column("What", "2.4fr"), column("Before", "1fr"), column(after, "1fr"), column("Should be", "1.4fr"))


def _measured(t: Tables) -> Iterator[Node]:
    for one in t.measured:
        yield row(line(one.what, under(linked(one.component))), one.before, strong(one.value), one.limits)


def _weights(view: EntryView) -> list[Node]:
    t = view.tables
    columns = (
        column("What", "2.4fr"),
        column("Basis"),
        column(f"Weight, {view.weight_unit}", right=True),
        column("\u00b1", right=True),
        column(f"Arm, {view.arm_unit}", right=True),
        column("Moment", right=True),
    )
    rows = [
        row(line(one.item, under(one.note)), one.basis, one.weight, one.plus_minus, one.arm, one.moment)
        for one in t.weights
    ]
    if len(rows) > 1:
        rows.append(
            row("Together", "", t.weights_sum.rpartition("\u00a0")[0] or t.weights_sum, "", "", _moment(t), kind="sum")
        )
    return table(columns, rows)


def _moment(t: Tables) -> str:
    return t.moments_sum.split("\u00a0")[0] if t.moments_sum else ""


def _events(t: Tables, binder: Binder) -> list[Node]:
    columns = (
        column("Component", "1.6fr"),
        column("What", "1fr"),
        column("Why, by whom", "2fr"),
        column("Paper", "1fr"),
    )
    rows = [
        row(linked(one.component), one.words, "; ".join(one.details), _paper(one.paper, binder) if one.paper else "")
        for one in t.events
    ]
    return table(columns, rows)


def _bought(t: Tables, binder: Binder) -> list[Node]:
    columns = (
        column("What", "2.8fr"),
        column("Number", right=True),
        column("From", "1.5fr"),
        column("Receipt"),
        column("Price", right=True),
    )
    rows = [
        row(
            line(one.item, under("; ".join(one.details))),
            one.quantity,
            one.supplier,
            _paper(one.receipt, binder) if one.receipt else "",
            one.price,
        )
        for one in t.bought
    ]
    if t.net and len(rows) > 1:
        rows.append(row("Paid, less refunds" if t.refunds else "Paid", "", "", "", t.net, kind="sum"))
    return table(columns, rows)


def _orders(t: Tables) -> list[Node]:
    columns = (
        column("", "auto"),
        column("What", "1.8fr"),
        column("Terms", "1.6fr"),
        column("What became of it", "1.4fr"),
        column("Price", right=True),
    )
    rows = [
        row(one.what, one.item, one.terms, [still_open(one.fate)] if one.open else to(one.fate, one.path), one.price)
        for one in t.orders
    ]
    return table(columns, rows)


def _paper(one: PaperRow, binder: Binder) -> Said:
    kind = line(soft(f" ({one.kind})")) if one.kind and one.kind not in one.title.lower() else []
    return line(to(one.title, binder.paper(one.file)), kind)
