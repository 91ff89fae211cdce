"""Orders: what is ordered, what was promised, what is paid on it and what is still open; and quotes.

Rules
- A deposit is paid on the day of the order.
- Cost and part lines that name the order are payments on it.
- On receipt, if no line of the receiving entry names the order, the rest (cost less deposit and earlier payments in the
  same currency) counts as paid that day.
- Until it is received, the rest is ordered and not yet paid; after that nothing is.
- Promised: the order's day plus its lead time; months run to the same day of a later month or its last.
"""

from __future__ import annotations

import calendar
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.money import Money
from buildlog.basics.problems import Place
from buildlog.basics.times import Span
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.purchases import OrderLine, QuoteLine

Value = Callable[[Money, date], int | None]


@frozen
class Payment:
    """Money paid on an order; ``made_up`` when no line of its own states it."""

    day: date
    item: str
    kind: str
    money: Money
    place: Place
    entry: str
    supplier: str | None
    system: str | None
    shares: tuple[tuple[str, Fraction], ...]
    made_up: bool
    receipt: str | None = None


@frozen
class Order:
    """An order and where it stands.

    ``open_value``: what is still to pay, in minor units of the project's currency,
    0 once received, None where its cost or rate is not stated.
    """

    line: OrderLine
    entry: str
    day: date
    promised: date | None
    received: date | None
    received_in: str
    payments: tuple[Payment, ...]
    open_money: Money | None
    open_value: int | None


@frozen
class Quote:
    """A quote and whether it was taken; ``accepted`` is None while it is open."""

    line: QuoteLine
    entry: str
    day: date
    accepted: bool | None
    decided_in: str


def later(day: date, span: Span) -> date | None:
    """The day a span after another; None for spans in hours. Plain and calendar months run to the day here."""
    count = int(span.count)
    if span.unit in {"days", "weeks"}:
        return day + timedelta(days=count * (7 if span.unit == "weeks" else 1))
    if span.unit == "h":
        return None
    months = day.year * 12 + day.month - 1 + count * (12 if span.unit == "years" else 1)
    year, month = divmod(months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def orders(logbook: Logbook, value: Value) -> tuple[Order, ...]:
    """All orders, in the order they were made."""
    return tuple(_order(line, entry, logbook, value) for entry in logbook.entries for line in entry.facts.orders)


def _order(line: OrderLine, entry: Entry, logbook: Logbook, value: Value) -> Order:
    receiver = next((other for other in logbook.entries if line.key in other.facts.received), None)
    stated = [payment for other in logbook.entries for payment in _stated(line, other)]
    made_up: list[Payment] = []
    if line.deposit is not None:
        made_up.append(_made_up(line, entry, entry, line.deposit, f"{line.item}, deposit"))
    rest = _rest(line, [*stated, *made_up])
    if receiver is not None and rest is not None and not any(payment.entry == receiver.slug for payment in stated):
        if rest.amount > 0:
            words = f"{line.item}, balance" if made_up or stated else line.item
            made_up.append(_made_up(line, entry, receiver, rest, words))
        rest = None
    open_money = rest if receiver is None else None
    return Order(
        line,
        entry.slug,
        entry.day,
        later(entry.day, line.lead) if line.lead else None,
        receiver.day if receiver else None,
        receiver.slug if receiver else "",
        tuple(sorted([*stated, *made_up], key=lambda payment: payment.day)),
        open_money,
        0 if receiver is not None else value(open_money, entry.day) if open_money is not None else None,
    )


def _stated(line: OrderLine, entry: Entry) -> list[Payment]:
    """The payments on an order that an entry states."""
    found = [
        (item.item, item.kind, item.price(), item.place, item.supplier, item.system)
        for item in entry.facts.parts
        if item.order == line.key
    ]
    found += [
        (item.item, item.kind, item.cost, item.place, item.supplier, item.system)
        for item in entry.facts.costs
        if item.order == line.key
    ]
    return [
        Payment(entry.day, item, kind, money, place, entry.slug, supplier, system, tuple(entry.shares()), False)
        for item, kind, money, place, supplier, system in found
        if money is not None
    ]


def _made_up(line: OrderLine, ordered: Entry, paid: Entry, money: Money, words: str) -> Payment:
    place = line.place if paid is ordered else paid.place
    return Payment(
        paid.day,
        words,
        line.kind,
        money,
        place,
        paid.slug,
        line.supplier,
        line.system,
        tuple(ordered.shares()),
        True,
        line.receipt,
    )


def _rest(line: OrderLine, payments: list[Payment]) -> Money | None:
    """What is left to pay of the order's cost; never less than nothing."""
    if line.cost is None:
        return None
    rest = line.cost
    for payment in payments:
        if payment.money.currency == rest.currency:
            rest = rest + payment.money if payment.kind == "refund" else rest - payment.money
    return rest if rest.amount > 0 else Money.of_minor(0, rest.currency)


def quotes(logbook: Logbook) -> tuple[Quote, ...]:
    """All quotes, and the entry that decided on each."""
    found = []
    for entry in logbook.entries:
        for line in entry.facts.quotes:
            taken = next(
                (
                    other
                    for other in logbook.entries
                    if line.key in other.facts.accepts or any(order.quote == line.key for order in other.facts.orders)
                ),
                None,
            )
            left = next((other for other in logbook.entries if line.key in other.facts.declines), None)
            accepted = line.accepted if line.accepted is not None else True if taken else False if left else None
            decider = taken or left or (entry if line.accepted is not None else None)
            found.append(Quote(line, entry.slug, entry.day, accepted, decider.slug if decider else ""))
    return tuple(found)
