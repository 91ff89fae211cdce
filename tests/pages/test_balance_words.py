"""What the page of balance says in words: limits, weights, tanks, ballast; the aircraft stands in loaded.py."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.figures.figures import figures
from buildlog.pages.record_weight import weight_record
from tests.making import read
from tests.pages.laying import spaced
from tests.pages.loaded import (
    BALLAST,
    LIMITS,
    NOSE,
    SOLO,
    STATIONS,
    WHOLE,
    boxed,
    files,
    page,
    plain,
)


def test_without_limits_nothing_is_inside_or_outside(tmp_path: Path) -> None:
    view = page(tmp_path / "a", f"{STATIONS}cases:\n{SOLO}{BALLAST}")
    assert view.why_none == "No limits are given, so no loading is said to be inside or outside."
    assert [(line.margin, line.burn, line.mac) for line in view.cases] == [("no limits given", "", "")]
    assert {line.margin for line in view.extremes} == {"no limits given"}
    assert (len(view.strip), view.outside, view.ballast, view.mac) == (2, (), "", False)
    assert "<svg" in view.diagram
    # a maximum weight alone can still be broken
    view = page(tmp_path / "b", f"max_weight: 1000 lb\n{STATIONS}cases:\n{SOLO}")
    assert plain(view.outside)[0] == "Solo is 10.0 lb over the maximum weight."
    worked, _ = figures(read(tmp_path / "c", files(f"{STATIONS}cases:\n{SOLO}{BALLAST}")).logbook)
    record = weight_record(worked, dict)
    assert [(case["inside"], case["margin"], case["worst_margin"]) for case in record["cases"]] == [(None, None, None)]
    assert (record["ballast"], record["ballast_reason"]) == (None, "no limits given")


@pytest.mark.parametrize(
    ("forward", "aft", "margin", "outside", "close"),
    [
        (
            "30",
            "40",
            "exactly on the forward limit, ± 0.25",
            "",
            "This is exactly on the forward limit; its tolerance is ± 0.25 in.",
        ),
        (
            "25",
            "30",
            "exactly on the aft limit, ± 0.25",
            "",
            "This is exactly on the aft limit; its tolerance is ± 0.25 in.",
        ),
        (
            "30.001",
            "40",
            "less than 0.01 in outside, ± 0.25 (forward limit)",
            "This is less than 0.01 in ahead of the forward limit.",
            "",
        ),
        (
            "20",
            "29.999",
            "less than 0.01 in outside, ± 0.25 (aft limit)",
            "This is less than 0.01 in behind the aft limit.",
            "",
        ),
        ("29.74", "40", "0.26 in inside, ± 0.25 (forward limit)", "", ""),
        (
            "29.76",
            "40",
            "0.24 in inside, ± 0.25 (forward limit)",
            "",
            "This is 0.24 in inside the forward limit; its tolerance is ± 0.25 in.",
        ),
    ],
)
def test_on_a_limit_and_by_a_hair(
    tmp_path: Path, forward: str, aft: str, margin: str, outside: str, close: str
) -> None:
    view = page(tmp_path, boxed(forward, aft))
    assert spaced(view.cases[0].margin) == margin
    assert view.cases[0].inside == (not outside)
    assert plain(view.outside) == [outside] * bool(outside)
    assert plain(view.close) == [close] * bool(close)
    assert view.extremes == ()


def test_weights_that_are_broken_in_words(tmp_path: Path) -> None:
    seat = "stations: [{key: seat, name: Seat, arm: 80 in, max: 600 lb}]\n"
    view = page(tmp_path / "a", boxed("29", "38", seat, "{seat: 560 lb}"))
    assert plain(view.outside)[0] == "This is 10.0 lb over the greatest weight of the limits."
    low = boxed("29", "38").replace("700 lb", "752.04 lb")
    assert plain(page(tmp_path / "b", low).outside) == ["This is 2.0 lb under the least weight of the limits."]
    assert page(tmp_path / "c", low.replace("752.04", "750.04")).cases[0].margin.startswith("less than 0.1")
    # 950 lb, 38,500 / 950 = 40.526: over the maximum weight, and behind the aft limit too
    both = boxed("29", "38", seat, "{seat: 200 lb}", "max_weight: 940 lb\n")
    assert plain(page(tmp_path / "d", both).outside)[0] == (
        "This is 10.0 lb over the maximum weight and 2.53 in behind the aft limit."
    )


TAIL_TANK = "stations: [{key: fuel, name: Tail tank, arm: 100 in, capacity: 10 US gal, density: 6.0 lb/US gal}]\n"


def test_the_worst_is_met_on_the_way_to_an_empty_tank(tmp_path: Path) -> None:
    # full 28,500 / 810 = 35.185; empty 30.00, limit 30.5
    view = page(tmp_path / "a", boxed("30.5", "38", TAIL_TANK, "{fuel: 10 US gal}"))
    line = view.cases[0]
    assert spaced(line.margin) == "2.81 in inside, ± 0.23 (aft limit)"
    assert (line.inside, spaced(line.burn), line.burn_inside) == (
        True,
        "0.50 in outside (forward limit) with an empty tank",
        False,
    )
    assert plain(view.outside)[0] == "This with an empty tank is 0.50 in ahead of the forward limit."
    # a forward limit furthest aft at 780 lb: 25,500 / 780 = 32.692 against 34
    kink = boxed("25", "38", TAIL_TANK, "{fuel: 10 US gal}").replace(
        "limits:\n", "limits:\n  - {weight: 780 lb, forward: 34 in, aft: 38 in}\n"
    )
    view = page(tmp_path / "b", kink)
    assert plain(view.outside)[0] == "This with 30.0 lb left in the tank is 1.31 in ahead of the forward limit."


def test_two_tanks_are_emptied_in_the_worse_order_however_they_are_written(tmp_path: Path) -> None:
    tank = "capacity: 10 US gal, density: 6.0 lb/US gal"
    stations = (
        f"stations:\n  - {{key: n, name: Nose, arm: 0 in, {tank}}}\n  - {{key: t, name: Tail, arm: 100 in, {tank}}}\n"
    )
    # full 28,500 / 870 = 32.76; the tail's 60 lb gone 22,500 / 810 = 27.78
    for folder, loads in (("a", "{n: 10 US gal, t: 10 US gal}"), ("b", "{t: 10 US gal, n: 10 US gal}")):
        view = page(tmp_path / folder, boxed("28", "38", stations, loads))
        assert spaced(view.cases[0].burn) == (
            "0.22 in outside (forward limit) with 60.0 lb left in the tanks, the aft ones used first"
        )
        assert view.diagram.count('stroke-dasharray="4 4"') == 6
    # the other way the nose is gone first: 28,500 / 810 = 35.19
    view = page(tmp_path / "c", boxed("27", "35", stations, "{n: 10 US gal, t: 10 US gal}"))
    assert spaced(view.cases[0].burn).endswith(
        "0.19 in outside (aft limit) with 60.0 lb left in the tanks, the forward ones used first"
    )


def test_ballast_in_words(tmp_path: Path) -> None:
    needed = page(tmp_path / "a", f"{WHOLE}{SOLO}{NOSE}{BALLAST}")
    # 27,400 + 160 b = 29 (960 + b): b = 440 / 131 = 3.359
    assert (
        spaced(needed.ballast) == "The least ballast at 160.00 in that brings every case inside is 3.4 lb, rounded up."
    )
    unneeded = page(tmp_path / "b", f"{WHOLE}{SOLO}{BALLAST}")
    assert spaced(unneeded.ballast) == "No ballast at 160.00 in is needed: every case is inside without."
    # 22,500 + 160 b = 30.5 (750 + b): b = 375 / 129.5 = 2.8958, and 2.897 is all that the maximum weight leaves
    hardly = page(tmp_path / "c", boxed("30.5", "38", more=f"max_weight: 752.897 lb\n{BALLAST}"))
    assert spaced(hardly.ballast) == (
        "Ballast at 160.00 in brings every case inside only if it is just under 2.9 lb; "
        "with 2.9 lb one is outside again."
    )
    assert page(tmp_path / "d", f"{WHOLE}{SOLO}").ballast == ""
    assert page(tmp_path / "e", f"{LIMITS}{STATIONS}{BALLAST}").ballast == ""
