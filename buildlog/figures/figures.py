"""Everything that is worked out of one logbook, and the problems that working it out brings to light."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Problem
from buildlog.figures.balance import BalanceRecord, balances, empty_terms
from buildlog.figures.ballast import least_ballast_along, still_outside
from buildlog.figures.components import ComponentState, components
from buildlog.figures.cost import Cost, cost
from buildlog.figures.directives import DirectiveState, directives
from buildlog.figures.due import DueItem, falling_due
from buildlog.figures.envelope import Loaded
from buildlog.figures.equipment import EquipmentLine, equipment
from buildlog.figures.evidence import Ground, Shown, shown
from buildlog.figures.findings import FindingState, findings
from buildlog.figures.labour import Labour, labour
from buildlog.figures.loading import LoadingRecord, loadings
from buildlog.figures.meters import clock
from buildlog.figures.moment import as_of
from buildlog.figures.options import Outcome, outcomes
from buildlog.figures.orders import Quote, quotes
from buildlog.figures.service import Times, service
from buildlog.figures.signoffs import Signature, Unsigned, signoffs, unsigned
from buildlog.figures.weight import WeightRecord, weights
from buildlog.records.logbook import Logbook


@frozen
class Figures:
    """The figures of a logbook as of a day (None only when there is no entry yet)."""

    logbook: Logbook
    on: date | None
    cost: Cost
    labour: Labour
    weight: WeightRecord
    components: Mapping[str, ComponentState]
    findings: tuple[FindingState, ...]
    quotes: tuple[Quote, ...]
    balance: BalanceRecord
    loading: LoadingRecord | None
    """Cases and extremes; None before a first weighing, without loading.yaml, or where the aircraft comes to no weight."""
    equipment: tuple[EquipmentLine, ...]
    outcomes: Mapping[str, tuple[Outcome, ...]]
    """Each decision's options on the state of its day, by the decision's address."""
    signatures: tuple[Signature, ...]
    unsigned: tuple[Unsigned, ...]
    """Work on a system that wants a signature, with none over it."""
    times: Times
    due: tuple[DueItem, ...]
    """What falls due, the most pressing first."""
    directives: tuple[DirectiveState, ...]
    shown: tuple[Shown, ...]
    """What rules ask of the records, and where each stands."""

    def ballast(self) -> Fraction | None:
        """The least ballast, kg, at the arm that loading.yaml names, to bring all cases inside; None when none does."""
        said = self.loading.loading.ballast if self.loading else None
        if said is None or self.loading is None:
            return None
        return least_ballast_along(self._ways(), self.loading.envelope, said.arm.base, said.most.base)

    def ballast_is_enough(self, kg: Fraction) -> bool:
        """Whether so much ballast at that arm brings all cases inside: rounded up it can be too much."""
        said = self.loading.loading.ballast if self.loading else None
        if said is None or self.loading is None:
            return False
        return not any(still_outside(self._ways(), self.loading.envelope, said.arm.base, kg))

    def _ways(self) -> list[tuple[Loaded, ...]]:
        return [way for case in self.loading.cases for way in case.ways] if self.loading else []


def figures(logbook: Logbook, on: date | None = None) -> tuple[Figures, list[Problem]]:
    """All figures as of a day; left out, the day of the newest entry, so that the same folder gives the same figures."""
    seen = as_of(logbook, on)
    states, impossible = components(seen)
    found, odd = findings(seen)
    meter, misread = clock(seen)
    times = service(seen, states, meter)
    day = on or seen.last_day()
    weight = weights(seen)
    balance = balances(seen, weight)
    weighs = balance.empty is not None and balance.empty.kg > 0 and balance.empty.arm_m is not None
    loading = loadings(seen.loading, empty_terms(weight, balance.rules)) if seen.loading and weighs else None
    considered, signed = directives(seen), signoffs(seen)
    worked = Figures(
        seen,
        day,
        cost(seen),
        labour(seen),
        weight,
        states,
        found,
        quotes(seen),
        balance,
        loading,
        equipment(states, weight),
        {decision.slug: outcomes(seen, decision) for decision in seen.decisions},
        tuple(one for one in signed if not one.hidden),
        unsigned(seen),
        times,
        falling_due(seen, states, found, times, day),
        considered,
        shown(Ground(seen, states, times, considered, signed, weight.empty())),
    )
    return worked, impossible + odd + misread
