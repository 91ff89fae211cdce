"""Money: paid, refunded, ordered and not yet paid, quoted.

Assumptions
- A payment counts on the day of its entry. A refund is written positive and counts back.
- Money in another currency is converted payment by payment at the latest rate stated for or before its day, rounded
  half to even to the minor unit of the project's currency (ISO 4217), and added after that; without a stated rate it is
  kept apart and never added.
- A line belongs to its own system; without one, to the systems of its entry in the shares the entry says, in whole
  minor units, so that totals by system add up to the total.
- Orders: figures/orders.py. Quotes are never added.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from buildlog.basics.frozen import frozen
from buildlog.basics.groups import grouped
from buildlog.basics.money import Money
from buildlog.basics.numbers import shared
from buildlog.basics.problems import Place
from buildlog.figures.orders import Order, Payment, orders
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook


@frozen
class Outlay:
    """One payment or refund.

    ``value`` is in minor units of the project's currency, negative for a refund,
    None where no rate is stated; ``parts`` splits it by system and adds up to it.
    """

    day: date
    item: str
    kind: str
    money: Money
    value: int | None
    parts: tuple[tuple[str, int], ...]
    place: Place
    entry: str = ""
    supplier: str | None = None
    receipt: str | None = None
    note: str | None = None
    quantity: Decimal | None = None

    @property
    def refund(self) -> bool:
        """Whether the money came back."""
        return self.kind == "refund"


@frozen
class Cost:
    """All the money of a record, in minor units of ``currency``."""

    currency: str
    outlays: tuple[Outlay, ...]
    orders: tuple[Order, ...]

    def of_entry(self, slug: str) -> tuple[Outlay, ...]:
        """The lines of one entry, by its address."""
        return self._entries.get(slug, ())

    @cached_property
    def _entries(self) -> dict[str, tuple[Outlay, ...]]:
        return grouped(self.outlays, lambda line: line.entry)

    def paid(self) -> int:
        """Paid, before refunds."""
        return sum(line.value for line in self.outlays if line.value is not None and not line.refund)

    def refunded(self) -> int:
        """Came back, as a positive number."""
        return -sum(line.value for line in self.outlays if line.value is not None and line.refund)

    def net(self) -> int:
        """Paid less refunded."""
        return self.paid() - self.refunded()

    def ordered(self) -> int:
        """Ordered and not yet paid, where its value in the project's currency is known."""
        return sum(order.open_value or 0 for order in self.orders)

    def by_system(self) -> dict[str, int]:
        """Net by system, by its key; '' for what names none."""
        return summed((system, amount) for line in self.outlays for system, amount in line.parts)

    def by_kind(self) -> dict[str, int]:
        """Net by kind of cost; refunds are a kind of their own, negative."""
        return self._by(lambda line: line.kind)

    def by_month(self) -> dict[str, int]:
        """Net by month, ``2026-07``."""
        return self._by(lambda line: f"{line.day:%Y-%m}")

    def by_supplier(self) -> dict[str, int]:
        """Net by supplier; '' where none is named."""
        return self._by(lambda line: line.supplier or "")

    def by_entry(self) -> dict[str, int]:
        """Net by entry, by its address; '' for the ledgers."""
        return self._by(lambda line: line.entry)

    def unconverted(self) -> dict[str, Money]:
        """Net by currency of what no stated rate converts."""
        totals: dict[str, Money] = {}
        for line in self.outlays:
            if line.value is None:
                amount = -line.money if line.refund else line.money
                totals[amount.currency] = totals.get(amount.currency, Money.of_minor(0, amount.currency)) + amount
        return dict(sorted(totals.items()))

    def _by(self, name: Callable[[Outlay], str]) -> dict[str, int]:
        return summed((name(line), line.value) for line in self.outlays if line.value is not None)


