"""The page of hours against sums worked out by hand (laying.py)."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.pages.hours import hours_sheets
from tests.making import entry
from tests.pages.laying import laid, rules


def view(root: Path, **more):
    return laid(hours_sheets, root, **more)["hours.html"].view


def test_every_breakdown_by_hand(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert [(hero.figure, hero.words) for hero in page.strip] == [
        ("19:30", "of work in all"),
        ("17:30", "by the owner"),
        ("2:00", "by the mechanic"),
    ]
    assert [(line.name, line.role, line.hours) for line in page.people] == [
        ("", "owner", "17:30"),
        ("", "mechanic", "2:00"),
    ]
    assert [(line.tab.name, line.hours, line.path) for line in page.systems] == [
        ("Weighing", "7:15", "systems/weighing.html#work"),
        ("Electrical", "6:00", "systems/electrical.html#work"),
        ("Fuel", "3:01", "systems/fuel.html#work"),
        ("Engine fuel", "2:30", "systems/carburettor.html#work"),
        ("No one system", "0:44", "systems.html#no-system"),
    ]
    assert [(line.name, line.hours, line.so_far) for line in page.months] == [
        ("February 2026", "0:44", "0:44"),
        ("March 2026", "7:15", "7:59"),
        ("May 2026", "4:01", "12:00"),
        ("July 2026", "7:30", "19:30"),
    ]
    assert page.total == "19:30"


def test_jobs_stand_against_their_estimates_and_the_rest_is_told(tmp_path: Path) -> None:
    page = view(tmp_path)
    jobs = [(job.name, job.low, job.likely, job.high, job.worked, job.done, job.verdict) for job in page.jobs]
    assert jobs == [
        ("Weigh it", "3:00", "4:00", "7:00", "7:15", "Mar 14, 2026", "more than the high figure"),
        ("Battery", "4:00", "6:00", "10:00", "6:00", "Jul 8, 2026", "within the estimate"),
        ("Fly", "3:00", "3:00", "3:00", "", "", ""),
    ]
    # 4:01, 1:30 and 0:44 name no job
    assert page.no_job == "6:15"


def test_a_job_is_finished_only_from_its_day_on(tmp_path: Path) -> None:
    jobs = view(tmp_path, on=date(2026, 7, 7)).jobs
    assert [(job.done, job.verdict) for job in jobs] == [
        ("Mar 14, 2026", "more than the high figure"),
        ("", ""),
        ("", ""),
    ]


def test_lines_lead_to_their_entries_and_name_people_only_where_names_may_be_seen(tmp_path: Path) -> None:
    lines = [line for month in view(tmp_path).lines for line in month.lines]
    assert [(line.source.title, line.source.path, line.who, line.hours) for line in lines] == [
        ("First look (before the log)", "", "owner", "0:44"),
        ("Weighed", "log/2026-03-14-weighing.html", "owner", "5:15"),
        ("Weighed", "log/2026-03-14-weighing.html", "mechanic", "2:00"),
        ("Ordered", "log/2026-05-02-order.html", "owner", "4:01"),
        ("Battery", "log/2026-07-08-battery.html", "owner", "6:00"),
        ("Carburettor back", "log/2026-07-20-back.html", "owner", "1:30"),
    ]
    assert "Bob Example" not in repr(view(tmp_path))
    named = view(tmp_path, audience="buyer")
    assert [(line.name, line.role, line.hours) for line in named.people] == [
        ("Ann Sample", "owner", "17:30"),
        ("Bob Example", "mechanic", "2:00"),
    ]
    assert named.lines[1].lines[1].who == "Bob Example"


def test_no_page_where_hours_may_not_be_seen(tmp_path: Path) -> None:
    assert laid(hours_sheets, tmp_path, files=rules("costs: full, hours: no")) == {}


def test_a_record_without_hours_still_has_its_page(tmp_path: Path) -> None:
    page = view(tmp_path, files={"log/2026-01-01-a.md": entry("title: a\ndate: 2026-01-01")})
    assert (page.total, page.lines, page.running, page.bars, page.columns) == ("0:00", (), "", "", "")
