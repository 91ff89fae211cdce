"""Weight and balance for the JSON record: decimals as strings in the project's units."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import rounded
from buildlog.basics.quantities import Length, Weight
from buildlog.figures.balance import Reconciled
from buildlog.figures.envelope import Verdict
from buildlog.figures.figures import Figures
from buildlog.figures.tolerance import Balance
from buildlog.figures.weight import Empty, Weighed
from buildlog.pages.words import ARM_PLACES, WEIGHT_PLACES
from buildlog.records.registers import MeanChord

Amount = str | None


@frozen
class Units:
    """Rounds to the project's units."""

    weight: str
    arm: str
    chord: MeanChord | None

    def kg(self, value: Fraction) -> str:
        """A weight."""
        return str(rounded(value / Weight.factors[self.weight], WEIGHT_PLACES[self.weight]))

    def kg_up(self, value: Fraction) -> str:
        """A weight rounded up: the least that is enough."""
        unit = Weight.factors[self.weight] / 10 ** WEIGHT_PLACES[self.weight]
        return self.kg(-(-value // unit) * unit)

    def metres(self, value: Fraction | None) -> Amount:
        """An arm; None stays None."""
        return None if value is None else str(rounded(value / Length.factors[self.arm], ARM_PLACES[self.arm]))

    def moment(self, value: Fraction) -> str:
        """A moment."""
        return str(rounded(value / Weight.factors[self.weight] / Length.factors[self.arm], 1))

    def percent_mac(self, arm_m: Fraction | None) -> Amount:
        """The centre of gravity as a share of the mean chord: 100 (CG - leading edge) / length."""
        if self.chord is None or arm_m is None:
            return None
        return str(rounded(100 * (arm_m - self.chord.leading_edge.base) / self.chord.length.base, 1))


def weight_record(worked: Figures, named: Any) -> dict[str, Any]:
    """All of ``weight_and_balance``; ``named`` writes the key of what has no system."""
    said, loading = worked.logbook.project.units, worked.logbook.loading
    units = Units(said.weight, said.arm, loading.mac if loading else None)
    weight, found = worked.weight, worked.weight.empty()
    reconciled = {line.weighed.entry: line for line in worked.balance.reconciled}
    ballast = worked.ballast()
    return {
        "units": {"weight": said.weight, "arm": said.arm},
        "empty": _empty(found, worked.balance.empty, units),
        "empty_reason": None if found else "no weighing in the log yet",
        "change": units.kg(weight.total()),
        "changes": len(weight.changes),
        "by_system": named({key: units.kg(amount) for key, amount in weight.by_system().items()}),
        "weighings": [_weighing(w, b, reconciled.get(w.entry), units) for w, b in worked.balance.weighings],
        "cases": [
            {
                "key": case.case.key,
                **_verdict(case.verdict, case.u_arm, units),
                "worst_margin": _margin(case.worst, units),
            }
            for case in worked.loading.cases
        ]
        if worked.loading
        else [],
        "extremes": {
            extreme.name.replace(" ", "_"): {
                "loads": {station.key: units.kg(kg) for station, kg in extreme.loads},
                **_verdict(extreme.verdict, extreme.u_arm, units),
            }
            for extreme in worked.loading.extremes
        }
        if worked.loading
        else {},
        "loading_reason": _why_no_loading(worked),
        "ballast": units.kg_up(ballast) if ballast is not None else None,
        "ballast_reason": None if ballast is not None else _why_no_ballast(worked),
        "not_weighed": [line.item for line in weight.not_weighed],
    }


def _why_no_loading(worked: Figures) -> str | None:
    if worked.loading is not None:
        return None
    if worked.logbook.loading is None:
        return "no loading.yaml"
    if worked.balance.empty is None:
        return "no weighing in the log yet"
    return (
        "the empty aircraft comes to no weight" if worked.balance.empty.kg <= 0 else "no arm of the empty weight known"
    )


def _why_no_ballast(worked: Figures) -> str:
    if worked.logbook.loading is None or worked.logbook.loading.ballast is None:
        return "no place for it named"
    if worked.loading is None:
        return _why_no_loading(worked) or ""
    return "none does" if worked.loading.envelope.points else "no limits given"


def _empty(found: Empty | None, balance: Balance | None, units: Units) -> dict[str, Any] | None:
    if found is None or balance is None:
        return None
    return {
        "weight": units.kg(found.kg),
        "weight_plus_minus": units.kg(balance.u_kg),
        "arm": units.metres(found.arm_m),
        "arm_plus_minus": units.metres(balance.u_arm),
        "moment": units.moment(found.moment),
        "percent_mac": units.percent_mac(found.arm_m),
        "as_of_weighing": found.weighing.day.isoformat() if found.weighing else None,
        "as_stated": found.stated.record.says if found.stated else None,
        "changes_since": len(found.changes),
        "changes_without_arm": found.without_arm,
    }


def _weighing(weighed: Weighed, balance: Balance, found: Reconciled | None, units: Units) -> dict[str, Any]:
    arm = found.arm if found else None
    return {
        "date": weighed.day.isoformat(),
        "weight": units.kg(weighed.kg),
        "weight_plus_minus": units.kg(balance.u_kg),
        "arm": units.metres(weighed.arm_m),
        "arm_plus_minus": units.metres(balance.u_arm),
        "moment": units.moment(weighed.moment),
        "predicted_weight": units.kg(found.weight.predicted) if found else None,
        "predicted_arm": units.metres(arm.predicted) if arm else None,
        "difference": units.kg(found.weight.difference) if found else None,
        "tolerance": units.kg(found.weight.tolerance) if found else None,
        "unexplained": units.kg(found.weight.unexplained) if found else None,
        "arm_difference": units.metres(arm.difference) if arm else None,
        "arm_tolerance": units.metres(arm.tolerance) if arm else None,
        "arm_unexplained": units.metres(arm.unexplained) if arm else None,
    }


def _margin(verdict: Verdict, units: Units) -> Amount:
    if verdict.limit == "none":
        return None
    return units.kg(verdict.margin) if verdict.limit == "weight" else units.metres(verdict.margin)


def _verdict(verdict: Verdict, u_arm: Fraction, units: Units) -> dict[str, Any]:
    return {
        "weight": units.kg(verdict.loaded.kg),
        "arm": units.metres(verdict.loaded.arm_m),
        "percent_mac": units.percent_mac(verdict.loaded.arm_m),
        "inside": verdict.inside if verdict.limit != "none" else None,
        "margin": _margin(verdict, units),
        "margin_plus_minus": units.metres(u_arm),
        "limit": verdict.limit,
    }


def option_record(worked: Figures, slug: str) -> dict[str, Any]:
    """The options of a decision: the empty aircraft under each, and the least margin of its cases."""
    said = worked.logbook.project.units
    units = Units(said.weight, said.arm, None)
    return {
        outcome.option.key: {
            "weight": units.kg(outcome.empty.kg),
            "arm": units.metres(outcome.empty.arm_m),
            "worst_case": outcome.case or None,
            "worst_margin": _margin(outcome.worst, units) if outcome.worst else None,
        }
        for outcome in worked.outcomes.get(slug, ())
    }
