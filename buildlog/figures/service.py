"""Time in service of each component: since new, since overhaul, since fitted, with how it is known.

Assumptions
- A component's hours grow only while it is fitted to the aircraft, with what it sits in (figures/fitted.py), by the
  meter that counts (figures/meters.py); hours are as of its last reading.
- What the history says holds for its day. From a day before the first reading on, an unknown time was run, at least
  nothing; unless ``last_flight`` in the history is earlier than that day, for then nothing was.
- A component that came during the log is taken not to have run between its paper's day and its fitting.
- Several facts hold together: what all of them allow. Where they contradict one another all of them stand, and the
  figure is as wide as they are (FIGURES: two facts that conflict stay side by side).
- ``overhauled`` in the log begins the time since overhaul anew; with no paper named it is somebody's word (14 CFR 43.2
  says when the word may be used).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import reduce

from buildlog.basics.bounds import SOME, UNKNOWN, Bounds
from buildlog.basics.dates import HazyDate
from buildlog.basics.frozen import frozen
from buildlog.basics.times import read_hours
from buildlog.figures.components import ComponentState, Event
from buildlog.figures.fitted import BEFORE, END, WHOLE, Span, fitted_spans, numbers
from buildlog.figures.meters import Clock
from buildlog.records.history import Fact
from buildlog.records.logbook import Logbook

AIRFRAME = "airframe"
"""The key of the aircraft itself among the times."""
BASES = ("measured", "document", "marking", "statement", "inferred", "unknown")
"""How something is known, the strongest first."""
SINCE_NEW = ("time_since_new", "time_in_service")
SINCE_OVERHAUL = ("time_since_overhaul",)
HOURS_FACTS = (*SINCE_NEW, *SINCE_OVERHAUL)
"""Quantities of the history that are hours."""


@frozen
class Hours:
    """Hours as far as they are known, by the weakest of what they rest on: facts, and the entry they count from."""

    bounds: Bounds
    basis: str
    facts: tuple[Fact, ...] = ()
    entry: str = ""
    conflict: bool = False


@frozen
class ServiceTime:
    """A component's times in service, hours; ``logged`` is what was run with it since the first reading."""

    new: Hours
    overhaul: Hours
    fitted: Hours
    logged: Bounds


@frozen
class Times:
    """The times of all components, and what they are reckoned with."""

    clock: Clock
    of: Mapping[str, ServiceTime]
    spans: Mapping[str, tuple[Span, ...]]
    numbered: Mapping[str, int]

    def since_entry(self, key: str, entry: str) -> Bounds:
        """The hours a component ran since an entry (the airframe, for one that is no component)."""
        return self.clock.run_in(self.spans.get(key, (WHOLE,)), self.numbered[entry])

    def since_day(self, key: str, day: HazyDate | date) -> Bounds:
        """The same since a day, which may be uncertain."""
        earliest, latest = (day, day) if isinstance(day, date) else (day.earliest, day.latest)
        early = self.clock.on_day(earliest)[0] if earliest else BEFORE
        return self.clock.run_in(self.spans.get(key, (WHOLE,)), early, self.clock.on_day(latest)[1] if latest else END)

    def logged(self, key: str) -> Bounds:
        """The hours it ran since the first reading."""
        first = self.clock.readings[0].number if self.clock.readings else BEFORE
        return self.clock.run_in(self.spans.get(key, (WHOLE,)), first)


def service(logbook: Logbook, states: Mapping[str, ComponentState], clock: Clock) -> Times:
    """The times of the airframe and of every component of the register."""
    numbered = numbers(logbook)
    spans = {AIRFRAME: (WHOLE,), **fitted_spans(states, numbered)}
    times = Times(clock, {}, spans, numbered)
    flown = [fact for fact in logbook.history.facts if fact.quantity == "last_flight" and fact.on]
    facts = [fact for fact in logbook.history.facts if fact.quantity in HOURS_FACTS and fact.basis != "unknown"]
    about = {key: [fact for fact in facts if fact.about == key] for key in states}
    about[AIRFRAME] = [fact for fact in facts if fact.about in {AIRFRAME, "aircraft"}]
    worker = _Reckoner(times, tuple(flown))
    of = {key: worker.times_of(key, about[key], states.get(key)) for key in spans}
    return Times(clock, of, spans, numbered)


def hours_of(fact: Fact) -> Bounds:
    """What a fact says of the hours, on its day."""
    if fact.value is not None:
        return Bounds.exactly(read_hours(fact.value))
    low = read_hours(fact.at_least) if fact.at_least is not None else None
    return Bounds(low, read_hours(fact.at_most) if fact.at_most is not None else None)


