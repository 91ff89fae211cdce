"""Where each directive and bulletin stands: considered and not determined is a state of its own.

14 CFR 91.417(a)(2)(v) asks for the number and revision date of each airworthiness directive, the method, and the time and
date of the next action where it comes back; what of that is not written is named.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Directive

STATES = ("not-determined", "open", "recurring", "done", "not-applicable")
"""What can be said of a directive, what wants attention first."""


@frozen
class DirectiveState:
    """A directive, where it stands, and what of it is not written."""

    record: Directive
    state: str
    missing: tuple[str, ...]


def directives(logbook: Logbook) -> tuple[DirectiveState, ...]:
    """Every directive and bulletin that was considered, what wants attention first."""
    states = [DirectiveState(one, _state(one), tuple(_missing(one))) for one in logbook.directives.directives]
    return tuple(sorted(states, key=lambda one: STATES.index(one.state)))


def _state(record: Directive) -> str:
    if record.applies != "yes":
        return "not-applicable" if record.applies == "no" else "not-determined"
    if record.method is None:
        return "open"
    return "recurring" if record.recurring else "done"


def _missing(record: Directive) -> Iterator[str]:
    if record.applies == "no" and record.because is None:
        yield "why it does not apply"
    if record.applies == "yes" and record.kind == "directive":
        if record.revision is None:
            yield "the date of its revision"
        if record.method is None:
            yield "how and when it was dealt with"
