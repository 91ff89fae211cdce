"""Limits of the centre of gravity, and how far a loading is inside or outside of them.

Limits are straight lines between the points of loading.yaml; a weight below the first or above the last point, or over
the maximum weight, is outside; exactly on a limit is inside. Where no limits are given there is nothing to be outside of
but the maximum weight. The margin is the distance to the nearer limit, negative outside. Along a straight path of loading (one station filling or one tank emptying) the centre of gravity is
(m + a w) / w' and the limit is linear in weight, so that the least margin lies at an end, at a point of the limits, or
where c / W^2 equals the limit's slope, c being the moment of the rest about the station.
Amounts: kilograms, metres, exact fractions; the one square root is taken to forty digits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.tolerance import root
from buildlog.records.registers import Loading


@frozen
class Loaded:
    """A weight and its moment, kg and kg m."""

    kg: Fraction
    moment: Fraction

    @property
    def arm_m(self) -> Fraction:
        """The centre of gravity, m."""
        return self.moment / self.kg

    def plus(self, kg: Fraction, arm_m: Fraction) -> Loaded:
        """With something more on board."""
        return Loaded(self.kg + kg, self.moment + kg * arm_m)


@frozen
class Verdict:
    """Where a loading stands: ``limit`` is the nearer limit (forward, aft), what it breaks (weight), or none if none is given.

    ``margin`` is in metres to that limit, in kilograms over where ``limit`` is weight; negative is outside.
    """

    loaded: Loaded
    inside: bool
    limit: str
    margin: Fraction
    forward: Fraction | None
    aft: Fraction | None


@frozen
class Envelope:
    """The limits: (weight kg, forward m, aft m) in order of weight, and the greatest weight."""

    points: tuple[tuple[Fraction, Fraction, Fraction], ...]
    max_kg: Fraction | None

    @property
    def most_kg(self) -> Fraction | None:
        """The weight above which everything is outside; None where nothing says."""
        ends = ([self.points[-1][0]] if self.points else []) + ([self.max_kg] if self.max_kg is not None else [])
        return min(ends, default=None)

    def at(self, kg: Fraction) -> tuple[Fraction, Fraction] | None:
        """The forward and aft limit at a weight, None outside the given weights."""
        if not self.points or not self.points[0][0] <= kg <= self.points[-1][0]:
            return None
        for (w0, f0, a0), (w1, f1, a1) in zip(self.points, self.points[1:], strict=False):
            if w0 <= kg <= w1:
                share = (kg - w0) / (w1 - w0)
                return f0 + share * (f1 - f0), a0 + share * (a1 - a0)
        return self.points[0][1], self.points[0][2]

    def weight_broken(self, kg: Fraction) -> tuple[str, Fraction] | None:
        """Which weight a loading breaks most (``maximum``, ``greatest`` or ``least``) and by how much, in negative kg.

        The maximum weight, and the greatest and the least of the limits, are each held to by themselves: limits that end
        below the maximum weight would else count for less once that is passed too. None where it breaks none.
        """
        room = [("maximum", self.max_kg - kg)] if self.max_kg is not None else []
        room += [("greatest", self.points[-1][0] - kg), ("least", kg - self.points[0][0])] if self.points else []
        worst_of = min(room, key=lambda one: one[1], default=None)
        return worst_of if worst_of is not None and worst_of[1] < 0 else None

    def judge(self, loaded: Loaded) -> Verdict:
        """Whether a loading is inside, and by how much."""
        limits, broken = self.at(loaded.kg), self.weight_broken(loaded.kg)
        if broken is not None:
            return Verdict(loaded, False, "weight", broken[1], *(limits or (None, None)))
        if limits is None:
            return Verdict(loaded, True, "none", Fraction(0), None, None)
        ahead, behind = loaded.arm_m - limits[0], limits[1] - loaded.arm_m
        name, margin = ("forward", ahead) if ahead <= behind else ("aft", behind)
        return Verdict(loaded, margin >= 0, name, margin, *limits)

    def worst_along(self, begin: Loaded, kg: Fraction, arm_m: Fraction) -> list[Verdict]:
        """The verdicts that can be the worst while ``kg`` is put on (or taken off) at one arm."""
        return [self.judge(begin.plus(part, arm_m)) for part in sorted(self._telling(begin, kg, arm_m))]

    def _telling(self, begin: Loaded, kg: Fraction, arm_m: Fraction) -> set[Fraction]:
        low, high = min(kg, Fraction(0)), max(kg, Fraction(0))
        parts = {Fraction(0), kg}
        parts |= {w - begin.kg for w, _, _ in self.points if low < w - begin.kg < high}
        rest = begin.moment - arm_m * begin.kg
        for (w0, f0, a0), (w1, f1, a1) in zip(self.points, self.points[1:], strict=False):
            for slope in (
                (f1 - f0) / (w1 - w0) if w1 > w0 else Fraction(0),
                (a1 - a0) / (w1 - w0) if w1 > w0 else Fraction(0),
            ):
                if slope and -rest / slope > 0:
                    at = root(-rest / slope)
                    if w0 < at < w1 and low < at - begin.kg < high:
                        parts.add(at - begin.kg)
        return parts


def envelope(loading: Loading) -> Envelope:
    """The limits of loading.yaml, in order of weight."""
    points = sorted((limit.weight.base, limit.forward.base, limit.aft.base) for limit in loading.limits)
    return Envelope(tuple(points), loading.max_weight.base if loading.max_weight else None)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The verdict with the least margin; one that breaks a weight comes before all."""
    return min(verdicts, key=lambda verdict: (verdict.limit != "weight", verdict.margin))


def edges(stations: Iterable[tuple[Fraction, Fraction]], begin: Loaded) -> Iterator[tuple[Loaded, Fraction, Fraction]]:
    """From a loading, one station after another filled: (before it, kg, arm)."""
    at = begin
    for kg, arm in stations:
        yield at, kg, arm
        at = at.plus(kg, arm)
