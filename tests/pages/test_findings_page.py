"""The page of findings: open ones by what they hold up, closed ones with their end (laying.py)."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.pages.findings import finding_sheets
from tests.making import entry
from tests.pages.laying import FILES, laid, rules


def view(root: Path, **more):
    return laid(finding_sheets, root, **more)["findings.html"].view


def test_open_first_then_closed_with_what_ended_them_and_how_long(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert (page.number, page.number_open) == (2, 1)
    (group,) = page.open
    assert (group.standing, [(row.key, row.lasted) for row in group.rows]) == (
        "cosmetic",
        [("F-2", "open for 12 days")],
    )
    (closed,) = page.closed
    # 14 March to 8 July: 17 + 30 + 31 + 30 + 8 days
    assert (closed.standing, closed.by, closed.lasted) == ("before flight", "new terminal", "closed after 116 days")
    assert (closed.raised.path, closed.closed.path) == ("log/2026-03-14-weighing.html", "log/2026-07-08-battery.html")
    assert (closed.component.path, closed.tab.path) == ("components/battery-1.html", "systems/electrical.html")


def test_standings_come_in_the_order_of_what_they_hold_up(tmp_path: Path) -> None:
    page = view(
        tmp_path,
        files={
            "log/2026-01-01-a.md": entry("""
title: a
date: 2026-01-01
findings:
  - {key: A, found: Paint, standing: cosmetic}
  - {key: B, found: Cable, standing: airworthiness}
  - {key: C D, found: Dial, standing: deferred, until: 2026-02-01, limit: day only}
""")
        },
    )
    assert [group.standing for group in page.open] == ["before flight", "deferred", "cosmetic"]
    deferred = page.open[1].rows[0]
    assert (deferred.limits, deferred.anchor, deferred.lasted) == ("until February 1, 2026; day only", "C-D", "")


def test_on_an_earlier_day_a_finding_is_still_open(tmp_path: Path) -> None:
    page = view(tmp_path, on=date(2026, 3, 15))
    assert [(row.key, row.lasted) for row in page.open[0].rows] == [("F-1", "open for 1 day")]


def test_no_days_are_counted_where_days_may_not_be_seen(tmp_path: Path) -> None:
    page = view(tmp_path, files=rules("costs: full, exact_dates: no"))
    assert page.closed[0].lasted == ""
    assert page.closed[0].raised.day == "Mar 2026"


def test_none_is_a_page_that_says_so(tmp_path: Path) -> None:
    page = view(tmp_path, files={"log/2026-01-01-a.md": entry("title: a\ndate: 2026-01-01")})
    assert (page.open, page.closed, page.number) == ((), (), 0)


def test_a_finding_of_an_entry_not_shown_is_not_told(tmp_path: Path) -> None:
    files = FILES | {
        "log/2026-07-19-x.md": entry(
            "title: x\ndate: 2026-07-19\naudience: private\n"
            "findings: [{key: F-9, found: Secret crack, standing: cosmetic}]"
        )
    }
    assert "Secret crack" not in repr(view(tmp_path, files=files))
    assert "Secret crack" in repr(view(tmp_path, files=files, audience="builder"))
