"""The facts of a day for the margin: work, money, weight, what went off and on, components, findings, signatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from buildlog.basics.names import counted
from buildlog.figures.findings import FindingState
from buildlog.figures.weight import Change
from buildlog.pages.asked import question_path
from buildlog.pages.lines import Desk, finding_anchor
from buildlog.pages.words import Words
from buildlog.records.changes import ComponentChange, SignOff
from buildlog.records.entry import Entry

MOST = 5
"""Lines of weight or of components in the margin; more stand in a table under the text only."""
_SIGNED = {"work": "the work done", "return-to-service": "return to service", "condition-inspection": "condition inspection"}
_DID = {"removed": "removed", "installed": "installed", "tagged": "tagged", "sent": "sent out", "received": "arrived",
        "repaired": "repaired", "overhauled": "overhauled"}  # fmt: skip


@dataclass(frozen=True)
class Said:
    """A line of a fact: ``mark`` is open, shut or '', ``basis`` how a weight is known, ``note`` a softer remark."""

    words: str
    path: str = ""
    mark: str = ""
    basis: str = ""
    note: str = ""


@dataclass(frozen=True)
class Fact:
    """One fact of the margin: its name, a large figure or '', where its lines are, and lines."""

    name: str
    figure: str = ""
    path: str = ""
    lines: tuple[Said, ...] = ()
    broad: bool = False
    """Whether it wants the room of two beside others."""


def margin(entry: Entry, place: int, desk: Desk) -> tuple[Fact, ...]:
    """All facts of an entry; ``place`` is its position in the log."""
    makers = (_work(entry, desk), _money(entry, desk), _weight(entry, desk), _empty(entry, place, desk), _moved(entry, desk),
              _components(entry, desk), _findings(entry, desk), _answers(entry, desk), _checked(entry, desk),
              _meters(entry, desk.words), _jobs(entry, desk), _signed(entry, desk))  # fmt: skip
    return tuple(fact for made in makers for fact in made)


def _work(entry: Entry, desk: Desk) -> Iterator[Fact]:
    hours, people = entry.facts.hours, desk.worked.logbook.project.people
    if not hours:
        return
    named = desk.worked.logbook.sight.names
    lines = []
    for person, minutes in hours.items():
        known = people.get(person)
        who = (known.name if named else known.role) if known else person
        lines.append(Said(f"{who} {desk.words.labour(minutes, unit=False)}"))
    alone = len(lines) == 1 and next(iter(hours)) == "owner"
    yield Fact("Work", desk.words.labour(sum(hours.values())), "", () if alone else tuple(lines))


def _money(entry: Entry, desk: Desk) -> Iterator[Fact]:
    mine = [line for line in desk.worked.cost.outlays if line.entry == entry.slug]
    if not desk.priced or not mine:
        return
    words, known = desk.words, [line for line in mine if line.value is not None]
    net = sum(line.value or 0 for line in known)
    back = -sum(line.value or 0 for line in known if line.refund)
    lines = [Said(f"{words.money(net + back, unit=False)} paid, {words.money(back, unit=False)} back")] if back else []
    lines += [Said(f"{words.written_money(line.money)} apart, no rate stated") for line in mine if line.value is None]
    yield Fact("Money", words.money(net) if known else "", "#e-costs", tuple(lines))


def _weight(entry: Entry, desk: Desk) -> Iterator[Fact]:
    mine, words = _changes(entry, desk), desk.words
    if mine:
        net = sum((change.kg for change in mine), Fraction(0))
        yield Fact("Weight", words.weight(net, signed=True), "#e-weights", tuple(Said(text) for text in _where(mine, words)))


def _where(changes: list[Change], words: Words) -> Iterator[str]:
    arms = {change.arm_m for change in changes}
    without = sum(change.arm_m is None for change in changes)
    if without:
        yield f"{'no arm' if without == len(changes) else counted(without, 'line') + ' without an arm'}"
    elif len(arms) == 1:
        yield f"at {words.arm(next(change.arm_m for change in changes if change.arm_m is not None))}"


def _empty(entry: Entry, place: int, desk: Desk) -> Iterator[Fact]:
    after, words = desk.worked.weight.empty_after(place), desk.words
    if after is None or not (entry.facts.weighing or _changes(entry, desk)):
        return
    name = "Empty, as weighed" if entry.facts.weighing else "Empty after this"
    cg = (Said(f"centre of gravity {words.arm(after.arm_m)}"),) if after.arm_m is not None else ()
    yield Fact(name, words.weight(after.kg), "#e-weighing" if entry.facts.weighing else "weight.html", cg)


def _moved(entry: Entry, desk: Desk) -> Iterator[Fact]:
    words, parts, at = desk.words, desk.worked.logbook.components, desk.at
    for name, went_in in (("Out", False), ("In", True)):
        lines = [change for change in _changes(entry, desk) if change.installed == went_in]
        said = tuple(Said(f"{line.item}, {words.weight(abs(line.kg))}",
                          at.component(line.component) if line.component and line.component in parts else "", basis=line.basis)
                     for line in lines[:MOST])  # fmt: skip
        more = (Said(f"and {len(lines) - MOST} more", "#e-weights"),) if len(lines) > MOST else ()
        if said:
            yield Fact(name, "", "", said + more, broad=True)


def _changes(entry: Entry, desk: Desk) -> list[Change]:
    return [change for change in desk.worked.weight.changes if change.entry == entry.slug]


def _components(entry: Entry, desk: Desk) -> Iterator[Fact]:
    lines = [_event(line, desk) for line in entry.facts.components]
    more = [Said(f"and {len(lines) - MOST} more", "#e-components")] if len(lines) > MOST else []
    if lines:
        yield Fact("Components", "", "", tuple([*lines[:MOST], *more]), broad=True)


def _event(line: ComponentChange, desk: Desk) -> Said:
    known = desk.worked.logbook.components.get(line.key)
    return Said(f"{known.name if known else line.key}: {event_words(line)}", desk.at.component(line.key) if known else "")


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
    shut = [Said(state.line.found, _finding_path(state), "shut", note=state.closed_by) for state in ended
            if state.raised_in != entry.slug]  # fmt: skip
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
    lines = tuple(Said(asked[key].ask, question_path(asked[key], desk.worked.logbook, desk.at), "shut")
                  for key in entry.facts.answers if key in asked)  # fmt: skip
    if lines:
        yield Fact("Answers", "", "", lines, broad=True)


def _checked(entry: Entry, desk: Desk) -> Iterator[Fact]:
    book = desk.worked.logbook
    people = {key: person.role for key, person in book.project.people.items()}
    checks = {check.key: check.name for check in book.checks.checks}
    lines = []
    for line in entry.facts.inspected:
        by = f"by the {people.get(line.by, line.by)}" if line.by and not book.sight.names else f"by {line.by}" if line.by else ""
        lines.append(Said(checks.get(line.key, line.key), note=", ".join(filter(None, (by, line.note)))))
    if lines:
        yield Fact("Checked", "", "", tuple(lines), broad=True)
    known = {directive.key: directive for directive in book.directives.directives}
    done = tuple(Said(known[key].number, note=known[key].title) for key in entry.facts.directives if key in known)
    if done:
        yield Fact("Directives and bulletins", "", "", done, broad=True)


def _meters(entry: Entry, words: Words) -> Iterator[Fact]:
    facts = entry.facts
    lines = [Said(f"{name} {words.plain(value)}\u00a0h") for name, value in facts.meter.items()]
    lines += [Said(f"{name} replaced: read {words.plain(change.read)}\u00a0h, the new one starts at {words.plain(change.starts)}\u00a0h")
              for name, change in facts.meter_replaced.items()]  # fmt: skip
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
        said = [f"{desk.words.labour(record.worked)} in all" if seen and record.worked else "",
                f"{desk.words.labour(record.estimated)} expected" if seen and record.estimated else "",
                f"done {desk.words.day(record.job.done)}" if record.job.done else "not finished"]  # fmt: skip
        lines.append(Said(record.job.name, note=", ".join(filter(None, said))))
    if lines:
        yield Fact("Job", "", "", tuple(lines), broad=True)


def _signed(entry: Entry, desk: Desk) -> Iterator[Fact]:
    lines = tuple(Said(signature_words(line, desk)) for line in entry.facts.signed)
    if lines:
        yield Fact("Signed, as the entry says", "", "#e-signed", lines, broad=True)


def signature_words(line: SignOff, desk: Desk) -> str:
    """Who signed, as what, and when; by role where names may not be seen."""
    book = desk.worked.logbook
    person = book.project.people.get(line.by)
    held = person.certificate if person else None
    who = (f"{person.name}" if book.sight.names else f"the {person.role}") if person else f"the {line.by}"
    paper = f" ({held.kind}{f', {held.number}' if held.number else ''})" if held else ""
    return f"by {who}{paper}, {desk.words.day(line.date)}, as {_SIGNED[line.as_]}"
