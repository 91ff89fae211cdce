"""One component: what it is, where it is, and everything that the log tells of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.components import ComponentState, Event
from buildlog.figures.orders import Order
from buildlog.pages.due import DueGroup, due_groups
from buildlog.pages.known import FactRow, Paper, QuestionRow, facts_about, in_words, is_file, questions_about
from buildlog.pages.lines import (
    ChangeLine,
    Desk,
    FindingLine,
    MeasureLine,
    PartLine,
    change_line,
    finding_line,
    findings_in_order,
    link_to,
    measure_lines,
    part_lines,
    photos_from,
)
from buildlog.pages.records import ShownLine, shown_lines
from buildlog.pages.sheet import Link, Photo, Sheet, Tab
from buildlog.pages.sources import Source
from buildlog.pages.times import TimeLine, time_lines
from buildlog.records.entry import Entry
from buildlog.records.jasc import name_of
from buildlog.records.purchases import Part
from buildlog.records.registers import Component, Life

MOST_PHOTOS = 6
_SAID = {"installed": "installed in", "sent": "sent to", "repaired": "repaired by", "overhauled": "overhauled by"}
_PLAIN = {"sent": "sent out"}


@frozen
class StateRow:
    """A component in a list: where it is, in what state, and since when."""

    name: str
    path: str
    state: str
    since: str
    inside: Link | None
    part_no: str
    serial: str
    gone: bool
    last: Source | None


@frozen
class Term:
    """A line of a component's identity."""

    name: str
    words: str


@frozen
class EventRow:
    """Something that happened to a component. ``number`` is what a tag or paper says that is no file."""

    source: Source
    what: str
    state: str
    because: str
    number: str
    papers: tuple[Paper, ...]


@frozen
class ComponentView:
    """A component's page."""

    tab: Tab
    state: StateRow
    identity: tuple[Term, ...]
    note: str
    photo: Photo | None
    holds: tuple[StateRow, ...]
    events: tuple[EventRow, ...]
    findings: tuple[FindingLine, ...]
    open: int
    measured: tuple[MeasureLine, ...]
    parts: tuple[PartLine, ...]
    changes: tuple[ChangeLine, ...]
    facts: tuple[FactRow, ...]
    questions: tuple[QuestionRow, ...]
    papers: tuple[Paper, ...]
    photos: tuple[Photo, ...]
    weight_unit: str
    arm_unit: str
    datum: str
    times: tuple[TimeLine, ...]
    asked: tuple[ShownLine, ...]
    due: tuple[DueGroup, ...]


def component_sheet(state: ComponentState, entries: tuple[Entry, ...], desk: Desk) -> Sheet:
    """The page of one component; ``entries`` are those that tell something of it."""
    record, key, words = state.record, state.key, desk.words
    parts = [(entry, line) for entry in entries for line in entry.facts.parts if line.component == key]
    measured = [(entry, line) for entry in entries for line in entry.facts.measured if line.component == key]
    findings = [found for found in desk.worked.findings if found.line.component == key]
    photos = photos_from(entries, desk)
    photo = photo_of(record, desk)
    view = ComponentView(
        desk.at.tab(record.system or ""),
        state_row(state, desk),
        tuple(_identity(record, desk)),
        record.note or "",
        photo,
        tuple(
            state_row(other, desk)
            for other in desk.worked.components.values()
            if other.inside == key and other.place == "fitted"
        ),
        tuple(_events(state, desk)),
        tuple(finding_line(found, desk) for found in findings_in_order(findings)),
        sum(found.open for found in findings),
        measure_lines(measured, desk),
        part_lines(parts, desk),
        tuple(change_line(change, desk) for change in desk.worked.weight.changes if change.component == key),
        facts_about(desk.worked, words, desk.at, desk.papers, {key}),
        questions_about(desk.sources, desk.worked.logbook, desk.at, {key}),
        _papers(state, (line for _, line in parts), desk),
        tuple(one for one in photos if one != photo)[:MOST_PHOTOS],
        words.weight_unit,
        words.arm_unit,
        words.datum,
        tuple(time_lines(key, desk.worked, words)),
        shown_lines((key,), desk),
        due_groups((item for item in desk.worked.due if item.about == key), desk),
    )
    return Sheet(
        desk.at.component(key),
        "component.html",
        record.name,
        view,
        "components.html",
        description=f"{record.name}: {view.state.state}, {counted(len(view.events), 'event')} in the log.",
        picture=photo.file if photo else "",
        name=f"Component {key}",
        updated=entries[-1].day if entries else None,
    )


