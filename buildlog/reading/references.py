"""What the records say of one another: every key that is named must be somewhere, every file too, each key once."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from buildlog.basics.dates import read_hazy
from buildlog.basics.names import suggestion
from buildlog.basics.problems import Misread, Place, Problem, shown
from buildlog.reading.entries import stem
from buildlog.reading.markdown import project_path
from buildlog.reading.named import Named, all_named, rows
from buildlog.reading.repeats import circles, repeats
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.systems import BUILT_IN
from buildlog.records.writings import Page

_WORDS = {
    "system": ("no-such-system", "system", "add it under  systems:  in project.yaml, or use a built-in one"),
    "person": ("no-such-person", "person", "add the person under  people:  in project.yaml"),
    "component": ("no-such-component", "component", "add it to components.yaml"),
    "order": ("no-such-order", "order", "add it under  orders:  in the entry of the day it was ordered"),
    "quote": ("no-such-quote", "quote", "add it under  quotes:  in the entry of the day it was asked for"),
    "finding": ("no-such-finding", "finding", "add it under  findings:  in the entry of the day it was found"),
    "job": ("no-such-job", "job", "add it under  jobs:  in plan.yaml"),
    "check": ("no-such-check", "check", "add it under  checks:  in checks.yaml"),
    "directive": ("no-such-directive", "directive", "add it to directives.yaml"),
    "question": ("no-such-question", "question", "add it under  questions:  in history.yaml"),
    "station": ("no-such-station", "station", "add it under  stations:  in loading.yaml"),
}
_HOLDS = {
    "project": {"system", "person"},
    "components": {"component"},
    "plan": {"job"},
    "checks": {"check"},
    "directives": {"directive"},
    "history": {"question"},
    "loading": {"station"},
    "log": {"order", "quote", "finding"},
}
"""The sorts of key that each file or folder gives: while a file cannot be read, nobody knows what it holds."""


Locate = Callable[..., Place]
"""The place of a field, by file and path within its facts; asked only when there is a problem to tell."""


def settle(logbook: Logbook, unsound: set[str], unread: set[str], locate: Locate) -> tuple[Logbook, list[Problem]]:
    """The logbook with the paths of its files settled, and every reference that leads nowhere.

    Keys in ``unsound`` stand in files that have problems of their own; naming them is no second problem, nor is naming
    what may be in the files ``unread``.
    """
    known = _known(logbook)
    untold = {sort for file in unread for sort in _HOLDS.get(file.split("/", 1)[0].removesuffix(".yaml"), ())}
    problems = [*repeats(logbook), *circles(logbook)]
    problems += [
        _missing(named, known[named.sort], locate)
        for named in all_named(logbook)
        if named.key not in known[named.sort] and named.key not in unsound and named.sort not in untold
    ]
    entries = []
    for entry in logbook.entries:
        settled, found = _with_paths(entry, logbook.files, locate)
        entries.append(settled)
        problems += found
    problems += _other_files(logbook) + _other_entries(logbook, locate)
    pages, found = _with_pictures(logbook)
    return replace(logbook, entries=tuple(entries), pages=pages), problems + found


def _missing(named: Named, known: set[str], locate: Locate) -> Problem:
    name, words, remedy = _WORDS[named.sort]
    place = locate(named.file, named.path, named.before_colon) if named.path else named.place
    near = suggestion(named.key, known)
    if near.startswith("known"):
        remedy = f"{near}\nor {remedy}"
    elif near:
        remedy = near
    return Problem(place, name, f"there is no {words} {shown(named.key)}", remedy)


def _known(logbook: Logbook) -> dict[str, set[str]]:
    facts = [entry.facts for entry in logbook.entries]
    return {
        "system": {*BUILT_IN, *logbook.project.systems},
        "person": {"owner", *logbook.project.people},
        "component": {"airframe", "aircraft", *logbook.components},
        "order": {order.key for fact in facts for order in fact.orders},
        "quote": {quote.key for fact in facts for quote in fact.quotes},
        "finding": {finding.key for fact in facts for finding in fact.findings},
        "job": {job.key for job in logbook.plan.jobs},
        "check": {check.key for check in logbook.checks.checks},
        "directive": {directive.key for directive in logbook.directives.directives},
        "question": {question.key for question in logbook.history.questions},
        "station": {station.key for station in logbook.loading.stations} if logbook.loading else set(),
    }


def _is_file(written: str) -> bool:
    """Whether the words of a tag or paper are a file's path and not a number to read."""
    return re.sub(r"^(\.{1,2}/)+", "", written.replace("\\", "/")).startswith(("documents/", "photos/"))


