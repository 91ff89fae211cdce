"""Findings by replay: each is open from the entry that raises it to the one that closes it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.records.changes import Finding
from buildlog.records.logbook import Logbook

STANDINGS = ("airworthiness", "deferred", "cosmetic")
"""The order of weight in which open findings are told."""


@frozen
class FindingState:
    """A finding, the entry that raised it and, if it is closed, the one that ended it and what did."""

    line: Finding
    system: str
    raised: date
    raised_in: str
    closed: date | None = None
    closed_in: str = ""
    closed_by: str = ""
    closed_at: Place | None = None

    @property
    def open(self) -> bool:
        """Whether nothing has ended it yet."""
        return self.closed is None


def findings(logbook: Logbook) -> tuple[tuple[FindingState, ...], list[Problem]]:
    """The state of every finding, in the order they were raised, and the closings that cannot be."""
    states: dict[str, FindingState] = {}
    problems: list[Problem] = []
    for entry in logbook.entries:
        for line in entry.facts.findings:
            states.setdefault(
                line.key, FindingState(line, line.system or entry.main_system or "", entry.day, entry.slug)
            )
        for closing in entry.facts.closes:
            place = closing.place if closing.place.file else entry.place
            state = states.get(closing.key)
            if state is None:
                problems.append(_too_early(logbook, closing.key, place))
            elif not state.open:
                first = state.closed_at
                problems.append(
                    Problem(
                        place,
                        "closed-twice",
                        f"the finding {closing.key} was closed before, on {state.closed}",
                        "take it out of one closes: or raise a new finding",
                        Severity.ERROR,
                        (first,) if first else (),
                    )
                )
            else:
                states[closing.key] = replace(
                    state, closed=entry.day, closed_in=entry.slug, closed_by=closing.by or "", closed_at=place
                )
    return tuple(states.values()), [problem for problem in problems if problem.name]


def _too_early(logbook: Logbook, key: str, place: Place) -> Problem:
    """A closing before its finding; one of a finding nobody raised is the reader's to tell."""
    raiser = next(
        ((entry, line) for entry in logbook.entries for line in entry.facts.findings if line.key == key), None
    )
    if raiser is None:
        return Problem(place, "", "")
    entry, line = raiser
    return Problem(
        place,
        "closed-before-found",
        f"the finding {key} is closed here and found later, on {entry.day}",
        "one of the dates is wrong",
        also=(line.place,),
    )


def open_findings(states: tuple[FindingState, ...]) -> list[FindingState]:
    """The open ones, those that keep it from flying first, then by day."""
    return sorted(
        (state for state in states if state.open),
        key=lambda state: (STANDINGS.index(state.line.standing), state.raised, state.line.key),
    )
