"""Money and currencies, against ISO 4217's minor units as two independent copies give them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from babel.core import get_global
from babel.numbers import get_currency_precision, list_currencies
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.basics.money import Money, read_currency, read_money
from buildlog.basics.numbers import shared
from buildlog.basics.problems import Misread

# CLDR gives the digits of everyday prices, ISO 4217 those of the currency: where the small coins are out of use, CLDR
# says none. The ariary is divided by five; ISO writes that with two digits. What CLDR says of four of them changed with
# Babel 2.19.
NONE_IN_SHOPS = {"AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MMK", "SOS", "SYP", "YER", "IQD", "MGA"}
BY_EDITION = {"RSD", "COP", "HUF", "IDR"}
CODES = st.sampled_from(sorted(MINOR_UNITS))


@pytest.mark.parametrize(
    ("code", "places"),
    [
        ("USD", 2),
        ("EUR", 2),
        ("GBP", 2),
        ("CAD", 2),
        ("AUD", 2),
        ("CHF", 2),
        ("SEK", 2),
        ("JPY", 0),
        ("KRW", 0),
        ("ISK", 0),
        ("CLP", 0),
        ("VND", 0),
        ("XOF", 0),
        ("KWD", 3),
        ("BHD", 3),
        ("JOD", 3),
    ],
)
def test_minor_units_of_iso_4217(code: str, places: int) -> None:
    assert MINOR_UNITS[code] == places


def test_minor_units_against_babel() -> None:
    differing = {code for code, places in MINOR_UNITS.items() if places != get_currency_precision(code)}
    assert NONE_IN_SHOPS <= differing <= NONE_IN_SHOPS | BY_EDITION
    assert all(get_currency_precision(code) == 0 for code in differing)


def test_every_currency_in_use_is_known() -> None:
    assert set(MINOR_UNITS) <= list_currencies()
    in_use = {
        code
        for held in get_global("territory_currencies").values()
        for code, _, ended, tender in held
        if not ended and tender
    }
    assert in_use - set(MINOR_UNITS) == set()


@pytest.mark.parametrize(
    ("written", "amount", "code"),
    [
        ("38.40 USD", "38.40", "USD"),
        ("38.4 usd", "38.40", "USD"),
        ("USD 38.40", "38.40", "USD"),
        ("38.40USD", "38.40", "USD"),
        ("85", "85.00", "CAD"),
        ("1,212.50", "1212.50", "CAD"),
        ("1100 JPY", "1100", "JPY"),
        ("0.005 KWD", "0.005", "KWD"),
        ("\u22125 USD", "-5.00", "USD"),
        ("38.400 USD", "38.40", "USD"),
        ("1\u00a0212.50 EUR", "1212.50", "EUR"),
    ],
)
def test_as_people_write_it(written: str, amount: str, code: str) -> None:
    money = read_money(written, "CAD")
    assert (str(money.amount), money.currency) == (amount, code)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("$38.40", "currency-symbol"),
        ("38.40 \u20ac", "currency-symbol"),
        ("\u20b938", "currency-symbol"),
        ("US$ 5", "currency-symbol"),
        ("38.405 USD", "too-many-decimals"),
        ("1.5 JPY", "too-many-decimals"),
        ("5 UDS", "unknown-currency"),
        ("5 XAU", "unknown-currency"),
        ("5 dollars", "not-money"),
        ("", "not-money"),
        ("USD", "not-money"),
        ("3,5 USD", "decimal-comma"),
        ("5 USD 6", "not-money"),
        ("1.2.3 USD", "not-a-number"),
        ("9" * 40 + " USD", "endless-number"),
        ("5\x00USD", "not-money"),
    ],
)
def test_what_is_refused(written: str, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        read_money(written, "CAD")
    assert trouble.value.name == name
    assert trouble.value.remedy


def test_a_bare_number_without_a_project() -> None:
    with pytest.raises(Misread) as trouble:
        read_money("38.40", None)
    assert (trouble.value.name, trouble.value.remedy) == ("no-currency", "write it as in  38.40 USD")


@pytest.mark.parametrize("value", [None, True, 5, 5.5, [], {}])
def test_only_text_is_read(value: object) -> None:
    with pytest.raises(Misread) as trouble:
        read_money(value, "USD")
    assert trouble.value.name == "wrong-shape"


def test_letters_in_another_order_are_offered() -> None:
    with pytest.raises(Misread) as trouble:
        read_currency("UDS")
    assert trouble.value.remedy == "did you mean  USD ?"


@given(st.integers(-(10**12), 10**12), CODES)
def test_minor_units_there_and_back(units: int, code: str) -> None:
    money = Money.of_minor(units, code)
    assert money.minor() == units
    assert read_money(str(money), None) == money
    assert -money.amount.as_tuple().exponent == MINOR_UNITS[code]  # type: ignore[operator]


@given(st.integers(0, 10**24 - 1), CODES)
def test_the_greatest_numbers_that_are_read_stay_exact(units: int, code: str) -> None:
    money = read_money(f"{units} {code}", None)
    assert money.minor() == units * 10 ** MINOR_UNITS[code]
    assert (money + money).minor() == 2 * money.minor()


@given(st.lists(st.integers(-(10**9), 10**9), min_size=1, max_size=12), CODES)
def test_sums_are_exact(units: list[int], code: str) -> None:
    total = Money.of_minor(0, code)
    for unit in units:
        total += Money.of_minor(unit, code)
    assert total.minor() == sum(units)
    assert (total - total).minor() == 0


def test_two_currencies_are_never_added() -> None:
    with pytest.raises(ValueError, match="two currencies"):
        Money(Decimal(1), "USD") + Money(Decimal(1), "CAD")


def test_a_line_is_rounded_before_it_is_added() -> None:
    """Half to even on each line, so that the lines shown add up to the total shown.

    Three lines of 0.335: rounded and added 1.02; added and rounded they would be 1.00 (half up: 1.01).
    """
    line = Money(Decimal("0.67"), "USD").times(Fraction(1, 2))
    assert str(line) == "0.34 USD"
    assert str(line + line + line) == "1.02 USD"


@pytest.mark.parametrize(
    ("amount", "factor", "code", "expected"),
    [
        ("2.345", 1, "KWD", "2.345 KWD"),
        ("100.00", Fraction("0.73"), "USD", "73.00 USD"),
        ("3.85", 9, "USD", "34.65 USD"),
        ("100.00", Fraction(151), "JPY", "15100 JPY"),
        ("0.01", Fraction(1, 2), "USD", "0.00 USD"),
        ("0.03", Fraction(1, 2), "USD", "0.02 USD"),
    ],
)
def test_times(amount: str, factor: Fraction, code: str, expected: str) -> None:
    assert str(Money(Decimal(amount), "USD").times(factor, code)) == expected


@given(st.integers(0, 10**8), st.lists(st.integers(1, 9), min_size=1, max_size=6))
def test_a_cost_shared_by_systems_adds_up_to_the_cent(cents: int, weights: list[int]) -> None:
    parts = [Money.of_minor(part, "USD") for part in shared(cents, [Fraction(weight) for weight in weights])]
    assert sum((part.amount for part in parts), Decimal(0)) == Money.of_minor(cents, "USD").amount
