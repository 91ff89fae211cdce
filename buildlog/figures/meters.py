"""The aircraft's hour meter: how much it ran between one entry and another.

Assumptions
- One meter counts time in service for the airframe and for all that is fitted to it: the one project.yaml names under
  ``meter:``, else the one first read. Time in service itself runs from leaving the ground to touching it again (14 CFR
  1.1); a meter that runs with the engine shows more, which is for its reader to say.
- An entry's own reading is the reading at all that happens in that entry. Between two readings only that much is known:
  not less than the one, not more than the other.
- Hours are as of the last reading; what was run after it nobody has written down yet.
- A meter that is replaced carries on: what the old one showed last counts, then what the new one shows beyond its start.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import pairwise

from buildlog.basics.bounds import NONE, SOME, Bounds
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.figures.fitted import BEFORE, END, Span
from buildlog.records.logbook import Logbook


@frozen
class Reading:
    """A reading: ``shown`` by the meter, ``run`` since the first reading, in hours; ``number`` is its entry's."""

    number: int
    day: date
    entry: str
    shown: Decimal
    run: Decimal


@frozen
class Clock:
    """All readings of the meter that counts, in order; numbers count the logbook's entries from 0."""

    meter: str | None = None
    readings: tuple[Reading, ...] = ()

    @property
    def last(self) -> Reading | None:
        """The last reading: every figure in hours is as of it."""
        return self.readings[-1] if self.readings else None

    def on_day(self, day: date) -> tuple[int, int]:
        """The entries between which a day lies as the meter knows it: the readings of the day, else those round it."""
        days = [reading.day for reading in self.readings]
        first, after = bisect_left(days, day), bisect_right(days, day)
        if first < after:
            return self.readings[first].number, self.readings[after - 1].number
        return (
            self.readings[first - 1].number if first else BEFORE,
            self.readings[first].number if first < len(self.readings) else END,
        )

    def run_in(self, spans: Iterable[Span], early: int = BEFORE, late: int | None = None) -> Bounds:
        """The hours run in some spans from a point on, which lies between the entries ``early`` and ``late``.

        What the meter ran between two readings counts where a span covers all of it, and may count where one touches it.
        What was run before the first reading nobody knows.
        """
        surest, widest = _from(spans, early if late is None else late), _from(spans, early)
        if not self.readings:
            return SOME if widest else NONE
        low, high = Decimal(0), Decimal(0)
        for before, after in pairwise(self.readings):
            ran = after.run - before.run
            low += ran if any(_covers(span, before.number, after.number) for span in surest) else 0
            high += ran if any(_touches(span, before.number, after.number) for span in widest) else 0
        unknown = any(span.start < self.readings[0].number for span in widest)
        return Bounds(low, None if unknown else high)


def _from(spans: Iterable[Span], point: int) -> list[Span]:
    """The spans from a point on."""
    cut = (span.within(Span(point, None)) for span in spans)
    return [span for span in cut if span is not None]


def _covers(span: Span, first: int, last: int) -> bool:
    return span.start <= first and (span.end is None or span.end >= last)


def _touches(span: Span, first: int, last: int) -> bool:
    return span.start < last and (span.end is None or span.end > first)


def clock(logbook: Logbook) -> tuple[Clock, list[Problem]]:
    """The meter that counts, and the readings that cannot be."""
    meter, problems = _which(logbook)
    if meter is None:
        return Clock(), problems
    readings: list[Reading] = []
    shown: Decimal | None = None
    run = Decimal(0)
    last = Place("")
    for number, entry in enumerate(logbook.entries):
        facts = entry.facts
        change, read = facts.meter_replaced.get(meter), facts.meter.get(meter)
        old = change.read if change else read
        if old is None:
            continue
        if shown is not None and old < shown:
            problems.append(_backwards(meter, old, shown, entry.place, last))
        run += max(old - shown, Decimal(0)) if shown is not None else Decimal(0)
        shown = change.starts if change else old
        if change and read is not None and read > shown:
            run, shown = run + (read - shown), read
        readings.append(Reading(number, entry.day, entry.slug, shown, run))
        last = entry.place
    return Clock(meter, tuple(readings)), problems


def _which(logbook: Logbook) -> tuple[str | None, list[Problem]]:
    """The meter that counts time in service; of several it is for project.yaml to say."""
    met: dict[str, Place] = {}
    for entry in logbook.entries:
        for name in (*entry.facts.meter, *entry.facts.meter_replaced):
            met.setdefault(name, entry.place)
    named = logbook.project.meter
    if named is not None or len(met) < 2:  # noqa: PLR2004 - two is where a choice begins
        return named or next(iter(met), None), []
    first, second = list(met)[:2]
    problem = Problem(
        met[second],
        "which-meter",
        f"two meters are read, {first} and {second}, and nothing says which one counts time in service; {first} is taken",
        f"add  meter: {first}  (or {second}) to project.yaml",
        Severity.WARNING,
        (met[first],),
    )
    return first, [problem]


def _backwards(meter: str, read: Decimal, before: Decimal, place: Place, earlier: Place) -> Problem:
    return Problem(
        place,
        "meter-backwards",
        f"the {meter} reads {read} h here and read {before} h before",
        f"mend one of the readings; if the meter was changed, write\n"
        f"meter_replaced: {{{meter}: {{read: {before} h, starts: {read} h}}}}",
        also=(earlier,),
    )
