"""The least ballast at one arm that brings every case inside, or that none does.

For a loading of weight W and moment M, ballast b at arm x is enough forward while M + b x >= F(W + b) (W + b), and aft
while M + b x <= A(W + b) (W + b), with F and A straight lines between the points of the limits: on each piece a
quadratic inequality in b. The answers of all cases (and of all points of their tanks' emptying) are intersected and the
least b is taken. While a tank empties, the points that tell move with the ballast: the answer is tried along the whole
of each way, what is found outside is added to the loadings, and so on until nothing is. Roots to forty digits. Show it
rounded up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from buildlog.figures.envelope import Envelope, Loaded
from buildlog.figures.tolerance import root

Span = tuple[Fraction, Fraction]
Way = Sequence[Loaded]
_NOTHING = Fraction(1, 10**9)
"""What is outside by less (a nanometre, a microgram) is the rounding of a root."""


def least_ballast_along(ways: Sequence[Way], limits: Envelope, arm_m: Fraction, most_kg: Fraction) -> Fraction | None:
    """The least ballast, kg, with which every way (straight from each loading to the next) stays inside; None if none."""
    telling = [loaded for way in ways for loaded in way]
    while True:
        least = least_ballast(telling, limits, arm_m, most_kg)
        missed = [] if least is None else list(still_outside(ways, limits, arm_m, least))
        if least is None or not missed:
            return least
        telling += missed


def still_outside(ways: Iterable[Way], limits: Envelope, arm_m: Fraction, kg: Fraction) -> Iterator[Loaded]:
    """Loadings (told without the ballast) that are outside with so much ballast on board."""
    for way in ways:
        verdicts = [limits.judge(way[0].plus(kg, arm_m))]
        for begin, end in pairwise(way):
            less = end.kg - begin.kg
            if less:
                arm = (end.moment - begin.moment) / less
                verdicts += limits.worst_along(begin.plus(kg, arm_m), less, arm)
        yield from (verdict.loaded.plus(-kg, arm_m) for verdict in verdicts if verdict.margin < -_NOTHING)


def least_ballast(loadings: Iterable[Loaded], limits: Envelope, arm_m: Fraction, most_kg: Fraction) -> Fraction | None:
    """The least ballast, kg, up to ``most_kg``; None when none does."""
    good: list[Span] = [(Fraction(0), most_kg)]
    for loaded in loadings:
        good = _both(good, _enough(loaded, limits, arm_m, most_kg))
        if not good:
            return None
    return min(low for low, _ in good)


def _enough(loaded: Loaded, limits: Envelope, arm_m: Fraction, most_kg: Fraction) -> list[Span]:
    """The ballast for which one loading is inside."""
    spans: list[Span] = []
    for (w0, f0, a0), (w1, f1, a1) in zip(limits.points, limits.points[1:], strict=False):
        low, high = max(w0 - loaded.kg, Fraction(0)), min(w1 - loaded.kg, most_kg)
        if limits.max_kg is not None:
            high = min(high, limits.max_kg - loaded.kg)
        if low > high or w1 == w0:
            continue
        piece = [(low, high)]
        for first, last, sign in ((f0, f1, 1), (a0, a1, -1)):
            slope = (last - first) / (w1 - w0)
            level = first - slope * w0 + slope * loaded.kg  # the limit at W + b is level + slope b
            piece = _both(
                piece,
                _where(
                    -slope * sign,
                    (arm_m - level - slope * loaded.kg) * sign,
                    (loaded.moment - level * loaded.kg) * sign,
                    low,
                    high,
                ),
            )
        spans += piece
    return sorted(spans)


def _where(a: Fraction, b: Fraction, c: Fraction, low: Fraction, high: Fraction) -> list[Span]:
    """Where a x^2 + b x + c >= 0 between two values."""
    cuts = {low, high}
    if a:
        inside = b * b - 4 * a * c
        if inside >= 0:
            cuts |= {(-b + sign * root(inside)) / (2 * a) for sign in (1, -1)}
    elif b:
        cuts.add(-c / b)
    points = sorted(x for x in cuts if low <= x <= high)
    spans = [(p, q) for p, q in pairwise(points) if _value(a, b, c, (p + q) / 2) >= 0]
    alone = [(p, p) for p in points if _value(a, b, c, p) >= 0 and not any(p in span for span in spans)]
    return spans + alone


def _value(a: Fraction, b: Fraction, c: Fraction, x: Fraction) -> Fraction:
    return a * x * x + b * x + c


def _both(one: list[Span], other: list[Span]) -> list[Span]:
    return [(max(a, c), min(b, d)) for a, b in one for c, d in other if max(a, c) <= min(b, d)]
