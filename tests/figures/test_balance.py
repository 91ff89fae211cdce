"""Tolerances, reconciliation, loading and ballast: against an independent library, by chance, by brute force, by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from buildlog.basics.quantities import Length, Weight
from buildlog.figures.balance import balances, empty_terms
from buildlog.figures.ballast import least_ballast
from buildlog.figures.envelope import Envelope, Loaded
from buildlog.figures.loading import LoadingRecord, loadings, start
from buildlog.figures.tolerance import Term, balance, rules
from buildlog.records.project import Tolerances
from tests.making import entry, read, worked

LB, IN = Weight.factors["lb"], Length.factors["in"]


def term(kg: str, u: str, arm: str, u_arm: str, key: str = "") -> Term:
    return Term(
        "x", "e", Fraction(kg), Fraction(u), Fraction(arm), Fraction(u_arm), (key or f"{kg}{arm}", Fraction(arm))
    )


numbers = st.integers(-300, 300).map(lambda n: f"{n / 10}")
small = st.integers(1, 50).map(lambda n: f"{n / 100}")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(numbers, small, numbers, small, st.sampled_from("abc")), min_size=1, max_size=7))
def test_propagation_is_that_of_the_uncertainties_library(lines: list[tuple[str, str, str, str, str]]) -> None:
    # arms of one letter share one error: one variable of the library with one nominal arm for each letter
    nominal = {letter: arm for _, _, arm, _, letter in reversed(lines)}
    error = {letter: u for _, _, _, u, letter in reversed(lines)}
    terms = [term("400", "0.2", "1", "0.01", "base")] + [
        term(kg, u, nominal[letter], error[letter], letter) for kg, u, _, _, letter in lines
    ]
    arms = {letter: ufloat(float(arm), float(error[letter])) for letter, arm in nominal.items()}
    weights = [ufloat(400, 0.2)] + [ufloat(float(kg), float(u)) for kg, u, *_ in lines]
    places = [ufloat(1, 0.01)] + [arms[letter] for *_, letter in lines]
    total = sum(weights)
    if abs(total.nominal_value) < 1:
        return
    cg = sum(w * a for w, a in zip(weights, places, strict=True)) / total
    found = balance(terms)
    assert found.arm_m is not None
    assert float(found.arm_m) == pytest.approx(cg.nominal_value, rel=1e-9)
    assert float(found.u_kg) == pytest.approx(total.std_dev, rel=1e-9)
    assert float(found.u_arm) == pytest.approx(cg.std_dev, rel=1e-6, abs=1e-12)
    assert sum(share.of_weight for share in found.shares) in {0, 1}
    assert abs(sum(share.of_arm for share in found.shares) - 1) < 1e-12 or found.var_arm == 0


def test_propagation_agrees_with_twenty_thousand_draws() -> None:
    # inputs of the handbook's weighing example (FAA-H-8083-30, ch. 4) with invented tolerances
    lines = [(645, 0.5, 70, 0.1), (635, 0.5, 70, 0.1), (222.5, 0.5, -30, 0.1), (-177, 1.0, 95, 0.2), (6, 0.1, 98, 0.2)]
    chance = np.random.default_rng(417)
    weights = np.array([chance.normal(w, u, 20_000) for w, u, _, _ in lines])
    mains = chance.normal(70, 0.1, 20_000)
    arms = np.array([mains, mains, *(chance.normal(a, u, 20_000) for _, _, a, u in lines[2:])])
    total = weights.sum(axis=0)
    cg = (weights * arms).sum(axis=0) / total
    found = balance([term(str(w), str(u), str(a), str(ua), key="mains" if a == 70 else "") for w, u, a, ua in lines])
    assert float(found.u_kg) == pytest.approx(total.std(), rel=0.03)
    assert float(found.u_arm) == pytest.approx(cg.std(), rel=0.03)
    assert float(found.covariance) == pytest.approx(np.cov(total, cg)[0, 1], rel=0.1, abs=0.002)


def test_equal_weights_out_and_in_at_one_arm_leave_its_error_out() -> None:
    base = term("400", "0", "1", "0", "base")
    swapped = [base, term("-10", "0", "2", "0.1", "shelf"), term("10", "0", "2", "0.1", "shelf")]
    assert balance(swapped).var_arm == 0


def test_what_has_no_arm_counts_in_the_weight_only() -> None:
    loose = Term("nest", "e", Fraction(-1), Fraction("0.1"), None, Fraction(0), ("e", None))
    found = balance([term("400", "0.2", "1", "0.01"), loose])
    assert (found.kg, found.arm_m) == (399, 1)
    assert found.var_kg == Fraction("0.2") ** 2 + Fraction("0.1") ** 2


def test_the_datum_moves_only_the_arm() -> None:
    lines = [("400", "0.2", "1", "0.01"), ("-11", "0.1", "2.5", "0.02"), ("3", "0.4", "-0.5", "0.02")]
    here = balance([term(*line) for line in lines])
    there = balance([term(kg, u, str(Decimal(arm) + 5), ua, key=kg) for kg, u, arm, ua in lines])
    assert here.arm_m is not None and there.arm_m == here.arm_m + 5
    assert (there.kg, there.var_kg, there.var_arm, there.covariance) == (
        here.kg,
        here.var_kg,
        here.var_arm,
        here.covariance,
    )


def test_tolerances_by_basis_or_as_given() -> None:
    said = rules(Tolerances(weighed="0.1 lb", published="2 %", estimated="20 %"))
    assert said.weight(50 * LB, "weighed", None) == Fraction("0.1") * LB
    assert said.weight(-5 * LB, "published", None) == Fraction("0.1") * LB
    assert said.weight(10 * LB, "estimated", None) == 2 * LB
    assert said.weight(10 * LB, "estimated", Weight.of(Decimal("0.3"), "lb")) == Fraction("0.3") * LB


def weighing(day: str, left: str, right: str, tail: str, more: str = "") -> str:
    return entry(f"""
