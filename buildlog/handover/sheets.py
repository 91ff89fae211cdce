"""log-sheets.pdf as plain data: new pages for the log books, made from the entries, to be printed, signed and kept.

Nothing on them is signed: every block has room for the signature of whoever is entitled to give it, and the statements at
the end are forms with blanks.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.figures.figures import Figures
from buildlog.handover.document import frame
from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, box, para, part, points, terms
from buildlog.handover.sheets_forms import forms
from buildlog.handover.sheets_time import time_at
from buildlog.handover.sheets_work import BOOKS, Work, work_by_book
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses
from buildlog.pages.words import Words

TEMPLATE = "log-sheets.typ"
NOT_KNOWN = "not known"
_LONG = 2500
"""Signs from which on a block may be broken between two pages."""
_NOTES = (
    "These pages are made from the builder\u2019s log. Nothing on them is signed until somebody signs it by hand.",
    "Who may sign for a piece of work, or for an inspection, is for the authority\u2019s rules to say.",
    "Time in service is given as far as it is known; \u201cat least\u201d means that more is possible.",
    "What is wrong here is struck out, so that it can still be read, put right beside it, dated and initialled.",
)


def log_sheets(worked: Figures, words: Words, at: Addresses, *, fingerprint: str = "", paper: str = "a4") -> Node:
    """The sheets for the audience of this logbook."""
    binder = Binder(Desk.of(worked, words, at), fingerprint=fingerprint)
    made = work_by_book(binder.desk)
    parts = [page for book in BOOKS if (page := _book(book, made[book], binder)) is not None]
    aircraft = worked.logbook.project.aircraft
    named = f"{aircraft.type} {aircraft.mark or ''}".strip()
    return {**frame(binder, f"Log sheets of {named}", paper), "parts": [*parts, *forms(binder)]}


def _book(book: str, work: list[Work], binder: Binder) -> Node | None:
    """The pages of one book."""
    body = [_block(one, book, binder) for one in work]
    if not body:
        return None
    head = [*terms(_identity(book, binder)), box(*points(_NOTES))]
    return part(f"{book.capitalize()} log", book, [*head, *body])


def _identity(book: str, binder: Binder) -> Iterator[tuple[str, str]]:
    """What the book is kept for, by plate and register."""
    logbook = binder.desk.worked.logbook
    aircraft = logbook.project.aircraft
    serials = logbook.sight.serials
    yield "Aircraft", f"{aircraft.type} {aircraft.mark or ''}".strip()
    if book == "airframe":
        yield "Serial number", (aircraft.serial or NOT_KNOWN) if serials else ""
        return
    known = logbook.components.get(book)
    if known is not None:
        yield "Maker and model", " ".join(filter(None, (known.maker, known.model))) or NOT_KNOWN
        yield "Serial number", (known.serial or NOT_KNOWN) if serials else ""


def _block(one: Work, book: str, binder: Binder) -> Node:
    """A piece of work: when, at what time in service, what, by whom, and room to sign."""
    entry, words = one.entry, binder.desk.words
    told = [para(entry.facts.summary, kind="facts")] if entry.facts.summary else []
    return {
        "t": "block",
        "file": entry.file,
        "date": words.days(entry.first_day, entry.day),
        "time": time_at(book, entry, binder.desk) or NOT_KNOWN,
        "title": entry.facts.title,
        "c": [*told, *points(one.lines)],
        "long": sum(map(len, one.lines)) > _LONG,
        "by": _by(one, binder) or NOT_KNOWN,
    }


def _by(one: Work, binder: Binder) -> str:
    """Who worked, with the hours, as far as this reader may see them."""
    book = binder.desk.worked.logbook
    said = []
    for key, minutes in one.entry.facts.hours.items():
        person = book.project.people.get(key)
        who = (person.name if book.sight.names else person.role) if person else key
        said.append(f"{who} {binder.desk.words.labour(minutes)}")
    return "; ".join(said)
