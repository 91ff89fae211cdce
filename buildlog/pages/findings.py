"""Findings: the open ones first, by what they hold up; then those that something ended."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.figures.findings import STANDINGS
from buildlog.pages.lines import Desk, FindingLine, finding_line, findings_in_order
from buildlog.pages.sheet import Addresses, Sheet
from buildlog.pages.words import Words


@frozen
class StandingGroup:
    """The open findings of one standing, as readers are told it."""

    standing: str
    rows: tuple[FindingLine, ...]


@frozen
class FindingsView:
    """All findings."""

    open: tuple[StandingGroup, ...]
    closed: tuple[FindingLine, ...]
    number: int
    number_open: int


def finding_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The one page of findings."""
    desk = Desk.of(worked, words, at)
    ordered = findings_in_order(worked.findings)
    groups = tuple(
        StandingGroup(words.standing(standing), rows)
        for standing in STANDINGS
        if (rows := tuple(finding_line(s, desk) for s in ordered if s.open and s.line.standing == standing))
    )
    closed = tuple(finding_line(state, desk) for state in ordered if not state.open)
    number_open = len(ordered) - len(closed)
    view = FindingsView(groups, closed, len(ordered), number_open)
    yield Sheet(
        "findings.html",
        "findings.html",
        "Findings",
        view,
        "findings.html",
        description=f"{counted(len(ordered), 'finding')}, {number_open} of them open.",
        worked_from=counted(len(ordered), "finding"),
        updated=worked.logbook.last_day(),
    )
