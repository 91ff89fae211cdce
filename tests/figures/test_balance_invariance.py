"""What may not matter does not: the datum, the units, the order of lines and entries; and what must move, moves."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest

from buildlog.figures.figures import Figures
from buildlog.pages.record_weight import weight_record
from tests.figures.aircraft import IN, LB, case_of, empty_of, in_pounds
from tests.making import PROJECT, entry, worked

MOVED = Decimal("-37.5")
POINTS = [("left", "365.0", "22.5"), ("right", "358.5", "22.5"), ("tail", "41.5", "192.0")]
CHANGES = [
    ("removed: Radio", "7.9", "36.0", "weighed"),
    ("removed: Battery", "24.3", "73.0", "weighed"),
    ("installed: Light battery", "5.1", "73.0", "published"),
    ("installed: Box", "2.2", "73.0", "estimated"),
]
OTHERS = [("installed: Fairing", "3.0", "-12.0", "estimated"), ("installed: Tow hook", "1.5", "190.0", "published")]
LIMITS = [("700", "28.0", "37.0"), ("1050", "28.0", "37.0"), ("1320", "30.5", "37.0")]
STATIONS = [("pilot", "40.5", "120", "220"), ("baggage", "65.0", "0", "40"), ("nose", "-8.0", "0", "15")]
CASES = {
    "solo": [("pilot", "170"), ("front", "60"), ("rear", "48")],
    "heavy": [("baggage", "40"), ("rear", "60"), ("pilot", "220")],
}


class Aircraft:
    """One aircraft, written in units and from a datum of one's choice, its lines in any order."""

    def __init__(
        self, weight: str = "lb", arm: str = "in", shift: Decimal = Decimal(0), chance: Random | None = None
    ) -> None:
        self.weight, self.arm, self.shift, self.chance = weight, arm, shift, chance

    def mixed(self, lines: Any) -> list[Any]:
        """The lines, in another order where chance is given."""
        found = list(lines)
        if self.chance:
            self.chance.shuffle(found)
        return found

    def w(self, pounds: str) -> str:
        """A weight."""
        return f"{Decimal(pounds) * (Decimal('0.45359237') if self.weight == 'kg' else 1):f} {self.weight}"

    def length(self, inches: str | Decimal) -> str:
        """A length, wherever the datum is."""
        return f"{Decimal(inches) * (Decimal('25.4') if self.arm == 'mm' else 1):f} {self.arm}"

    def a(self, inches: str) -> str:
        """A distance from the datum."""
        return self.length(Decimal(inches) + self.shift)

    def changes(self, day: str, lines: list[tuple[str, ...]]) -> str:
        """An entry of changes."""
        said = [
            f"  - {{{what}, weight: {self.w(kg)}, arm: {self.a(arm)}, basis: {how}}}" for what, kg, arm, how in lines
        ]
        return entry("\n".join([f"title: Changes\ndate: {day}\nweight:", *self.mixed(said)]))

    def weighing(self) -> str:
        """The entry of the weighing, with fuel on board and the cowling missing."""
        points = [
            f"    - {{at: {at}, reading: {self.w(kg)}, arm: {self.a(arm)}}}" for at, kg, arm in self.mixed(POINTS)
        ]
        fuel = f"  on_board: [{{item: Fuel, weight: {self.w('12.0')}, arm: {self.a('15.0')}}}]"
        cowling = f"  missing: [{{item: Cowling, weight: {self.w('9.5')}, arm: {self.a('-10.0')}}}]"
        return entry(
            "\n".join(["title: Weighed\ndate: 2026-03-14\nweighing:\n  points:", *points, *self.mixed([fuel, cowling])])
        )

    def loading(self) -> str:
        """The loading.yaml, with two tanks and room for ballast."""
        tanks = {"front": "15.0", "rear": "110.0"}
        stations = [
            f"  - {{key: {key}, name: {key}, arm: {self.a(arm)}, min: {self.w(low)}, max: {self.w(high)}}}"
            for key, arm, low, high in STATIONS
        ] + [
            f"  - {{key: {key}, name: {key}, arm: {self.a(arm)}, capacity: 10 US gal, density: 6.0 lb/US gal}}"
            for key, arm in tanks.items()
        ]
        limits = [
            f"  - {{weight: {self.w(kg)}, forward: {self.a(ahead)}, aft: {self.a(behind)}}}"
            for kg, ahead, behind in LIMITS
        ]
        cases = [f"  - {{key: {key}, name: {key}, loads: {{{self.loads(key)}}}}}" for key in CASES]
        chord = f"mac: {{leading_edge: {self.a('21.0')}, length: {self.length('54.0')}}}"
        ballast = f"ballast: {{arm: {self.a('-20.0')}, most: {self.w('60')}}}"
        parts = ["datum: datum", f"max_weight: {self.w('1320')}", chord, ballast]
        groups = ["limits:", *self.mixed(limits), "stations:", *self.mixed(stations), "cases:", *cases]
        return "\n".join([*parts, *groups])

    def loads(self, key: str) -> str:
        """The loads of a case; the cases themselves keep their order, which is that of the page."""
        return ", ".join(self.mixed(f"{station}: {self.w(kg)}" for station, kg in CASES[key]))

    def figures(self, root: Path) -> Figures:
        """The project worked out."""
        names = self.mixed(["2026-04-01-a.md", "2026-04-01-b.md"])
        length = f"tolerances: {{weighed: {self.w('0.1')}, arm: {self.length('0.25')}}}\n"
        return worked(
            root,
            {
                "project.yaml": f"{PROJECT}units: {{weight: {self.weight}, arm: {self.arm}}}\n{length}",
                "loading.yaml": self.loading(),
                "log/2026-03-14-w.md": self.weighing(),
                f"log/{names[0]}": self.changes("2026-04-01", CHANGES),
                f"log/{names[1]}": self.changes("2026-04-01", OTHERS),
            },
        )


