"""The equipment list: what is fitted, with weight and arm, from the register and from the entries that fitted it.

The register's own line counts first; else the weight line of the newest entry that put the component in. What is in
another component and has no line of its own is part of that one and is not listed; what has neither is listed without.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.components import ComponentState
from buildlog.figures.weight import Change, WeightRecord


@frozen
class EquipmentLine:
    """A fitted component; kg and m, None where not known; ``entry`` that fitted it, '' for as found."""

    state: ComponentState
    kg: Fraction | None
    arm_m: Fraction | None
    basis: str
    entry: str


def equipment(components: Mapping[str, ComponentState], record: WeightRecord) -> tuple[EquipmentLine, ...]:
    """All that is fitted, in the order of the register."""
    put_in: dict[str, Change] = {
        change.component: change for change in record.changes if change.component and change.installed
    }
    lines = []
    for key, state in components.items():
        if state.place != "fitted":
            continue
        entry = next((event.entry for event in reversed(state.events) if event.verb == "installed"), "")
        said, change = state.record.equipment, put_in.get(key)
        if said is not None:
            lines.append(EquipmentLine(state, said.weight.base, said.arm.base if said.arm else None, said.basis, entry))
        elif change is not None:
            lines.append(EquipmentLine(state, change.kg, change.arm_m, change.basis, change.entry))
        elif state.inside is None:
            lines.append(EquipmentLine(state, None, None, "", entry))
    return tuple(lines)