def summed(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    """Sums by name, in the order of the names."""
    totals: dict[str, int] = {}
    for name, amount in pairs:
        totals[name] = totals.get(name, 0) + amount
    return dict(sorted(totals.items()))


def cost(logbook: Logbook) -> Cost:
    """All payments, refunds and open orders of a logbook, oldest first."""
    rates = Rates(logbook)
    held = orders(logbook, rates.value)
    lines = [*_from_ledger(logbook, rates)]
    for entry in logbook.entries:
        lines += _from_entry(entry, rates)
    lines += [_payment(payment, rates) for order in held for payment in order.payments if payment.made_up]
    lines.sort(key=lambda line: (line.day, line.place))
    return Cost(logbook.project.units.currency, tuple(lines), held)


class Rates:
    """The rates of exchange a project states, each used from its day on."""

    def __init__(self, logbook: Logbook) -> None:
        self.currency = logbook.project.units.currency
        self._rates = sorted(
            (rate for rate in logbook.project.exchange if rate.to.upper() == self.currency), key=lambda rate: rate.on
        )

    def rate(self, currency: str, day: date) -> Decimal | None:
        """The latest rate on or before a day, None when none is stated."""
        rates = [rate.rate for rate in self._rates if rate.from_.upper() == currency and rate.on <= day]
        return rates[-1] if rates else None

    def value(self, money: Money, day: date) -> int | None:
        """Minor units of the project's currency, None when no rate is stated."""
        if money.currency == self.currency:
            return money.minor()
        rate = self.rate(money.currency, day)
        return money.times(rate, self.currency).minor() if rate is not None else None


def split(value: int | None, system: str | None, shares: list[tuple[str, Fraction]]) -> tuple[tuple[str, int], ...]:
    """A value by system: all to its own, or in the shares of its entry, adding up to it exactly."""
    if value is None:
        return ()
    if system is not None:
        return ((system, value),)
    names, weights = [name for name, _ in shares], [weight for _, weight in shares]
    sign = -1 if value < 0 else 1
    return tuple(zip(names, [sign * part for part in shared(abs(value), weights)], strict=True))


def _from_entry(entry: Entry, rates: Rates) -> Iterator[Outlay]:
    facts, shares = entry.facts, entry.shares()

    def outlay(item: str, kind: str, money: Money, system: str | None, place: Place, **more: object) -> Outlay:
        value = rates.value(-money if kind == "refund" else money, entry.day)
        return Outlay(entry.day, item, kind, money, value, split(value, system, shares), place, entry.slug, **more)  # type: ignore[arg-type]

    if facts.cost is not None:
        yield outlay(facts.title, "part", facts.cost, None, facts.place)
    for part in facts.parts:
        price = part.price()
        if price is not None:
            yield outlay(
                part.item,
                part.kind,
                price,
                part.system,
                part.place,
                supplier=part.supplier,
                note=part.note,
                receipt=part.receipt,
                quantity=part.quantity,
            )
    for line in facts.costs:
        yield outlay(
            line.item,
            line.kind,
            line.cost,
            line.system,
            line.place,
            supplier=line.supplier,
            note=line.note,
            receipt=line.receipt,
        )


def _payment(payment: Payment, rates: Rates) -> Outlay:
    """A deposit or a balance of an order, which no line of its own states."""
    value = rates.value(payment.money, payment.day)
    return Outlay(
        payment.day,
        payment.item,
        payment.kind,
        payment.money,
        value,
        split(value, payment.system, list(payment.shares)),
        payment.place,
        payment.entry,
        payment.supplier,
        payment.receipt,
    )


def _from_ledger(logbook: Logbook, rates: Rates) -> Iterator[Outlay]:
    for row in logbook.ledger:
        if row.cost is not None:
            value = rates.value(-row.cost if row.kind == "refund" else row.cost, row.date)
            yield Outlay(
                row.date,
                row.item or row.what or "no name",
                row.kind,
                row.cost,
                value,
                split(value, row.system or "", []),
                row.place,
                "",
                row.supplier,
                row.receipt,
            )