title: Weighed
date: {day}
weighing:
  points:
    - {{at: left, reading: {left} lb, arm: 22.5 in, plus_minus: 0.5 lb}}
    - {{at: right, reading: {right} lb, arm: 22.5 in, plus_minus: 0.5 lb}}
    - {{at: tail, reading: {tail} lb, tare: 9.0 lb, arm: 192.0 in, plus_minus: 0.5 lb}}
{more}""")


def test_reconciliation_by_hand(tmp_path: Path) -> None:
    logbook = read(
        tmp_path,
        {
            "log/2026-03-14-a.md": weighing("2026-03-14", "365.0", "358.5", "50.5"),
            "log/2026-04-01-b.md": entry(
                "title: Out\ndate: 2026-04-01\nweight: [{removed: Radio, weight: 10 lb, basis: estimated, arm: 36 in}]"
            ),
            "log/2026-10-24-c.md": weighing(
                "2026-10-24",
                "362.0",
                "356.0",
                "50.0",
                "weight: [{installed: Clip, weight: 1 lb, basis: weighed, arm: 36 in}]",
            ),
        },
    ).logbook
    from buildlog.figures.weight import weights

    found = balances(logbook, weights(logbook)).reconciled
    assert len(found) == 1
    pounds = found[0].weight
    # predicted 765 - 10 + 1 = 756; measured 362 + 356 + 41 = 759; difference 3
    assert (pounds.predicted / LB, pounds.measured / LB, pounds.difference / LB) == (756, 759, 3)
    # three readings of 0.5 twice, 20 % of 10 lb, 0.1 lb: sqrt(6 x 0.25 + 4 + 0.01) = sqrt(5.51) = 2.34734
    assert float(pounds.tolerance / LB) == pytest.approx(2.34734, abs=1e-5)
    assert float(pounds.unexplained / LB) == pytest.approx(3 - 2.34734, abs=1e-5)
    assert found[0].heaviest[0].term.what == "Radio"
    assert found[0].arm is not None and found[0].arm.unexplained == 0


LOADING = """
datum: firewall, positive aft
max_weight: 1320 lb
limits:
  - {weight: 700 lb, forward: 30.0 in, aft: 40.0 in}
  - {weight: 1150 lb, forward: 30.0 in, aft: 40.0 in}
  - {weight: 1320 lb, forward: 31.5 in, aft: 40.0 in}
stations:
  - {key: pilot, name: Pilot, arm: 40.5 in, min: 120 lb, max: 220 lb}
  - {key: baggage, name: Baggage, arm: 65.0 in, max: 40 lb}
  - {key: fuel, name: Tank, arm: 15.0 in, capacity: 16 US gal, density: 6.0 lb/US gal}
