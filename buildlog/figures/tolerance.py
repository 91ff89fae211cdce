"""How good the empty weight and centre of gravity are: tolerances combined by the law of propagation.

Formulas (JCGM 100:2008, 5.1 and 5.2, law of propagation of uncertainty)
- W = sum s w, M = sum s w a, CG = M / W, with s = +1 for what is on the aircraft and -1 for what was taken off.
- dW/dw = s; dCG/dw = s (a - CG) / W; dCG/da = s w / W.
- u(W)^2 = sum u(w)^2; u(CG)^2 = sum ((a - CG) / W)^2 u(w)^2 + sum over arms (sum s w / W)^2 u(a)^2;
  u(W, CG) = sum (a - CG) / W u(w)^2.

Assumptions, said wherever the figure is shown
- Each weight is independent of the others, also where one scale weighed several.
- Lines of one entry at one arm share one error of that arm: it was measured once (both main wheels; an old part and
  the new one in its place). All other arms are independent.
- A line's own plus_minus is taken as written; else its basis decides: weighed, published, estimated by the
  project's tolerances, an absolute weight or a share of the weight. An arm has the project's tolerance, 0.25 in if it
  names none.
- A line without an arm counts in W and is left out of CG.
Amounts are exact fractions in kilograms and metres; the square root is taken last, as a decimal.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, localcontext
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import number
from buildlog.basics.quantities import Length, Weight
from buildlog.records.project import Tolerances

_ARM = Length.of(Decimal("0.25"), "in")
_DIGITS = 40
_ArmKey = tuple[str, Fraction | None]


@frozen
class Term:
    """One weight at one arm, signed, with its tolerances: ``kg`` is negative for what was taken off.

    ``arm_key`` is the same for terms that share one arm's error; ``what`` and ``entry`` say what it is.
    """

    what: str
    entry: str
    kg: Fraction
    u_kg: Fraction
    arm_m: Fraction | None
    u_arm: Fraction
    arm_key: _ArmKey
    basis: str = "weighed"


@frozen
class Share:
    """A term's part of the variance of W and of CG, each between 0 and 1 (0 where the variance is 0)."""

    term: Term
    of_weight: Fraction
    of_arm: Fraction


@frozen
class Balance:
    """Weight (kg), centre of gravity (m), their variances and covariance, and each term's share of them."""

    kg: Fraction
    arm_m: Fraction | None
    var_kg: Fraction
    var_arm: Fraction
    covariance: Fraction
    shares: tuple[Share, ...]

    @property
    def u_kg(self) -> Fraction:
        """The tolerance of the weight, kg."""
        return root(self.var_kg)

    @property
    def u_arm(self) -> Fraction:
        """The tolerance of the centre of gravity, m."""
        return root(self.var_arm)


def root(value: Fraction) -> Fraction:
    """The square root to forty digits."""
    if value <= 0:
        return Fraction(0)
    with localcontext() as context:
        context.prec = _DIGITS
        return Fraction((Decimal(value.numerator) / Decimal(value.denominator)).sqrt())


def balance(terms: Iterable[Term]) -> Balance:
    """Weight and centre of gravity of a list of terms, with what they are good for."""
    listed = list(terms)
    placed = [term for term in listed if term.arm_m is not None]
    kg = sum((term.kg for term in listed), Fraction(0))
    base = sum((term.kg for term in placed), Fraction(0))
    if not base:
        return Balance(kg, None, sum((t.u_kg**2 for t in listed), Fraction(0)), Fraction(0), Fraction(0), ())
    arm = sum((term.kg * (term.arm_m or 0) for term in placed), Fraction(0)) / base
    by_arm: dict[_ArmKey, list[Fraction]] = {}
    for term in placed:
        by_arm.setdefault(term.arm_key, []).append(term.kg)
    of_kg = [term.u_kg**2 for term in listed]
    of_arm = [_arm_variance(term, arm, base, by_arm) for term in listed]
    slopes = [((term.arm_m - arm) / base if term.arm_m is not None else Fraction(0)) for term in listed]
    var_kg, var_arm = sum(of_kg, Fraction(0)), sum(of_arm, Fraction(0))
    covariance = sum((slope * u for slope, u in zip(slopes, of_kg, strict=True)), Fraction(0))
    shares = tuple(
        Share(term, own / var_kg if var_kg else Fraction(0), at / var_arm if var_arm else Fraction(0))
        for term, own, at in zip(listed, of_kg, of_arm, strict=True)
    )
    return Balance(kg, arm, var_kg, var_arm, covariance, shares)


def _arm_variance(term: Term, arm: Fraction, base: Fraction, by_arm: dict[_ArmKey, list[Fraction]]) -> Fraction:
    """A term's part of the variance of CG: by its weight, and by its part of the error of its arm.

    An arm that several terms share has one error; its variance is parted by the terms' weights, whichever way they went,
    and where they cancel (equal weights out and in) there is none.
    """
    if term.arm_m is None:
        return Fraction(0)
    by_weight = ((term.arm_m - arm) / base * term.u_kg) ** 2
    moved = sum((abs(kg) for kg in by_arm[term.arm_key]), Fraction(0))
    part = abs(term.kg) / moved if moved else Fraction(0)
    return by_weight + part * (sum(by_arm[term.arm_key], Fraction(0)) / base * term.u_arm) ** 2


@frozen
class Rules:
    """The project's tolerances, read: by basis an absolute weight or a share, and an arm's."""

    absolute: dict[str, Fraction]
    relative: dict[str, Fraction]
    arm: Fraction

    def weight(self, kg: Fraction, basis: str, stated: Weight | None) -> Fraction:
        """The tolerance of a weight, kg: as stated, else by its basis."""
        if stated is not None:
            return abs(stated.base)
        return self.absolute.get(basis, Fraction(0)) + abs(kg) * self.relative.get(basis, Fraction(0))


def rules(tolerances: Tolerances) -> Rules:
    """The project's tolerances as numbers."""
    absolute: dict[str, Fraction] = {}
    relative: dict[str, Fraction] = {}
    for basis in ("weighed", "published", "estimated"):
        text = getattr(tolerances, basis).strip()
        if text.endswith("%"):
            relative[basis] = Fraction(number(text[:-1], "2 %")) / 100
        else:
            absolute[basis] = Weight.read(text).base
    return Rules(absolute, relative, (tolerances.arm or _ARM).base)
