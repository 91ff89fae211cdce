"""Checks of weights."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note, warn
from buildlog.basics.problems import Problem


def weight_without_arm(case: Case) -> Iterator[Problem]:
    """A weight that came off or went on has an arm.

    Why: without the distance from the datum it counts in the empty weight and not in the centre of gravity, which is
    then surer than it should be.
    Wrong: {installed: Box and cables, weight: 2.2 lb, basis: weighed}
    Right: {installed: Box and cables, weight: 2.2 lb, basis: weighed, arm: 73.0 in}
    """
    for change in case.worked.weight.changes:
        if change.arm_m is None and not change.hidden:
            yield warn(
                change.place,
                "weight-without-arm",
                f"{change.item}: the weight has no arm, so it is not in the centre of gravity",
                "write the distance from the datum, as in  arm: 73.0 in",
            )


def part_not_weighed(case: Case) -> Iterator[Problem]:
    """A part that stays on the aircraft, or a component that came off or went on, has a weight line.

    Why: a part without a weight is not zero; the next weighing will find it.
    Wrong: parts: [{item: Brake hose, cost: 31.00 USD}]
    Right: parts: [{item: Brake hose, cost: 31.00 USD}] with weight: [{installed: Brake hose, weight: 0.4 lb, …}],
    or weight: none on a part that leaves nothing on the aircraft.
    """
    for line in case.worked.weight.not_weighed:
        yield note(
            line.place,
            "part-not-weighed",
            f"{line.item}: no weight is written",
            "add a weight: line of that name; on a part that leaves nothing behind, write  weight: none",
        )
