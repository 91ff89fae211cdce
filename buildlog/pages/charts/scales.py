"""Plain numbers to places on the sheet, and the round numbers written along an axis.

All arithmetic is exact until the last step, where a share of the axis becomes a float: a total of 1e400
or 1e-400 draws like any other. Ticks lie at 1, 2 or 5 times a power of ten and are handed to the caller's
formatter as exact decimals ("0.0", "0.5", "1.0").
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Number = Decimal | int | Fraction
Format = Callable[[Number], str]


@dataclass(frozen=True, slots=True)
class Linear:
    """A straight scale: `low` falls on `start`, `high` on `end`."""

    low: Fraction
    high: Fraction
    start: float
    end: float

    def __call__(self, value: Number) -> float:
        """The place of `value`."""
        over, under = value.as_integer_ratio()
        low, low_under = self.low.as_integer_ratio()
        high, high_under = self.high.as_integer_ratio()
        # (value - low) / (high - low) as one whole number over another, whose quotient Python rounds once.
        share = (over * low_under - low * under) * high_under / (under * (high * low_under - low * high_under))
        return self.start + share * (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Step:
    """The distance between ticks: `digit` (1, 2 or 5) times ten to the `power`."""

    digit: int
    power: int

    @property
    def size(self) -> Fraction:
        """The distance as an exact number."""
        return self.digit * Fraction(10) ** self.power

    def multiple(self, times: int) -> Decimal:
        """The tick `times` steps from zero, with as many places as the step needs."""
        if self.power >= 0:
            return Decimal(times * self.digit * 10**self.power)
        return Decimal(f"{times * self.digit}E{self.power}")

    def finer(self) -> "Step":
        """The unnumbered graduation between ticks: fifths of 1 and 5, quarters of 2."""
        digit, lower = {1: (2, 1), 2: (5, 1), 5: (1, 0)}[self.digit]
        return Step(digit, self.power - lower)


@dataclass(frozen=True, slots=True)
class Range:
    """An axis from `low` to `high` with its ticks."""

    low: Fraction
    high: Fraction
    step: Step
    ticks: tuple[Decimal, ...]

    def over(self, start: float, end: float) -> Linear:
        """The scale that spreads this range from `start` to `end`."""
        return Linear(self.low, self.high, start, end)


def ticks(low: Number, high: Number, at_most: int) -> tuple[Decimal, ...]:
    """The round numbers from `low` to `high`, no more than `at_most` steps of them."""
    return tick_range(low, high, at_most).ticks


def tick_range(low: Number, high: Number, at_most: int) -> Range:
    """The range exactly from `low` to `high` (not equal), with the ticks that lie within it."""
    bottom, top = Fraction(low), Fraction(high)
    step = next(s for s in _steps((top - bottom) / at_most) if (top - bottom) <= s.size * at_most)
    return Range(bottom, top, step, multiples(step, bottom, top))


def round_range(values: Iterable[Number], at_most: int, *, from_zero: bool) -> Range:
    """The range that holds all `values` and begins and ends on a tick, in no more than `at_most` steps.

    `from_zero` takes zero in. No values, or all the same, get a range round them that is not empty.
    """
    low, high = _spread([Fraction(value) for value in values], from_zero=from_zero)
    for step in _steps((high - low) / at_most):
        first, last = math.floor(low / step.size), math.ceil(high / step.size)
        if last - first <= at_most:
            break
    chosen = tuple(step.multiple(times) for times in range(first, last + 1))
    return Range(first * step.size, last * step.size, step, chosen)


def multiples(step: Step, low: Fraction, high: Fraction) -> tuple[Decimal, ...]:
    """Every multiple of `step` from `low` to `high`."""
    first, last = math.ceil(low / step.size), math.floor(high / step.size)
    return tuple(step.multiple(times) for times in range(first, last + 1))


def summed(values: Iterable[Number]) -> Number:
    """The exact sum, a decimal wherever it can be one: formatters see no fraction but the caller's."""
    total = sum((Fraction(value) for value in values), Fraction(0))
    rest, places = total.denominator, 0
    while math.gcd(rest, 10) > 1:
        rest //= math.gcd(rest, 10)
        places += 1
    return total if rest > 1 else Decimal(f"{total.numerator * 10**places // total.denominator}E-{places}")


def nice_below(value: Number) -> Decimal:
    """The greatest 1, 2 or 5 times a power of ten that is not above `value` (positive)."""
    best = Step(1, _power(Fraction(value)))
    for step in _steps(Fraction(value)):
        if step.size > value:
            break
        best = step
    return best.multiple(1)


def _spread(values: Sequence[Fraction], *, from_zero: bool) -> tuple[Fraction, Fraction]:
    inside = [*values, Fraction(0)] if from_zero or not values else values
    low, high = min(inside), max(inside)
    if low < high:
        return low, high
    if from_zero or not low:
        return low, low + 1
    away = abs(low) / 100
    return low - away, high + away


def _power(value: Fraction) -> int:
    """The power of ten at or below a positive value."""
    power = math.floor((value.numerator.bit_length() - value.denominator.bit_length() - 1) * math.log10(2))
    while Fraction(10) ** (power + 1) <= value:
        power += 1
    return power


def _steps(least: Fraction) -> Iterator[Step]:
    """Steps in growing order, the first of them not above `least`."""
    power = _power(least)
    while True:
        yield from (Step(digit, power) for digit in (1, 2, 5))
        power += 1
