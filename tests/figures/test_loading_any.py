"""Loadings, extremes and ballast of any aircraft against brute force: nothing tried at random lies beyond them."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from buildlog.figures.ballast import least_ballast, least_ballast_along
from buildlog.figures.envelope import Envelope, Loaded, Verdict
from buildlog.figures.loading import LoadingRecord, least_kg, loadings, most_kg
from buildlog.figures.tolerance import Term
from buildlog.records.loading import Loading

TRIES = 40
ROUNDING = Fraction(1, 10**12)
arms = st.integers(-80, 300)


def empty(kg: int, arm: int) -> list[Term]:
    """An empty aircraft known exactly; arms in centimetres."""
    return [Term("empty", "e", Fraction(kg), Fraction(0), Fraction(arm, 100), Fraction(0), ("e", Fraction(arm)))]


@st.composite
def limits(draw: st.DrawFn) -> dict[str, Any]:
    """Limits with any slopes and kinks, and a maximum weight that may cut them short or lie beyond."""
    weights = sorted(draw(st.sets(st.integers(250, 700), min_size=2, max_size=4)))
    points = []
    for weight in weights:
        forward = draw(st.integers(60, 120))
        aft = forward + draw(st.integers(0, 80))
        points.append({"weight": f"{weight} kg", "forward": f"{forward} cm", "aft": f"{aft} cm"})
    most = draw(st.none() | st.integers(250, 750))
    return {"limits": points} | ({"max_weight": f"{most} kg"} if most else {})


def station(number: int, arm: int, least: int, more: int, tank: bool) -> dict[str, Any]:
    """A seat or shelf, or a tank of something as heavy as water."""
    said: dict[str, Any] = {"key": f"s{number}", "name": f"Station {number}", "arm": f"{arm} cm"}
    if tank:
        return said | {"capacity": f"{least + more} L", "density": "1 kg/L", "min": f"{least} kg"}
    return said | {"min": f"{least} kg", "max": f"{least + more} kg"}


stations = st.lists(st.tuples(arms, st.integers(0, 40), st.integers(0, 120), st.booleans()), min_size=1, max_size=5)


def loading_of(given_limits: dict[str, Any], lines: list[tuple[int, int, int, bool]], cases: Any = ()) -> Loading:
    """A loading.yaml as the reader would hand it over."""
    said = [station(number, *line) for number, line in enumerate(lines)]
    return Loading.model_validate({"datum": "datum", "stations": said, "cases": list(cases)} | given_limits)


def any_loads(record: LoadingRecord, base: Loaded, chance: Random) -> Loaded:
    """Every station somewhere between its least and its most, often at one of them."""
    at = base
    for line in record.loading.stations:
        share = chance.choice((Fraction(0), Fraction(1), Fraction(chance.randrange(1001), 1000)))
        at = at.plus(least_kg(line) + share * (most_kg(line) - least_kg(line)), line.arm.base)
    return at


def distance(envelope_: Envelope, loaded: Loaded, side: str) -> Fraction | None:
    """How far inside one limit, None where there are no limits."""
    found = envelope_.at(loaded.kg)
    if found is None:
        return None
    return loaded.arm_m - found[0] if side == "forward" else found[1] - loaded.arm_m


@settings(max_examples=150, deadline=None)
@given(limits(), stations, st.integers(200, 450), st.integers(40, 160), st.randoms(use_true_random=False))
def test_nothing_that_can_be_loaded_lies_beyond_the_extremes(
    said: dict[str, Any], lines: list[tuple[int, int, int, bool]], kg: int, arm: int, chance: Random
) -> None:
    record = loadings(loading_of(said, lines), empty(kg, arm))
    base, top = Loaded(Fraction(kg), Fraction(kg * arm, 100)), record.envelope.most_kg
    ends = {extreme.name: extreme for extreme in record.extremes}
    for _ in range(TRIES):
        loaded = any_loads(record, base, chance)
        assert loaded.kg <= ends["heaviest"].verdict.loaded.kg
        if top is not None and loaded.kg > top:
            continue
        assert loaded.arm_m >= ends["most forward"].verdict.loaded.arm_m
        assert loaded.arm_m <= ends["most aft"].verdict.loaded.arm_m
        for side in ("forward", "aft"):
            margin = distance(record.envelope, loaded, side)
            if margin is not None:
                told = distance(record.envelope, ends[f"nearest the {side} limit"].verdict.loaded, side)
                assert told is not None
                assert told <= margin + ROUNDING


@settings(max_examples=100, deadline=None)
@given(limits(), stations, st.integers(200, 450), st.integers(40, 160))
def test_every_extreme_is_a_loading_that_is_possible(
    said: dict[str, Any], lines: list[tuple[int, int, int, bool]], kg: int, arm: int
) -> None:
    record = loadings(loading_of(said, lines), empty(kg, arm))
    top = record.envelope.most_kg
    for extreme in record.extremes:
        at = Loaded(Fraction(kg), Fraction(kg * arm, 100))
        for line, load in extreme.loads:
            assert least_kg(line) <= load <= most_kg(line)
            at = at.plus(load, line.arm.base)
        assert at == extreme.verdict.loaded
        least = all(load == least_kg(line) for line, load in extreme.loads)
        assert extreme.name == "heaviest" or top is None or least or at.kg <= top
        assert extreme.verdict.inside == record.envelope.judge(at).inside


def test_what_breaks_the_other_limit_is_not_called_near_this_one() -> None:
    # an aircraft that is far ahead of its forward limit however it is loaded: both rows say so
    said = {
        "limits": [
            {"weight": "100 kg", "forward": "100 cm", "aft": "110 cm"},
            {"weight": "900 kg", "forward": "100 cm", "aft": "110 cm"},
        ]
    }
    record = loadings(loading_of(said, [(60, 0, 50, False)]), empty(300, 50))
    for extreme in record.extremes:
        assert (extreme.verdict.inside, extreme.verdict.limit) == (False, "forward"), extreme.name


def worse_or_equal(told: Verdict, found: Verdict) -> bool:
    """Whether the verdict told is at least as bad: a weight broken comes before all, then the least margin."""
    key = (told.limit != "weight", told.margin), (found.limit != "weight", found.margin)
    return key[0][0] < key[1][0] or (key[0][0] == key[1][0] and key[0][1] <= key[1][1] + ROUNDING)


def tanked(said: dict[str, Any], tanks: list[tuple[int, int]], loads: dict[str, str]) -> Loading:
    """Tanks of (arm, kg) and a case that fills them as told."""
    lines = [(arm, 0, kg, True) for arm, kg in tanks]
    return loading_of(said, lines, [{"key": "it", "name": "It", "loads": loads}])


tanks_of = st.lists(st.tuples(arms, st.integers(1, 120)), min_size=1, max_size=3)


@settings(max_examples=150, deadline=None)
@example(
    {
        "limits": [
            {"weight": "283 kg", "forward": "119 cm", "aft": "184 cm"},
            {"weight": "406 kg", "forward": "87 cm", "aft": "126 cm"},
        ],
        "max_weight": "497 kg",
    },
    [(233, 92), (254, 96), (254, 93)],
    297,
    100,
    Random(3),
)
@given(limits(), tanks_of, st.integers(200, 450), st.integers(40, 160), st.randoms(use_true_random=False))
def test_no_way_of_emptying_the_tanks_is_worse_than_told(
    said: dict[str, Any], tanks: list[tuple[int, int]], kg: int, arm: int, chance: Random
) -> None:
    loads = {f"s{number}": f"{kg} L" for number, (_, kg) in enumerate(tanks)}
    record = loadings(tanked(said, tanks, loads), empty(kg, arm))
    (case,) = record.cases
    for _ in range(TRIES):
        at = Loaded(Fraction(kg), Fraction(kg * arm, 100))
        for place, held in tanks:
            at = at.plus(
                held * chance.choice((Fraction(0), Fraction(1), Fraction(chance.random()))), Fraction(place, 100)
            )
        assert worse_or_equal(case.worst, record.envelope.judge(at))
    assert case.burn[-1].loaded == Loaded(Fraction(kg), Fraction(kg * arm, 100))
    turned = dict(reversed(loads.items()))
    assert loadings(tanked(said, tanks, turned), empty(kg, arm)).cases[0].worst == case.worst


def test_limits_that_end_below_the_maximum_weight_are_broken_by_all_that_is_over_them() -> None:
    said = {
        "limits": [
            {"weight": "283 kg", "forward": "119 cm", "aft": "184 cm"},
            {"weight": "406 kg", "forward": "87 cm", "aft": "126 cm"},
        ],
        "max_weight": "497 kg",
    }
    limits_ = loadings(loading_of(said, [(233, 0, 92, True)]), empty(297, 100)).envelope
    told = [limits_.weight_broken(Fraction(kg)) for kg in (578, 498, 497, 450, 406, 283, 280)]
    assert told == [
        ("greatest", Fraction(-172)),
        ("greatest", Fraction(-92)),
        ("greatest", Fraction(-91)),
        ("greatest", Fraction(-44)),
        None,
        None,
        ("least", Fraction(-3)),
    ]
    lower = Envelope(limits_.points, Fraction(300))
    assert lower.weight_broken(Fraction(410)) == ("maximum", Fraction(-110))
    none_fits = Envelope(limits_.points, Fraction(250))
    assert none_fits.weight_broken(Fraction(260)) == ("least", Fraction(-23))
    assert none_fits.weight_broken(Fraction(280)) == ("maximum", Fraction(-30))


@settings(max_examples=40, deadline=None)
@given(limits(), tanks_of, st.integers(200, 450), st.integers(40, 160), arms, st.integers(1, 80))
def test_the_least_ballast_serves_the_whole_way_to_empty_tanks(
    said: dict[str, Any], tanks: list[tuple[int, int]], kg: int, arm: int, at: int, most: int
) -> None:
    loads = {f"s{number}": f"{kg} L" for number, (_, kg) in enumerate(tanks)}
    record = loadings(tanked(said, tanks, loads), empty(kg, arm))
    ways, place = record.cases[0].ways, Fraction(at, 100)
    found = least_ballast_along(ways, record.envelope, place, Fraction(most))
    for step in range(31):
        tried = Fraction(most * step, 30)
        least = min(margin for way in ways for margin in margins(way, record.envelope, tried, place))
        if found is None or tried < found - Fraction(1, 10**6):
            assert least < ROUNDING, (found, tried)
    if found is not None:
        assert 0 <= found <= most
        assert min(margin for way in ways for margin in margins(way, record.envelope, found, place)) > -Fraction(
            1, 10**8
        )


def margins(way: tuple[Loaded, ...], limits_: Envelope, kg: Fraction, arm: Fraction, steps: int = 12) -> list[Fraction]:
    """The margins along a way with so much ballast: many points between, and those that can tell."""
    found = [limits_.judge(way[0].plus(kg, arm)).margin]
    for begin, end in pairwise(way):
        less, moment = end.kg - begin.kg, end.moment - begin.moment
        for step in range(steps + 1):
            part = Fraction(step, steps)
            at = Loaded(begin.kg + less * part, begin.moment + moment * part)
            found.append(limits_.judge(at.plus(kg, arm)).margin)
        if less:
            found += [verdict.margin for verdict in limits_.worst_along(begin.plus(kg, arm), less, moment / less)]
    return found


def test_ballast_that_is_enough_as_it_is_though_more_would_be_too_much_and_still_more_enough() -> None:
    # on the forward limit, which runs forward with weight faster than ballast at this arm at first moves the centre
    limits_ = Envelope(((Fraction(400), Fraction(1), Fraction(2)), (Fraction(500), Fraction("0.9"), Fraction(2))), None)
    on_it = Loaded(Fraction(400), Fraction(400))
    arm = Fraction("0.58")
    assert not limits_.judge(on_it.plus(Fraction(10), arm)).inside
    assert limits_.judge(on_it.plus(Fraction(90), arm)).inside
    assert least_ballast([on_it], limits_, arm, Fraction(100)) == 0


def test_a_kink_of_the_limits_that_is_met_only_with_the_ballast_on_board() -> None:
    # The forward limit is furthest aft, 1.10 m, at 450 kg. Full, the aircraft weighs 450 kg with a moment of 396 kg m;
    # its tank holds 100 kg at 0.60 m. With b kg of ballast at 1.90 m it is at 450 kg again when b kg are burnt, and
    # then 396 - 0.6 b + 1.9 b = 450 x 1.10 = 495: 99 / 1.3 = 76.2 kg. The points that tell without ballast want 66.5.
    limits_ = Envelope(
        (
            (Fraction(300), Fraction("0.90"), Fraction("1.30")),
            (Fraction(450), Fraction("1.10"), Fraction("1.30")),
            (Fraction(600), Fraction("0.90"), Fraction("1.30")),
        ),
        None,
    )
    full = Loaded(Fraction(450), Fraction(396))
    way = (full, *(verdict.loaded for verdict in limits_.worst_along(full, Fraction(-100), Fraction("0.60"))[::-1]))
    too_little = least_ballast(way, limits_, Fraction("1.90"), Fraction(100))
    assert too_little is not None
    assert round(too_little, 1) == Fraction("66.5")
    found = least_ballast_along([way], limits_, Fraction("1.90"), Fraction(100))
    assert found is not None
    assert abs(found - 99 / Fraction("1.3")) < Fraction(1, 10**6)


def test_no_limits_at_all_are_broken_by_nothing_but_the_maximum_weight() -> None:
    unlimited = Envelope((), Fraction(500))
    assert unlimited.most_kg == 500
    assert unlimited.judge(Loaded(Fraction(500), Fraction(1))).limit == "none"
    assert unlimited.judge(Loaded(Fraction(501), Fraction(1))).limit == "weight"
    assert Envelope((), None).judge(Loaded(Fraction(9000), Fraction(1))).inside
    assert Envelope((), None).most_kg is None


@pytest.mark.parametrize(
    ("said", "most", "least"),
    [
        ({}, 0, 0),
        ({"usually": "80 kg"}, 80, 0),
        ({"min": "55 kg"}, 55, 55),
        ({"min": "90 kg", "usually": "80 kg"}, 90, 90),
        ({"min": "55 kg", "max": "100 kg", "usually": "80 kg"}, 100, 55),
        ({"capacity": "60 L", "density": "0.72 kg/L"}, Fraction("43.2"), 0),
        ({"capacity": "60 L", "density": "0.72 kg/L", "max": "40 kg"}, 40, 0),
        ({"capacity": "60 L", "density": "0.72 kg/L", "max": "50 kg", "min": "5 kg"}, Fraction("43.2"), 5),
    ],
)
def test_the_most_and_the_least_of_a_station(said: dict[str, str], most: Fraction, least: int) -> None:
    line = Loading.model_validate(
        {"datum": "d", "stations": [{"key": "s", "name": "S", "arm": "1 m"} | said]}
    ).stations[0]
    assert (most_kg(line), least_kg(line)) == (most, least)