cases:
  - {key: light, name: Lightest pilot with full fuel, loads: {pilot: 120 lb, fuel: 16 US gal}}
"""


def loaded(tmp_path: Path, loading: str = LOADING, tail: str = "50.5") -> LoadingRecord:
    from buildlog.figures.weight import weights

    logbook = read(
        tmp_path, {"loading.yaml": loading, "log/2026-03-14-a.md": weighing("2026-03-14", "365.0", "358.5", tail)}
    ).logbook
    assert logbook.loading is not None
    return loadings(logbook.loading, empty_terms(weights(logbook), rules(logbook.project.tolerances)))


def test_a_case_by_hand(tmp_path: Path) -> None:
    case = loaded(tmp_path).cases[0]
    # 765 + 120 + 96 = 981 lb; 24246.75 + 120 x 40.5 + 96 x 15 = 30546.75; CG 31.1384 in; forward limit 30.0
    assert case.verdict.loaded.kg / LB == 981
    assert case.verdict.loaded.moment / LB / IN == Fraction("30546.75")
    assert case.verdict.inside and case.verdict.limit == "forward"
    assert case.verdict.margin / IN == Fraction("30546.75") / 981 - 30
    assert case.burn[-1].loaded.kg / LB == 885


def grid(record: LoadingRecord, base: Loaded, steps: int = 9) -> list[tuple[Fraction, Fraction]]:
    """Every combination of loads on a grid: (CG, margin to the forward limit), up to the maximum weight."""
    from buildlog.figures.loading import least_kg, most_kg

    ranges = [
        [least_kg(s) + (most_kg(s) - least_kg(s)) * Fraction(i, steps) for i in range(steps + 1)]
        for s in record.loading.stations
    ]
    found = []
    for loads in product(*ranges):
        at = base
        for station, kg in zip(record.loading.stations, loads, strict=True):
            at = at.plus(kg, station.arm.base)
        limits = record.envelope.at(at.kg)
        if limits is not None and at.kg <= (record.envelope.max_kg or at.kg):
            found.append((at.arm_m, at.arm_m - limits[0]))
    return found


@pytest.mark.parametrize("tail", ["45.0", "50.5", "62.0"])
def test_no_grid_of_loads_finds_anything_beyond_the_extremes(tmp_path: Path, tail: str) -> None:
    from buildlog.figures.weight import weights

    record = loaded(tmp_path, tail=tail)
    logbook = read(
        tmp_path / "again",
        {"loading.yaml": LOADING, "log/2026-03-14-a.md": weighing("2026-03-14", "365.0", "358.5", tail)},
    ).logbook
    base = start(empty_terms(weights(logbook), rules(logbook.project.tolerances)))
    points = grid(record, base)
    ends = {extreme.name: extreme.verdict for extreme in record.extremes}
    forward, aft = ends["most forward"].loaded.arm_m, ends["most aft"].loaded.arm_m
    assert forward <= min(cg for cg, _ in points) and aft >= max(cg for cg, _ in points)
    assert min(cg for cg, _ in points) - forward < Fraction("0.05") * IN
    assert aft - max(cg for cg, _ in points) < Fraction("0.2") * IN
    tight = ends["nearest the forward limit"]
    assert tight.forward is not None
    assert tight.loaded.arm_m - tight.forward <= min(margin for _, margin in points)


LIMITS = Envelope(
    (
        (Fraction(300), Fraction("0.75"), Fraction("1.0")),
        (Fraction(500), Fraction("0.75"), Fraction("1.0")),
        (Fraction(600), Fraction("0.80"), Fraction("1.0")),
    ),
    Fraction(600),
)


def test_exactly_on_a_limit_is_inside_and_outside_the_weights_is_outside() -> None:
    on = LIMITS.judge(Loaded(Fraction(400), Fraction(300)))
    assert on.inside and on.margin == 0 and on.limit == "forward"
    assert LIMITS.judge(Loaded(Fraction(600), Fraction(480))).inside
    assert not LIMITS.judge(Loaded(Fraction(600), Fraction(480) - Fraction(1, 10**9))).inside
    for kg in (Fraction("299.999"), Fraction("600.001")):
        verdict = LIMITS.judge(Loaded(kg, kg * Fraction("0.9")))
        assert not verdict.inside and verdict.limit == "weight"


def test_limits_between_points_are_a_straight_line() -> None:
    assert LIMITS.at(Fraction(550)) == (Fraction("0.775"), Fraction("1.0"))


@settings(max_examples=50, deadline=None)
@given(st.integers(350, 560), st.integers(60, 110), st.integers(10, 400))
def test_the_least_margin_along_a_path_is_that_of_a_fine_walk(kg: int, cg: int, more: int) -> None:
    begin, arm = Loaded(Fraction(kg), kg * Fraction(cg, 100)), Fraction(more - 200, 100)
    room = Fraction(600) - begin.kg
    found = min(verdict.margin for verdict in LIMITS.worst_along(begin, room, arm))
    walked = min(LIMITS.judge(begin.plus(room * Fraction(i, 400), arm)).margin for i in range(401))
    assert found <= walked + Fraction(1, 10**12)
    assert walked - found < Fraction(1, 1000)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(320, 560), st.integers(68, 104)), min_size=1, max_size=3), st.integers(-100, 400))
def test_the_least_ballast_is_that_of_a_fine_walk(cases: list[tuple[int, int]], at: int) -> None:
    loads = [Loaded(Fraction(kg), kg * Fraction(cg, 100)) for kg, cg in cases]
    arm, most = Fraction(at, 100), Fraction(60)
    found = least_ballast(loads, LIMITS, arm, most)
    walk = [most * Fraction(i, 600) for i in range(601)]
    good = [b for b in walk if all(LIMITS.judge(loaded.plus(b, arm)).inside for loaded in loads)]
    if found is None:
        assert not good
    else:
        assert not good or found <= good[0] + Fraction(1, 10**9)
        assert all(LIMITS.judge(x.plus(found + Fraction(1, 10**12), arm)).margin > -Fraction(1, 10**9) for x in loads)


def test_ballast_formula_of_the_handbook() -> None:
    # Ballast = W x (limit - CG) / (ballast arm - limit), FAA-H-8083-1A/1B (the formula as the reference notes give it)
    limits = Envelope(((Fraction(0), Fraction(30), Fraction(50)), (Fraction(5000), Fraction(30), Fraction(50))), None)
    found = least_ballast([Loaded(Fraction(1000), Fraction(29500))], limits, Fraction(190), Fraction(100))
    assert found == Fraction(1000) * (30 - Fraction("29.5")) / (190 - 30)


STATED = LOADING + '\nstart: {weight: 748 lb, arm: 31.2 in, says: "Sheet of 1993", on: 1993-06-12, plus_minus: 5 lb}\n'
OUT = "title: Out\ndate: 2026-03-01\nweight: [{removed: Radio, weight: 8 lb, basis: weighed, arm: 36 in}]"


def test_a_stated_start_counts_until_the_first_weighing_and_no_longer(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {"loading.yaml": STATED, "log/2026-03-01-a.md": entry(OUT)}
    before = worked(tmp_path / "before", files)
    state, good = before.weight.empty(), before.balance.empty
    assert state is not None and good is not None and state.weighing is None and state.stated is not None
    # 748 - 8 = 740 lb; (748 x 31.2 - 8 x 36) / 740 = 23049.6 / 740; tolerance sqrt(25 + 0.01)
    assert state.kg / LB == good.kg / LB == 740
    assert state.arm_m is not None and state.arm_m / IN == Fraction("23049.6") / 740
    assert float(good.u_kg / LB) == pytest.approx(25.01**0.5)
    assert before.loading is not None and before.weight.weighings == ()
    after = worked(
        tmp_path / "after", files | {"log/2026-03-14-w.md": weighing("2026-03-14", "365.0", "358.5", "50.5")}
    )
    weighed = after.weight.empty()
    assert weighed is not None and weighed.weighing is not None and weighed.kg / LB == 765


def test_a_start_without_its_arm_gives_a_weight_and_no_centre_of_gravity(tmp_path: Path) -> None:
    found = worked(tmp_path, {"loading.yaml": STATED.replace(" arm: 31.2 in,", ""), "log/2026-03-01-a.md": entry(OUT)})
    state, good = found.weight.empty(), found.balance.empty
    assert state is not None and good is not None
    assert (state.kg / LB, state.arm_m, good.arm_m, found.loading) == (740, None, None, None)
