"""The rule at the head of an entry: the log from its first day to its last, and where this day falls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import rounded
from buildlog.pages.words import Words
from buildlog.records.entry import Entry

_MONTHLY = 14
"""Months up to which each has its own mark; a longer log is marked by years."""
_LEAST = 14
"""Days below which there is no rule worth drawing."""
_EDGE = 96
"""Per cent of the rule after which a mark has no room for words."""


@frozen
class Mark:
    """A mark of the rule: how far along, in per cent, and its words."""

    at: str
    words: str


@frozen
class Rule:
    """A rule with its marks, and how far along it this page is."""

    here: str
    marks: tuple[Mark, ...]


@frozen
class Span:
    """The whole of a log as a rule: its ends and its marks; a log of less than a fortnight has none."""

    first: date
    last: date
    marks: tuple[Mark, ...]

    def at(self, day: date) -> Rule | None:
        """The rule for a day; None for a log of less than a fortnight."""
        if (self.last - self.first).days < _LEAST:
            return None
        return Rule(_along(day, self.first, self.last), self.marks)


def span_of(told: Sequence[Entry], words: Words) -> Span:
    """The rule of a log, which has at least one entry."""
    first, last = told[0].day.replace(day=1), max(entry.day for entry in told)
    last = last if words.exact_dates else last.replace(day=1)
    long_enough = (last - first).days >= _LEAST
    marks = tuple(
        Mark(_along(on, first, last), text if _share(on, first, last) < _EDGE else "")
        for on, text in (_marks(first, last, words) if long_enough else ())
    )
    return Span(first, last, marks)


def _share(day: date, first: date, last: date) -> Fraction:
    return Fraction(100 * (day - first).days, (last - first).days)


def _along(day: date, first: date, last: date) -> str:
    return f"{rounded(_share(day, first, last), 2)}%"


def _marks(first: date, last: date, words: Words) -> Iterator[tuple[date, str]]:
    months = (last.year - first.year) * 12 + last.month - first.month + 1
    for number in range(months):
        year, month = divmod(first.year * 12 + first.month - 1 + number, 12)
        on = date(year, month + 1, 1)
        if months <= _MONTHLY:
            yield on, words.dated.skeleton("MMM", on)
        elif on.month == 1 or not number:
            yield on, str(year)
