"""Long ledgers by years: the page of the whole keeps its totals and the newest lines, each year has its lines on its own.

A ledger of at most ``LONGEST`` lines, or of one year, stays on one page. Nothing but the page of a line depends on it:
what leads to a month's lines asks ``Years.lines``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from buildlog.basics.frozen import frozen
from buildlog.pages.sheet import Link

LONGEST = 200
"""Lines of a ledger on one page."""
NEWEST = 25
"""Of a longer one so many stay on the page of the whole, and what is left of the month they begin in."""


class Month(Protocol):
    """A month of a ledger."""

    @property
    def year(self) -> int:
        """The year it is in."""

    @property
    def lines(self) -> Sequence[object]:
        """Its lines."""


M = TypeVar("M", bound=Month)


@frozen
class Years:
    """The years of a ledger that have a page of their own, oldest first; none of a short one."""

    page: str
    """The page of the whole."""
    title: str
    years: tuple[int, ...]

    @classmethod
    def of(cls, page: str, title: str, each: Iterable[int]) -> Years:
        """By the year of each line."""
        found = list(each)
        years = tuple(sorted({*found}))
        return cls(page, title, years if len(found) > LONGEST and len(years) > 1 else ())

    def path(self, year: int) -> str:
        """The page that holds the lines of a year."""
        return f"{self.page.removesuffix('.html')}-{year}.html" if self.years else self.page

    def lines(self, year: int, anchor: str) -> str:
        """Where an anchor among the lines of a year is, as seen from the page of the whole."""
        return f"{self.path(year)}#{anchor}" if self.years else f"#{anchor}"

    def links(self) -> tuple[Link, ...]:
        """The page of the whole, then each year's; none where there is but one page."""
        each = [Link(str(year), self.path(year)) for year in self.years]
        return (Link(self.title, self.page), *each) if each else ()

    def newest(self, months: Sequence[M]) -> tuple[M, ...]:
        """The months whose lines stand on the page of the whole: all, or the last of a long ledger."""
        count, first = 0, len(months)
        while self.years and first and count < NEWEST:
            first -= 1
            count += len(months[first].lines)
        return tuple(months[first:] if self.years else months)
