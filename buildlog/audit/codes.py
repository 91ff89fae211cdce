"""Checks of the numbers that systems and components are filed under."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note
from buildlog.basics.problems import Place, Problem
from buildlog.records.jasc import is_code, name_of
from buildlog.records.systems import BUILT_IN


def unknown_system_code(case: Case) -> Iterator[Problem]:
    """A number of two or four digits is one of the table of system codes, or meant as the builder's own.

    Why: whoever takes the record over looks parts up by these numbers, and a slip of the pen files one elsewhere.
    Wrong: magneto-left: {name: Left magneto, code: "8400"}
    Right: magneto-left: {name: Left magneto, code: "7414"}
    """
    told = {system.code for system in BUILT_IN.values()}
    for code, place in _codes(case):
        if is_code(code) and not name_of(code) and code not in told:
            told.add(code)
            yield note(
                place,
                "unknown-system-code",
                f"the table of system codes has no {code}",
                "leave it if it is a number of your own; the table:  buildlog schema --codes",
            )


def _codes(case: Case) -> Iterator[tuple[str, Place]]:
    """Every number written, with its place."""
    book = case.worked.logbook
    yield from ((own.code.strip(), own.place) for own in book.project.systems.values())
    yield from ((part.code.strip(), part.place) for part in book.components.values() if part.code)
