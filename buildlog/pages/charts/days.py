"""Dates along an axis: days, Mondays, months, quarters or years, the finest whose words fit."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from .lettering import cut, text_width

DateUnit = Literal["day", "month", "year", "full"]
DateLabel = Callable[[date, DateUnit], str]

_Unit = Literal["day", "week", "month", "year"]
_RHYTHMS: tuple[tuple[_Unit, int], ...] = (
    ("day", 1), ("day", 2), ("week", 1), ("week", 2),
    ("month", 1), ("month", 2), ("month", 3), ("month", 6),
    ("year", 1), ("year", 2), ("year", 5), ("year", 10), ("year", 20), ("year", 50), ("year", 100),
    ("year", 200), ("year", 500), ("year", 1000), ("year", 2000), ("year", 5000),
)  # fmt: skip
_LENGTH = {"day": 1.0, "week": 7.0, "month": 30.44, "year": 365.25}
_WORD: dict[_Unit, DateUnit] = {"day": "day", "week": "day", "month": "month", "year": "year"}
_WEEKLY = 2
_MONTHLY = 4
_GAP = 14
_LEAST = 4.0
_WIDEST = 110
_FEWEST = 2


@dataclass(frozen=True, slots=True)
class Days:
    """A scale of dates: `first` falls on `start`, `last` on `end`."""

    first: date
    last: date
    start: float
    end: float

    def __call__(self, on: date) -> float:
        """The place of a date."""
        share = (on - self.first).days / (self.last - self.first).days
        return self.start + share * (self.end - self.start)

    def apart(self, days: float) -> float:
        """The length on the sheet of a number of days."""
        return days / (self.last - self.first).days * (self.end - self.start)


@dataclass(frozen=True, slots=True)
class DateTick:
    """One tick: its words, and the year to write under it where a year begins. No words: a minor tick."""

    on: date
    text: str = ""
    year: str = ""


def days_over(dates: Iterable[date], start: float, end: float) -> Days:
    """The scale that holds all `dates` (at least one), never shorter than six days."""
    numbers = [on.toordinal() for on in dates]
    first, last = min(numbers), max(numbers)
    last = min(max(last, first + 6), date.max.toordinal())
    first = min(first, last - 6)
    return Days(date.fromordinal(first), date.fromordinal(last), start, end)


def date_ticks(
    days: Days, label: DateLabel, left: float, right: float, *, by_month: bool = False
) -> tuple[DateTick, ...]:
    """Ticks whose words stay between `left` and `right` and clear of each other; `by_month`: none finer."""
    finest = _MONTHLY if by_month else 0
    for index, (unit, count) in enumerate(_RHYTHMS):
        if index < finest or days.apart(_LENGTH[unit] * count) < _GAP:
            continue
        ticks = _worded(days, index, label)
        shown = [tick for tick in ticks if _within(days, tick, left, right)]
        if len(shown) >= _FEWEST and len(_apart(days, shown)) == len(shown):
            break
    else:
        index = _coarsest(days, finest)
        shown = _apart(days, [t for t in _worded(days, index, label) if _within(days, t, left, right)])
    minor = _minor(days, index, finest) - {tick.on for tick in shown}
    years = shown if _RHYTHMS[index][0] == "year" else _with_years(days, shown, label, left, right)
    return tuple(sorted([*years, *map(DateTick, minor)], key=lambda tick: tick.on))


def months_between(first: date, last: date) -> range:
    """The months from one date to another, each counted from January of the year 0."""
    return range(first.year * 12 + first.month - 1, last.year * 12 + last.month)


def month_start(number: int) -> date:
    """The first day of a month counted as in `months_between`."""
    return date(number // 12, number % 12 + 1, 1)


def _dates(days: Days, unit: _Unit, count: int) -> list[date]:
    if unit in ("day", "week"):
        apart = count * (7 if unit == "week" else 1)
        # Ordinal 1 is a Monday, so the Mondays are those that leave 1.
        start = days.first.toordinal()
        start += (1 - start) % apart
        return [date.fromordinal(n) for n in range(start, days.last.toordinal() + 1, apart)]
    months = months_between(days.first, days.last)
    every = count * (12 if unit == "year" else 1)
    aligned = range(months.start + -months.start % every, months.stop, every)
    return [on for on in map(month_start, aligned) if on >= days.first]


def _worded(days: Days, index: int, label: DateLabel) -> list[DateTick]:
    unit, count = _RHYTHMS[index]
    return [DateTick(on, cut(label(on, _WORD[unit]), _WIDEST)) for on in _dates(days, unit, count)]


def _within(days: Days, tick: DateTick, left: float, right: float) -> bool:
    half = text_width(tick.text) / 2
    return left <= days(tick.on) - half and days(tick.on) + half <= right


def _apart(days: Days, ticks: Sequence[DateTick]) -> list[DateTick]:
    """The ticks whose words stand clear of the one kept before."""
    kept: list[DateTick] = []
    free = float("-inf")
    for tick in ticks:
        half = text_width(tick.text) / 2
        if days(tick.on) - half >= free:
            kept.append(tick)
            free = days(tick.on) + half + _GAP
    return kept


def _coarsest(days: Days, finest: int) -> int:
    """The coarsest rhythm, from weeks up, that still marks a date; else the finest of all."""
    least = max(finest, _WEEKLY)
    marking = [least + i for i, rhythm in enumerate(_RHYTHMS[least:]) if _dates(days, *rhythm)]
    return marking[-1] if marking else finest


def _with_years(days: Days, ticks: Sequence[DateTick], label: DateLabel, left: float, right: float) -> list[DateTick]:
    """The ticks with the year under each that is the first of it, as far as there is room."""
    written: list[DateTick] = []
    edge = right
    for place, tick in reversed(list(enumerate(ticks))):
        year = "" if place and ticks[place - 1].on.year == tick.on.year else label(tick.on, "year")
        year = cut(year, _WIDEST)
        half = text_width(year) / 2
        if days(tick.on) - half < left or days(tick.on) + half > edge:
            year = ""
        elif year:
            edge = days(tick.on) - half - _GAP / 2
        written.append(DateTick(tick.on, tick.text, year))
    return written[::-1]


def _minor(days: Days, index: int, finest: int) -> set[date]:
    """The dates of the finest rhythm that divides the chosen one and leaves room between its ticks."""
    for unit, count in _RHYTHMS[finest:index]:
        if (unit, count) in _finer(*_RHYTHMS[index]) and days.apart(_LENGTH[unit] * count) >= _LEAST:
            return set(_dates(days, unit, count))
    return set(_dates(days, *_RHYTHMS[index]))


def _finer(unit: _Unit, count: int) -> list[tuple[_Unit, int]]:
    """The rhythms that graduate another as a rule is graduated; Mondays only within single months."""
    if unit in ("day", "week"):
        return [("day", 1), ("week", 1)] if unit == "week" else [("day", 1)]
    months = count * (12 if unit == "year" else 1)
    whole: list[tuple[_Unit, int]] = [(u, c) for u, c in _RHYTHMS if u == "month" and months % c == 0]
    whole += [(u, c) for u, c in _RHYTHMS if u == "year" and months % (12 * c) == 0]
    return [("day", 1), ("week", 1), *whole] if months == 1 else whole
