"""What a ledger is made of: columns that know their name, unit and meaning, and how a cell is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.basics.dates import HazyDate
from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.record_weight import Units

Cell = str | int | Decimal | None
"""What a column gives: None, for what is not known or not written, is an empty cell."""


@frozen
class Column:
    """One column: ``get`` takes a row's record."""

    name: str
    get: Callable[[Any], Cell]
    meaning: str
    unit: str = ""


@frozen
class Ledger:
    """A file of rows."""

    name: str
    columns: tuple[Column, ...]
    rows: Sequence[Any]

    def lines(self) -> Iterator[list[str]]:
        """Its rows as text."""
        for row in self.rows:
            cells = (column.get(row) for column in self.columns)
            yield ["" if cell is None else str(cell) for cell in cells]


Make = Callable[[Figures, "Pen"], Ledger | None]
"""Makes a ledger; None where its audience may see nothing of it."""


@frozen
class Pen:
    """Writes cells in the project's units, and only what the audience of a record may see."""

    units: Units
    currency: str
    told: frozenset[str]
    exact_dates: bool

    @classmethod
    def of(cls, worked: Figures) -> Pen:
        """The pen of a record."""
        book = worked.logbook
        said = book.project.units
        units = Units(said.weight, said.arm, book.loading.mac if book.loading else None)
        return cls(units, said.currency, frozenset(entry.slug for entry in book.told()), book.sight.exact_dates)

    def entry(self, slug: str) -> str:
        """An entry's address; '' for one this audience may not read, whose address has its words in it."""
        return slug if slug in self.told else ""

    def day(self, day: date | None) -> str:
        """A day, or its month where days may not be seen."""
        if day is None:
            return ""
        return day.isoformat() if self.exact_dates else f"{day:%Y-%m}"

    def money(self, minor: int | None) -> Cell:
        """Minor units as an amount."""
        return None if minor is None else str(Decimal(minor).scaleb(-MINOR_UNITS[self.currency]))

    def kg(self, value: Fraction | None) -> Cell:
        """A weight in the project's unit."""
        return None if value is None else self.units.kg(value)

    def moment(self, value: Fraction | None) -> Cell:
        """A moment in the project's units."""
        return None if value is None else self.units.moment(value)

    @property
    def moment_unit(self) -> str:
        """As ``lb in``."""
        return f"{self.units.weight} {self.units.arm}"

    def share(self, parts: Iterable[tuple[str, int]]) -> str:
        """Money by system: ``fuel: 7.50; engine: 2.50``."""
        return "; ".join(f"{key or 'none'}: {self.money(part)}" for key, part in parts)


def listed(names: Iterable[str]) -> str:
    """Several names in one cell."""
    return "; ".join(names)


def hazy(day: HazyDate | None) -> Cell:
    """A day as it was written, which may be uncertain (EDTF)."""
    return day.text if day else None
