"""Empty weight and balance with its tolerance, from one weighing to the next, and what each weighing brings to light.

- The state is the last weighing's readings and the changes since, all as terms of figures/tolerance.py.
- Reconciliation: at each weighing after the first, the state predicted from the one before and the changes up to it
  (those of the weighing's own entry among them), against what was measured. Combined tolerance: the root of the sum of
  the squares of both. Unexplained: what the difference is larger than that, with its sign; else nothing.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.tolerance import Balance, Rules, Share, Term, balance, root, rules
from buildlog.figures.weight import Change, Weighed, WeightRecord
from buildlog.records.logbook import Logbook


@frozen
class Compared:
    """A quantity predicted and measured: difference, combined tolerance, and the part left unexplained (kg or m)."""

    predicted: Fraction
    measured: Fraction
    tolerance: Fraction

    @property
    def difference(self) -> Fraction:
        """Measured less predicted."""
        return self.measured - self.predicted

    @property
    def unexplained(self) -> Fraction:
        """What the difference goes beyond the tolerance, with its sign."""
        beyond = abs(self.difference) - self.tolerance
        return Fraction(0) if beyond <= 0 else beyond if self.difference > 0 else -beyond


@frozen
class Reconciled:
    """A weighing against what was expected of it; ``heaviest`` are the changes that carry most of the tolerance."""

    weighed: Weighed
    weight: Compared
    arm: Compared | None
    heaviest: tuple[Share, ...]


@frozen
class BalanceRecord:
    """The empty state (None before a first weighing), every weighing with its tolerance, and the reconciliations."""

    empty: Balance | None
    weighings: tuple[tuple[Weighed, Balance], ...]
    reconciled: tuple[Reconciled, ...]
    rules: Rules


def balances(logbook: Logbook, record: WeightRecord) -> BalanceRecord:
    """Weight and balance of a logbook with tolerances."""
    said = rules(logbook.project.tolerances)
    weighings = tuple((weighed, balance(weighing_terms(weighed, said))) for weighed in record.weighings)
    pairs = zip(record.weighings, record.weighings[1:], strict=False)
    reconciled = tuple(_reconciled(before, after, record, said) for before, after in pairs)
    terms = empty_terms(record, said)
    return BalanceRecord(balance(terms) if terms else None, weighings, reconciled, said)


def empty_terms(record: WeightRecord, said: Rules, after: int | None = None) -> list[Term]:
    """The last weighing (up to the entry at position ``after``), or the stated start, and the changes since, as terms.

    On a start without an arm no term has one: there is no centre of gravity to tell.
    """
    last = record.base(after)
    if last is None:
        return []
    since = [
        change for change in record.changes if change.order > last.order and (after is None or change.order <= after)
    ]
    terms = [change_term(change, said) for change in since]
    if isinstance(last, Weighed):
        return weighing_terms(last, said) + terms
    if last.arm_m is None:
        terms = [replace(term, arm_m=None) for term in terms]
    u = said.weight(last.kg, last.record.basis, last.record.plus_minus)
    start = Term(last.record.says, "", last.kg, u, last.arm_m, said.arm, ("start", last.arm_m), last.record.basis)
    return [start, *terms]


def weighing_terms(weighed: Weighed, said: Rules) -> list[Term]:
    """The readings of a weighing, what was on board and what was missing."""
    terms = []
    for point, line in zip(weighed.points, weighed.record.points, strict=True):
        u = said.weight(point.net, "weighed", line.plus_minus)
        terms.append(Term(point.at, weighed.entry, point.net, u, point.arm_m, said.arm, (weighed.entry, point.arm_m)))
    items = (*((-1, item) for item in weighed.record.on_board), *((1, item) for item in weighed.record.missing))
    for sign, item in items:
        kg = sign * item.weight.base
        terms.append(
            Term(
                item.item,
                weighed.entry,
                kg,
                said.weight(kg, item.basis, item.plus_minus),
                item.arm.base,
                said.arm,
                (weighed.entry, item.arm.base),
                item.basis,
            )
        )
    return terms


def change_term(change: Change, said: Rules) -> Term:
    """A change as a term."""
    u = said.weight(change.kg, change.basis, change.plus_minus)
    return Term(
        change.item, change.entry, change.kg, u, change.arm_m, said.arm, (change.entry, change.arm_m), change.basis
    )


def _reconciled(before: Weighed, after: Weighed, record: WeightRecord, said: Rules) -> Reconciled:
    changes = [change for change in record.changes if before.order < change.order <= after.order]
    terms = weighing_terms(before, said) + [change_term(change, said) for change in changes]
    predicted, measured = balance(terms), balance(weighing_terms(after, said))
    weight = Compared(predicted.kg, measured.kg, root(predicted.var_kg + measured.var_kg))
    arm = None
    if predicted.arm_m is not None and measured.arm_m is not None:
        arm = Compared(predicted.arm_m, measured.arm_m, root(predicted.var_arm + measured.var_arm))
    shares = [share for share in predicted.shares if share.term.entry != before.entry]
    heaviest = tuple(sorted(shares, key=lambda share: -share.of_weight)[:3])
    return Reconciled(after, weight, arm, heaviest)
