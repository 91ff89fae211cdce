"""What falls due: checks, life limits, directives that come back or have a day, findings put off until one.

Assumptions
- Everything is as of the day of the record; hours are as of the last reading of the meter.
- Of several limits the first counts, a printed day (``due:``) among them.
- A directive that does not apply is none of it; one that applies or may, without an entry that complies with it, is due
  on the day it gives.
- What belongs to a component that is not on the aircraft is not pressing. Gone for good, its life and directives end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from buildlog.basics.bounds import Bounds
from buildlog.basics.dates import HazyDate
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place
from buildlog.figures.components import ComponentState, Event
from buildlog.figures.due_dates import NEVER, NOT_FITTED, NOT_KNOWN, STATES, by_day, pressing
from buildlog.figures.due_done import NEVER_DONE, Done, exactly, times_done
from buildlog.figures.due_limits import Limit, least, life_hours, life_months, recurring
from buildlog.figures.findings import FindingState
from buildlog.figures.service import AIRFRAME, Hours, Times
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Check, Directive, Life


@frozen
class DueItem:
    """Something that falls due. ``kind`` is check, life, directive or finding; ``about`` a component's key or ''."""

    kind: str
    key: str
    name: str
    about: str
    system: str
    state: str
    due: date | None
    left: Bounds
    """Hours left, negative when overrun; nothing known where no hours count."""
    last: HazyDate | None
    last_entry: str
    every: str
    basis: str
    """How the last time is known, where it is not an entry that tells of it."""
    source: str
    note: str
    reason: str
    """Why it stands as it does, where that wants words."""
    place: Place
    appointment: date | None = None


def falling_due(
    logbook: Logbook,
    states: Mapping[str, ComponentState],
    findings: tuple[FindingState, ...],
    times: Times,
    on: date | None,
) -> tuple[DueItem, ...]:
    """Everything that falls due as of a day, the most pressing first."""
    if on is None:
        return ()
    worker = _Dues(logbook, states, times, on)
    items = [*worker.checks(), *worker.lives(), *worker.directives(), *worker.deferred(findings)]
    return tuple(sorted(items, key=_order))


def _order(item: DueItem) -> tuple[int, date, Decimal, str, str]:
    hours = item.left.low if item.left.low is not None else item.left.high
    far = Decimal("Infinity")
    return STATES.index(item.state), item.due or date.max, far if hours is None else hours, item.name, item.key


