"""What happened that day, for the margin: components, findings, answers, checks, meters, jobs, signatures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from buildlog.pages.asked import question_path
from buildlog.pages.entry_fact import MOST, Fact, Said
from buildlog.pages.lines import Desk, finding_anchor
from buildlog.pages.seals import seal_line
from buildlog.pages.signatures import signatures_of
from buildlog.pages.words import Words
from buildlog.records.changes import ComponentChange
from buildlog.records.entry import Entry

if TYPE_CHECKING:
    from buildlog.figures.findings import FindingState

_DID = {
    "removed": "removed",
    "installed": "installed",
    "tagged": "tagged",
    "sent": "sent out",
    "received": "arrived",
    "repaired": "repaired",
    "overhauled": "overhauled",
}


def happened(entry: Entry, desk: Desk) -> Iterator[Fact]:
    """Everything that was told of the day beside work, money and weight."""
    yield from _components(entry, desk)
    yield from _findings(entry, desk)
    yield from _answers(entry, desk)
    yield from _checked(entry, desk)
    yield from _meters(entry, desk.words)
    yield from _jobs(entry, desk)
    yield from _signed(entry, desk)


def _components(entry: Entry, desk: Desk) -> Iterator[Fact]:
    lines = [_event(line, desk) for line in entry.facts.components]
    more = [Said(f"and {len(lines) - MOST} more", "#e-components")] if len(lines) > MOST else []
    if lines:
        yield Fact("Components", "", "", (*lines[:MOST], *more), broad=True)


def _event(line: ComponentChange, desk: Desk) -> Said:
    known = desk.worked.logbook.components.get(line.key)
    return Said(
        f"{known.name if known else line.key}: {event_words(line)}",
        desk.at.component(line.key) if known else "",
    )


def event_words(line: ComponentChange) -> str:
    """What happened to a component, with the state it was left in."""
    if line.verb == "tagged":
        return f"found {line.state}"
    return f"{_DID[line.verb]}, {line.state}" if line.state else _DID[line.verb]


def _findings(entry: Entry, desk: Desk) -> Iterator[Fact]:
    states = {state.line.key: state for state in desk.worked.findings}
    raised = [states[line.key] for line in entry.facts.findings if line.key in states]
    ended = [states[line.key] for line in entry.facts.closes if line.key in states]
    found = [_found(state, entry, desk) for state in raised]
    shut = [
        Said(state.line.found, _finding_path(state), "shut", note=state.closed_by)
        for state in ended
        if state.raised_in != entry.slug
    ]
    if found:
        yield Fact("Found", "", "", tuple(found), broad=True)
    if shut:
        yield Fact("Closed", "", "", tuple(shut), broad=True)


def _found(state: FindingState, entry: Entry, desk: Desk) -> Said:
    standing = desk.words.standing(state.line.standing)
    if state.open:
        return Said(state.line.found, _finding_path(state), "open", note=f"{standing}, still open")
    when = "the same day" if state.closed_in == entry.slug else desk.words.day(state.closed) if state.closed else ""
    by = f": {state.closed_by}" if state.closed_in == entry.slug and state.closed_by else ""
    return Said(state.line.found, _finding_path(state), "shut", note=f"{standing}, closed {when}{by}")


def _finding_path(state: FindingState) -> str:
    return f"findings.html#{finding_anchor(state.line.key)}"


def _answers(entry: Entry, desk: Desk) -> Iterator[Fact]:
    asked = {question.key: question for question in desk.worked.logbook.history.questions}
    lines = tuple(
        Said(asked[key].ask, question_path(asked[key], desk.worked.logbook, desk.at), "shut")
        for key in entry.facts.answers
        if key in asked
    )
    if lines:
        yield Fact("Answers", "", "", lines, broad=True)


def _checked(entry: Entry, desk: Desk) -> Iterator[Fact]:
    book = desk.worked.logbook
    people = {key: person.role for key, person in book.project.people.items()}
    checks = {check.key: check.name for check in book.checks.checks}
    lines = []
    for line in entry.facts.inspected:
        by = (
            f"by the {people.get(line.by, line.by)}"
            if line.by and not book.sight.names
            else f"by {line.by}"
            if line.by
            else ""
        )
        lines.append(Said(checks.get(line.key, line.key), note="; ".join(filter(None, (line.note, by)))))
    if lines:
        yield Fact("Checked", "", "", tuple(lines), broad=True)
    known = {directive.key: directive for directive in book.directives.directives}
    done = tuple(Said(known[key].number, note=known[key].title) for key in entry.facts.directives if key in known)
    if done:
        yield Fact("Directives and bulletins", "", "", done, broad=True)


def _meters(entry: Entry, words: Words) -> Iterator[Fact]:
    facts = entry.facts
    lines = [Said(f"{name} {words.plain(value)}\u00a0h") for name, value in facts.meter.items()]
    lines += [
        Said(
            f"{name} replaced: it read {words.plain(change.read)}\u00a0h, "
            f"the new one starts at {words.plain(change.starts)}\u00a0h"
        )
        for name, change in facts.meter_replaced.items()
    ]
    if lines:
        yield Fact("Meter", "", "", tuple(lines))


def _jobs(entry: Entry, desk: Desk) -> Iterator[Fact]:
    records = {record.job.key: record for record in desk.worked.labour.jobs}
    lines = []
    for key in entry.facts.job:
        record = records.get(key)
        if record is None:
            continue
        seen = desk.worked.logbook.sight.hours
        said = [
            f"{desk.words.labour(record.worked)} in all" if seen and record.worked else "",
            f"{desk.words.labour(record.estimated)} expected" if seen and record.estimated else "",
            f"done {desk.words.day(record.job.done)}" if record.job.done else "not finished",
        ]
        lines.append(Said(record.job.name, note=", ".join(filter(None, said))))
    if lines:
        yield Fact("Job", "", "", tuple(lines), broad=True)


def _signed(entry: Entry, desk: Desk) -> Iterator[Fact]:
    lines = tuple(Said(line.who) for line in signatures_of([entry.slug], desk))
    if lines:
        yield Fact("Signed, as the entry says", "", "#e-signed", lines, broad=True)
    seal = desk.seals.get(entry.slug)
    if seal is not None:
        line = seal_line(seal, desk.worked.logbook, desk.words)
        yield Fact(
            "Seal", "", "", (Said(line.words, mark="shut" if line.whole else "open", note=line.note),), broad=True
        )
