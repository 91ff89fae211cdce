"""Money of an entry, for tables under its text: what was bought and paid, ordered and asked for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.pages.lines import Desk
from buildlog.records.entry import Entry
from buildlog.records.purchases import Part

if TYPE_CHECKING:
    from buildlog.figures.cost import Outlay
    from buildlog.figures.orders import Order, Quote


@frozen
class PaperRow:
    """A paper; a picture's published name is the theme's to ask for by its file, others have a path."""

    title: str
    kind: str
    file: str
    path: str


@frozen
class BoughtRow:
    """A line of what was bought or paid; ``quantity`` is "" for one, ``price`` for none or what is hidden."""

    item: str
    details: tuple[str, ...]
    quantity: str
    price: str
    supplier: str
    receipt: PaperRow | None


@frozen
class OrderRow:
    """An order made or received, or a quote: its terms, its price, and what became of it."""

    what: str
    item: str
    terms: str
    price: str
    fate: str
    path: str
    open: bool


def bought_rows(entry: Entry, desk: Desk) -> Iterator[BoughtRow]:
    """What was paid, where lines may be seen, with the parts that have no price; else the parts alone."""
    parts = {part.place: part for part in entry.facts.parts}
    several = len(entry.facts.system) > 1
    paid = desk.worked.cost.of_entry(entry.slug) if desk.priced else ()
    told = {line.place for line in paid}
    for part in entry.facts.parts:
        if part.place not in told:
            yield BoughtRow(
                part.item,
                tuple(_part_details(part, desk, several=several)),
                _quantity(part, desk),
                "",
                part.supplier or "",
                None,
            )
    for line in paid:
        found = parts.get(line.place)
        details = [
            *_line_details(line, desk),
            *(_part_details(found, desk, several=several) if found else _kind(line)),
        ]
        quantity = _quantity(found, desk) if found else ""
        shown = -line.money if line.refund else line.money
        yield BoughtRow(
            line.item,
            tuple(details),
            quantity,
            desk.words.written_money(shown),
            line.supplier or "",
            paper_row("receipt", line.receipt, desk),
        )


def _quantity(part: Part, desk: Desk) -> str:
    return desk.words.plain(part.quantity) if part.quantity != 1 else ""


def _kind(line: Outlay) -> Iterator[str]:
    if line.kind not in {"part", "service"}:
        yield line.kind
    if line.note:
        yield line.note


def _line_details(line: Outlay, desk: Desk) -> Iterator[str]:
    """How a price in another currency counts."""
    if line.money.currency != desk.words.currency:
        yield (
            f"{desk.words.money(line.value)} at the stated rate"
            if line.value is not None
            else "no rate stated, so it is not added"
        )


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


def order_rows(entry: Entry, desk: Desk) -> Iterator[OrderRow]:
    """The orders and quotes that an entry makes, receives or decides on."""
    for order in desk.worked.cost.orders:
        if order.entry == entry.slug:
            yield _ordered(order, desk)
        elif order.received_in == entry.slug:
            yield _arrived(order, desk)
    for quote in desk.worked.quotes:
        if entry.slug in {quote.entry, quote.decided_in}:
            yield _quoted(quote, entry, desk)


def _ordered(order: Order, desk: Desk) -> OrderRow:
    words, line = desk.words, order.line
    terms = [
        line.supplier or "",
        f"promised in {line.lead}" if line.lead else "",
        f"{words.written_money(line.deposit)} paid down" if line.deposit and desk.priced else "",
    ]
    late = f", promised for {words.day(order.promised)}" if order.promised else ""
    fate = f"came {words.day(order.received)}" if order.received else f"not here yet{late}"
    price = words.written_money(line.cost) if line.cost and desk.priced else ""
    return OrderRow(
        "Ordered",
        line.item,
        ", ".join(filter(None, terms)),
        price,
        fate,
        desk.at.entry(order.received_in),
        order.received is None,
    )


def _arrived(order: Order, desk: Desk) -> OrderRow:
    promised = f", promised for {desk.words.day(order.promised)}" if order.promised else ""
    price = desk.words.written_money(order.line.cost) if order.line.cost and desk.priced else ""
    return OrderRow(
        "Arrived",
        order.line.item,
        order.line.supplier or "",
        price,
        f"ordered {desk.words.day(order.day)}{promised}",
        desk.at.entry(order.entry),
        open=False,
    )


def _quoted(quote: Quote, entry: Entry, desk: Desk) -> OrderRow:
    words, line = desk.words, quote.line
    terms = [
        line.supplier or "",
        f"in {line.lead}" if line.lead else "",
        f"holds until {words.day(line.until)}" if line.until else "",
    ]
    fate = {True: "accepted", False: "declined", None: "not decided"}[quote.accepted]
    there = quote.decided_in if quote.entry == entry.slug else quote.entry
    return OrderRow(
        "Quote",
        line.item,
        ", ".join(filter(None, terms)),
        words.written_money(line.cost) if desk.priced else "",
        fate,
        desk.at.entry(there) if there != entry.slug else "",
        quote.accepted is None,
    )
