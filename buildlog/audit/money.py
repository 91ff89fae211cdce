"""Checks of costs, orders and quotes."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note, warn
from buildlog.basics.problems import Problem


def receipt_missing(case: Case) -> Iterator[Problem]:
    """A cost of at least receipts_from: of project.yaml names its receipt.

    Why: a buyer will ask, and memory of a box of papers does not last.
    Wrong: {item: Radio, cost: 890 USD}
    Right: {item: Radio, cost: 890 USD, receipt: documents/receipt_radio_2026-07-18.jpg}
    """
    least = case.worked.logbook.project.receipts_from
    for line in case.worked.cost.outlays if least else ():
        if least and line.value is not None and line.value >= least.minor() and not line.receipt:
            yield warn(
                line.place,
                "receipt-missing",
                f"{line.item}: {line.money} and no receipt",
                "scan it to documents/ and write  receipt: documents/name.jpg",
            )


def currency_without_rate(case: Case) -> Iterator[Problem]:
    """Money in another currency has a stated rate from its day or before.

    Why: without one it is kept out of every total.
    Wrong: cost: 310 CAD, and no exchange: from CAD in project.yaml
    Right: exchange: [{from: CAD, to: USD, rate: "0.73", on: 2026-03-01}]
    """
    for line in case.worked.cost.outlays:
        if line.value is None:
            code, own = line.money.currency, case.worked.cost.currency
            yield warn(
                line.place,
                "currency-without-rate",
                f"{line.item}: {line.money} is in no total, no rate is stated",
                f'add to project.yaml  exchange: [{{from: {code}, to: {own}, rate: "\u2026", on: {line.day}}}]',
            )


def order_paid_twice(case: Case) -> Iterator[Problem]:
    """An entry that receives an order states the payment with order: KEY, or not at all.

    Why: where no line names the order its balance counts as paid on receipt; a line for the same goods without the key
    would count a second time.
    Wrong: received: [carburettor] beside costs: [{item: Overhaul, cost: 634.02 USD, supplier: the same}]
    Right: received: [carburettor] alone, or the line with order: carburettor
    """
    outlays = case.worked.cost.outlays
    for order in case.worked.cost.orders:
        counted = next((p for p in order.payments if p.made_up and p.entry == order.received_in and p.entry), None)
        for line in outlays if counted and order.line.supplier else ():
            if (
                line.entry == order.received_in
                and line.supplier == order.line.supplier
                and counted
                and line.item != counted.item
            ):
                yield warn(
                    line.place,
                    "order-paid-twice",
                    f"{line.item}: the order {order.line.key} from the same "
                    "supplier is received here and its balance counts as paid too",
                    f"write  order: {order.line.key}  on the line if it is the payment",
                )


def order_overdue(case: Case) -> Iterator[Problem]:
    """An order has come by the day it was promised for.

    Why: what waits for it waits longer than the plan says.
    Wrong: an order with lead: 11 weeks, fifteen weeks ago, never under received:
    Right: received: [its key] in the entry of the day it came
    """
    for order in case.worked.cost.orders:
        if order.promised and order.received is None and case.worked.on and order.promised < case.worked.on:
            yield warn(
                order.line.place,
                "order-overdue",
                f"{order.line.item}: promised for {order.promised}, not here on {case.worked.on}",
                f"ask for it; when it comes, write  received: [{order.line.key}]",
            )


def quote_open(case: Case) -> Iterator[Problem]:
    """A quote that has run out was accepted or declined.

    Why: a reader cannot tell what became of it.
    Wrong: quotes: [{key: covering, …, until: 2026-06-30}] and nothing later
    Right: accepts: [covering] or declines: [covering] in the entry where it was decided
    """
    for quote in case.worked.quotes:
        until = quote.line.until
        if quote.accepted is None and until and case.worked.on and until < case.worked.on:
            yield note(
                quote.line.place,
                "quote-open",
                f"{quote.line.item}: the quote ran out on {until}, undecided",
                f"write  declines: [{quote.line.key}]  in an entry, or ask again",
            )
