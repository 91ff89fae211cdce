"""Weights: by hand, by published examples and by invariance."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from buildlog.basics.quantities import Length, Weight
from buildlog.figures.weight import weights
from tests.making import entry, read, worked

LB, IN = Weight.factors["lb"], Length.factors["in"]
FIRST = """
title: First weighing
date: 2026-03-14
system: weighing
weighing:
  points:
    - {at: left main, reading: 365.0 lb, arm: 22.5 in}
    - {at: right main, reading: 358.5 lb, arm: 22.5 in}
    - {at: tail, reading: 50.5 lb, tare: 9.0 lb, arm: 192.0 in}
"""


def test_three_points_with_tare_by_hand(tmp_path: Path) -> None:
    state = worked(tmp_path, {"log/2026-03-14-w.md": entry(FIRST)}).weight.empty()
    assert state is not None and state.arm_m is not None
    # 365.0 + 358.5 + (50.5 - 9.0) = 765.0 lb; 723.5 x 22.5 + 41.5 x 192 = 16278.75 + 7968 = 24246.75 lb in
    assert state.kg / LB == 765
    assert state.moment / LB / IN == Fraction("24246.75")
    assert round(float(state.arm_m / IN), 2) == 31.70


def test_weighing_with_fuel_aboard_and_unusable_fuel_missing(tmp_path: Path) -> None:
    # FAA-H-8083-30, AMT Handbook General, ch. 4, "Example Weighing of an Airplane" (inputs read, answer recomputed):
    # 1,331.5 lb, moment 66,698 lb in, CG 50.1 in
    state = worked(
        tmp_path,
        {
            "log/2026-03-14-w.md": entry("""
title: Weighed
date: 2026-03-14
weighing:
  points:
    - {at: left main, reading: 650 lb, tare: 5 lb, arm: 70 in}
    - {at: right main, reading: 640 lb, tare: 5 lb, arm: 70 in}
    - {at: nose, reading: 225 lb, tare: 2.5 lb, arm: -30 in}
  on_board: [{item: Fuel, weight: 177.0 lb, arm: 95 in}]
  missing: [{item: Unusable fuel, weight: 6 lb, arm: 98 in}]
""")
        },
    ).weight.empty()
    assert state is not None and state.arm_m is not None
    assert state.kg / LB == Fraction("1331.5")
    assert state.moment / LB / IN == 66698
    assert abs(state.arm_m / IN - Fraction("50.1")) <= Fraction("0.05")


def changes(unit: str = "lb", arm: str = "in", factor: str = "1", arm_factor: str = "1") -> str:
    def w(value: str) -> str:
        return f"{Decimal(value) * Decimal(factor)} {unit}"

    def a(value: str) -> str:
        return f"{Decimal(value) * Decimal(arm_factor)} {arm}"

    return f"""
title: Changes
date: 2026-04-01
system: electrical
weight:
  - {{removed: Old, weight: {w("24.3")}, basis: weighed, arm: {a("73.0")}}}
  - {{installed: New, weight: {w("5.1")}, basis: published, arm: {a("73.0")}}}
  - {{installed: Box, weight: {w("2.2")}, basis: weighed, arm: {a("-12.0")}, system: exhaust}}
