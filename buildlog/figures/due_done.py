"""When something that comes back was last done, and the hours that are left until it is due again.

Source: 14 CFR 91.409(b), the 100-hour inspection: it may be exceeded by up to 10 hours on the way to where it can be done,
and the excess "must be included in computing the next 100 hours". So after an overrun the next one is due where it would
have been; after an early one, its hours from when it was done (the usual reading; the rule does not say).

Assumption: of an overrun beyond what may be carried over, so much as may be is carried.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import pairwise

from buildlog.basics.bounds import NONE, Bounds
from buildlog.basics.dates import HazyDate, read_hazy
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread
from buildlog.figures.fitted import WHOLE, Span
from buildlog.figures.service import Times
from buildlog.records.entry import Entry

NEVER_DONE = "never"
"""What ``last:`` says of something that was never done."""


@frozen
class Done:
    """One time that it was done: a day that may be uncertain, and the entry that did it ('' for none of the log)."""

    day: HazyDate
    entry: str = ""


def exactly(day: date) -> HazyDate:
    """One day, without doubt."""
    return HazyDate(day.isoformat(), day, day)


def times_done(entries: Iterable[Entry], last: str | None, on: date) -> tuple[Done, ...]:
    """Every time that is known, the last one at the end: these entries, and what ``last:`` says.

    ``last`` is a day or one of the entries, whose address it names; a day after the one of the record has not come yet.
    """
    found = [Done(exactly(entry.day), entry.slug) for entry in entries]
    stated = _stated(last)
    if stated is not None and (stated.earliest is None or stated.earliest <= on):
        found.append(Done(stated))
    # entries are in the order of the log, and sorting keeps it; a day that an entry tells of comes before that entry
    return tuple(sorted(found, key=lambda done: (done.day.earliest or date.min, bool(done.entry))))


def _stated(last: str | None) -> HazyDate | None:
    try:
        return read_hazy(last) if last else None
    except Misread:
        return None


def hours_left(done: tuple[Done, ...], every: Decimal, key: str, times: Times, grace: Decimal = Decimal(0)) -> Bounds:
    """The hours left since it was last done, less what was overrun before and is carried over."""
    carried = NONE
    if grace:
        for before, after in pairwise(done):
            over = (_between(before, after, key, times) + carried) - Bounds.exactly(every)
            carried = _at_most(over.not_negative(), grace)
    return Bounds.exactly(every) - carried - since(done[-1], key, times)


def since(done: Done, key: str, times: Times) -> Bounds:
    """The hours run since it was done."""
    return times.since_entry(key, done.entry) if done.entry else times.since_day(key, done.day)


def _between(before: Done, after: Done, key: str, times: Times) -> Bounds:
    """The hours run from one time to the next."""
    if not (before.entry and after.entry):
        return (since(before, key, times) - since(after, key, times)).not_negative()
    start = times.numbered[before.entry]
    time = Span(start, times.numbered[after.entry])
    parts = (span.within(time) for span in times.spans.get(key, (WHOLE,)))
    return times.clock.run_in([part for part in parts if part is not None], start)


def _at_most(hours: Bounds, most: Decimal) -> Bounds:
    return Bounds(
        most if hours.low is None else min(hours.low, most), most if hours.high is None else min(hours.high, most)
    )
