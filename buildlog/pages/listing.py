"""Entries as lists show them: one row each, the same on the front page and in the log."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.seals import broken_mark
from buildlog.pages.sheet import Addresses, Photo, Tab, lead_photo
from buildlog.pages.words import Words
from buildlog.records.entry import Entry

_NAMED = 4
"""Other systems of an entry that a list names before it counts them."""


@frozen
class Row:
    """An entry in a list: its main system as a tab, the others as words; ``systems`` are all, for filters."""

    path: str
    title: str
    day: str
    tabs: tuple[Tab, ...]
    hours: str
    money: str
    weight: str
    photo: Photo | None
    milestone: str
    summary: str
    systems: tuple[str, ...]
    also: str = ""
    seal: str = ""
    """What marks an entry that changed since it was sealed."""


@frozen
class Amounts:
    """What each entry took, by its address: minutes, minor units of money net, and kilograms."""

    minutes: dict[str, int]
    money: dict[str, int]
    kg: dict[str, Fraction]


def entries_told(number: int, words: Words) -> str:
    """A number of entries, as this project writes numbers."""
    return f"{words.number(number, 0)} {'entry' if number == 1 else 'entries'}"


def amounts(worked: Figures) -> Amounts:
    """The amounts of all entries, summed once for all rows."""
    kg: dict[str, Fraction] = {}
    for change in worked.weight.changes:
        kg[change.entry] = kg.get(change.entry, Fraction(0)) + change.kg
    return Amounts(worked.labour.by_entry(), worked.cost.by_entry(), kg)


class RowMaker:
    """Makes rows of entries as one audience may see them."""

    def __init__(self, worked: Figures, words: Words, at: Addresses) -> None:
        self._book = worked.logbook
        self._sight = worked.logbook.sight
        self.took = amounts(worked)
        """What each entry took, summed once for all rows."""
        self._seals = worked.logbook.sealed()
        self._words = words
        self._at = at

    def row(self, entry: Entry, *, year: bool = False) -> Row:
        """One entry; ``year`` writes the year into its day."""
        facts, words = entry.facts, self._words
        return Row(
            path=self._at.entry(entry.slug),
            title=facts.title,
            day=words.days(entry.first_day, entry.day) if year else words.short_day(entry.day),
            tabs=tuple(self._at.tab(key) for key in facts.system[:1]),
            hours=self.hours(entry.slug),
            money=self.money(entry.slug),
            weight=self.weight(entry.slug),
            photo=lead_photo(entry),
            milestone=facts.milestone or "",
            summary=facts.summary or "",
            systems=facts.system,
            also=self._also(facts.system[1:]),
            seal=broken_mark(entry.slug, self._seals),
        )

    def rows(self, entries: Iterable[Entry], *, year: bool = False) -> tuple[Row, ...]:
        """Several, in their order."""
        return tuple(self.row(entry, year=year) for entry in entries)

    def _also(self, systems: tuple[str, ...]) -> str:
        """The other systems of an entry; of many the first ones by name."""
        names = [self._book.system(key).name for key in systems]
        return self._words.listed(
            names if len(names) <= _NAMED else [*names[: _NAMED - 1], f"{len(names) - _NAMED + 1} more"]
        )

    def hours(self, entry: str) -> str:
        """The time an entry took; '' for none."""
        minutes = self.took.minutes.get(entry, 0)
        return self._words.labour(minutes) if minutes and self._sight.hours else ""

    def money(self, entry: str) -> str:
        """What an entry cost after refunds; '' for none, or where single amounts may not be seen."""
        minor = self.took.money.get(entry, 0)
        return self._words.money(minor) if minor and self._sight.costs == "full" else ""

    def weight(self, entry: str) -> str:
        """What an entry changed in the weight, with its sign; '' for nothing."""
        kg = self.took.kg.get(entry, Fraction(0))
        return self._words.weight(kg, signed=True) if kg else ""