def weakest(bases: Iterable[str]) -> str:
    """The weakest of some ways to know something; of none, unknown."""
    return max(bases, key=BASES.index, default="unknown")


@frozen
class _Reckoner:
    """What the times of all components are worked out with."""

    times: Times
    flown: tuple[Fact, ...]

    def times_of(self, key: str, facts: list[Fact], state: ComponentState | None) -> ServiceTime:
        logged = self.times.logged(key)
        floor = Hours(Bounds(logged.low, None), "measured" if logged.low else "unknown")
        overhauls = [event for event in state.events if event.verb == "overhauled"] if state else []
        new = self._together(key, [fact for fact in facts if fact.quantity in SINCE_NEW], floor)
        since = [fact for fact in facts if fact.quantity in SINCE_OVERHAUL]
        overhaul = (
            self._overhaul(key, overhauls[-1], since)
            if overhauls
            else self._together(key, since, Hours(UNKNOWN, "unknown"))
        )
        return ServiceTime(new, overhaul, self._fitted(key, state, floor), logged)

    def _fitted(self, key: str, state: ComponentState | None, floor: Hours) -> Hours:
        """Since it was last fitted; of what was there when the log began only that it is no less than the log has."""
        installed = [event for event in state.events if event.verb == "installed"] if state else []
        if not installed:
            return floor
        return Hours(self.times.since_entry(key, installed[-1].entry), "measured", entry=installed[-1].entry)

    def _overhaul(self, key: str, event: Event, facts: list[Fact]) -> Hours:
        """Since the last overhaul of the log, and what papers of a later day say."""
        basis = "statement" if event.line.paper is None else "document"
        own = Hours(self.times.since_entry(key, event.entry), basis, entry=event.entry)
        later = [fact for fact in facts if fact.on and fact.on.earliest and fact.on.earliest > event.day]
        return self._together(key, later, own, always=True)

    def _together(self, key: str, facts: list[Fact], floor: Hours, *, always: bool = False) -> Hours:
        """What all facts allow; without one, the floor."""
        said = [self._said(key, fact) for fact in facts]
        if not said:
            return floor
        parts = [floor, *said] if always else said
        both = reduce(Bounds.meet, (part.bounds for part in parts))
        if not both.possible or _out_of_order(facts):
            wide = reduce(Bounds.hull, (part.bounds for part in parts))
            return Hours(wide, weakest(part.basis for part in parts), tuple(facts), floor.entry, conflict=True)
        makers = [
            part
            for part in parts
            if (both.low is not None and part.bounds.low == both.low)
            or (both.high is not None and part.bounds.high == both.high)
        ]
        return Hours(both, weakest(part.basis for part in makers), tuple(facts), floor.entry if always else "")

    def _said(self, key: str, fact: Fact) -> Hours:
        """What a fact says of now: its hours, and what was run since its day."""
        base = hours_of(fact)
        if fact.on is None:
            return Hours(base + SOME, fact.basis, (fact,))
        first = self.times.clock.readings[0].day if self.times.clock.readings else None
        grounded = [flight for flight in self.flown if _earlier(flight.on, fact.on)]
        if grounded and first is not None and fact.on.latest is not None and fact.on.latest < first:
            basis = weakest([fact.basis, min((flight.basis for flight in grounded), key=BASES.index)])
            return Hours(base + self.times.logged(key), basis, (fact,))
        return Hours(base + self.times.since_day(key, fact.on), fact.basis, (fact,))


def _out_of_order(facts: list[Fact]) -> bool:
    """Whether a later fact says fewer hours than an earlier one could."""
    return any(contradict(one, other) for number, one in enumerate(facts) for other in facts[number + 1 :])


def contradict(one: Fact, other: Fact) -> bool:
    """Whether two facts on the hours of one thing cannot both be true: hours only grow."""
    if one.quantity in SINCE_OVERHAUL or other.quantity in SINCE_OVERHAUL:
        return False
    return any(
        (low := hours_of(first).low) is not None
        and (high := hours_of(second).high) is not None
        and low > high
        and (_earlier(first.on, second.on) or first.on == second.on)
        for first, second in ((one, other), (other, one))
    )


def _earlier(one: HazyDate | None, other: HazyDate | None) -> bool:
    """Whether a date is surely before another."""
    last, first = one.latest if one else None, other.earliest if other else None
    return last is not None and first is not None and last < first
