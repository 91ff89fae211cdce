"""The page of balance and loading against figures worked out by hand; the aircraft stands in loaded.py."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.figures.figures import figures
from buildlog.pages.balance import balance_sheets
from buildlog.pages.frame import frame_of
from buildlog.pages.record_weight import weight_record
from buildlog.pages.sheet import Addresses
from buildlog.pages.site_sheets import site_sheets
from buildlog.pages.words import Words
from buildlog.records.kept_back import NOT_SHOWN
from buildlog.site.render import Renderer
from buildlog.site.theme import theme_of
from tests.making import entry, read
from tests.pages.laying import FILES, laid, spaced
from tests.pages.loaded import (
    ALL,
    BALLAST,
    LIGHT,
    NOSE,
    SOLO,
    STATIONS,
    WEIGHED,
    WHOLE,
    files,
    page,
    plain,
)
from tests.pages.test_sheets_in_html import Page


def test_the_strip_by_hand(tmp_path: Path) -> None:
    view = page(tmp_path, f"{WHOLE}{SOLO}{LIGHT}")
    # light pilot: 940 lb, 27,400 / 940 = 29.149 in; tolerance root of 0.00566 + 0.03466 + 0.00018 = 0.20
    assert [(hero.figure, spaced(hero.unit), spaced(hero.words), hero.path) for hero in view.strip] == [
        ("750.0", "lb ± 0.9", "empty weight", "#tolerance"),
        ("30.00", "in ± 0.25", "empty centre of gravity, 18.0 % of the mean chord", "#tolerance"),
        ("0.15", "in ± 0.20", "inside the forward limit, the least of all cases", "#cases"),
    ]
    assert (view.why_none, view.datum, view.mac) == ("", "firewall", True)


def test_the_cases_by_hand(tmp_path: Path) -> None:
    view = page(tmp_path, f"{WHOLE}{SOLO}{LIGHT}{NOSE}{ALL}{BALLAST}")
    assert [
        (line.letter, line.name, line.weight, line.arm, line.mac, spaced(line.margin), line.inside, spaced(line.burn))
        for line in view.cases
    ] == [
        # 1,010 lb, 30,200 / 1010 = 29.901; limit 29 + 10 / 150 = 29.067; with less fuel it moves aft
        ("A", "Solo", "1,010.0", "29.90", "17.8", "0.83 in inside, ± 0.19 (forward limit)", True, "never less"),
        (
            "B",
            "light pilot, full",
            "940.0",
            "29.15",
            "16.3",
            "0.15 in inside, ± 0.20 (forward limit)",
            True,
            "never less",
        ),
        # 960 lb, 27,400 / 960 = 28.542
        (
            "C",
            "Box and light pilot",
            "960.0",
            "28.54",
            "15.1",
            "0.46 in outside, ± 0.20 (forward limit)",
            False,
            "never less",
        ),
        # 1,320 lb, 43,400 / 1320 = 32.879; at 1,300 lb, 20 lb of fuel less, 43,200 / 1300 = 33.231, limit 31
        (
            "D",
            "Everything",
            "1,320.0",
            "32.88",
            "23.8",
            "20.0 lb over the maximum weight",
            False,
            "2.23 in inside (forward limit) with 70.0 lb left in the tank",
        ),
    ]
    assert all(line.burn_inside for line in view.cases)
    assert spaced(view.cases[0].loads) == "pilot 170.0 lb and nose tank 90.0 lb"
    assert (
        spaced(view.cases[3].loads) == "pilot 220.0 lb, passenger 220.0 lb, nose tank 90.0 lb and baggage shelf 40.0 lb"
    )
    assert plain(view.outside) == [
        "Box and light pilot is 0.46 in ahead of the forward limit.",
        "Everything is 20.0 lb over the maximum weight.",
        (
            "The heaviest that can be loaded (pilot 220.0 lb, passenger 220.0 lb, FWD box 20.0 lb, nose tank 90.0 lb "
            "and baggage shelf 20.0 lb) is 20.0 lb over the maximum weight."
        ),
    ]
    assert plain(view.close) == ["Light pilot, full is 0.15 in inside the forward limit; its tolerance is ± 0.20 in."]
    assert spaced(view.ballast) == "No ballast of up to 25.0 lb at 160.00 in brings every case inside."
    last = view.strip[-1]
    assert (last.figure, last.unit, last.words) == ("20.0", "lb", "over the maximum weight, the worst of all cases")


def test_the_ends_by_hand(tmp_path: Path) -> None:
    view = page(tmp_path, f"{WHOLE}{SOLO}")
    nose, tail = (
        "FWD box 20.0 lb, nose tank 90.0 lb and pilot 100.0 lb",
        "baggage shelf 20.0 lb, pilot 220.0 lb and passenger 220.0 lb",
    )
    assert [
        (line.name, spaced(line.loads), line.weight, line.arm, spaced(line.margin), line.inside)
        for line in view.extremes
    ] == [
        ("most forward", nose, "960.0", "28.54", "0.46 in outside, ± 0.20 (forward limit)", False),
        ("nearest the forward limit", nose, "960.0", "28.54", "0.46 in outside, ± 0.20 (forward limit)", False),
        # 1,210 lb, 41,300 / 1210 = 34.132; limits 30.4 and 38
        ("most aft", tail, "1,210.0", "34.13", "3.73 in inside, ± 0.16 (forward limit)", True),
        ("nearest the aft limit", tail, "1,210.0", "34.13", "3.87 in inside, ± 0.16 (aft limit)", True),
        (
            "heaviest",
            "pilot 220.0 lb, passenger 220.0 lb, FWD box 20.0 lb, nose tank 90.0 lb and baggage shelf 20.0 lb",
            "1,320.0",
            "31.97",
            "20.0 lb over the maximum weight",
            False,
        ),
    ]
    assert plain(view.outside)[0] == f"The worst that can be loaded ({nose}) is 0.46 in ahead of the forward limit."
    assert len(view.outside) == 2
    assert spaced(view.open_ended) == (
        "No greatest load is given for these, which count here with what they usually hold: baggage shelf (20.0 lb)."
    )


def test_where_the_tolerance_comes_from_by_hand(tmp_path: Path) -> None:
    # of CG: tail 0.25 x 0.03484 + 0.00028 = 0.00899 of 0.06352; each main 0.00004 and half of 0.05444
    change = entry("title: Radio out\ndate: 2026-04-01\nweight: [{removed: Radio, weight: 4 lb, basis: estimated}]")
    rows = page(tmp_path / "a", "").shares
    assert [
        (row.what, row.basis, spaced(row.weight), row.arm, spaced(row.of_weight), spaced(row.of_arm)) for row in rows
    ] == [
        ("left", "weighed", "+350.0 ± 0.5", "20.00 ± 0.25", "33 %", "43 %"),
        ("right", "weighed", "+350.0 ± 0.5", "20.00 ± 0.25", "33 %", "43 %"),
        ("tail", "weighed", "+50.0 ± 0.5", "170.00 ± 0.25", "33 %", "14 %"),
    ]
    assert {(row.source.title, row.source.path) for row in rows} == {("Weighed", "log/2026-03-14-w.html")}
    # 20 % of 4 lb: 0.64 of 0.75 + 0.64
    radio = next(row for row in page(tmp_path / "b", "", change).shares if row.what == "Radio")
    assert (spaced(radio.weight), radio.arm, spaced(radio.of_weight), spaced(radio.of_arm)) == (
        "-4.0 ± 0.8",
        "no arm",
        "46 %",
        "0 %",
    )


def test_no_share_of_the_tolerance_is_less_than_nothing(tmp_path: Path) -> None:
    # an old part out and a lighter new one in at one arm: together they share its error
    swap = entry(
        "title: Swap\ndate: 2026-04-01\nweight:\n  - {removed: Old, weight: 24.3 lb, basis: weighed, arm: 73 in}\n"
        "  - {installed: New, weight: 7.3 lb, basis: weighed, arm: 73 in}"
    )
    rows = {row.what: row for row in page(tmp_path, "", swap).shares}
    assert all("-" not in spaced(row.of_arm + row.of_weight) for row in rows.values())
    read_project = read(tmp_path / "again", files("", "weight: lb, arm: in", swap))
    empty = figures(read_project.logbook)[0].balance.empty
    assert empty is not None
    assert all(0 <= share.of_arm <= 1 for share in empty.shares)
    assert abs(sum(share.of_arm for share in empty.shares) - 1) < 1e-12


def test_what_a_weighing_brought_to_light(tmp_path: Path) -> None:
    again = WEIGHED.replace("2026-03-14", "2026-04-02")
    out = entry(
        "title: Radio out\ndate: 2026-04-01\nweight: [{removed: Radio, weight: 10 lb, basis: weighed, arm: 30 in}]"
    )
    (form,) = page(tmp_path, "", out, again.replace("reading: 50.0", "reading: 43.0")).reconciled
    # predicted 740 lb at 22,200 / 740 = 30.00 in; measured 743 lb, 21,310 / 743 = 28.681 in; the weights' tolerance is
    # the root of 6 x 0.25 + 0.01 = 1.229; the centres' 0.254 and 0.251 in together
    assert spaced(form.words) == (
        "It weighed 3.0 lb heavier than expected: the tolerances explain 1.2 lb of it, and 1.8 lb is unexplained. "
        "The centre of gravity lay 1.32 in further forward than expected: the tolerances explain 0.36 in of it, and "
        "0.96 in is unexplained."
    )
    assert [
        [spaced(text) for text in (row.what, row.difference, row.tolerance, row.unexplained)] for row in form.rows
    ] == [
        ["Empty weight", "+3.0 lb", "1.2 lb", "+1.8 lb"],
        ["Centre of gravity", "-1.32 in", "0.36 in", "-0.96 in"],
    ]


def test_a_weighing_as_expected_brings_nothing_to_light(tmp_path: Path) -> None:
    (form,) = page(tmp_path / "a", "", WEIGHED.replace("2026-03-14", "2026-04-02")).reconciled
    assert form.words == "It weighed what was expected. The centre of gravity lay where it was expected."
    assert {row.unexplained for row in form.rows} == {"none"}
    assert form.weigh_next == ""
    near = WEIGHED.replace("2026-03-14", "2026-04-02").replace("reading: 50.0", "reading: 50.5")
    (form,) = page(tmp_path / "b", "", near).reconciled
    # 750.5 lb, 22,585 / 750.5 = 30.093 in
    assert spaced(form.words) == (
        "It weighed 0.5 lb heavier than expected, which the tolerances explain. The centre of gravity lay 0.09 in "
        "further aft than expected, which the tolerances explain."
    )
    assert [spaced(row.difference) for row in form.rows] == ["+0.5 lb", "+0.09 in"]


def test_the_equipment_list_by_hand(tmp_path: Path) -> None:
    more = {
        "components.yaml": (
            "radio: {name: Radio, equipment: {weight: 4.9 lb, arm: -30.0 in, basis: published}}\n"
            "belts: {name: Belts, equipment: {weight: 6.4 lb}}\n"
            "engine: {name: Engine}\nspare: {name: Spare, as_found: loose}\n"
        )
    }
    (sheet,) = laid(balance_sheets, tmp_path, files=files("") | more).values()
    assert [
        (line.name, line.path, line.weight, spaced(line.arm), spaced(line.moment)) for line in sheet.view.equipment
    ] == [
        ("Radio", "components/radio.html", "4.9", "-30.00", "-147.0"),
        ("Belts", "components/belts.html", "6.4", "", ""),
        ("Engine", "components/engine.html", "", "", ""),
    ]


def test_before_a_weighing_and_without_a_loading(tmp_path: Path) -> None:
    unweighed = entry("title: Begun\ndate: 2026-03-14")
    view = page(tmp_path / "a", f"{WHOLE}{SOLO}{BALLAST}", weighed=unweighed)
    assert view.why_none == "Not weighed yet: there is no empty weight to load."
    assert (view.strip, view.cases, view.extremes, view.outside, view.close) == ((), (), (), (), ())
    assert (view.ballast, view.open_ended, view.diagram, view.shares) == ("", "", "", ())
    view = page(tmp_path / "b", "")
    assert view.why_none == "There is no loading.yaml, so nothing is said of limits and loading."
    assert (len(view.strip), len(view.shares), view.cases, view.diagram) == (2, 3, (), "")
    assert view.strip[1].words == "empty centre of gravity"


@pytest.mark.parametrize("more", ["", "  on_board: [{item: Fuel, weight: 800 lb, arm: 10 in}]\n"])
def test_a_weighing_that_comes_to_nothing_loads_nothing(tmp_path: Path, more: str) -> None:
    readings = "0 lb" if not more else "200 lb"
    weighed = (
        WEIGHED.replace("350.0 lb", readings)
        .replace("50.0 lb", readings)
        .replace("\n---\nWords.", f"\n{more}---\nWords.")
    )
    view = page(tmp_path, f"{WHOLE}{SOLO}{BALLAST}", weighed=weighed)
    assert view.why_none == (
        "By the last weighing and the changes since, the empty aircraft weighs nothing: there is nothing to load."
    )
    assert (view.cases, view.extremes, view.ballast) == ((), (), "")
    worked, _ = figures(read(tmp_path / "again", files(f"{WHOLE}{SOLO}", weighed=weighed)).logbook)
    assert weight_record(worked, dict)["loading_reason"] == "the empty aircraft comes to no weight"
    assert len(site_sheets(worked)) > 5


def test_in_kilograms_and_millimetres(tmp_path: Path) -> None:
    view = page(tmp_path, f"{WHOLE}{NOSE}", units="weight: kg, arm: mm")
    # 0.4583 in = 11.6 mm; 28.542 in = 725.0 mm; 960 lb = 435.45 kg; tolerance 0.197 in = 5 mm
    line = view.cases[0]
    assert (line.weight, line.arm, spaced(line.margin)) == ("435.45", "725", "12 mm outside, ± 5 (forward limit)")
    assert plain(view.outside)[0] == "Box and light pilot is 12 mm ahead of the forward limit."
    assert "kilograms" in view.diagram
    assert "millimetres" in view.diagram


def test_an_entry_not_shown_counts_and_is_no_link(tmp_path: Path) -> None:
    (sheet,) = laid(balance_sheets, tmp_path, files=FILES).values()
    assert "Secret box" not in repr(sheet.view)
    assert {row.source.path for row in sheet.view.shares if row.source.title == NOT_SHOWN} == {""}


@pytest.mark.parametrize("loading", [f"{WHOLE}{SOLO}{LIGHT}{NOSE}{ALL}{BALLAST}", f"{STATIONS}cases:\n{SOLO}", ""])
def test_the_page_in_html(tmp_path: Path, loading: str) -> None:
    book = read(tmp_path, files(loading)).logbook
    worked, _ = figures(book)
    at, theme = Addresses(book), theme_of(tmp_path, "hangar")
    assert theme is not None
    renderer = Renderer(theme.environment(), frame_of(worked), {}, lambda file: at.file(file) or None)
    (sheet,) = balance_sheets(worked, Words(book), at)
    page, fault = renderer.html(sheet)
    assert fault is None, fault
    made = Page(page.content.decode())
    assert (made.wrong, made.stack) == ([], [])
    assert all(b - a <= 1 for a, b in zip(made.heads, made.heads[1:], strict=False))
    assert all(len(set(rows)) <= 1 for rows in made.rows)
    assert all(link[1:] in made.ids for link in made.links if link.startswith("#"))
    for told in (
        *sheet.view.outside,
        *sheet.view.close,
        sheet.view.ballast,
        sheet.view.open_ended,
        sheet.view.why_none,
    ):
        assert told in page.content.decode()
    for word in ("airworthy", "compliant", "approved"):
        assert word not in page.content.decode().lower()
