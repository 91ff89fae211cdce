"""Figures as words: rounded once, in the project's units, written as its locale writes numbers and dates (CLDR, by Babel)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from babel import Locale
from babel.numbers import format_decimal, get_decimal_symbol, get_group_symbol

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.basics.money import Money
from buildlog.basics.numbers import Number, to_whole
from buildlog.basics.quantities import Length, Weight
from buildlog.pages.dated import Dated
from buildlog.records.logbook import Logbook

MINUS = "\u2212"
WEIGHT_PLACES = {"lb": 1, "kg": 2}
_PROBES = (Decimal("0.50"), Decimal("1234.56"), Decimal("9876543210.98"))
ARM_PLACES = {"in": 2, "cm": 1, "mm": 0, "m": 3}
_STANDING = {"airworthiness": "before flight", "deferred": "deferred", "cosmetic": "cosmetic"}
_KINDS = {
    "part": "parts",
    "material": "materials",
    "service": "services",
    "tool": "tools",
    "shipping": "shipping",
    "tax": "taxes",
    "fee": "fees",
    "refund": "refunds",
}


class Words:
    """How one project writes its figures; months only where the audience may not see days."""

    def __init__(self, logbook: Logbook) -> None:
        project = logbook.project
        self.locale = Locale.parse(project.locale, sep="-")
        self.dated = Dated(self.locale)
        self.currency = project.units.currency
        self.weight_unit = project.units.weight
        self.arm_unit = project.units.arm
        self._weight, self._arm = Weight.factors[self.weight_unit], Length.factors[self.arm_unit]
        self._moment = self._weight * self._arm
        self.exact_dates = logbook.sight.exact_dates
        self.datum = logbook.loading.datum if logbook.loading else ""
        self.drawings: dict[str, str] = {}
        """Drawings that more than one page shows, by name; drawn once for all pages that share these words."""

    @cached_property
    def _marks(self) -> tuple[str, str] | None:
        """What stands between groups and before decimals here; None where the locale writes in any other way."""
        marks = str(get_group_symbol(self.locale)), str(get_decimal_symbol(self.locale))
        plainly = (_marked(int(probe * 100), 2, marks) == self._by_babel(probe, 2) for probe in _PROBES)
        return marks if all(plainly) else None

    def _by_babel(self, value: Decimal, places: int) -> str:
        pattern = "#,##0" + ("." + "0" * places if places else "")
        return str(format_decimal(value, format=pattern, locale=self.locale))

    def number(self, value: Number, places: int, signed: bool = False) -> str:
        """A number with so many digits after the point, grouped, with a true minus sign."""
        over, under = value.as_integer_ratio()
        return self._ratio(over, under, places, signed)

    def _ratio(self, over: int, under: int, places: int, signed: bool = False) -> str:
        """The same of two whole numbers, one over the other (above zero)."""
        units = to_whole(over * 10**places, under)
        marks, size = self._marks, abs(units)
        text = _marked(size, places, marks) if marks else self._by_babel(Decimal(f"{size}E{-places}"), places)
        sign = MINUS if units < 0 else "+" if signed and units > 0 else ""
        return sign + text

    def _in_units(self, amount: Fraction, unit: Fraction, places: int, signed: bool = False) -> str:
        """An exact amount of a base unit as so many of another unit."""
        over, under = amount.as_integer_ratio()
        up, down = unit.as_integer_ratio()
        return self._ratio(over * down, under * up, places, signed)

    def plain(self, value: Decimal) -> str:
        """A count as it was written, without needless zeros."""
        exact = value.normalize()
        places = max(0, -int(exact.as_tuple().exponent))
        return self.number(exact, places)

    def money(self, minor: int, currency: str | None = None, signed: bool = False, unit: bool = True) -> str:
        """Minor units as ``1,234.50 USD``."""
        code = currency or self.currency
        places = MINOR_UNITS[code]
        text = self.number(Decimal(minor).scaleb(-places), places, signed)
        return f"{text}\u00a0{code}" if unit else text

    def written_money(self, money: Money, signed: bool = False) -> str:
        """Money in its own currency."""
        return self.money(money.minor(), money.currency, signed)

    def round_money(self, minor: int) -> str:
        """Money in whole units without the currency, for the large figures."""
        return self.number(Decimal(minor).scaleb(-MINOR_UNITS[self.currency]), 0)

    def labour(self, minutes: int, unit: bool = True) -> str:
        """Minutes as ``3:15 h``."""
        hours, rest = divmod(abs(minutes), 60)
        text = f"{self.number(hours, 0)}:{rest:02d}"
        return f"{text}\u00a0h" if unit else text

    def weight(self, kg: Fraction, signed: bool = False, unit: bool = True) -> str:
        """A weight in the project's unit."""
        text = self._in_units(kg, self._weight, WEIGHT_PLACES[self.weight_unit], signed)
        return f"{text}\u00a0{self.weight_unit}" if unit else text

    def weight_up(self, kg: Fraction) -> str:
        """A weight rounded up to the last digit shown: the least that is enough."""
        places = WEIGHT_PLACES[self.weight_unit]
        amount = kg / self._weight * 10**places
        return f"{self.number(Fraction(-(-amount.numerator // amount.denominator), 10**places), places)}\u00a0{self.weight_unit}"

    def arm(self, metres: Fraction, unit: bool = True) -> str:
        """An arm in the project's unit, with its sign from the datum."""
        text = self._in_units(metres, self._arm, ARM_PLACES[self.arm_unit])
        return f"{text}\u00a0{self.arm_unit}" if unit else text

    def moment(self, kgm: Fraction, unit: bool = True) -> str:
        """A moment in the project's units of weight times arm."""
        text = self._in_units(kgm, self._moment, 1)
        return f"{text}\u00a0{self.weight_unit}\u00a0{self.arm_unit}" if unit else text

    def day(self, day: date) -> str:
        """``4 July 2026``, or its month where days are not shown."""
        return self.dated.long(day) if self.exact_dates else self.month(day)

    def short_day(self, day: date) -> str:
        """``4 July``, for lists that say the year elsewhere."""
        return self.dated.skeleton("MMMMd" if self.exact_dates else "MMMM", day)

    def brief_day(self, day: date) -> str:
        """``4 Jul 2026``, for tables."""
        return self.dated.skeleton("yMMMd" if self.exact_dates else "yMMM", day)

    def days(self, first: date, last: date) -> str:
        """One day or a range of days."""
        if first == last or not self.exact_dates:
            return self.day(last)
        return self.dated.span(first, last)

    def month(self, day: date) -> str:
        """``July 2026``."""
        return self.dated.skeleton("yMMMM", day)

    def month_name(self, day: date) -> str:
        """``July``."""
        return self.dated.pattern("LLLL", day)

    def listed(self, items: Iterable[str]) -> str:
        """``a, b and c``."""
        words = list(items)
        return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)

    @staticmethod
    def standing(standing: str) -> str:
        """A finding's standing as readers are told it."""
        return _STANDING[standing]

    @staticmethod
    def kind(kind: str) -> str:
        """A kind of cost, in the plural."""
        return _KINDS[kind]


def _marked(units: int, places: int, marks: tuple[str, str]) -> str:
    """Whole units of the last of so many places, not below zero, with the marks between groups and before decimals."""
    between, point = marks
    head, tail = divmod(units, 10**places)
    grouped = f"{head:,}".replace(",", between)
    return f"{grouped}{point}{tail:0{places}d}" if places else grouped
