"""Lines that the sheets of systems and components share: findings, measurements, parts bought, changes of weight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.findings import open_findings
from buildlog.pages.known import Papers, about_link, hazy_words
from buildlog.pages.sheet import Addresses, Link, Photo, Tab, photos_of
from buildlog.pages.sources import Source, Sources
from buildlog.pages.words import Words
from buildlog.records.changes import Measurement
from buildlog.records.entry import Entry
from buildlog.records.logbook import system_order
from buildlog.records.purchases import Part
from buildlog.records.seals import SealState

if TYPE_CHECKING:
    from buildlog.figures.figures import Figures
    from buildlog.figures.findings import FindingState
    from buildlog.figures.weight import Change, Empty
    from buildlog.pages.charts import Event


@frozen
class Desk:
    """What every page works with: the figures, how they are written, and where things are."""

    worked: Figures
    words: Words
    at: Addresses
    sources: Sources
    papers: Papers
    seals: Mapping[str, SealState]
    """The seal that counts of each sealed entry, by the entry's address."""

    @classmethod
    def of(cls, worked: Figures, words: Words, at: Addresses) -> Desk:
        """A desk for one record."""
        book = worked.logbook
        return cls(worked, words, at, Sources(worked, words, at), Papers(book, at), book.sealed())

    @property
    def priced(self) -> bool:
        """Whether single amounts may be seen."""
        return self.worked.logbook.sight.costs == "full"

    def in_order(self, keys: Iterable[str]) -> list[str]:
        """Systems by their numbers, the one without a name last."""
        book = self.worked.logbook
        return sorted(keys, key=lambda key: system_order(book.system(key)))

    def milestones(self) -> tuple[Event, ...]:
        """The milestones that charts over dates are marked with."""
        from buildlog.pages.charts import Event

        entries = self.worked.logbook.told()
        return tuple(Event(entry.day, entry.facts.milestone) for entry in entries if entry.facts.milestone)


def rests_on(empty: Empty, words: Words) -> str:
    """What an empty weight rests on: ``weighed 14 March 2026``, or a statement and that nobody has weighed it since."""
    if empty.weighing is not None:
        return f"weighed {words.day(empty.weighing.day)}"
    start = empty.stated.record if empty.stated else None
    when = f", {hazy_words(start.on, words)}" if start and start.on else ""
    return f"as stated, not weighed: {start.says}{when}" if start else "not weighed"


@frozen
class FindingLine:
    """A finding from the entry that raised it to the one that ended it."""

    key: str
    anchor: str
    found: str
    standing: str
    open: bool
    limits: str
    tab: Tab
    component: Link | None
    raised: Source
    closed: Source | None
    by: str
    lasted: str


@frozen
class MeasureLine:
    """Something measured, with what it should be and what it was before."""

    what: str
    value: str
    limits: str
    before: str
    component: Link | None
    source: Source


@frozen
class PartLine:
    """Something bought; ``cost`` is '' where single amounts may not be seen or none is written."""

    item: str
    kind: str
    quantity: str
    part_no: str
    serial: str
    supplier: str
    cost: str
    note: str
    source: Source


@frozen
class ChangeLine:
    """Something put on (``way`` is in) or taken off (out), with its weight and how that is known."""

    item: str
    way: str
    weight: str
    basis: str
    arm: str
    moment: str
    component: Link | None
    source: Source


def finding_line(state: FindingState, desk: Desk) -> FindingLine:
    """A finding in words."""
    line = state.line
    return FindingLine(
        line.key,
        finding_anchor(line.key),
        line.found,
        desk.words.standing(line.standing),
        state.open,
        _limits(state, desk.words),
        desk.at.tab(state.system),
        link_to(line.component, desk),
        desk.sources.of(state.raised_in, state.raised),
        desk.sources.maybe(state.closed_in, state.closed),
        state.closed_by,
        _lasted(state, desk),
    )


def finding_anchor(key: str) -> str:
    """Where a finding stands on the page of findings."""
    return "-".join(key.split())


def findings_in_order(states: Iterable[FindingState]) -> list[FindingState]:
    """Those still open by what they hold up, then those closed, the last closed first."""
    held = tuple(states)
    closed = [state for state in held if not state.open]
    return open_findings(held) + sorted(closed, key=lambda state: (state.closed, state.line.key), reverse=True)


def measure_lines(lines: Iterable[tuple[Entry, Measurement]], desk: Desk) -> tuple[MeasureLine, ...]:
    """Measurements in the order they were made."""
    return tuple(_measured(entry, line, desk) for entry, line in lines)


def part_lines(lines: Iterable[tuple[Entry, Part]], desk: Desk) -> tuple[PartLine, ...]:
    """What was bought, in the order it was."""
    return tuple(_part(entry, line, desk) for entry, line in lines)


def change_line(change: Change, desk: Desk) -> ChangeLine:
    """A change of weight in words."""
    words = desk.words
    return ChangeLine(
        change.item,
        "in" if change.installed else "out",
        words.weight(change.kg, signed=True, unit=False),
        change.basis,
        words.arm(change.arm_m, unit=False) if change.arm_m is not None else "",
        words.moment(change.moment, unit=False) if change.moment is not None else "",
        link_to(change.component, desk),
        desk.sources.of(change.entry, change.day),
    )


def photos_from(entries: Iterable[Entry], desk: Desk) -> tuple[Photo, ...]:
    """The photos of some entries, each once, in the order they were taken up."""
    found: dict[str, Photo] = {}
    for entry in entries:
        for photo in photos_of(entry):
            found.setdefault(photo.file, photo)
    return tuple(photo for photo in found.values() if photo.file in desk.worked.logbook.files)


def link_to(component: str | None, desk: Desk) -> Link | None:
    """A component by its name."""
    return about_link(component, desk.worked.logbook, desk.at) if component else None


def _measured(entry: Entry, line: Measurement, desk: Desk) -> MeasureLine:
    return MeasureLine(
        line.what,
        line.value,
        line.limits or "",
        line.before or "",
        link_to(line.component, desk),
        desk.sources.whole(entry),
    )


def _part(entry: Entry, line: Part, desk: Desk) -> PartLine:
    price = line.price() if desk.priced else None
    return PartLine(
        line.item,
        line.kind,
        desk.words.plain(line.quantity),
        line.part_no or "",
        line.serial or "",
        line.supplier or "",
        desk.words.written_money(price) if price else "",
        line.note or "",
        desk.sources.whole(entry),
    )


def _limits(state: FindingState, words: Words) -> str:
    said = [f"until {words.day(state.line.until)}"] if state.line.until else []
    return "; ".join([*said, *([state.line.limit] if state.line.limit else [])])


def _lasted(state: FindingState, desk: Desk) -> str:
    """How long a finding was or is open; not where days may not be seen."""
    end = state.closed or desk.worked.on
    if end is None or not desk.words.exact_dates:
        return ""
    days = (end - state.raised).days
    if state.open:
        return f"open for {counted(days, 'day')}" if days else ""
    return f"closed after {counted(days, 'day')}" if days else "closed the same day"