def state_row(state: ComponentState, desk: Desk) -> StateRow:
    """A component for a list."""
    record = state.record
    last = state.events[-1] if state.events else None
    fitted = state.place == "fitted"
    return StateRow(
        record.name,
        desk.at.component(state.key),
        state.state,
        since(state, desk),
        link_to(state.inside if fitted else None, desk),
        record.part_no or "",
        record.serial or "",
        state.place == "gone",
        desk.sources.of(last.entry, last.day) if last else None,
    )


def since(state: ComponentState, desk: Desk) -> str:
    """Since when a component is in the state told of it: a day, or as found; '' for what is not here yet."""
    day = _since(state)
    if day is not None:
        return desk.words.brief_day(day)
    return "" if state.place == "awaited" else "as found"


def _since(state: ComponentState) -> date | None:
    """The day a part that is off came by its condition; else the day it came where it is."""
    if state.place not in {"loose", "gone"} or state.condition is None:
        return state.since
    mended = {"repaired", "overhauled"} if state.condition == "serviceable" else set()
    days = [event.day for event in state.events if event.line.state == state.condition or event.verb in mended]
    return days[-1] if days else state.since


def photo_of(record: Component, desk: Desk) -> Photo | None:
    """A component's own picture, where this audience may see it."""
    shown = record.photo if record.photo in desk.worked.logbook.files else None
    return Photo(shown, "", record.name) if shown else None


def _identity(record: Component, desk: Desk) -> Iterator[Term]:
    named = {
        "Maker": record.maker,
        "Model": record.model,
        "Part number": record.part_no,
        "Serial number": record.serial,
        "System code": f"{record.code} {name_of(record.code.strip())}".strip() if record.code else None,
        "Log book": record.book,
    }
    yield from (Term(name, words) for name, words in named.items() if words)
    if record.required is not None:
        yield Term("Aircraft must have it", "yes" if record.required else "no")
    if record.life is not None:
        yield Term("Life limit as stated", _life(record.life, desk))
    if record.equipment is not None:
        arm = f" at {desk.words.arm(record.equipment.arm.base)}" if record.equipment.arm else ""
        yield Term(
            "On the equipment list", f"{desk.words.weight(record.equipment.weight.base)}{arm}, {record.equipment.basis}"
        )


def _life(life: Life, desk: Desk) -> str:
    limits = [f"{desk.words.plain(life.hours)}\u00a0h"] if life.hours is not None else []
    limits += [f"{life.months} calendar months"] if life.months else []
    stated = " or ".join(limits) or "not stated"
    return f"{stated} ({life.source})" if life.source else stated


def _events(state: ComponentState, desk: Desk) -> Iterator[EventRow]:
    """What happened to it, and when it was ordered, oldest first."""
    orders = [order for order in desk.worked.cost.orders if order.line.component == state.key]
    told = [(order.day, 0, _ordered(order, desk)) for order in orders]
    told += [(event.day, 1, _event(event, desk)) for event in state.events]
    yield from (row for _, _, row in sorted(told, key=lambda line: line[:2]))


def _ordered(order: Order, desk: Desk) -> EventRow:
    item = order.line.item
    promised = f"promised for {desk.words.brief_day(order.promised)}" if order.promised else ""
    return EventRow(desk.sources.of(order.entry, order.day), f"ordered: {item}", "", promised, "", ())


def _event(event: Event, desk: Desk) -> EventRow:
    line = event.line
    whom = line.to or line.by
    inside = link_to(line.inside, desk) if event.verb == "installed" else None
    named = inside.words if inside else whom
    what = f"{_SAID[event.verb]} {named}" if named and event.verb in _SAID else _PLAIN.get(event.verb, event.verb)
    said = [text for text in (line.because, line.note) if text]
    numbers = [text for text in (line.tag, line.paper) if text and not is_file(text)]
    files = tuple(text for text in (line.tag, line.paper) if text and is_file(text))
    return EventRow(
        desk.sources.of(event.entry, event.day),
        what,
        line.state or "",
        ". ".join(in_words(text) for text in said),
        ", ".join(numbers),
        desk.papers.of(files),
    )


def _papers(state: ComponentState, parts: Iterable[Part], desk: Desk) -> tuple[Paper, ...]:
    """The tag that hangs on it, the papers of its events, the receipts of its parts; what may be seen of them."""
    files = [state.record.tag] if state.record.tag else []
    files += [text for event in state.events for text in (event.line.tag, event.line.paper) if text]
    files += [line.receipt for line in parts if line.receipt]
    return desk.papers.of(file for file in files if is_file(file))
