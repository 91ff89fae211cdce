"""The page of what falls due, its lines in the terminal, its record and its days for a calendar."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from buildlog.basics.bounds import Bounds
from buildlog.figures.figures import Figures, figures
from buildlog.pages.due import DueView, due_events, due_lines, due_record, due_sheets, hours_words
from buildlog.pages.frame import frame_of
from buildlog.pages.sheet import Addresses
from buildlog.pages.words import Words
from buildlog.records.audience import seen_by
from buildlog.records.logbook import Logbook
from buildlog.records.project import Project
from buildlog.site.render import Renderer
from buildlog.site.theme import theme_of
from tests.making import PROJECT, entry, read
from tests.pages.laying import laid, spaced
from tests.pages.test_sheets_in_html import Page

FILES: dict[str, str | bytes] = {
    "components.yaml": "engine: {name: Engine, system: engine}\nbelt: {name: Belt, made: 2016, life: {months: 144}}\n",
    "checks.yaml": (
        "checks:\n"
        "  - {key: oil, name: Oil & filter, every: [25 h, 4 calendar months], component: engine, source: my own rule}\n"
        "  - {key: xp, name: Transponder, every: 24 calendar months, source: 14 CFR 91.413, appointment: 2026-08-01}\n"
        "  - {key: pack, name: Packing, every: 180 days, last: 2025-01-15, basis: document}\n"
        "  - {key: test, name: Test, every: 1 year, last: never}\n"
    ),
    "log/2026-03-01-oil.md": entry(
        "title: Oil changed\ndate: 2026-03-01\nsystem: engine\ninspected: [oil]\nmeter: {tach: 400.0 h}\nfindings:\n"
        "  - {key: F-1, found: Scratch, standing: deferred, until: 2026-12-31, system: engine}"
    ),
    "log/2026-05-01-run.md": entry("title: Run\ndate: 2026-05-01\nsystem: engine\nmeter: {tach: 415.6 h}"),
}


def seen(root: Path, audience: str = "public", files: dict[str, str | bytes] = FILES) -> tuple[Figures, Words]:
    book = seen_by(read(root, files).logbook, audience)
    return figures(book)[0], Words(book)


def view(root: Path) -> DueView:
    found: DueView = laid(due_sheets, root, files=FILES)["due.html"].view
    return found


def test_the_page_tells_what_falls_due_the_most_pressing_first(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert [(group.state, group.pressing, [row.name.words for row in group.rows]) for group in page.groups] == [
        ("Overdue", True, ["Packing"]),
        ("Due soon", True, ["Oil & filter"]),
        ("Later", False, ["Scratch", "Belt"]),
        ("Never done", True, ["Test"]),
        ("Not known", True, ["Transponder"]),
    ]
    assert page.summary == "1 overdue, 1 due soon, 2 later, 1 never done, 1 not known."


def test_a_row_says_when_by_what_and_how_it_is_known(tmp_path: Path) -> None:
    rows = {row.name.words: row for group in view(tmp_path).groups for row in group.rows}
    oil, pack = rows["Oil & filter"], rows["Packing"]
    assert oil.done is not None
    assert (spaced(oil.left), oil.due, oil.name.path) == ("9.4 h left", "Jul 31, 2026", "components/engine.html")
    assert (oil.done.title, oil.done.path, oil.last) == ("Oil changed", "log/2026-03-01-oil.html", "")
    assert (pack.last, pack.basis, pack.due) == ("January 15, 2025", "document", "Jul 14, 2025")
    assert "booked for August 1, 2026" in rows["Transponder"].notes
    assert (rows["Scratch"].name.path, rows["Scratch"].kind) == ("systems/engine.html", "deferred finding")
    assert (rows["Belt"].last, rows["Belt"].basis) == ("2016", "marking")


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        ("12.3", "12.3", "12.3 h left"),
        ("25", "25", "25.0 h left"),
        ("-2", "-2", "2.0 h over"),
        ("0", "0", "0.0 h left"),
        (None, "4", "at most 4.0 h left"),
        (None, "-4", "at least 4.0 h over"),
        ("4", None, "at least 4.0 h left"),
        ("-4", None, "at most 4.0 h over"),
        ("2", "4", "between 2.0 h and 4.0 h left"),
        ("-4", "-2.25", "between 2.25 h and 4.0 h over"),
        ("-5", "25", "between 5.0 h over and 25.0 h left"),
        (None, None, ""),
    ],
)
def test_hours_in_words(low: str | None, high: str | None, told: str) -> None:
    words = Words(Logbook(Project.model_validate({"title": "x", "aircraft": {"type": "y"}})))
    left = Bounds(None if low is None else Decimal(low), None if high is None else Decimal(high))
    assert spaced(hours_words(left, words)) == told


def test_the_terminal_and_the_record_tell_the_same(tmp_path: Path) -> None:
    worked, words = seen(tmp_path)
    lines = [spaced(line) for line in due_lines(worked, words)]
    assert lines[0].startswith("Falling due: 1 overdue, 1 due soon")
    assert "  oil  due soon, Jul 31, 2026, 9.4 h left: Oil & filter" in lines
    assert len(lines) == 1 + len(worked.due)
    (oil,) = (item for item in due_record(worked) if item["key"] == "oil")
    assert oil == {
        "kind": "check",
        "key": "oil",
        "due": "2026-07-31",
        "state": "due-soon",
        "hours_left": {"at_least": "9.4", "at_most": "9.4"},
        "last": "2026-03-01",
        "reason": None,
    }


def test_days_for_a_calendar_are_kept_from_who_may_not_see_days(tmp_path: Path) -> None:
    worked, words = seen(tmp_path)
    assert {event.key: event.day for event in due_events(worked, words)} == {
        "check pack": date(2025, 7, 14),
        "check oil": date(2026, 7, 31),
        "finding F-1": date(2026, 12, 31),
        "life belt": date(2028, 1, 31),
    }
    hazy = FILES | {"project.yaml": PROJECT.replace("{costs: full}", "{exact_dates: no}")}
    assert due_events(*seen(tmp_path / "hazy", files=hazy)) == []


def test_the_page_and_its_link_are_there_only_where_something_falls_due(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {"log/2026-03-01-x.md": entry("title: x\ndate: 2026-03-01")}
    assert laid(due_sheets, tmp_path / "none", files=files) == {}
    for root, its, there in (("none", files, False), ("some", FILES, True)):
        menu = frame_of(seen(tmp_path / root, files=its)[0]).menu
        assert ("due.html" in {link.path for link in menu}) is there


def test_the_page_through_the_theme(tmp_path: Path) -> None:
    worked, words = seen(tmp_path)
    (sheet,) = due_sheets(worked, words, Addresses(worked.logbook))
    theme = theme_of(tmp_path, "hangar")
    assert theme is not None
    made, fault = Renderer(theme.environment(), frame_of(worked), {}, lambda _: None).html(sheet)
    assert fault is None
    page = Page(made.content.decode())
    assert page.wrong == [] and "due.ics" in page.links
    text = made.content.decode()
    assert "Oil &amp; filter" in text and "own rules prevail" in text and "9.4" in text
