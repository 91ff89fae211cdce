"""What if: options of a decision on the state of their day."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from buildlog.basics.quantities import Length, Weight
from tests.figures.test_balance import LOADING, weighing
from tests.making import entry, worked

LB, IN = Weight.factors["lb"], Length.factors["in"]
DECISION = """---
question: Where?
options:
  - {key: nose, name: Nose, weight: [{installed: Battery, weight: 10 lb, basis: weighed, arm: 2 in}]}
  - {key: shelf, name: Shelf, weight: [{installed: Battery, weight: 10 lb, basis: weighed, arm: 73 in}]}
chosen: shelf
decided: 2026-03-20
---
Why.
"""
FITTED = "title: In\ndate: 2026-03-25\nweight: [{installed: Battery, weight: 10 lb, basis: weighed, arm: 73 in}]"


def test_each_option_stands_on_the_day_of_the_decision_and_not_on_what_came_later(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "loading.yaml": LOADING,
        "decisions/where.md": DECISION,
        "log/2026-03-14-w.md": weighing("2026-03-14", "365.0", "358.5", "50.5"),
        "log/2026-03-25-b.md": entry(FITTED),
    }
    nose, shelf = worked(tmp_path, files).outcomes["where"]
    # 765 + 10 = 775 lb; (24246.75 + 20) / 775 and (24246.75 + 730) / 775
    assert nose.empty.kg / LB == shelf.empty.kg / LB == 775
    assert nose.empty.arm_m is not None and nose.empty.arm_m / IN == Fraction("24266.75") / 775
    assert shelf.empty.arm_m is not None and shelf.empty.arm_m / IN == Fraction("24976.75") / 775
    # the lightest pilot with full fuel: 120 lb at 40.5 in and 96 lb at 15.0 in more
    assert nose.worst is not None and shelf.worst is not None
    assert nose.worst.margin / IN == (Fraction("24266.75") + 4860 + 1440) / 991 - 30
    assert shelf.worst.margin > nose.worst.margin


def test_before_a_weighing_there_is_nothing_to_compare(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {"decisions/where.md": DECISION, "log/2026-03-25-b.md": entry(FITTED)}
    assert worked(tmp_path, files).outcomes["where"] == ()


def test_an_aircraft_that_weighs_nothing_has_no_loading(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "loading.yaml": LOADING,
        "decisions/where.md": DECISION.replace(
            "weight: [{installed: Battery, weight: 10 lb, basis: weighed, arm: 2 in}]", "for: light"
        ),
        "log/2026-03-14-w.md": entry(
            "title: w\ndate: 2026-03-14\nweighing: {points: [{at: a, reading: 0 lb, arm: 22.5 in}]}"
        ),
    }
    assert worked(tmp_path, files).outcomes["where"][0].worst is None