def facts(found: Figures, shift: Decimal = Decimal(0)) -> dict[str, Any]:
    """All that is said of weight, balance and loading, exactly, with the datum put back."""
    back, state, balance = Fraction(shift) * IN, empty_of(found), found.balance.empty
    assert found.loading is not None
    assert balance is not None
    assert state.arm_m is not None
    shares = sorted((share.term.what, share.of_weight, share.of_arm) for share in balance.shares)
    cases = {
        case.case.key: (
            [(v.loaded.kg, v.loaded.arm_m - back, v.inside, v.limit, v.margin) for v in (case.verdict, case.worst)],
            case.u_arm,
        )
        for case in found.loading.cases
    }
    ends = {
        end.name: (
            {station.key: kg for station, kg in end.loads},
            end.verdict.loaded.arm_m - back,
            end.verdict.inside,
            end.verdict.limit,
            end.verdict.margin,
            end.u_arm,
        )
        for end in found.loading.extremes
    }
    return {
        "empty": (state.kg, state.arm_m - back, balance.var_kg, balance.var_arm, balance.covariance),
        "shares": shares,
        "cases": cases,
        "ends": ends,
        "ballast": found.ballast(),
        "not weighed": [line.item for line in found.weight.not_weighed],
    }


@pytest.fixture
def plain(tmp_path: Path) -> Figures:
    """The aircraft in pounds and inches."""
    return Aircraft().figures(tmp_path / "plain")


def test_the_aircraft_says_something(plain: Figures) -> None:
    said = facts(plain)
    # 765 - 12 + 9.5 = 762.5 lb weighed; less 32.2, plus 7.3 and 4.5 lb
    assert empty_of(plain).kg / LB == Fraction("742.1")
    assert said["ballast"]
    assert not said["cases"]["heavy"][0][0][2]
    assert case_of(plain, "solo").other_burn


