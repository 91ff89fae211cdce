"""Days as a locale writes them (CLDR, by Babel): each pattern is looked up once, and each day is written once.

The same days stand in many rows, charts and titles, and Babel looks its pattern up anew for each of them.
"""

from __future__ import annotations

from datetime import date
from functools import cached_property
from typing import Any

from babel import Locale
from babel.dates import format_interval, get_date_format, match_skeleton, parse_pattern


class Dated:
    """The days of one record in the words of a locale."""

    def __init__(self, locale: Locale) -> None:
        self.locale = locale
        self._patterns: dict[str, Any] = {}
        self._written: dict[tuple[str, date], str] = {}
        self._spans: dict[tuple[date, date], str] = {}

    def skeleton(self, skeleton: str, day: date) -> str:
        """A day by the fields that it should show, as in ``yMMMd``, in the locale's own order."""
        return self._written.get((skeleton, day)) or self._write(skeleton, day)

    def long(self, day: date) -> str:
        """A day in the locale's long form."""
        return self._written.get(("long", day)) or self._write("long", day)

    def pattern(self, pattern: str, day: date) -> str:
        """A day by a pattern of fields that is the same in all locales, as in ``LLLL``."""
        return self._written.get((f"={pattern}", day)) or self._write(f"={pattern}", day)

    def span(self, first: date, last: date) -> str:
        """Two days that are not the same, as a range."""
        if (first, last) not in self._spans:
            self._spans[first, last] = str(format_interval(first, last, "yMMMMd", locale=self.locale))
        return self._spans[first, last]

    def _write(self, name: str, day: date) -> str:
        if name not in self._patterns:
            self._patterns[name] = self._found(name)
        written = self._written[name, day] = str(self._patterns[name].apply(day, self.locale))
        return written

    def _found(self, name: str) -> Any:
        """The locale's pattern as Babel's own functions find it."""
        if name == "long":
            return get_date_format("long", self.locale)
        if name.startswith("="):
            return parse_pattern(name[1:])
        near = name if name in self._skeletons else match_skeleton(name, self._skeletons) or name
        return parse_pattern(self._skeletons[near])

    @cached_property
    def _skeletons(self) -> Any:
        return self.locale.datetime_skeletons
