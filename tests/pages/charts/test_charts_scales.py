"""Ticks and scales against values worked out by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.pages.charts.scales import Linear, nice_below, round_range, summed, tick_range, ticks


def written(low: object, high: object, at_most: int, *, from_zero: bool = True) -> list[str]:
    return [str(t) for t in round_range([Decimal(str(low)), Decimal(str(high))], at_most, from_zero=from_zero).ticks]


def test_ticks_by_hand() -> None:
    # 97 in 5 steps: 19.4 a step, so 20; in 10 steps: 9.7, so 10; in 4: 24.25, so 50.
    assert written(0, 97, 5) == ["0", "20", "40", "60", "80", "100"]
    assert written(0, 97, 10) == ["0", "10", "20", "30", "40", "50", "60", "70", "80", "90", "100"]
    assert written(0, 97, 4) == ["0", "50", "100"]


def test_a_small_step_writes_every_place() -> None:
    assert written(0, "1.3", 3) == ["0.0", "0.5", "1.0", "1.5"]
    assert written("0.0011", "0.0029", 4, from_zero=False) == [
        "0.0010",
        "0.0015",
        "0.0020",
        "0.0025",
        "0.0030",
    ]


def test_negative_values_get_a_zero_between() -> None:
    assert written(-18, 52, 4) == ["-20", "0", "20", "40", "60"]


def test_a_step_that_fits_the_span_but_not_its_round_ends_is_passed_over() -> None:
    # 738.5 to 765 is 26.5: steps of 10 give 730 to 770, four of them; steps of 5 would be six.
    assert written("738.5", 765, 5, from_zero=False) == ["730", "740", "750", "760", "770"]


def test_ticks_within_a_range_do_not_widen_it() -> None:
    assert [str(t) for t in ticks(-26, 195, 12)] == [
        "-20",
        "0",
        "20",
        "40",
        "60",
        "80",
        "100",
        "120",
        "140",
        "160",
        "180",
    ]
    assert tick_range(-26, 195, 12).low == -26


@pytest.mark.parametrize(
    ("values", "from_zero", "expected"),
    [
        ([], True, ("0.0", "1.0")),
        ([0, 0], True, ("0.0", "1.0")),
        ([0], False, ("0.0", "1.0")),
        ([750], False, ("740", "760")),
        ([-5], True, ("-5", "0")),
    ],
)
def test_nothing_or_one_value_still_makes_a_range(
    values: list[int], from_zero: bool, expected: tuple[str, str]
) -> None:
    found = round_range(values, 5, from_zero=from_zero).ticks
    assert (str(found[0]), str(found[-1])) == expected


def test_the_finer_graduation() -> None:
    assert [tick_range(0, high, 10).step.finer().size for high in (10, 20, 50)] == [
        Fraction(1, 5),
        Fraction(1, 2),
        1,
    ]


def test_a_round_weight_at_or_below() -> None:
    assert [str(nice_below(v)) for v in (Decimal("12.15"), 10, Decimal("9.99"), Decimal("0.049"), 2)] == [
        "10",
        "10",
        "5",
        "0.02",
        "2",
    ]


def test_sums_are_exact_and_decimal_where_they_can_be() -> None:
    assert summed([Decimal("0.1"), Decimal("0.2"), 3]) == Decimal("3.3")
    assert summed([Fraction(1, 3), Decimal("0.5")]) == Fraction(5, 6)
    assert str(summed([Fraction(13, 4), Fraction(1, 8)])) == "3.375"


numbers = st.one_of(st.integers(-(10**30), 10**30), st.decimals(allow_nan=False, allow_infinity=False), st.fractions())


@given(st.lists(numbers, max_size=6), st.integers(2, 12), st.booleans())
def test_a_round_range_holds_its_values_in_few_even_steps(values: list[Decimal], at_most: int, from_zero: bool) -> None:
    found = round_range(values, at_most, from_zero=from_zero)
    assert all(found.low <= Fraction(value) <= found.high for value in values)
    assert 2 <= len(found.ticks) <= at_most + 1
    gaps = {Fraction(b) - Fraction(a) for a, b in zip(found.ticks, found.ticks[1:], strict=False)}
    assert gaps == {found.step.size}
    assert (Fraction(found.ticks[0]), Fraction(found.ticks[-1])) == (found.low, found.high)


@given(numbers, numbers, st.integers(2, 12))
def test_places_on_a_scale_lie_between_its_ends(one: Decimal, other: Decimal, at_most: int) -> None:
    span = round_range([one, other], at_most, from_zero=False)
    places = sorted([span.over(10, 90)(one), span.over(10, 90)(other)])
    assert places[0] >= 10
    assert places[1] <= 90


NUMBERS = (
    st.fractions(max_denominator=10**6)
    | st.integers(-(10**30), 10**30)
    | st.decimals(allow_nan=False, allow_infinity=False).filter(lambda value: abs(value.adjusted()) < 200)
)


@given(ends=st.tuples(NUMBERS, NUMBERS).filter(lambda ends: Fraction(ends[0]) < Fraction(ends[1])), value=NUMBERS)
def test_a_place_is_the_exact_share_rounded_once(ends: tuple[Fraction, Fraction], value: Fraction) -> None:
    low, high = map(Fraction, ends)
    share = float((Fraction(value) - low) / (high - low))
    assert Linear(low, high, 20.0, 300.0)(value) == 20.0 + share * 280.0
