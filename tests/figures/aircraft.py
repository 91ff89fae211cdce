"""Invented aircraft as project folders: an empty weight and moment, changes, a loading; read and worked out."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from buildlog.basics.quantities import Length, Weight
from buildlog.figures.envelope import Loaded
from buildlog.figures.figures import Figures
from buildlog.figures.loading import Case, LoadingRecord
from buildlog.figures.weight import Empty
from tests.making import PROJECT, entry, worked

LB, KG = Weight.factors["lb"], Weight.factors["kg"]
IN, M = Length.factors["in"], Length.factors["m"]
DAY = "2026-03-14"
Line = tuple[str, str, str]
"""What, weight and arm, with their units."""


def known(weight: str, moment: str, unit: str = "lb", arm: str = "in") -> list[Line]:
    """Two scales, at the datum and 1000 away, that together read exactly this weight and moment."""
    far = Decimal(moment) / 1000
    return [
        ("at the datum", f"{Decimal(weight) - far} {unit}", f"0 {arm}"),
        ("far away", f"{far} {unit}", f"1000 {arm}"),
    ]


def weighed(points: Iterable[Line], on_board: Iterable[Line] = (), missing: Iterable[Line] = (), day: str = DAY) -> str:
    """The entry of a weighing; a reading may carry its tare, as in ``650 lb, tare: 5 lb``."""
    lines = [f"title: Weighed\ndate: {day}\nweighing:\n  points:"]
    lines += [f"    - {{at: {at}, reading: {reading}, arm: {arm}}}" for at, reading, arm in points]
    for name, items in (("on_board", list(on_board)), ("missing", list(missing))):
        if items:
            lines += [f"  {name}:", *(f"    - {{item: {item}, weight: {kg}, arm: {arm}}}" for item, kg, arm in items)]
    return entry("\n".join(lines))


def changed(installed: Iterable[Line] = (), removed: Iterable[Line] = (), day: str = "2026-04-01") -> str:
    """The entry of a day that changed the weight."""
    lines = [f"  - {{removed: {item}, weight: {kg}, arm: {arm}}}" for item, kg, arm in removed]
    lines += [f"  - {{installed: {item}, weight: {kg}, arm: {arm}}}" for item, kg, arm in installed]
    return entry("\n".join([f"title: Changed\ndate: {day}\nweight:", *lines]))


def limited(forward: str, aft: str, weights: tuple[str, str] = ("1 lb", "100000 lb")) -> str:
    """Limits that are the same at every weight."""
    return "limits:\n" + "".join(f"  - {{weight: {kg}, forward: {forward}, aft: {aft}}}\n" for kg in weights)


def aircraft(
    root: Path, *entries: str, loading: str = "", units: str = "weight: lb, arm: in", more: str = ""
) -> Figures:
    """The figures of a project of these entries, in their order, and of a loading.yaml without its datum."""
    files: dict[str, str | bytes] = {f"log/2026-01-0{number}-e.md": text for number, text in enumerate(entries, 1)}
    files["project.yaml"] = f"{PROJECT}units: {{{units}}}\n{more}"
    if loading:
        files["loading.yaml"] = f"datum: datum\n{loading}"
    return worked(root, files)


def empty_of(found: Figures) -> Empty:
    """The empty aircraft, which must have been weighed."""
    state = found.weight.empty()
    assert state is not None
    return state


def in_pounds(state: Empty) -> tuple[Fraction, Fraction, Fraction]:
    """Weight in lb, moment in lb in, centre of gravity in in."""
    assert state.arm_m is not None
    return state.kg / LB, state.moment / LB / IN, state.arm_m / IN


def loaded_in_pounds(loaded: Loaded) -> tuple[Fraction, Fraction, Fraction]:
    """Weight in lb, moment in lb in, centre of gravity in in."""
    return loaded.kg / LB, loaded.moment / LB / IN, loaded.arm_m / IN


def loads_of(found: Figures) -> LoadingRecord:
    """The loadings, which there must be."""
    assert found.loading is not None
    return found.loading


def case_of(found: Figures, key: str) -> Case:
    """One case by its key."""
    return next(case for case in loads_of(found).cases if case.case.key == key)


def near(value: Fraction, expected: str, tolerance: str) -> bool:
    """Whether a figure is the published one within half a unit of its last digit (or what the reference allows)."""
    return abs(value - Fraction(expected)) <= Fraction(tolerance)
