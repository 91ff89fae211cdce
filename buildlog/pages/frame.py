"""The frame round every page: whose site, of what state, the menu, the cautions."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.sheet import CAUTIONS, Addresses, Frame, Link
from buildlog.pages.words import Words
from buildlog.pages.writing import in_order
from buildlog.records.logbook import Logbook


def frame_of(worked: Figures) -> Frame:
    """What all pages of a site share; the menu names only what this audience has a page of."""
    book, words = worked.logbook, Words(worked.logbook)
    project, aircraft = book.project, book.project.aircraft
    address = (project.address or "").rstrip("/")
    return Frame(
        title=project.title,
        mark=aircraft.mark or "",
        aircraft=aircraft.type + (f", built {aircraft.year}" if aircraft.year else ""),
        aircraft_mark=f"{aircraft.type} {aircraft.mark or ''}".strip(),
        language=project.locale,
        state_of=words.day(worked.on) if worked.on else "no entry yet",
        worked_from=_worked_from(worked),
        menu=tuple(_menu(book, falls_due=bool(worked.due))),
        foot=tuple(_foot(book)),
        cautions=CAUTIONS,
        address=f"{address}/" if address else "",
        audience=book.sight.name,
    )


def _worked_from(worked: Figures) -> str:
    """What all figures together rest on."""
    weighings = len(worked.weight.weighings)
    parts = [counted(sum(1 for _ in worked.logbook.told()), "entry", "entries")]
    parts += [counted(weighings, "weighing")] if weighings else []
    return ", ".join(parts)


def _menu(book: Logbook, *, falls_due: bool) -> Iterator[Link]:
    yield Link("Log", "log.html")
    yield Link("Systems", "systems.html")
    yield Link("Weight", "weight.html")
    yield Link("Balance", "balance.html")
    if book.sight.costs != "none":
        yield Link("Cost", "cost.html")
    if book.sight.hours:
        yield Link("Hours", "hours.html")
    yield Link("Components", "components.html")
    yield Link("Findings", "findings.html")
    if falls_due:
        yield Link("Falling due", "due.html")
    if book.requirements or book.history.facts or book.history.questions:
        yield Link("Records", "records.html")
    if book.decisions:
        yield Link("Decisions", "decisions.html")
    yield Link("Photos", "photos.html")


def _foot(book: Logbook) -> Iterator[Link]:
    """The free pages that want to be found, in the builder's order, and the feed."""
    at = Addresses(book)
    for page in in_order(book):
        yield Link(page.facts.title, at.file(page.file))
    yield Link("Feed", "feed.xml")
