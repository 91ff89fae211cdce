"""The running weight change, weighings as read, and what is not weighed.

Formulas
- Net weight of a weighing point: reading less tare. Empty weight W = sum of the nets, less what is on board, plus what
  is missing; moment M = sum of weight times arm; centre of gravity = M / W. (FAA-H-8083-1B, ch. 3: weighing by scales.)
- After the last weighing each later change moves W and M; a change in the same entry as a weighing counts as made
  before it. A change without an arm moves W and leaves the centre of gravity where it is.
Amounts are exact fractions: kilograms, metres, kilogram-metres. A part without a weight is not zero: it is listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from buildlog.basics.problems import Place
from buildlog.basics.quantities import Weight
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.purchases import Part
from buildlog.records.weighing import Weighing


@dataclass(frozen=True)
class Change:
    """Something put on or taken off: ``kg`` is negative for what came out, ``arm_m`` None where none is written."""

    day: date
    item: str
    kg: Fraction
    arm_m: Fraction | None
    basis: str
    system: str
    component: str | None
    place: Place
    entry: str
    order: int
    """The position of its entry in the log."""
    hidden: bool = False
    plus_minus: Weight | None = None

    @property
    def installed(self) -> bool:
        """Whether it went in."""
        return self.kg >= 0

    @property
    def moment(self) -> Fraction | None:
        """Weight times arm, kg m; None without an arm."""
        return self.kg * self.arm_m if self.arm_m is not None else None


@dataclass(frozen=True)
class Point:
    """A scale's share of a weighing."""

    at: str
    reading: Fraction
    tare: Fraction
    net: Fraction
    arm_m: Fraction


@dataclass(frozen=True)
class Loose:
    """An item taken off (negative) or added (positive) to get the empty weight."""

    item: str
    kg: Fraction
    arm_m: Fraction


@dataclass(frozen=True)
class Weighed:
    """A weighing worked out."""

    day: date
    entry: str
    order: int
    record: Weighing
    points: tuple[Point, ...]
    loose: tuple[Loose, ...]
    kg: Fraction
    moment: Fraction

    @property
    def arm_m(self) -> Fraction | None:
        """The centre of gravity, metres from the datum; None for a weighing that adds up to nothing."""
        return self.moment / self.kg if self.kg else None


@dataclass(frozen=True)
class Empty:
    """Empty weight and centre of gravity: the last weighing and the changes since.

    ``arm_m`` is the centre of gravity, metres from the datum (None for an aircraft that weighs nothing);
    ``without_arm`` counts changes that are in the weight and, having no arm, not in the centre of gravity.
    """

    kg: Fraction
    arm_m: Fraction | None
    weighing: Weighed
    changes: tuple[Change, ...]
    without_arm: int

    @property
    def moment(self) -> Fraction:
        """Weight times arm, kg m."""
        return self.kg * (self.arm_m or 0)


@dataclass(frozen=True)
class NotWeighed:
    """A part put on the aircraft, or a component fitted or removed, of which no weight is written."""

    day: date
    item: str
    place: Place
    entry: str


@dataclass(frozen=True)
class WeightRecord:
    """All changes and weighings of a record, oldest first."""

    changes: tuple[Change, ...]
    weighings: tuple[Weighed, ...]
    not_weighed: tuple[NotWeighed, ...]

    def total(self) -> Fraction:
        """The net change since the log began, kg."""
        return sum((change.kg for change in self.changes), Fraction(0))

    def running(self) -> list[tuple[Change, Fraction]]:
        """Each change with the net change up to and including it, kg."""
        so_far, lines = Fraction(0), []
        for change in self.changes:
            so_far += change.kg
            lines.append((change, so_far))
        return lines

    def by_system(self) -> dict[str, Fraction]:
        """Net change by system's key, kg."""
        totals: dict[str, Fraction] = {}
        for change in self.changes:
            totals[change.system] = totals.get(change.system, Fraction(0)) + change.kg
        return dict(sorted(totals.items()))

    def empty(self) -> Empty | None:
        """The state after the last entry; None before a first weighing."""
        return self.empty_after(None)

    def empty_after(self, order: int | None) -> Empty | None:
        """The state after the entry at position ``order`` (None: the last); None before a first weighing."""
        weighings = [weighed for weighed in self.weighings if order is None or weighed.order <= order]
        if not weighings:
            return None
        last = weighings[-1]
        since = tuple(
            change for change in self.changes if change.order > last.order and (order is None or change.order <= order)
        )
        armed = [change for change in since if change.arm_m is not None]
        kg = last.kg + sum((change.kg for change in since), Fraction(0))
        placed = last.kg + sum((change.kg for change in armed), Fraction(0))
        moment = last.moment + sum((change.moment or Fraction(0) for change in armed), Fraction(0))
        return Empty(kg, moment / placed if placed else None, last, since, len(since) - len(armed))


