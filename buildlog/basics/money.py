"""Money: an exact decimal with its currency; never added across currencies."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import number, rounded
from buildlog.basics.problems import Misread, shown

_WRITTEN = re.compile(r"(?P<amount>[-+\u2212]?[\d.,\u00a0\u202f]+)\s*(?P<code>[A-Za-z]{3})?")
_CODE_FIRST = re.compile(r"(?P<code>[A-Za-z]{3})\s*(?P<amount>[-+\u2212]?[\d.,]+)")
_EXAMPLE = "38.40 USD"


@frozen
class Money:
    """An amount in a currency, in whole minor units of it (cents)."""

    amount: Decimal
    currency: str

    def minor(self) -> int:
        """The amount in minor units, e.g. cents."""
        over, under = self.amount.as_integer_ratio()
        return int(over * 10 ** MINOR_UNITS[self.currency] // under)

    @staticmethod
    def of_minor(units: int, currency: str) -> Money:
        """Money from a whole number of minor units."""
        places = MINOR_UNITS[currency]
        return Money(rounded(Fraction(units, 10**places), places), currency)

    def __add__(self, other: Money) -> Money:
        if self.currency != other.currency:
            raise ValueError("money of two currencies is never added")
        return Money(self.amount + other.amount, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.amount, self.currency)

    def __sub__(self, other: Money) -> Money:
        return self + -other

    def times(self, factor: Decimal | int | Fraction, currency: str | None = None) -> Money:
        """The amount times a factor, rounded half to even to the minor unit, in ``currency`` if given."""
        code = currency or self.currency
        return Money(rounded(Fraction(self.amount) * Fraction(factor), MINOR_UNITS[code]), code)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


def read_money(text: object, currency: str | None) -> Money:
    """What a builder wrote; a bare number is in ``currency``, the project's. Raises Misread."""
    if isinstance(text, Money):
        return text
    if not isinstance(text, str):
        raise Misread(
            "wrong-shape", f"an amount of money is wanted here, not {shown(text)}", f"write it as in  {_EXAMPLE}"
        )
    written = text.strip()
    found = _WRITTEN.fullmatch(written) or _CODE_FIRST.fullmatch(written)
    if not found:
        raise _no_money(written)
    amount = number(found["amount"], _EXAMPLE, written)
    if not (found["code"] or currency):
        raise Misread("no-currency", f"{shown(written)} has no currency", f"write it as in  {written} USD")
    code = read_currency(found["code"] or currency)
    places = MINOR_UNITS[code]
    if amount != rounded(amount, places):
        raise Misread(
            "too-many-decimals",
            f"{shown(written)} is finer than the smallest unit of {code}",
            f"write  {rounded(amount, places)} {code}",
        )
    return Money(rounded(amount, places), code)


def read_currency(text: object) -> str:
    """A currency by its ISO 4217 code, ``USD``. Raises Misread."""
    code = text.strip().upper() if isinstance(text, str) else ""
    if code in MINOR_UNITS:
        return code
    swapped = [known for known in MINOR_UNITS if sorted(known) == sorted(code)]
    raise Misread(
        "unknown-currency",
        f"{shown(text)} is not a currency code of ISO 4217",
        f"did you mean  {swapped[0]} ?" if swapped else "write its three letters, as in  USD",
    )


def _no_money(written: str) -> Misread:
    symbol = next((char for char in written if unicodedata.category(char) == "Sc"), None)
    if symbol:
        return Misread(
            "currency-symbol",
            f"{shown(written)}: the sign {symbol} does not say which currency",
            f"write the code, as in  {_EXAMPLE}",
        )
    return Misread("not-money", f"{shown(written)} is not an amount of money", f"write it as in  {_EXAMPLE}")
