"""What an entry lists, for tables under its text."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.pages.entry_happened import event_words
from buildlog.pages.entry_money import BoughtRow, OrderRow, PaperRow, bought_rows, order_rows, paper_row
from buildlog.pages.lines import Desk, link_to
from buildlog.pages.sheet import Link
from buildlog.pages.signatures import SignatureLine, signatures_of
from buildlog.pages.weight_ledger import WeighingForm
from buildlog.records.entry import Entry


@frozen
class WeightRow:
    """A change of weight."""

    item: str
    weight: str
    basis: str
    plus_minus: str
    arm: str
    moment: str
    component: Link | None
    note: str


@frozen
class EventRow:
    """What happened to a component."""

    component: Link
    words: str
    details: tuple[str, ...]
    paper: PaperRow | None


@frozen
class MeasureRow:
    """Something measured."""

    what: str
    before: str
    value: str
    limits: str
    component: Link | None


@frozen
class Tables:
    """Everything an entry lists; ``net`` and ``weights_sum`` are the sums of their tables.

    The last ones say which columns have anything in them.
    """

    bought: tuple[BoughtRow, ...]
    net: str
    refunds: bool
    orders: tuple[OrderRow, ...]
    weights: tuple[WeightRow, ...]
    weights_sum: str
    moments_sum: str
    weighing: WeighingForm | None
    events: tuple[EventRow, ...]
    measured: tuple[MeasureRow, ...]
    papers: tuple[PaperRow, ...]
    signed: tuple[SignatureLine, ...]
    suppliers: bool
    receipts: bool
    numbers: bool
    tolerances: bool
    befores: bool
    limits: bool


def tables(entry: Entry, weighing: WeighingForm | None, desk: Desk) -> Tables:
    """The tables of an entry, and its weighing if it has one."""
    bought = tuple(bought_rows(entry, desk))
    mine = desk.worked.cost.of_entry(entry.slug)
    changes = desk.worked.weight.of_entry(entry.slug)
    weights = tuple(_weights(entry, desk))
    measured = tuple(
        MeasureRow(line.what, line.before or "", line.value, line.limits or "", link_to(line.component, desk))
        for line in entry.facts.measured
    )
    moments = [change.moment for change in changes if change.moment is not None]
    words = desk.words
    return Tables(
        bought,
        words.money(sum(line.value or 0 for line in mine)) if desk.priced and mine else "",
        desk.priced and any(line.refund for line in mine),
        tuple(order_rows(entry, desk)),
        weights,
        words.weight(sum((change.kg for change in changes), Fraction(0)), signed=True) if changes else "",
        words.moment(sum(moments, Fraction(0))) if moments and len(moments) == len(changes) else "",
        weighing,
        tuple(_events(entry, desk)),
        measured,
        tuple(
            PaperRow(paper.title, paper.kind.replace("-", " "), paper.file, desk.at.file(paper.file))
            for paper in entry.facts.documents
        ),
        signatures_of([entry.slug], desk),
        any(row.supplier for row in bought),
        any(row.receipt for row in bought),
        any(row.quantity for row in bought),
        any(row.plus_minus for row in weights),
        any(row.before for row in measured),
        any(row.limits for row in measured),
    )


def _weights(entry: Entry, desk: Desk) -> Iterator[WeightRow]:
    lines = {line.place: line for line in entry.facts.weight}
    words = desk.words
    for change in desk.worked.weight.of_entry(entry.slug):
        line = lines.get(change.place)
        yield WeightRow(
            change.item,
            words.weight(change.kg, signed=True, unit=False),
            change.basis,
            words.weight(line.plus_minus.base, unit=False) if line and line.plus_minus else "",
            words.arm(change.arm_m, unit=False) if change.arm_m is not None else "",
            words.moment(change.moment, unit=False) if change.moment is not None else "",
            link_to(change.component, desk),
            (line.note or "") if line else "",
        )


def _events(entry: Entry, desk: Desk) -> Iterator[EventRow]:
    for line in entry.facts.components:
        details = [
            line.because,
            f"sent to {line.to}" if line.to else None,
            f"by {line.by}" if line.by else None,
            line.note,
        ]
        component = link_to(line.key, desk)
        if component is not None:
            yield EventRow(
                component,
                event_words(line),
                tuple(filter(None, details)),
                paper_row("tag" if line.tag else "paper", line.tag or line.paper, desk),
            )
