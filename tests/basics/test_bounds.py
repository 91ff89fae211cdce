"""Arithmetic with hours that may not be known: the result holds every true value, and is never surer than its inputs."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.bounds import NONE, UNKNOWN, Bounds, total

HOURS = st.decimals(min_value=-5000, max_value=5000, places=1)


@st.composite
def held(draw: st.DrawFn) -> tuple[Bounds, Decimal]:
    """Bounds, and a value that lies within them."""
    value = draw(HOURS)
    below, above = (
        draw(st.none() | st.just(0) | st.integers(0, 500)),
        draw(st.none() | st.just(0) | st.integers(0, 500)),
    )
    return Bounds(None if below is None else value - below, None if above is None else value + above), value


def width(bounds: Bounds) -> Decimal:
    if bounds.low is None or bounds.high is None:
        return Decimal("Infinity")
    return bounds.high - bounds.low


@given(held(), held())
def test_the_true_result_lies_within_and_is_no_surer_than_its_inputs(
    one: tuple[Bounds, Decimal], other: tuple[Bounds, Decimal]
) -> None:
    (left, here), (right, there) = one, other
    for result, true in ((left + right, here + there), (left - right, here - there)):
        assert result.holds(true)
        assert width(result) >= max(width(left), width(right))
    assert left.later(right).holds(max(here, there))
    assert left.hull(right).holds(here)
    assert left.hull(right).holds(there)


@given(held(), held())
def test_what_both_allow_is_what_each_allows(one: tuple[Bounds, Decimal], other: tuple[Bounds, Decimal]) -> None:
    (left, here), (right, _) = one, other
    assert left.meet(right).holds(here) == right.holds(here)


@given(st.lists(held()))
def test_a_sum_with_something_unknown_in_it_is_not_known_exactly(parts: list[tuple[Bounds, Decimal]]) -> None:
    summed = total(bounds for bounds, _ in parts)
    assert summed.holds(sum((value for _, value in parts), Decimal(0)))
    assert summed.exact == all(bounds.exact for bounds, _ in parts)


def test_words() -> None:
    low, high = Decimal("412.6"), Decimal(500)
    said = [str(one) for one in (Bounds(low, low), Bounds(low, None), Bounds(None, high), Bounds(low, high), UNKNOWN)]
    assert said == ["412.6 h", "at least 412.6 h", "at most 500 h", "between 412.6 h and 500 h", "unknown"]
    assert str(NONE) == "0 h"
