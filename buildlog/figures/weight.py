"""The running weight change, weighings as read, and what is not weighed.

Formulas
- Net weight of a weighing point: reading less tare. Empty weight W = sum of the nets, less what is on board, plus what
  is missing; moment M = sum of weight times arm; centre of gravity = M / W. (FAA-H-8083-1B, ch. 3: weighing by scales.)
- After the last weighing each later change moves W and M; a change in the same entry as a weighing counts as made
  before it. A change without an arm moves W and leaves the centre of gravity where it is.
Amounts are exact fractions: kilograms, metres, kilogram-metres. A part without a weight is not zero: it is listed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from functools import cached_property

from buildlog.basics.frozen import frozen
from buildlog.basics.groups import grouped
from buildlog.basics.problems import Place
from buildlog.basics.quantities import Weight
from buildlog.figures.unweighed import NotWeighed, components_not_weighed, parts_not_weighed
from buildlog.records.entry import Entry
from buildlog.records.loading import Start
from buildlog.records.logbook import Logbook
from buildlog.records.weighing import Weighing


@frozen
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


@frozen
class Point:
    """A scale's share of a weighing."""

    at: str
    reading: Fraction
    tare: Fraction
    net: Fraction
    arm_m: Fraction


@frozen
class Loose:
    """An item taken off (negative) or added (positive) to get the empty weight."""

    item: str
    kg: Fraction
    arm_m: Fraction


@frozen
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


@frozen
class Stated:
    """An empty weight that loading.yaml states for the time before the first weighing; ``arm_m`` None if not stated."""

    kg: Fraction
    arm_m: Fraction | None
    record: Start
    order: int = -1
    """Before the first entry of the log."""


@frozen
class Empty:
    """Empty weight and centre of gravity: the last weighing, or what is stated before one, and the changes since.

    ``arm_m`` is the centre of gravity, metres from the datum (None for an aircraft that weighs nothing, and where a
    stated start has none); ``weighing`` is None on a stated start, ``stated`` on a weighing.
    ``without_arm`` counts changes that are in the weight and, having no arm, not in the centre of gravity.
    """

    kg: Fraction
    arm_m: Fraction | None
    weighing: Weighed | None
    stated: Stated | None
    changes: tuple[Change, ...]
    without_arm: int

    @property
    def moment(self) -> Fraction:
        """Weight times arm, kg m."""
        return self.kg * (self.arm_m or 0)


@frozen
class _Sum:
    """Weight, weight of what has an arm, its moment, and how many have none, over the first changes of a record."""

    kg: Fraction
    placed: Fraction
    moment: Fraction
    armless: int


@frozen
class WeightRecord:
    """All changes and weighings of a record, oldest first."""

    changes: tuple[Change, ...]
    weighings: tuple[Weighed, ...]
    not_weighed: tuple[NotWeighed, ...]
    stated: Stated | None = None

    def of_entry(self, slug: str) -> tuple[Change, ...]:
        """The changes of one entry, by its address."""
        return self._entries.get(slug, ())

    @cached_property
    def _entries(self) -> dict[str, tuple[Change, ...]]:
        return grouped(self.changes, lambda change: change.entry)

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
        """The state after the last entry; None before a first weighing where nothing is stated either."""
        return self.empty_after(None)

    def empty_after(self, order: int | None) -> Empty | None:
        """The state after the entry at position ``order`` (None: the last); None where there is no weighing or start."""
        last = self.base(order)
        if last is None:
            return None
        first, end = self._until(last.order), len(self.changes) if order is None else self._until(order)
        since, (before, after) = self.changes[first:end], (self._sums[first], self._sums[end])
        weighing, stated = (last, None) if isinstance(last, Weighed) else (None, last)
        arm = None
        if last.arm_m is not None:
            placed = last.kg + after.placed - before.placed
            arm = (last.kg * last.arm_m + after.moment - before.moment) / placed if placed else None
        without_arm = after.armless - before.armless
        return Empty(last.kg + after.kg - before.kg, arm, weighing, stated, since, without_arm)

    def _until(self, order: int) -> int:
        """How many changes there are up to and including the entry at a position."""
        return bisect_right(self.changes, order, key=lambda change: change.order)

    @cached_property
    def _sums(self) -> list[_Sum]:
        """The sums of the first 0, 1, 2 and more changes, so that any stretch of them is a difference of two."""
        sums = [_Sum(Fraction(0), Fraction(0), Fraction(0), 0)]
        for change in self.changes:
            so_far, placed = sums[-1], change.kg if change.arm_m is not None else 0
            moment, armless = so_far.moment + (change.moment or 0), so_far.armless + (change.arm_m is None)
            sums.append(_Sum(so_far.kg + change.kg, so_far.placed + placed, moment, armless))
        return sums

    def base(self, order: int | None = None) -> Weighed | Stated | None:
        """The last weighing up to the entry at position ``order``, before the first one what is stated."""
        weighings = [weighed for weighed in self.weighings if order is None or weighed.order <= order]
        return weighings[-1] if weighings else self.stated


def weights(logbook: Logbook) -> WeightRecord:
    """The changes and weighings of a logbook."""
    changes: list[Change] = []
    weighings: list[Weighed] = []
    missing: list[NotWeighed] = []
    for order, entry in enumerate(logbook.entries):
        changes += _changes(entry, order)
        missing += parts_not_weighed(entry)
        if entry.facts.weighing:
            weighings.append(weigh(entry.facts.weighing, entry.day, entry.slug, order))
    missing += components_not_weighed(logbook)
    return WeightRecord(
        tuple(changes),
        tuple(weighings),
        tuple(sorted(missing, key=lambda line: (line.day, line.place))),
        _stated(logbook),
    )


def _stated(logbook: Logbook) -> Stated | None:
    start = logbook.loading.start if logbook.loading else None
    return Stated(start.weight.base, start.arm.base if start.arm else None, start) if start else None


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