"""


def test_changes_after_a_weighing_move_weight_and_moment(tmp_path: Path) -> None:
    found = worked(tmp_path, {"log/2026-03-14-w.md": entry(FIRST), "log/2026-04-01-c.md": entry(changes())}).weight
    state = found.empty()
    assert state is not None
    assert state.kg / LB == Fraction("748.0")
    # 24246.75 - 24.3 x 73 + 5.1 x 73 - 2.2 x 12 = 24246.75 - 1401.6 - 26.4
    assert state.moment / LB / IN == Fraction("22818.75")
    assert {key: value / LB for key, value in found.by_system().items()} == {
        "electrical": Fraction("-19.2"),
        "exhaust": Fraction("2.2"),
    }
    assert sum(found.by_system().values()) == found.total() == found.running()[-1][1]


def test_a_change_in_the_entry_of_a_weighing_counts_as_made_before_it(tmp_path: Path) -> None:
    both = FIRST + "weight: [{removed: Radio, weight: 7.9 lb, arm: 36 in}]\n"
    state = worked(tmp_path, {"log/2026-03-14-w.md": entry(both)}).weight.empty()
    assert state is not None and state.kg / LB == 765 and not state.changes


def test_the_same_project_in_kilograms_is_the_same_aircraft(tmp_path: Path) -> None:
    pounds = worked(tmp_path / "lb", {"log/2026-04-01-c.md": entry(changes())}).weight
    kilos = worked(tmp_path / "kg", {"log/2026-04-01-c.md": entry(changes("kg", "mm", "0.45359237", "25.4"))}).weight
    assert [change.kg for change in pounds.changes] == [change.kg for change in kilos.changes]
    assert [change.moment for change in pounds.changes] == [change.moment for change in kilos.changes]


def test_the_short_form_counts_in_the_weight_and_not_in_the_centre_of_gravity(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-03-14-w.md": entry(FIRST),
            "log/2026-03-28-n.md": entry("title: Nest\ndate: 2026-03-28\nweight_change: -14.5 oz"),
        },
    ).weight
    state = found.empty()
    assert state is not None and state.without_arm == 1
    assert state.kg / LB == 765 - Fraction("14.5") / 16  # a little under a pound, 0.906 lb: common practice
    assert state.arm_m is not None and state.arm_m / IN == Fraction("24246.75") / 765


def test_weight_put_on_the_nose_moves_the_centre_of_gravity_forward(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-03-14-w.md": entry(FIRST),
            "log/2026-03-28-n.md": entry(
                "title: Nose\ndate: 2026-03-28\nweight: [{installed: Lead, weight: 5 lb, arm: -20 in}]"
            ),
        },
    ).weight
    before, after = found.empty_after(0), found.empty()
    assert before is not None and after is not None and before.arm_m is not None and after.arm_m is not None
    assert after.arm_m < before.arm_m  # common practice


def test_before_a_first_weighing_there_is_no_empty_weight(tmp_path: Path) -> None:
    assert worked(tmp_path, {"log/2026-04-01-c.md": entry(changes())}).weight.empty() is None


COMPONENTS = "hose-1: {name: Old hose}\nhose-2: {name: New hose}\ntank: {name: Tank}\n"


def test_what_is_not_weighed(tmp_path: Path) -> None:
    found = weights(
        read(
            tmp_path,
            {
                "components.yaml": COMPONENTS,
                "log/2026-04-01-a.md": entry("""
title: Hoses
date: 2026-04-01
parts:
  - {item: New hose, cost: 31 USD, component: hose-2}
  - {item: Old clip}
  - {item: Rag, kind: material}
  - {item: Spacer, weight: none}
  - {item: Bracket}
weight:
  - {installed: bracket, weight: 0.2 lb, arm: 8 in}
components: [{removed: hose-1, state: scrapped}, {installed: hose-2}, {removed: tank}]
"""),
                "log/2026-04-02-b.md": entry("title: Tank back\ndate: 2026-04-02\ncomponents: [{installed: tank}]"),
            },
        ).logbook
    )
    assert [line.item for line in found.not_weighed] == ["New hose", "Old clip", "Old hose, removed"]


def test_nosewheel_weighing_with_tare(tmp_path: Path) -> None:
    # FAA-H-8083-1A/1B, Aircraft Weight and Balance Handbook, ch. 3, weighing table (partly from memory: the split of
    # scale and tare, and D = 128): 2,006 lb, 230,248 lb in, CG 114.8 in
    points = [("right", 846, 16, 128), ("left", 852, 16, 128), ("nose", 348, 8, 50)]
    lines = "".join(f"    - {{at: {n}, reading: {r} lb, tare: {t} lb, arm: {a} in}}\n" for n, r, t, a in points)
    state = worked(
        tmp_path, {"log/2026-01-01-w.md": entry(f"title: w\ndate: 2026-01-01\nweighing:\n  points:\n{lines}")}
    ).weight.empty()
    assert state is not None and state.arm_m is not None
    assert (state.kg / LB, state.moment / LB / IN) == (2006, 230248)
    assert abs(state.arm_m / IN - Fraction("114.8")) < Fraction("0.05")
