"""The least ballast at one arm that brings every case inside, or that none does.

For a loading of weight W and moment M, ballast b at arm x is enough forward while M + b x >= F(W + b) (W + b), and aft
while M + b x <= A(W + b) (W + b), with F and A straight lines between the points of the limits: on each piece a
quadratic inequality in b. The answers of all cases (and of all points of their tanks' emptying) are intersected and the
least b is taken. Roots to forty digits. Show it rounded up.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from buildlog.figures.envelope import Envelope, Loaded
from buildlog.figures.tolerance import root

Span = tuple[Fraction, Fraction]


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
            piece = _both(piece, _where(-slope * sign, (arm_m - level - slope * loaded.kg) * sign,
                                        (loaded.moment - level * loaded.kg) * sign, low, high))
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
    spans = [(p, q) for p, q in zip(points, points[1:], strict=False) if _value(a, b, c, (p + q) / 2) >= 0]
    return spans or [(p, p) for p in points if _value(a, b, c, p) >= 0]


def _value(a: Fraction, b: Fraction, c: Fraction, x: Fraction) -> Fraction:
    return a * x * x + b * x + c


def _both(one: list[Span], other: list[Span]) -> list[Span]:
    return [(max(a, c), min(b, d)) for a, b in one for c, d in other if max(a, c) <= min(b, d)]