def weights(logbook: Logbook) -> WeightRecord:
    """The changes and weighings of a logbook."""
    changes: list[Change] = []
    weighings: list[Weighed] = []
    missing: list[NotWeighed] = []
    for order, entry in enumerate(logbook.entries):
        changes += _changes(entry, order)
        missing += _parts_not_weighed(entry)
        if entry.facts.weighing:
            weighings.append(weigh(entry.facts.weighing, entry.day, entry.slug, order))
    missing += _components_not_weighed(logbook)
    return WeightRecord(
        tuple(changes), tuple(weighings), tuple(sorted(missing, key=lambda line: (line.day, line.place)))
    )


def weigh(record: Weighing, day: date, entry: str = "", order: int = 0) -> Weighed:
    """A weighing worked out from its readings."""
    points = tuple(
        Point(
            p.at,
            p.reading.base,
            p.tare.base if p.tare else Fraction(0),
            p.reading.base - (p.tare.base if p.tare else Fraction(0)),
            p.arm.base,
        )
        for p in record.points
    )
    loose = (
        *(Loose(item.item, -item.weight.base, item.arm.base) for item in record.on_board),
        *(Loose(item.item, item.weight.base, item.arm.base) for item in record.missing),
    )
    kg = sum((p.net for p in points), Fraction(0)) + sum((item.kg for item in loose), Fraction(0))
    moment = sum((p.net * p.arm_m for p in points), Fraction(0)) + sum((i.kg * i.arm_m for i in loose), Fraction(0))
    return Weighed(day, entry, order, record, points, loose, kg, moment)


def _changes(entry: Entry, order: int) -> Iterator[Change]:
    facts, main = entry.facts, entry.main_system or ""
    for line in facts.weight:
        yield Change(
            entry.day,
            line.item,
            line.sign * line.weight.base,
            line.arm.base if line.arm else None,
            line.basis,
            line.system or main,
            line.component,
            line.place,
            entry.slug,
            order,
            entry.hidden,
            line.plus_minus,
        )
    if facts.weight_change is not None:
        yield Change(
            entry.day,
            facts.title,
            facts.weight_change.base,
            None,
            "estimated",
            main,
            None,
            facts.place,
            entry.slug,
            order,
            entry.hidden,
        )


def _named(entry: Entry) -> tuple[set[str], set[str]]:
    """The words and the components that the weight lines of an entry name."""
    return (
        {line.item.casefold() for line in entry.facts.weight},
        {line.component for line in entry.facts.weight if line.component},
    )


def _parts_not_weighed(entry: Entry) -> Iterator[NotWeighed]:
    """Parts that stay on the aircraft and that no weight line of the entry names."""
    if entry.facts.weight_change is not None or entry.hidden:
        return
    words, components = _named(entry)
    for part in entry.facts.parts:
        if _leaves_weight(part) and part.item.casefold() not in words and part.component not in components:
            yield NotWeighed(entry.day, part.item, part.place, entry.slug)


def _components_not_weighed(logbook: Logbook) -> list[NotWeighed]:
    """Components that are off where they were on, or the other way, without a weight written.

    One taken off and put back, weighed neither time, has changed nothing and is not told; nor is one that sits in
    another component, whose weight it shares, or one that a part of the same entry already stands for.
    """
    open_: dict[str, NotWeighed] = {}
    for entry in logbook.entries:
        words, components = _named(entry)
        stood_for = {part.component for part in entry.facts.parts if part.component}
        for change in entry.facts.components:
            known = logbook.components.get(change.key)
            if change.verb not in {"installed", "removed"} or known is None or known.inside:
                continue
            if change.key in components | stood_for or known.name.casefold() in words:
                continue
            if open_.pop(change.key, None) is None:
                open_[change.key] = NotWeighed(entry.day, f"{known.name}, {change.verb}", change.place, entry.slug)
    return list(open_.values())


def _leaves_weight(part: Part) -> bool:
    return part.kind == "part" and part.weight is None
