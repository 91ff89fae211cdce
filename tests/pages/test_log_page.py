"""The log by month adds up to the record, and a long one falls into years (laying.py)."""

from __future__ import annotations

from pathlib import Path

from buildlog.pages.front import front_sheets
from buildlog.pages.log import LONGEST, log_sheets
from tests.making import entry
from tests.pages.laying import FILES, laid, rules, spaced


def test_months_by_hand_newest_first(tmp_path: Path) -> None:
    view = laid(log_sheets, tmp_path)["log.html"].view
    assert [(month.name, month.hours, spaced(month.money), spaced(month.weight)) for month in view.months] == [
        ("July 2026", "7:30\u00a0h", "900.52 USD", "-19.2 lb"),  # 6:00 and 1:30; 266.50 and 634.02
        ("May 2026", "4:01\u00a0h", "281.73 USD", ""),  # 10.00 and a deposit of 271.73
        ("March 2026", "7:15\u00a0h", "45.00 USD", ""),
    ]
    assert spaced(view.summary) == "4 entries, 18:46 h, 1,227.25 USD, -19.2 lb. Newest first."
    # The record holds 0:44 and 35.00 more, from before the log: 19:30 and 1,262.25.
    assert spaced(view.before) == "From before the log, and in the totals elsewhere: 0:44 h and 35.00 USD."
    assert [row.title for month in view.months for row in month.rows] == [
        "Carburettor back",
        "Battery",
        "Ordered",
        "Weighed",
    ]


def test_of_one_day_the_later_file_name_comes_first_here_and_on_the_front_page(tmp_path: Path) -> None:
    days = {"b": "", "a": "", "c": "", "late": "time: 18:30", "early": "time: 9:15"}
    files: dict[str, str | bytes] = {
        f"log/2026-07-04-{name}.md": entry(f"title: {name}\ndate: 2026-07-04\n{time}") for name, time in days.items()
    }
    (month,) = laid(log_sheets, tmp_path, files=files)["log.html"].view.months
    newest = laid(front_sheets, tmp_path, files=files)["index.html"].view.newest
    assert [row.title for row in month.rows] == [row.title for row in newest] == ["c", "b", "a", "late", "early"]


def test_the_filter_knows_every_system_of_an_entry(tmp_path: Path) -> None:
    view = laid(log_sheets, tmp_path)["log.html"].view
    assert [(one.key, one.entries, one.tab.path) for one in view.filter] == [
        ("weighing", "1", "systems/weighing.html"),
        ("electrical", "1", "systems/electrical.html"),
        ("fuel", "1", "systems/fuel.html"),
        ("carburettor", "2", "systems/carburettor.html"),
    ]
    ordered = next(row for month in view.months for row in month.rows if row.title == "Ordered")
    assert (ordered.systems, ordered.also) == (("carburettor", "fuel"), "Fuel")


def test_amounts_are_kept_back_and_totals_stay(tmp_path: Path) -> None:
    view = laid(log_sheets, tmp_path, files=rules("costs: totals"))["log.html"].view
    assert not any(row.money for month in view.months for row in month.rows)
    assert spaced(view.months[-1].money) == "45.00 USD"
    view = laid(log_sheets, tmp_path, files=rules("costs: none, hours: no"))["log.html"].view
    assert "USD" not in repr(view)
    assert not any(row.hours for month in view.months for row in month.rows)
    assert not view.before


def test_a_long_log_has_a_page_for_each_year_and_every_entry_once(tmp_path: Path) -> None:
    files = FILES | {
        f"log/{2020 + n % 3}-01-{n // 3 + 1:02}-{letter}{n}.md": entry(
            f"title: E{letter}{n}\ndate: {2020 + n % 3}-01-{n // 3 + 1:02}"
        )
        for n in range(LONGEST // 2)
        for letter in "ab"
    }
    sheets = laid(log_sheets, tmp_path, files=files)
    assert list(sheets) == ["log.html", "log-2022.html", "log-2021.html", "log-2020.html"]
    paths = [row.path for sheet in sheets.values() for month in sheet.view.months for row in month.rows]
    assert len(paths) == len(set(paths)) == LONGEST + 4
    assert [link.path for link in sheets["log-2021.html"].view.years] == list(sheets)
    assert all(sheet.section == "log.html" for sheet in sheets.values())
    assert [path for path, sheet in sheets.items() if sheet.view.before] == ["log-2020.html"]


def test_a_log_of_one_year_stays_on_one_page_however_long(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        f"log/2026-01-{n % 28 + 1:02}-e{n}.md": entry(f"title: E{n}\ndate: 2026-01-{n % 28 + 1:02}")
        for n in range(LONGEST + 1)
    }
    sheets = laid(log_sheets, tmp_path, files=files)
    assert list(sheets) == ["log.html"]
    assert sheets["log.html"].view.years == ()


def test_an_empty_log_has_its_page(tmp_path: Path) -> None:
    view = laid(log_sheets, tmp_path, files={})["log.html"].view
    assert (view.months, view.timeline, view.summary) == ((), "", "0 entries. Newest first.")
