"""Every line of money: payments by month, orders and where they stand, quotes and what became of them."""

from __future__ import annotations

from itertools import groupby

from buildlog.basics.frozen import frozen
from buildlog.figures.cost import Outlay, Rates
from buildlog.figures.orders import Order, Quote
from buildlog.pages.known import Paper
from buildlog.pages.lines import Desk
from buildlog.pages.months import month_anchor
from buildlog.pages.sheet import Tab
from buildlog.pages.sources import Source


@frozen
class PaymentLine:
    """One payment or refund. ``written`` is its amount in another currency with the rate used."""

    source: Source
    item: str
    quantity: str
    kind: str
    tabs: tuple[Tab, ...]
    supplier: str
    note: str
    receipt: bool
    paper: Paper | None
    written: str
    amount: str


@frozen
class MonthOfLines:
    """The payments of a month and their sum."""

    year: int
    name: str
    anchor: str
    net: str
    lines: tuple[PaymentLine, ...]


@frozen
class OnOrder:
    """A payment on an order."""

    source: Source
    amount: str


@frozen
class OrderLine:
    """An order; the amounts are '' where single ones may not be seen."""

    key: str
    item: str
    supplier: str
    ordered: Source
    promised: str
    received: Source | None
    late: bool
    cost: str
    paid: tuple[OnOrder, ...]
    open: str


@frozen
class QuoteLine:
    """A price asked for. ``state``: accepted, declined, open or expired."""

    key: str
    item: str
    supplier: str
    asked: Source
    cost: str
    until: str
    lead: str
    state: str
    decided: Source | None
    papers: tuple[Paper, ...]


def lines_by_month(desk: Desk) -> tuple[MonthOfLines, ...]:
    """All payments, oldest first."""
    rates, net, words = Rates(desk.worked.logbook), desk.worked.cost.by_month(), desk.words
    months = []
    for month, group in groupby(desk.worked.cost.outlays, key=lambda line: f"{line.day:%Y-%m}"):
        outlays = list(group)
        lines = tuple(_payment(outlay, rates, desk) for outlay in outlays)
        total, first = words.money(net.get(month, 0), unit=False), outlays[0].day
        months.append(MonthOfLines(first.year, words.month(first), month_anchor(month), total, lines))
    return tuple(months)


def order_lines(desk: Desk) -> tuple[OrderLine, ...]:
    """All orders, those still awaited first, each in the order they were made."""
    orders = sorted(desk.worked.cost.orders, key=lambda order: order.received is not None)
    return tuple(_order(order, desk) for order in orders)


def quote_lines(desk: Desk) -> tuple[QuoteLine, ...]:
    """All quotes, oldest first."""
    return tuple(_quote(quote, desk) for quote in desk.worked.quotes)


def _payment(line: Outlay, rates: Rates, desk: Desk) -> PaymentLine:
    words = desk.words
    papers = desk.papers.of((line.receipt,)) if line.receipt else ()
    several = line.quantity is not None and line.quantity != 1
    return PaymentLine(
        desk.sources.of(line.entry, line.day),
        line.item,
        words.plain(line.quantity) if line.quantity is not None and several else "",
        line.kind,
        tuple(desk.at.tab(key) for key, _ in line.parts if key),
        line.supplier or "",
        line.note or "",
        line.receipt is not None,
        papers[0] if papers else None,
        _written(line, rates, desk),
        words.money(line.value, unit=False) if line.value is not None else "",
    )


def _written(line: Outlay, rates: Rates, desk: Desk) -> str:
    """The amount in its own currency, and the rate that makes it the project's."""
    if line.money.currency == desk.words.currency:
        return ""
    rate = rates.rate(line.money.currency, line.day)
    told = f"at {desk.words.plain(rate)}" if rate is not None else "no rate stated"
    return f"{desk.words.written_money(line.money)} {told}"


def _order(order: Order, desk: Desk) -> OrderLine:
    line, words, on = order.line, desk.words, desk.worked.on
    late = order.received is None and order.promised is not None and on is not None and order.promised < on
    paid = tuple(
        OnOrder(
            desk.sources.of(one.entry, one.day), words.written_money(-one.money if one.kind == "refund" else one.money)
        )
        for one in order.payments
    )
    return OrderLine(
        line.key,
        line.item,
        line.supplier or "",
        desk.sources.of(order.entry, order.day),
        words.brief_day(order.promised) if order.promised else "",
        desk.sources.maybe(order.received_in, order.received),
        late,
        words.written_money(line.cost) if line.cost and desk.priced else "",
        paid if desk.priced else (),
        words.written_money(order.open_money) if order.open_money and desk.priced else "",
    )


def _quote(quote: Quote, desk: Desk) -> QuoteLine:
    line, words = quote.line, desk.words
    decider = desk.sources.entry(quote.decided_in)
    return QuoteLine(
        line.key,
        line.item,
        line.supplier or "",
        desk.sources.of(quote.entry, quote.day),
        words.written_money(line.cost) if desk.priced else "",
        words.brief_day(line.until) if line.until else "",
        str(line.lead) if line.lead else "",
        _fate(quote, desk),
        desk.sources.whole(decider) if decider else None,
        desk.papers.of((line.document,)) if line.document else (),
    )


def _fate(quote: Quote, desk: Desk) -> str:
    """What became of a quote by the day the record is as of."""
    if quote.accepted is not None:
        return "accepted" if quote.accepted else "declined"
    until, on = quote.line.until, desk.worked.on
    return "expired" if until is not None and on is not None and until < on else "open"
