"""The equipment list: what is fitted, with its weight and arm."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, column, of_file, para, part, row, table, to


def part_equipment(binder: Binder) -> Node | None:
    """Every component that is fitted; one without a weight is not weighed."""
    view = binder.balance
    columns = (
        column("Item", "2.4fr"),
        column("How the weight is known", "1fr"),
        column(f"Weight, {view.weight_unit}", right=True),
        column(f"Arm, {view.arm_unit}", right=True),
        column(f"Moment, {view.weight_unit}\u00a0{view.arm_unit}", right=True),
    )
    rows = [
        row(to(one.name, one.path), one.basis or "not weighed", one.weight, one.arm, one.moment)
        for one in view.equipment
    ]
    if not rows:
        return None
    words = "What is fitted, from the register and the entries that fitted it. A line without a weight is not weighed."
    datum = f" Arms are measured from the datum: {view.datum}." if view.datum else ""
    return part(
        "Equipment list",
        "equipment",
        of_file("components.yaml", [para(words + datum, kind="lede"), *table(columns, rows)]),
    )
