"""What if: the empty aircraft and its loadings under each option of a decision.

The state is the record at the end of the day the decision was taken (an open one: now), with the option's own weight
lines as further changes; so a decision's figures stay what they were when it was taken, and what was fitted later is
not counted a second time.
"""

from __future__ import annotations

from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.balance import empty_terms
from buildlog.figures.envelope import Verdict
from buildlog.figures.loading import loadings
from buildlog.figures.moment import as_of
from buildlog.figures.tolerance import Balance, Rules, Term, balance, rules
from buildlog.figures.weight import weights
from buildlog.records.logbook import Logbook
from buildlog.records.writings import Decision, Option


@frozen
class Outcome:
    """An option's empty aircraft, and the case with the least margin: its name, where it stands, its tolerance (m)."""

    option: Option
    empty: Balance
    case: str
    worst: Verdict | None
    u_arm: Fraction


def outcomes(logbook: Logbook, decision: Decision) -> tuple[Outcome, ...]:
    """Each option of a decision on the state of its day; none before a first weighing."""
    then = as_of(logbook, decision.facts.decided)
    said, record = rules(logbook.project.tolerances), weights(then)
    base = empty_terms(record, said)
    if not any(term.arm_m is not None for term in base):
        return ()
    return tuple(_outcome(option, base, logbook, said) for option in decision.facts.options)


def _outcome(option: Option, base: list[Term], logbook: Logbook, said: Rules) -> Outcome:
    terms = base + [_term(option, number, said) for number in range(len(option.weight))]
    empty = balance(terms)
    if logbook.loading is None or not logbook.loading.cases or empty.kg <= 0:
        return Outcome(option, empty, "", None, Fraction(0))
    cases = loadings(logbook.loading, terms).cases
    least = min(cases, key=lambda case: (case.worst.limit != "weight", case.worst.margin))
    return Outcome(option, empty, least.case.name, least.worst, least.u_arm)


def _term(option: Option, number: int, said: Rules) -> Term:
    line = option.weight[number]
    kg = line.sign * line.weight.base
    arm = line.arm.base if line.arm else None
    return Term(
        line.item,
        "",
        kg,
        said.weight(kg, line.basis, line.plus_minus),
        arm,
        said.arm,
        (f"option {option.key}", arm),
        line.basis,
    )
