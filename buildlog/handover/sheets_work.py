"""What each log book is told of an entry: the pieces of work, sorted by the book of what they were done on.

Assumptions
- A line about a component belongs to that component's ``book:``; a line about a system, and an entry that says no more,
  to the engine for systems 71 to 85, to the propeller for system 61, else to the airframe.
- An entry is a piece of work when something was done or found on the aircraft: a component, a part, a weight, a
  measurement, a finding, an inspection, a signature; or when hours are written for a system other than the records.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from buildlog.pages.entry_happened import event_words
from buildlog.pages.lines import Desk
from buildlog.records.changes import ComponentChange
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook

BOOKS = ("airframe", "engine", "propeller")
_PROPELLER = "61"
_ENGINE = range(71, 86)
_RECORDS = "records"


@dataclass
class Work:
    """An entry as one book tells it."""

    entry: Entry
    lines: list[str] = field(default_factory=list)


def work_by_book(desk: Desk) -> dict[str, list[Work]]:
    """The pieces of work of each book, oldest first."""
    books: dict[str, list[Work]] = {book: [] for book in BOOKS}
    for entry in desk.worked.logbook.told():
        for book, lines in _told(entry, desk).items():
            books[book].append(Work(entry, lines))
    return books


def book_of_system(key: str | None, logbook: Logbook) -> str:
    """The book that a system's work goes into."""
    number = logbook.system(key or "").code[:2]
    if number == _PROPELLER:
        return "propeller"
    return "engine" if number.isdigit() and int(number) in _ENGINE else "airframe"


def _told(entry: Entry, desk: Desk) -> dict[str, list[str]]:
    """What each book is told of an entry; nothing for one that is no piece of work."""
    found: dict[str, list[str]] = {}
    for book, line in _lines(entry, desk):
        told = found.setdefault(book, [])
        if line not in told:
            told.append(line)
    facts = entry.facts
    systems = [key for key in facts.system if key != _RECORDS]
    if found or facts.signed or facts.weighing or facts.inspected or (facts.hours and systems):
        main = entry.main_system if entry.main_system != _RECORDS else None
        found.setdefault(book_of_system(main, desk.worked.logbook), [])
        for key in systems:
            found.setdefault(book_of_system(key, desk.worked.logbook), [])
    return {book: found[book] for book in BOOKS if book in found}


def _lines(entry: Entry, desk: Desk) -> Iterator[tuple[str, str]]:
    """The lines of an entry, each with its book."""
    facts, book = entry.facts, desk.worked.logbook
    for change in facts.components:
        yield _of(change.key, None, entry, book), _event(change, book)
    for part in facts.parts:
        if part.kind == "part":
            number = f", part number {part.part_no}" if part.part_no else ""
            serial = f", serial {part.serial}" if part.serial else ""
            yield _of(part.component, part.system, entry, book), f"Part: {part.item}{number}{serial}"
    for weight in facts.weight:
        way = "taken off" if weight.removed else "put on"
        kg = desk.words.weight(weight.weight.base)
        yield _of(weight.component, weight.system, entry, book), f"Weight: {weight.item}, {kg} {way} ({weight.basis})"
    for line in facts.measured:
        limits = f" (should be {line.limits})" if line.limits else ""
        before = f", before the work {line.before}" if line.before else ""
        yield _of(line.component, line.system, entry, book), f"Measured: {line.what}: {line.value}{before}{limits}"
    yield from _findings(entry, desk)
    yield from _checked(entry, desk)


def _of(component: str | None, system: str | None, entry: Entry, book: Logbook) -> str:
    known = book.components.get(component or "")
    if known is not None and known.book:
        return known.book
    return book_of_system((known.system if known else None) or system or entry.main_system, book)


def _event(change: ComponentChange, book: Logbook) -> str:
    known = book.components.get(change.key)
    name = known.name if known else change.key
    serial = f", serial {known.serial}" if known and known.serial else ""
    number = f", part number {known.part_no}" if known and known.part_no else ""
    by = f", by {change.by}" if change.by else ""
    because = f": {change.because}" if change.because else ""
    return f"{name}{number}{serial}: {event_words(change)}{by}{because}"


def _findings(entry: Entry, desk: Desk) -> Iterator[tuple[str, str]]:
    states = {state.line.key: state for state in desk.worked.findings}
    book = desk.worked.logbook
    for finding in entry.facts.findings:
        where = _of(finding.component, finding.system, entry, book)
        yield where, f"Found ({finding.key}, {desk.words.standing(finding.standing)}): {finding.found}"
    for closing in entry.facts.closes:
        state = states.get(closing.key)
        if state is not None:
            by = f": {closing.by}" if closing.by else ""
            where = _of(state.line.component, state.system, entry, book)
            yield where, f"Closed ({closing.key}, {state.line.found}){by}"


def _checked(entry: Entry, desk: Desk) -> Iterator[tuple[str, str]]:
    book = desk.worked.logbook
    checks = {check.key: check for check in book.checks.checks}
    for line in entry.facts.inspected:
        check = checks.get(line.key)
        note = f": {line.note}" if line.note else ""
        yield (
            _of(check.component if check else None, None, entry, book),
            f"Checked: {check.name if check else line.key}{note}",
        )
    known = {directive.key: directive for directive in book.directives.directives}
    for key in entry.facts.directives:
        if key in known:
            one = known[key]
            method = f": {one.method}" if one.method else ""
            yield _of(one.about, None, entry, book), f"{one.number}, {one.title}{method}"
