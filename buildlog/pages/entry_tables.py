"""What an entry lists, for tables under its text: money, orders, weights, a weighing, components, measurements, papers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from buildlog.figures.cost import Outlay
from buildlog.figures.orders import Order, Quote
from buildlog.pages.entry_margin import event_words, signature_words
from buildlog.pages.lines import Desk, link_to
from buildlog.pages.sheet import Link
from buildlog.pages.weight_ledger import WeighingForm
from buildlog.records.entry import Entry
from buildlog.records.purchases import Part


@dataclass(frozen=True)
class PaperRow:
    """A paper; a picture's published name is the theme's to ask for by its file, others have a path."""

    title: str
    kind: str
    file: str
    path: str


@dataclass(frozen=True)
class BoughtRow:
    """A line of what was bought or paid; ``price`` is '' for none and where single amounts may not be seen."""

    item: str
    details: tuple[str, ...]
    quantity: str
    price: str
    supplier: str
    receipt: PaperRow | None


@dataclass(frozen=True)
class OrderRow:
    """An order made or received, or a quote: its terms, its price, and what became of it."""

    what: str
    item: str
    terms: str
    price: str
    fate: str
    path: str
    open: bool


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class EventRow:
    """What happened to a component."""

    component: Link
    words: str
    details: tuple[str, ...]
    paper: PaperRow | None


@dataclass(frozen=True)
class MeasureRow:
    """Something measured."""

    what: str
    before: str
    value: str
    limits: str
    component: Link | None


@dataclass(frozen=True)
class SignedRow:
    """A signature, as the entry tells it."""

    who: str
    words: str


@dataclass(frozen=True)
class Tables:
    """Everything an entry lists; ``net`` and ``weights_sum`` are the sums of their tables."""

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
    signed: tuple[SignedRow, ...]
    suppliers: bool


def tables(entry: Entry, weighing: WeighingForm | None, desk: Desk) -> Tables:
    """The tables of an entry, and its weighing if it has one."""
    bought = tuple(_bought(entry, desk))
    mine = [line for line in desk.worked.cost.outlays if line.entry == entry.slug]
    changes = [change for change in desk.worked.weight.changes if change.entry == entry.slug]
    moments = [change.moment for change in changes if change.moment is not None]
    words = desk.words
    return Tables(
        bought,
        words.money(sum(line.value or 0 for line in mine)) if desk.priced and mine else "",
        desk.priced and any(line.refund for line in mine),
        tuple(_orders(entry, desk)),
        tuple(_weights(entry, desk)),
        words.weight(sum((change.kg for change in changes), Fraction(0)), signed=True) if changes else "",
        words.moment(sum(moments, Fraction(0))) if moments and len(moments) == len(changes) else "",
        weighing,
        tuple(_events(entry, desk)),
        tuple(MeasureRow(line.what, line.before or "", line.value, line.limits or "", link_to(line.component, desk))
              for line in entry.facts.measured),
        tuple(PaperRow(paper.title, paper.kind.replace("-", " "), paper.file, desk.at.file(paper.file))
              for paper in entry.facts.documents),
        tuple(SignedRow(signature_words(line, desk), line.words or "") for line in entry.facts.signed),
        any(row.supplier for row in bought),
    )  # fmt: skip


def _bought(entry: Entry, desk: Desk) -> Iterator[BoughtRow]:
    """What was paid, where every line may be seen, with the parts that have no price; else the parts alone."""
    parts = {part.place: part for part in entry.facts.parts}
    several = len(entry.facts.system) > 1
    paid = [line for line in desk.worked.cost.outlays if line.entry == entry.slug] if desk.priced else []
    told = {line.place for line in paid}
    for part in entry.facts.parts:
        if part.place not in told:
            yield BoughtRow(part.item, tuple(_part_details(part, desk, several=several)), desk.words.plain(part.quantity), "",
                            part.supplier or "", None)  # fmt: skip
    for line in paid:
        found = parts.get(line.place)
        details = [*_line_details(line, desk), *(_part_details(found, desk, several=several) if found else _kind(line))]
        quantity = desk.words.plain(found.quantity) if found else ""
        shown = -line.money if line.refund else line.money
        yield BoughtRow(line.item, tuple(details), quantity, desk.words.written_money(shown), line.supplier or "",
                        paper_row("receipt", line.receipt, desk))  # fmt: skip


def _kind(line: Outlay) -> Iterator[str]:
    if line.kind not in {"part", "service"}:
        yield line.kind
    if line.note:
        yield line.note


def _line_details(line: Outlay, desk: Desk) -> Iterator[str]:
    """How a price in another currency counts."""
    if line.money.currency != desk.words.currency:
        yield (f"{desk.words.money(line.value)} at the stated rate" if line.value is not None
               else "no rate stated, so it is not added")  # fmt: skip


def _part_details(part: Part, desk: Desk, *, several: bool) -> Iterator[str]:
    if part.each and part.quantity != 1 and desk.priced:
        yield f"{desk.words.written_money(part.each)} each"
    if part.part_no:
        yield f"part number {part.part_no}"
    if part.serial:
        yield f"serial {part.serial}"
    if part.kind != "part":
        yield part.kind
    if several and part.system:
        yield desk.worked.logbook.system(part.system).name
    if part.note:
        yield part.note


def paper_row(title: str, file: str | None, desk: Desk) -> PaperRow | None:
    """A paper that is named by a line, if this audience may open it."""
    return PaperRow(title, title, file, desk.at.file(file)) if file and file in desk.worked.logbook.files else None


def _orders(entry: Entry, desk: Desk) -> Iterator[OrderRow]:
    for order in desk.worked.cost.orders:
        if order.entry == entry.slug:
            yield _ordered(order, desk)
        elif order.received_in == entry.slug:
            yield _arrived(order, desk)
    for quote in desk.worked.quotes:
        if quote.entry == entry.slug or quote.decided_in == entry.slug:
            yield _quoted(quote, entry, desk)


def _ordered(order: Order, desk: Desk) -> OrderRow:
    words, line = desk.words, order.line
    terms = [line.supplier or "", f"promised in {line.lead}" if line.lead else "",
             f"{words.written_money(line.deposit)} paid down" if line.deposit and desk.priced else ""]  # fmt: skip
    late = f", promised for {words.day(order.promised)}" if order.promised else ""
    fate = f"came {words.day(order.received)}" if order.received else f"not here yet{late}"
    price = words.written_money(line.cost) if line.cost and desk.priced else ""
    return OrderRow("Ordered", line.item, ", ".join(filter(None, terms)), price, fate, desk.at.entry(order.received_in),
                    order.received is None)  # fmt: skip


def _arrived(order: Order, desk: Desk) -> OrderRow:
    promised = f", promised for {desk.words.day(order.promised)}" if order.promised else ""
    price = desk.words.written_money(order.line.cost) if order.line.cost and desk.priced else ""
    return OrderRow("Arrived", order.line.item, order.line.supplier or "", price,
                    f"ordered {desk.words.day(order.day)}{promised}", desk.at.entry(order.entry), open=False)  # fmt: skip


def _quoted(quote: Quote, entry: Entry, desk: Desk) -> OrderRow:
    words, line = desk.words, quote.line
    terms = [line.supplier or "", f"in {line.lead}" if line.lead else "", f"holds until {words.day(line.until)}" if line.until else ""]
    fate = {True: "accepted", False: "declined", None: "not decided"}[quote.accepted]
    there = quote.decided_in if quote.entry == entry.slug else quote.entry
    return OrderRow("Quote", line.item, ", ".join(filter(None, terms)), words.written_money(line.cost) if desk.priced else "",
                    fate, desk.at.entry(there) if there != entry.slug else "", quote.accepted is None)  # fmt: skip


def _weights(entry: Entry, desk: Desk) -> Iterator[WeightRow]:
    lines = {line.place: line for line in entry.facts.weight}
    words = desk.words
    for change in desk.worked.weight.changes:
        if change.entry == entry.slug:
            line = lines.get(change.place)
            yield WeightRow(
                change.item, words.weight(change.kg, signed=True, unit=False), change.basis,
                words.weight(line.plus_minus.base, unit=False) if line and line.plus_minus else "",
                words.arm(change.arm_m, unit=False) if change.arm_m is not None else "",
                words.moment(change.moment, unit=False) if change.moment is not None else "",
                link_to(change.component, desk), (line.note or "") if line else "",
            )  # fmt: skip


def _events(entry: Entry, desk: Desk) -> Iterator[EventRow]:
    for line in entry.facts.components:
        details = [line.because, f"sent to {line.to}" if line.to else None, f"by {line.by}" if line.by else None, line.note]
        component = link_to(line.key, desk)
        if component is not None:
            yield EventRow(component, event_words(line), tuple(filter(None, details)),
                           paper_row("tag" if line.tag else "paper", line.tag or line.paper, desk))  # fmt: skip
