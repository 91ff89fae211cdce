"""The page of weight: the ledger and the weighing's form against figures worked out by hand (laying.py).

765.0 lb at 24,246.75 / 765 = 31.695 in; less 24.3 and plus 5.1 lb at 73 in: 745.8 lb, 22,845.15 / 745.8 = 30.632 in;
plus 2.0 lb at 10 in: 747.8 lb, 22,865.15 / 747.8 = 30.577 in.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.pages.weight import weight_sheets
from buildlog.records.kept_back import NOT_SHOWN
from tests.making import entry
from tests.pages.laying import FILES, laid, spaced


def view(root: Path, **more):
    return laid(weight_sheets, root, **more)["weight.html"].view


def test_the_ledger_line_by_line(tmp_path: Path) -> None:
    rows = [
        (
            line.source.day,
            spaced(line.change.weight) if line.change else "weighed",
            spaced(line.net),
            line.empty,
            line.arm,
        )
        for line in view(tmp_path).ledger
    ]
    assert rows == [
        ("Mar 14, 2026", "weighed", "", "765.0", "31.70"),
        ("Jul 8, 2026", "-24.3", "-24.3", "", ""),
        ("Jul 8, 2026", "+5.1", "-19.2", "745.8", "30.63"),
        ("Jul 9, 2026", "+2.0", "-17.2", "747.8", "30.58"),
    ]
    out = view(tmp_path).ledger[1].change
    assert (out.way, out.basis, out.arm, spaced(out.moment), out.component.path) == (
        "out",
        "weighed",
        "73.00",
        "-1,773.9",
        "components/battery-1.html",
    )


def test_an_entry_not_shown_counts_and_says_nothing(tmp_path: Path) -> None:
    line = view(tmp_path).ledger[-1]
    assert (line.change.item, line.source.title, line.source.path) == (NOT_SHOWN, NOT_SHOWN, "")
    assert "Secret box" not in repr(view(tmp_path))
    shown = view(tmp_path, audience="builder").ledger[-1]
    assert (shown.change.item, shown.source.path) == ("Secret box", "log/2026-07-09-private.html")


def test_the_weighing_as_on_its_form(tmp_path: Path) -> None:
    (form,) = view(tmp_path).weighings
    assert [(p.item, p.reading, p.tare, p.net, p.arm, p.moment) for p in form.points] == [
        ("left main", "365.0", "", "365.0", "22.50", "8,212.5"),
        ("right main", "358.5", "", "358.5", "22.50", "8,066.2"),
        ("tail", "50.5", "9.0", "41.5", "192.00", "7,968.0"),
    ]
    assert (form.total.net, form.total.arm, form.total.moment) == ("765.0", "31.70", "24,246.8")
    assert form.source.path == "log/2026-03-14-weighing.html"


def test_what_is_on_board_comes_off_and_what_is_missing_is_added(tmp_path: Path) -> None:
    (form,) = view(
        tmp_path,
        files={
            "log/2026-03-14-w.md": entry("""
title: w
date: 2026-03-14
weighing:
  points: [{at: all, reading: 800 lb, arm: 30 in}]
  on_board: [{item: Fuel, weight: 12 lb, arm: 15 in, basis: estimated}]
  missing: [{item: Cowl, weight: 6.2 lb, arm: -10 in}]
""")
        },
    ).weighings
    assert [(line.item, spaced(line.net), spaced(line.moment), line.basis) for line in (*form.off, *form.added)] == [
        ("Fuel", "-12.0", "-180.0", "estimated"),
        ("Cowl", "+6.2", "-62.0", "weighed"),
    ]
    # 800 - 12 + 6.2 = 794.2; 24,000 - 180 - 62 = 23,758; 29.914 in
    assert (form.total.net, form.total.arm, form.total.moment) == ("794.2", "29.91", "23,758.0")


def test_a_weighing_of_an_entry_not_shown_keeps_its_figures_and_loses_its_words(tmp_path: Path) -> None:
    files = {
        "log/2026-03-14-w.md": entry("""
title: w
date: 2026-03-14
audience: private
weighing:
  attitude: on the farm
  points: [{at: all, reading: 800 lb, arm: 30 in}]
  on_board: [{item: My lunch, weight: 12 lb, arm: 15 in}]
  scale: {make_and_serial: "Scale 4711"}
""")
    }
    page = view(tmp_path, files=files)
    assert page.weighings[0].total.net == "788.0"
    for word in ("on the farm", "My lunch", "4711"):
        assert word not in repr(page), word


def test_the_strip_and_its_sentence_by_hand(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert [(spaced(hero.figure), hero.unit, hero.path) for hero in page.strip] == [
        ("747.8", "lb", "#weighings"),
        ("30.58", "in", "#weighings"),
        ("-17.2", "lb", "#ledger"),
        ("1", "", "#not-weighed"),
    ]
    assert page.state == "Weighed March 14, 2026; 3 changes written since."
    before = view(tmp_path, on=date(2026, 3, 1))
    assert before.state.startswith("Not weighed yet")
    assert [spaced(hero.figure) for hero in before.strip] == ["0.0"]


def test_by_system_and_what_has_no_weight(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert [
        (line.tab.name, spaced(line.taken_in), spaced(line.taken_out), spaced(line.net), line.path)
        for line in page.systems
    ] == [
        ("Electrical", "+5.1", "-24.3", "-19.2", "systems/electrical.html#weight"),
        ("Cabin", "+2.0", "", "+2.0", "systems/cabin.html#weight"),
    ]
    assert spaced(page.net) == "-17.2"
    assert [(line.item, line.source.path) for line in page.not_weighed] == [("Bracket", "log/2026-07-08-battery.html")]


def test_changes_before_a_weighing_of_their_own_entry_and_lines_without_an_arm(tmp_path: Path) -> None:
    files = {
        "log/2026-03-14-w.md": entry(
            "title: w\ndate: 2026-03-14\nweight: [{removed: Lead, weight: 1 lb, arm: 5 in}]\n"
            "weighing: {points: [{at: all, reading: 700 lb, arm: 30 in}]}"
        ),
        "log/2026-03-15-x.md": entry("title: x\ndate: 2026-03-15\nweight_change: -1.5 lb"),
    }
    page = view(tmp_path, files=files)
    assert [(bool(line.change), spaced(line.net), line.empty, line.arm) for line in page.ledger] == [
        (True, "-1.0", "", ""),
        (False, "-1.0", "700.0", "30.00"),
        (True, "-2.5", "698.5", "30.00"),
    ]
    assert page.ledger[2].change.arm == ""
    assert page.ledger[2].change.moment == ""
    assert page.without_arm.startswith("1 change has no arm")


def test_the_charts_show_steps_for_entries_and_dots_for_weighings(tmp_path: Path) -> None:
    page = view(tmp_path, files=FILES)
    assert page.station_strip.count("<svg") == page.change_chart.count("<svg") == page.arm_chart.count("<svg") > 1
    assert "Secret box" not in page.station_strip
    assert NOT_SHOWN in page.station_strip
    none = view(tmp_path, on=date(2026, 3, 1))
    assert (none.station_strip, none.change_chart, none.arm_chart) == ("", "", "")