def _with_paths(entry: Entry, files: frozenset[str], locate: Locate) -> tuple[Entry, list[Problem]]:
    """The entry with every path written from the project folder, and the files that are not there."""
    problems: list[Problem] = []

    def settled(path: str | None, field: tuple[str | int, ...], what: str = "file") -> str | None:
        if path is None or (field[0] == "components" and not _is_file(path)):
            return path  # the number of a tag, and no file
        found, troubles = project_path(path, entry.file, entry.place, files, what)
        problems.extend(replace(trouble, place=locate(entry.file, field)) for trouble in troubles)
        return found or path

    def each(name: str, field: str, what: str = "file") -> None:
        lines = update.get(name, getattr(entry.facts, name))
        for number, line in enumerate(lines):
            path = getattr(line, field)
            found = settled(path, (name, number, field), what) if path else path
            if found != path:
                new = line.model_copy(update={field: found})
                update[name] = (*update.get(name, lines)[:number], new, *lines[number + 1 :])

    facts = entry.facts
    update: dict[str, Any] = {}
    each("photos", "file", "photo")
    each("documents", "file")
    each("parts", "receipt")
    each("costs", "receipt")
    each("orders", "receipt")
    each("quotes", "document")
    each("signed", "paper")
    each("components", "tag")
    each("components", "paper")
    if facts.picture:
        update["picture"] = settled(facts.picture, ("picture",), "photo")
    if not update or all(getattr(facts, name) == now for name, now in update.items()):
        return entry, problems  # the very same, by which those who read it know that nothing changed
    return replace(entry, facts=facts.model_copy(update=update)), problems


def _other_files(logbook: Logbook) -> list[Problem]:
    """Files that the registers name."""
    problems: list[Problem] = []
    wanted = [(path, fact.place) for fact in logbook.history.facts for path in fact.evidence]
    wanted += [(row.receipt, row.place) for row in logbook.ledger if row.receipt]
    wanted += [(part.photo, part.place) for part in logbook.components.values() if part.photo]
    wanted += [(part.tag, part.place) for part in logbook.components.values() if part.tag and _is_file(part.tag)]
    package = logbook.project.package
    wanted += [(package.cover, package.place)] if package.cover else []
    for path, place in wanted:
        problems += project_path(path, "project.yaml", place, logbook.files)[1]
    return problems


def _with_pictures(logbook: Logbook) -> tuple[tuple[Page, ...], list[Problem]]:
    """The pages with the paths of their pictures written from the project folder."""
    pages, problems = [], []
    for page in logbook.pages:
        if page.facts.picture:
            path, found = project_path(page.facts.picture, page.file, page.place, logbook.files, "photo")
            problems += found
            picture = path or page.facts.picture
            pages.append(replace(page, facts=page.facts.model_copy(update={"picture": picture})))
        else:
            pages.append(page)
    return tuple(pages), problems


def _other_entries(logbook: Logbook, locate: Locate) -> list[Problem]:
    """Entries named by ``corrects:`` of another and ``last:`` of a check; one with faults of its own is there, too."""
    names = {stem(file) for file in logbook.files if file.startswith("log/") and file.endswith(".md")}
    problems = []
    for entry in logbook.entries:
        wrong = stem(entry.facts.corrects or "")
        if wrong and (wrong not in names or wrong == entry.slug):
            problems.append(
                Problem(
                    locate(entry.file, ("corrects",)),
                    "no-such-entry",
                    f"there is no other entry {shown(wrong)}",
                    suggestion(wrong, names - {entry.slug}, "name its file, as in  2026-07-04-battery.md"),
                )
            )
    for check, path in rows("checks", logbook.checks.checks):
        if check.last and stem(check.last) not in names and check.last != "never" and not _is_date(check.last):
            place = locate(check.place.file, (*path, "last"))
            problems.append(
                Problem(
                    place,
                    "no-such-entry",
                    f"last: {shown(check.last)} is neither a date, nor an entry, nor never",
                    suggestion(stem(check.last), names, "write  2026-05-16 , or the file of the entry that did it"),
                )
            )
    return problems


def _is_date(text: str) -> bool:
    try:
        read_hazy(text)
    except Misread:
        return False
    return True
