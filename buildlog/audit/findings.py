"""Checks of findings that wait."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, warn
from buildlog.basics.problems import Problem


def finding_deferred_without_limit(case: Case) -> Iterator[Problem]:
    """An open finding that was deferred says until when, or what limits it.

    Why: what may wait without an end is forgotten.
    Wrong: {key: F-15, found: Block not seen yet, standing: deferred}
    Right: {key: F-15, found: Block not seen yet, standing: deferred, until: 2027-03-31}
    """
    for state in case.worked.findings:
        line = state.line
        if state.open and line.standing == "deferred" and not (line.until or line.limit):
            yield warn(
                line.place,
                "finding-deferred-without-limit",
                f"{line.key} is deferred and nothing says until when",
                "add  until: 2027-03-31 , or  limit: what it must not be used for",
            )


def finding_past_its_day(case: Case) -> Iterator[Problem]:
    """A finding that may wait until a day is closed by that day, or given another with a reason.

    The day it is held against is that of the newest entry.

    Why: the day was chosen because something could not be left longer.
    Wrong: {key: F-15, standing: deferred, until: 2026-08-01, …} and nothing of it in the entries of September
    Right: closes: [{key: F-15, by: "Block inspected, no crack"}] in an entry
    """
    on = case.worked.on
    for state in case.worked.findings:
        until = state.line.until
        if state.open and until is not None and on is not None and until < on:
            key = state.line.key
            yield warn(
                state.line.place,
                "finding-past-its-day",
                f"{key} could wait until {until}; on {on} it is still open",
                f'when it is done, write  closes: [{{key: {key}, by: "what ended it"}}]\n'
                "if it may wait longer, close it in a new entry that says why, and raise it again with a new  until:",
            )
