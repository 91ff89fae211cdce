"""Long ledgers have a page for each year, with every line once; short ones stay as they are (long.py)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from buildlog.handover.document_binder import Binder
from buildlog.handover.part_weight import part_weight
from buildlog.pages.cost import cost_sheets
from buildlog.pages.hours import hours_sheets
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses
from buildlog.pages.site_sheets import Sheets
from buildlog.pages.weight import weight_sheets
from buildlog.pages.words import Words
from buildlog.pages.years import LONGEST, NEWEST, Years
from tests.making import entry, worked
from tests.pages.laying import laid, spaced
from tests.pages.long import EACH, YEARS, long_project

LEDGERS = [(hours_sheets, "hours"), (cost_sheets, "cost"), (weight_sheets, "weight")]


def titles(view: Any) -> list[str]:
    """Whose lines stand on a page."""
    if hasattr(view, "ledger"):
        return [line.source.title for line in view.ledger if line.change]
    return [line.source.title for month in view.lines for line in month.lines]


@pytest.mark.parametrize(("make", "name"), LEDGERS)
def test_each_year_has_its_page_and_every_line_stands_once(tmp_path: Path, make: Any, name: str) -> None:
    sheets = laid(make, tmp_path, files=long_project())
    assert list(sheets) == [f"{name}.html", *(f"{name}-{year}.html" for year in YEARS)]
    for year in YEARS:
        assert titles(sheets[f"{name}-{year}.html"].view) == [f"E{n} of {year}" for n in range(EACH)]
    newest = titles(sheets[f"{name}.html"].view)
    last = [f"E{n} of 2022" for n in range(EACH)]
    assert NEWEST <= len(newest) <= NEWEST + 28
    assert newest == last[-len(newest) :]


@pytest.mark.parametrize(("make", "name"), LEDGERS)
def test_the_pages_name_each_other_and_the_menu_marks_the_whole(tmp_path: Path, make: Any, name: str) -> None:
    sheets = laid(make, tmp_path, files=long_project())
    for sheet in sheets.values():
        assert [(link.words, link.path) for link in sheet.view.pages] == [
            ("Totals", f"{name}.html"),
            *((str(year), f"{name}-{year}.html") for year in YEARS),
        ]
        assert sheet.section == f"{name}.html"
    assert {sheet.updated.year for path, sheet in sheets.items() if path != f"{name}.html"} == {*YEARS}


@pytest.mark.parametrize(("make", "name"), LEDGERS[:2])
def test_each_month_of_the_whole_leads_to_its_lines_on_the_page_of_its_year(
    tmp_path: Path, make: Any, name: str
) -> None:
    sheets = laid(make, tmp_path, files=long_project())
    paths = [month.path for month in sheets[f"{name}.html"].view.months]
    assert len(paths) == len(set(paths)) == 3 * (EACH // 28 + 1)
    for path in paths:
        page, _, anchor = path.partition("#")
        assert anchor in {month.anchor for month in sheets[page].view.lines}, path


def test_a_year_tells_its_own_sum(tmp_path: Path) -> None:
    hours = laid(hours_sheets, tmp_path / "hours", files=long_project())
    assert {hours[f"hours-{year}.html"].view.total for year in YEARS} == {f"{EACH}:00"}
    cost = laid(cost_sheets, tmp_path / "cost", files=long_project())
    assert {cost[f"cost-{year}.html"].view.net for year in YEARS} == {f"{2 * EACH}.00"}
    weight = laid(weight_sheets, tmp_path / "weight", files=long_project())
    nets = [spaced(weight[f"weight-{year}.html"].view.net) for year in YEARS]
    assert nets == [f"+{EACH * n}.0 lb" for n in (1, 2, 3)]


@pytest.mark.parametrize(("make", "name"), LEDGERS)
def test_a_short_ledger_and_one_of_a_single_year_stay_on_one_page(tmp_path: Path, make: Any, name: str) -> None:
    short = laid(make, tmp_path / "short", files=long_project(LONGEST // 3))
    one = {
        path: text for path, text in long_project(LONGEST + 1).items() if "2020" in path or not path.startswith("log")
    }
    for sheets in (short, laid(make, tmp_path / "one", files=one)):
        ((path, sheet),) = sheets.items()
        assert path == f"{name}.html"
        assert sheet.view.pages == ()
        assert len(titles(sheet.view)) in {LONGEST // 3 * 3, LONGEST + 1}
        for month in getattr(sheet.view, "months", ()):
            assert month.path.startswith("#")


def test_where_single_amounts_may_not_be_seen_no_year_has_a_page(tmp_path: Path) -> None:
    files = long_project()
    files["project.yaml"] = str(files["project.yaml"]).replace("costs: full", "costs: totals")
    sheets = laid(cost_sheets, tmp_path, files=files)
    assert list(sheets) == ["cost.html"]
    assert not any(month.path for month in sheets["cost.html"].view.months)


def test_the_newest_begin_with_a_whole_month() -> None:
    class Month:
        def __init__(self, year: int, lines: int) -> None:
            self.year, self.lines = year, tuple(range(lines))

    months = [Month(2020, LONGEST), Month(2021, 3), Month(2021, NEWEST - 4), Month(2021, 2)]
    years = Years.of("x.html", "All", [month.year for month in months for _ in month.lines])
    assert years.newest(months) == tuple(months[1:])
    assert years.newest(months[:1]) == tuple(months[:1])
    assert (years.path(2020), years.lines(2020, "m")) == ("x-2020.html", "x-2020.html#m")
    assert Years.of("x.html", "All", []).newest(months) == tuple(months)


def test_the_printed_report_has_every_line_of_a_long_ledger(tmp_path: Path) -> None:
    found = worked(tmp_path, long_project())
    desk = Desk.of(found, Words(found.logbook), Addresses(found.logbook))
    binder = Binder(desk, sheets=Sheets(found).on_paper())
    assert len(binder.weight.ledger) == NEWEST
    assert len(binder.ledger) == 3 * EACH + 1
    printed = repr(part_weight(binder))
    for year in YEARS:
        assert all(f"E{n} of {year}" in printed for n in range(EACH))


def test_a_report_without_a_page_of_years_prints_the_one_ledger(tmp_path: Path) -> None:
    fact = "title: E\ndate: 2026-01-01\nweight: [{installed: A, weight: 1 lb, arm: 1 in}]"
    found = worked(tmp_path, {"log/2026-01-01-e.md": entry(fact)})
    binder = Binder(Desk.of(found, Words(found.logbook), Addresses(found.logbook)))
    assert binder.ledger == binder.weight.ledger
    assert len(binder.ledger) == 1
