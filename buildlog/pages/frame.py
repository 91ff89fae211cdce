"""The frame round every page: whose site, of what state, the menu, the cautions."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.sheet import CAUTIONS, Addresses, Frame, Group, Link
from buildlog.pages.signatures import signatures_path
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
        groups=tuple(_groups(worked)),
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


def _groups(worked: Figures) -> Iterator[Group]:
    """The menu by what somebody comes for: to follow the work, to see the aircraft, the figures or the papers."""
    book = worked.logbook
    told = bool(book.requirements or book.history.facts or book.history.questions)
    groups = {
        "The work": [
            ("Log", "log.html", True),
            ("Photos", "photos.html", True),
            ("Decisions", "decisions.html", bool(book.decisions)),
        ],
        "The aircraft": [
            ("Systems", "systems.html", True),
            ("Components", "components.html", True),
            ("Findings", "findings.html", True),
        ],
        "The figures": [
            ("Weight", "weight.html", True),
            ("Balance", "balance.html", True),
            ("Cost", "cost.html", book.sight.costs != "none"),
            ("Hours", "hours.html", book.sight.hours),
        ],
        "The papers": [
            ("Records", "records.html", told),
            ("Directives", "directives.html", bool(worked.directives)),
            ("Signed", signatures_path(worked), bool(signatures_path(worked))),
            ("Falling due", "due.html", bool(worked.due)),
        ],
    }
    for name, items in groups.items():
        links = tuple(Link(words, path) for words, path, there in items if there)
        if links:
            yield Group(name, links)


def _foot(book: Logbook) -> Iterator[Link]:
    """The free pages that want to be found, in the builder's order, and the feed."""
    at = Addresses(book)
    for page in in_order(book):
        yield Link(page.facts.title, at.file(page.file))
    yield Link("Feed", "feed.xml")
