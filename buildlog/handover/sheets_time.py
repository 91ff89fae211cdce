"""Time in service at an entry, in words, as far as it is known."""

from __future__ import annotations

from buildlog.basics.bounds import Bounds
from buildlog.pages.lines import Desk
from buildlog.pages.times import hours_words
from buildlog.records.entry import Entry


def time_at(book: str, entry: Entry, desk: Desk) -> str:
    """The time in service, and what the meter read that day; '' where nothing of it is known."""
    read = [f"{name} read {desk.words.plain(value)}\u00a0h" for name, value in entry.facts.meter.items()]
    total = _total(book, entry, desk)
    return "; ".join([*([f"{hours_words(total, desk.words)} in service"] if total.known else []), *read])


def _total(book: str, entry: Entry, desk: Desk) -> Bounds:
    """The time in service as of the last reading, less what was run since the entry; nothing for what is not fitted."""
    times = desk.worked.times
    known = times.of.get(book)
    if known is None or not times.clock.readings or entry.slug not in times.numbered:
        return Bounds()
    then = (known.new.bounds - times.since_entry(book, entry.slug)).not_negative()
    return then if then.low or then.high is not None else Bounds()
