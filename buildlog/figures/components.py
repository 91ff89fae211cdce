"""Components by replay: where each is, in what state, and by which entries it came to be so.

Assumptions
- A component of the register was there and fitted when the log began, unless the register says `as_found: loose` or the
  first that is told of it is that it was ordered, bought, received or installed.
- A component that sits in another goes where that one goes; its own events come first.
- `removed` without a state leaves the state as it was; `repaired` and `overhauled` make it serviceable.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem
from buildlog.records.changes import ComponentChange
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Component

GONE = ("scrapped", "returned", "sold")
UNFIT = ("unserviceable", "quarantined")


@frozen
class Event:
    """Something told of a component."""

    day: date
    verb: str
    line: ComponentChange
    entry: str
    hidden: bool = False


@dataclass
class _Track:
    """A component while its events are replayed."""

    key: str
    record: Component
    place: str
    condition: str | None = None
    inside: str | None = None
    since: date | None = None
    begins: str = "fitted"
    events: list[Event] = field(default_factory=list)
    last: dict[str, Place] = field(default_factory=dict)


@frozen
class ComponentState:
    """Where a component is: ``place`` is fitted, loose, away, gone or awaited; ``condition`` what was last said of it.

    ``since``: the day it came there, None: as found when the log began.
    """

    key: str
    record: Component
    place: str
    condition: str | None
    inside: str | None
    since: date | None
    events: tuple[Event, ...]
    begins: str = "fitted"
    """Where it was when the log began."""

    @property
    def state(self) -> str:
        """One word or two for lists: installed, removed, serviceable, unserviceable, sent out, not here yet, scrapped and so on."""
        if self.place == "fitted":
            return "installed" if self.condition not in UNFIT else f"installed, {self.condition}"
        if self.place == "awaited":
            return "not here yet"
        if self.place == "away":
            return "sent out"
        return self.condition or "removed"


def components(logbook: Logbook) -> tuple[dict[str, ComponentState], list[Problem]]:
    """The state of each component after the last entry, by key, and the events that cannot be."""
    begins = {key: _begins(key, record, logbook) for key, record in logbook.components.items()}
    tracks = {
        key: _Track(key, record, begins[key], inside=record.inside, begins=begins[key])
        for key, record in logbook.components.items()
    }
    problems: list[Problem] = []
    for entry in logbook.entries:
        for line in entry.facts.components:
            track = tracks.get(line.key)
            if track is not None:
                problems += _replay(track, line, entry, tracks)
    problems += _same_serial(tracks)
    return {
        key: ComponentState(key, t.record, t.place, t.condition, t.inside, t.since, tuple(t.events), t.begins)
        for key, t in tracks.items()
    }, problems


def _begins(key: str, record: Component, logbook: Logbook) -> str:
    """Where a component was when the log began."""
    if record.as_found == "loose":
        return "loose"
    for entry in (*logbook.entries, *logbook.later):
        facts = entry.facts
        bought = key in {line.component for line in facts.parts} | {line.component for line in facts.orders}
        first = next((line for line in facts.components if line.key == key), None)
        if first is not None:
            return "awaited" if first.verb in {"installed", "received"} else "fitted"
        if bought:
            return "awaited"
    return "fitted"


def _replay(track: _Track, line: ComponentChange, entry: Entry, tracks: dict[str, _Track]) -> list[Problem]:
    """One event: the new state, or the problem why it cannot be."""
    problems = list(_impossible(track, line, tracks))
    track.events.append(Event(entry.day, line.verb, line, entry.slug, entry.hidden))
    if line.verb == "installed":
        track.place, track.inside, track.condition = "fitted", line.inside or track.record.inside, line.state
    elif line.verb == "removed":
        track.place = "gone" if line.state in GONE else "loose"
    elif line.verb == "sent":
        track.place = "away"
    elif line.verb == "received":
        track.place = "loose"
    elif line.state in GONE:
        track.place, track.since = "gone", entry.day
    if line.verb in {"repaired", "overhauled"}:
        track.condition = line.state or "serviceable"
        track.place = "loose" if track.place in {"away", "awaited"} else track.place
    elif line.state is not None:
        track.condition = line.state
    if line.verb not in {"tagged", "repaired", "overhauled"}:
        track.since = entry.day
    track.last[line.verb] = line.place
    track.last["condition"] = (
        line.place if line.state or line.verb in {"repaired", "overhauled"} else track.last.get("condition", line.place)
    )
    return problems


def _impossible(track: _Track, line: ComponentChange, tracks: dict[str, _Track]) -> Iterator[Problem]:
    """Why an event cannot be, with the event before it as the other place."""
    also = tuple(p for p in [next(reversed(track.last.values()), None)] if p)
    for name, words, remedy in _odd(track, line):
        yield Problem(line.place, name, f"{track.key}: {track.record.name} {words}", remedy, also=also)
    parent = tracks.get(line.inside or track.record.inside or "")
    if line.verb == "installed" and track.place != "gone" and parent is not None and parent.place == "gone":
        words = f"{track.key}: it is installed in {parent.key}, which is gone"
        yield Problem(line.place, "installed-in-nothing", words, "say in: which component", also=(parent.record.place,))


def _odd(track: _Track, line: ComponentChange) -> Iterator[tuple[str, str, str]]:
    """(name, words, remedy) of what does not follow from where the component was."""
    key, place, verb = track.key, track.place, line.verb
    if place == "gone":
        if verb != "received":
            yield (
                "used-when-gone",
                f"was {track.condition} and is {verb} here",
                "one of the two is wrong, or it is another part with its own key",
            )
    elif verb == "installed" and place == "fitted":
        yield (
            "installed-twice",
            "is installed here and was on the aircraft",
            "write when it was removed, or give the second one its own key",
        )
    elif verb == "installed" and track.condition in UNFIT:
        yield (
            "unfit-installed",
            f"is {track.condition} and is installed here",
            f"write what made it fit, as in  {{repaired: {key}}}  or  {{overhauled: {key}}}",
        )
    elif verb == "removed" and place != "fitted":
        yield (
            "removed-when-off",
            "is removed here and was not on the aircraft",
            "write when it was installed, or mend the key",
        )
    elif verb == "sent" and place == "fitted":
        yield "sent-when-fitted", "is sent out and was never taken off", f"write  {{removed: {key}}}  before it"
    elif verb == "sent" and place == "away":
        yield "sent-twice", "is sent out and is still away", f"write when it came back, as in  {{received: {key}}}"
    elif verb == "received" and place == "fitted":
        yield "received-when-fitted", "arrives and was on the aircraft", "write when it went off, or mend the key"


def _same_serial(tracks: dict[str, _Track]) -> Iterator[Problem]:
    """Two parts of one maker and model with one serial number."""
    seen: dict[tuple[str, str, str], _Track] = {}
    for track in tracks.values():
        record = track.record
        if not record.serial:
            continue
        name = (
            (record.maker or "").casefold(),
            (record.part_no or record.model or record.name).casefold(),
            record.serial.casefold(),
        )
        if name in seen:
            yield Problem(
                record.place,
                "same-serial",
                f"{track.key} and {seen[name].key} have one serial number, {record.serial}",
                "look at the plates; one of them is wrong",
                also=(seen[name].record.place,),
            )
        seen.setdefault(name, track)
