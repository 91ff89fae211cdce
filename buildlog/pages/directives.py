"""The page of directives and bulletins: each that was considered, where it stands, and what of it is not written."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.directives import DirectiveState
from buildlog.figures.figures import Figures
from buildlog.pages.known import about_link, anchor
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Link, Sheet
from buildlog.pages.words import Words

PATH = "directives.html"
STATES = {
    "not-determined": "not determined",
    "open": "applies, still to do",
    "recurring": "done, comes back",
    "done": "done",
    "not-applicable": "does not apply",
}
"""Where a directive stands, in words."""


@frozen
class DirectiveLine:
    """A directive as it is listed."""

    anchor: str
    number: str
    title: str
    kind: str
    about: Link
    state: str
    wants: bool
    """Whether somebody still has to do something about it."""
    method: str
    because: str
    every: str
    status: str
    missing: str


@frozen
class DirectivesView:
    """All that were considered."""

    directives: tuple[DirectiveLine, ...]
    bulletins: tuple[DirectiveLine, ...]
    summary: str


def directive_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of directives, if any was considered."""
    if not worked.directives:
        return
    desk = Desk.of(worked, words, at)
    lines = [directive_line(one, desk) for one in worked.directives]
    kinds = [one.record.kind for one in worked.directives]
    view = DirectivesView(
        tuple(line for line, kind in zip(lines, kinds, strict=True) if kind == "directive"),
        tuple(line for line, kind in zip(lines, kinds, strict=True) if kind != "directive"),
        directives_told(worked),
    )
    yield Sheet(
        PATH,
        "directives.html",
        "Directives",
        view,
        PATH,
        description=f"Directives and bulletins considered, and where each stands. {view.summary}",
        worked_from=counted(len(lines), "directive or bulletin considered", "directives and bulletins considered"),
        name="directives",
    )


def directives_told(worked: Figures) -> str:
    """How many stand where, in a sentence."""
    counts = [(words, sum(one.state == state for one in worked.directives)) for state, words in STATES.items()]
    said = "; ".join(f"{number} {words}" for words, number in counts if number)
    return f"Considered: {said}." if said else ""


def directive_line(one: DirectiveState, desk: Desk) -> DirectiveLine:
    """One of them."""
    record = one.record
    return DirectiveLine(
        anchor(record.key),
        record.number,
        record.title,
        record.kind,
        about_link(record.about, desk.worked.logbook, desk.at),
        STATES[one.state],
        one.state in {"not-determined", "open"},
        record.method or "",
        record.because or "",
        f"every {record.recurring}" if record.recurring else "",
        record.status or "",
        ", ".join(one.missing),
    )
