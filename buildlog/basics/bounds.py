"""Hours that may not be known exactly: exactly, at least, at most, between, unknown; and arithmetic that keeps that.

Interval arithmetic on closed intervals: whatever the true values are, the true result lies within the result's bounds,
and no result is narrower than what went into it (R. E. Moore, *Interval Analysis*, 1966, from memory: addition
``[a+c, b+d]``, subtraction ``[a-d, b-c]``).
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from functools import reduce

from buildlog.basics.frozen import frozen


@frozen
class Bounds:
    """What is known of a number of hours: it is not less than ``low`` and not more than ``high`` (None: no bound)."""

    low: Decimal | None = None
    high: Decimal | None = None

    @classmethod
    def exactly(cls, hours: Decimal) -> Bounds:
        """One value."""
        return cls(hours, hours)

    @property
    def exact(self) -> bool:
        """Whether it is one value."""
        return self.low is not None and self.low == self.high

    @property
    def known(self) -> bool:
        """Whether anything is known of it."""
        return self.low is not None or self.high is not None

    @property
    def possible(self) -> bool:
        """Whether any value lies between the bounds."""
        return self.low is None or self.high is None or self.low <= self.high

    def __add__(self, other: Bounds) -> Bounds:
        return Bounds(_plus(self.low, other.low), _plus(self.high, other.high))

    def __sub__(self, other: Bounds) -> Bounds:
        return Bounds(_plus(self.low, _minus(other.high)), _plus(self.high, _minus(other.low)))

    def meet(self, other: Bounds) -> Bounds:
        """What both allow; not ``possible`` where they contradict one another."""
        lows = [low for low in (self.low, other.low) if low is not None]
        highs = [high for high in (self.high, other.high) if high is not None]
        return Bounds(max(lows, default=None), min(highs, default=None))

    def hull(self, other: Bounds) -> Bounds:
        """What either allows."""
        low = None if self.low is None or other.low is None else min(self.low, other.low)
        high = None if self.high is None or other.high is None else max(self.high, other.high)
        return Bounds(low, high)

    def later(self, other: Bounds) -> Bounds:
        """The greater of two, whichever that is."""
        lows = [low for low in (self.low, other.low) if low is not None]
        high = None if self.high is None or other.high is None else max(self.high, other.high)
        return Bounds(max(lows, default=None), high)

    def not_negative(self) -> Bounds:
        """The same, or nothing where that is more: hours run are never less than nothing."""
        return self.later(NONE)

    def holds(self, hours: Decimal) -> bool:
        """Whether a value lies within the bounds."""
        return (self.low is None or self.low <= hours) and (self.high is None or hours <= self.high)

    def __str__(self) -> str:
        if self.exact:
            return f"{self.low} h"
        if self.low is not None and self.high is not None:
            return f"between {self.low} h and {self.high} h"
        if self.low is not None:
            return f"at least {self.low} h"
        return f"at most {self.high} h" if self.high is not None else "unknown"


UNKNOWN = Bounds()
"""Nothing is known."""

SOME = Bounds(Decimal(0), None)
"""Nobody knows how many: not less than nothing."""

NONE = Bounds.exactly(Decimal(0))
"""No hours at all, which is known."""


def total(parts: Iterable[Bounds]) -> Bounds:
    """The sum of some hours; of none, nothing."""
    return reduce(Bounds.__add__, parts, NONE)


def _plus(one: Decimal | None, other: Decimal | None) -> Decimal | None:
    return None if one is None or other is None else one + other


def _minus(value: Decimal | None) -> Decimal | None:
    return None if value is None else -value
