"""Numbers: read exactly, rounded half to even, shared out so that the parts add up."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.numbers import number, rounded, shared, to_whole
from buildlog.basics.problems import Misread
from tests.basics.misreading import misread

FINITE = st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=-(10**9), max_value=10**9)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("14.5", "14.5"),
        ("0", "0"),
        ("-12.0", "-12.0"),
        ("\u221212.0", "-12.0"),
        ("+3", "3"),
        (".5", "0.5"),
        ("-.5", "-0.5"),
        ("1,250", "1250"),
        ("1,250,000.25", "1250000.25"),
        ("1\u00a0250", "1250"),
        ("1\u202f250.5", "1250.5"),
        ("007", "7"),
        (" 3.25 ", "3.25"),
    ],
)
def test_numbers_as_people_write_them(written: str, value: str) -> None:
    assert number(written, "2") == Decimal(value)


def test_trailing_zeros_are_kept() -> None:
    assert str(number("24.30", "2")) == "24.30"


@pytest.mark.parametrize(
    ("written", "name", "remedy"),
    [
        ("3,25", "decimal-comma", "write  3.25"),
        ("0,250", "decimal-comma", "write  0.250"),  # not two hundred and fifty
        ("1250,5", "decimal-comma", "write  1250.5"),
        ("1.250,50", "decimal-comma", "write  1250.50"),
        ("1,2,3", "not-a-number", "write it as in  2"),
        ("1,25,000", "not-a-number", "write it as in  2"),
        ("12,34.5", "not-a-number", "write it as in  2"),
        ("1.2.3", "not-a-number", "write it as in  2"),
        ("1e3", "not-a-number", "write it as in  2"),
        ("NaN", "not-a-number", "write it as in  2"),
        ("Infinity", "not-a-number", "write it as in  2"),
        ("1_000", "not-a-number", "write it as in  2"),
        ("", "not-a-number", "write it as in  2"),
        ("-", "not-a-number", "write it as in  2"),
        ("5.", "not-a-number", "write it as in  2"),
        ("0x10", "not-a-number", "write it as in  2"),
        ("1\x00", "not-a-number", "write it as in  2"),
        ("\u0663", "not-a-number", "write it as in  2"),  # an Arabic-Indic three: a digit to Python, but not here
        ("9" * 25, "endless-number", "write at most 24 digits, as in  2"),
    ],
)
def test_what_is_no_number(written: str, name: str, remedy: str) -> None:
    with pytest.raises(Misread) as trouble:
        number(written, "2")
    assert (trouble.value.name, trouble.value.remedy) == (name, remedy)


@given(FINITE)
def test_a_number_written_out_is_read_back(value: Decimal) -> None:
    assert number(str(value), "2") == value
    assert number(f"{value:,}", "2") == value


@given(st.text(max_size=30))
def test_any_text_is_a_number_or_a_misread(text: str) -> None:
    assert misread(number, text, "2") or number(text, "2").is_finite()


# NIST SP 811 (2008), B.7.1: exactly half goes to the even neighbour, everything else to the nearer one.
@pytest.mark.parametrize(
    ("value", "places", "expected"),
    [
        ("6.9749515", 6, "6.974952"),
        ("6.9749505", 6, "6.974950"),
        ("2.5", 0, "2"),
        ("3.5", 0, "4"),
        # the default rounding of the General Decimal Arithmetic specification
        ("2.345", 2, "2.34"),
        ("2.355", 2, "2.36"),
        ("0.125", 2, "0.12"),
        ("0.135", 2, "0.14"),
        ("-2.345", 2, "-2.34"),
        ("1234.5", 0, "1234"),
        ("0.0005", 3, "0.000"),
        ("-0.001", 2, "0.00"),
    ],
)
def test_half_to_even(value: str, places: int, expected: str) -> None:
    assert str(rounded(Decimal(value), places)) == expected
    assert str(rounded(Fraction(value), places)) == expected


@given(FINITE, st.integers(0, 6))
def test_rounding_agrees_with_the_decimal_module(value: Decimal, places: int) -> None:
    reference = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN, Context(prec=60))
    assert rounded(value, places) == reference
    assert str(rounded(value, places)).lstrip("-") == str(reference).lstrip("-")


@given(st.integers(-(10**30), 10**30) | st.integers(-50, 50), st.integers(1, 10**9) | st.integers(1, 8))
def test_a_ratio_is_rounded_as_python_rounds_a_fraction(over: int, under: int) -> None:
    assert to_whole(over, under) == round(Fraction(over, under))


def test_rounding_is_exact_beyond_28_digits() -> None:
    assert str(rounded(Decimal("9" * 40), 2)) == "9" * 40 + ".00"
    assert str(rounded(Fraction(2, 3), 35)) == "0." + "6" * 34 + "7"


WEIGHTS = st.lists(st.fractions(0, 1000, max_denominator=97), min_size=1, max_size=8).filter(lambda w: sum(w) > 0)


@given(st.integers(-(10**7), 10**7), WEIGHTS)
def test_shares_add_up_and_are_within_one_unit(whole: int, weights: list[Fraction]) -> None:
    parts = shared(whole, weights)
    total = sum(weights)
    assert sum(parts) == whole
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - whole * weight / total) < 1
        assert weight or part == 0


@given(st.integers(0, 10**6), WEIGHTS, st.integers(1, 50))
def test_shares_go_by_proportion_alone(whole: int, weights: list[Fraction], factor: int) -> None:
    assert shared(whole, weights) == shared(whole, [weight * factor for weight in weights])


def test_shares_worked_by_hand() -> None:
    # 100 cents in three: 33 1/3 each, the odd cent to the first
    assert shared(100, [Fraction(1)] * 3) == [34, 33, 33]
    # 101 in 4 : 1 is 80.8 and 20.2; the larger remainder takes the odd one
    assert shared(101, [Fraction(4), Fraction(1)]) == [81, 20]
    # 10 in 1 : 0 : 2 is 3 1/3, 0, 6 2/3
    assert shared(10, [Fraction(1), Fraction(0), Fraction(2)]) == [3, 0, 7]
    # 405 minutes in 4 : 1
    assert shared(405, [Fraction(4), Fraction(1)]) == [324, 81]


def test_nothing_can_be_shared_by_weights_of_nothing() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        shared(10, [Fraction(0)])