def close(one: Any, other: Any) -> bool:
    """Whether two sets of facts are the same; what came by a square root, to thirty digits."""
    if isinstance(one, Fraction):
        return abs(one - other) <= Fraction(1, 10**30)
    if isinstance(one, dict):
        return list(one) == list(other) and all(close(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple):
        return len(one) == len(other) and all(close(a, b) for a, b in zip(one, other, strict=True))
    return bool(one == other)


def test_the_datum_moved_moves_the_arms_and_nothing_else(tmp_path: Path, plain: Figures) -> None:
    moved = Aircraft(shift=MOVED).figures(tmp_path / "moved")
    here, there = empty_of(plain), empty_of(moved)
    assert here.arm_m is not None
    assert there.arm_m is not None
    assert there.arm_m - here.arm_m == Fraction(MOVED) * IN
    assert close(facts(moved, MOVED), facts(plain))
    shares = [weight_record(found, dict)["empty"]["percent_mac"] for found in (plain, moved)]
    assert shares[0] == shares[1]


def test_kilograms_and_millimetres_are_the_same_aircraft(tmp_path: Path, plain: Figures) -> None:
    metric = Aircraft("kg", "mm").figures(tmp_path / "metric")
    assert facts(metric) == facts(plain)
    record, metric_record = weight_record(plain, dict), weight_record(metric, dict)
    assert Decimal(metric_record["empty"]["weight"]) == round(Decimal("742.1") * Decimal("0.45359237"), 2)
    assert metric_record["units"] == {"weight": "kg", "arm": "mm"}
    assert [case["inside"] for case in record["cases"]] == [case["inside"] for case in metric_record["cases"]]


def test_pounds_and_millimetres_may_be_mixed(tmp_path: Path, plain: Figures) -> None:
    assert facts(Aircraft("lb", "mm").figures(tmp_path / "mixed")) == facts(plain)


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_lines_and_of_entries_on_one_day_does_not_matter(
    tmp_path: Path, plain: Figures, seed: int
) -> None:
    found = Aircraft(chance=Random(seed)).figures(tmp_path / "mixed")
    assert facts(found) == facts(plain)


@pytest.mark.parametrize(("arm", "way"), [("-20.0", -1), ("190.0", 1)])
def test_weight_on_the_nose_moves_it_forward_and_on_the_tail_aft(
    tmp_path: Path, plain: Figures, arm: str, way: int
) -> None:
    # common practice
    other = Aircraft()
    files = {
        "loading.yaml": other.loading(),
        "log/2026-03-14-w.md": other.weighing(),
        "log/2026-04-01-a.md": other.changes("2026-04-01", CHANGES),
        "log/2026-04-01-b.md": other.changes("2026-04-01", OTHERS),
        "log/2026-04-02-c.md": other.changes("2026-04-02", [("installed: Lead", "5.0", arm, "weighed")]),
    }
    after = worked(tmp_path / "after", dict(files))
    assert (in_pounds(empty_of(after))[2] - in_pounds(empty_of(plain))[2]) * way > 0
    solo = [case_of(found, "solo").verdict.loaded.arm_m for found in (plain, after)]
    assert (solo[1] - solo[0]) * way > 0


def test_a_change_taken_back_on_the_same_day_leaves_everything_but_the_tolerance(
    tmp_path: Path, plain: Figures
) -> None:
    there_and_back = Aircraft()
    lines = [("installed: Radio again", "7.9", "36.0", "weighed"), ("removed: Radio again", "7.9", "36.0", "weighed")]
    files = {
        "project.yaml": f"{PROJECT}tolerances: {{weighed: 0.1 lb, arm: 0.25 in}}\n",
        "loading.yaml": there_and_back.loading(),
        "log/2026-03-14-w.md": there_and_back.weighing(),
        "log/2026-04-01-a.md": there_and_back.changes("2026-04-01", CHANGES),
        "log/2026-04-01-b.md": there_and_back.changes("2026-04-01", OTHERS),
        "log/2026-04-02-c.md": there_and_back.changes("2026-04-02", lines),
    }
    after = worked(tmp_path / "after", dict(files))
    assert (empty_of(after).kg, empty_of(after).arm_m) == (empty_of(plain).kg, empty_of(plain).arm_m)
    assert replace(case_of(after, "solo"), u_arm=Fraction(0)) == replace(case_of(plain, "solo"), u_arm=Fraction(0))
    assert after.balance.empty is not None
    assert plain.balance.empty is not None
    assert after.balance.empty.var_kg - plain.balance.empty.var_kg == 2 * (Fraction("0.1") * LB) ** 2