@frozen
class _Dues:
    """What all items are worked out with."""

    logbook: Logbook
    states: Mapping[str, ComponentState]
    times: Times
    on: date

    def checks(self) -> Iterator[DueItem]:
        for check in self.logbook.checks.checks:
            done = self._checked(check)
            limits = recurring(done, check.every, check.component or AIRFRAME, self.times, self.on, check.carries_over)
            if check.due is not None:
                limits.append(Limit(by_day(check.due, self.on), check.due))
            if not limits:
                limits.append(Limit(NOT_KNOWN, reason="nothing says how often"))
            item = self._item("check", check.key, check.name, check.component or "", limits, check.place, done)
            if not done and check.last == NEVER_DONE and item.state != NOT_FITTED:
                item = replace(item, state=NEVER, reason="")
            every = tuple(map(str, check.every))
            stated = "" if done and done[-1].entry and not check.last else check.basis or ""
            yield replace(
                item,
                every=", ".join(every) + (", whichever comes first" if len(every) > 1 else ""),
                basis=stated,
                source=check.source or "",
                note=check.note or "",
                appointment=check.appointment,
            )

    def lives(self) -> Iterator[DueItem]:
        for key, state in self.states.items():
            life = state.record.life
            if life is None or state.place == "gone" or not (life.hours or life.months):
                continue
            start, hours = self._begun(key, state, life)
            limits = [*life_hours(life, hours), *life_months(life, start, self.on)]
            done = (start,) if start else ()
            item = self._item("life", key, state.record.name, key, limits, state.record.place, done)
            spans = [f"{life.hours} h"] if life.hours else []
            spans += [f"{life.months} calendar months"] if life.months else []
            basis = ("marking" if start else "") if life.since == "new" and not life.hours else hours.basis
            yield replace(item, every=f"{', '.join(spans)} since {life.since}", basis=basis, source=life.source or "")

    def directives(self) -> Iterator[DueItem]:
        for line in self.logbook.directives.directives:
            if line.applies == "no" or self._gone(line.about):
                continue
            entries = [entry for entry in self.logbook.entries if line.key in entry.facts.directives]
            done = times_done(entries, None, self.on)
            limits = self._directive_limits(line, done)
            if limits:
                item = self._item("directive", line.key, line.title, line.about, limits, line.place, done)
                maybe = "whether it applies is not known" if line.applies == "unknown" else ""
                yield replace(
                    item,
                    every=str(line.recurring or ""),
                    source=line.number,
                    note=line.status or "",
                    reason="; ".join(filter(None, (item.reason, maybe))),
                )

    def deferred(self, findings: tuple[FindingState, ...]) -> Iterator[DueItem]:
        for state in findings:
            line = state.line
            if state.open and line.until is not None:
                limit = Limit(by_day(line.until, self.on), line.until)
                item = self._item("finding", line.key, line.found, line.component or "", [limit], line.place)
                system = state.system or item.system
                yield replace(item, state=limit.state, reason="", system=system, note=line.limit or "")

    def _checked(self, check: Check) -> tuple[Done, ...]:
        """When it was done: by entries that say so, and by ``last:``."""

        def did(entry: Entry) -> bool:
            return entry.slug == check.last_entry or any(line.key == check.key for line in entry.facts.inspected)

        return times_done([entry for entry in self.logbook.entries if did(entry)], check.last, self.on)

    def _begun(self, key: str, state: ComponentState, life: Life) -> tuple[Done | None, Hours]:
        """The day a life counts from, and the hours since."""
        of = self.times.of[key]
        if life.since == "new":
            return Done(state.record.made) if state.record.made else None, of.new
        verb, hours = ("overhauled", of.overhaul) if life.since == "overhaul" else ("installed", of.fitted)
        return _last_event(state, verb), hours

    def _directive_limits(self, line: Directive, done: tuple[Done, ...]) -> list[Limit]:
        """Done once and never again: none."""
        limits = [Limit(by_day(line.due, self.on), line.due)] if line.due and not done else []
        if line.recurring is not None and (done or not limits):
            limits += recurring(done, (line.recurring,), line.about, self.times, self.on)
        return limits

    def _item(
        self,
        kind: str,
        key: str,
        name: str,
        about: str,
        limits: list[Limit],
        place: Place,
        done: tuple[Done, ...] = (),
    ) -> DueItem:
        """An item by whichever of its limits comes first."""
        state = pressing(limit.state for limit in limits)
        reasons = dict.fromkeys(limit.reason for limit in limits if limit.reason)
        if not self._fitted(about):
            state, reasons = NOT_FITTED, {f"{self.states[about].record.name} is not on the aircraft": ""}
        return DueItem(
            kind,
            key,
            name,
            about if about in self.states else "",
            self.states[about].record.system or "" if about in self.states else "",
            state,
            min((limit.due for limit in limits if limit.due), default=None),
            least([limit.left for limit in limits if limit.left.known]),
            done[-1].day if done else None,
            done[-1].entry if done else "",
            "",
            "",
            "",
            "",
            "; ".join(reasons),
            place,
        )

    def _fitted(self, key: str) -> bool:
        """Whether a component is on the aircraft, with what it sits in; what is no component is."""
        return key not in self.states or any(span.end is None for span in self.times.spans.get(key, ()))

    def _gone(self, key: str) -> bool:
        return key in self.states and self.states[key].place == "gone"


def _last_event(state: ComponentState, verb: str) -> Done | None:
    """The last time that something was done to a component."""
    events: list[Event] = [event for event in state.events if event.verb == verb]
    return Done(exactly(events[-1].day), events[-1].entry) if events else None
