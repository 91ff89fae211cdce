"""Standing columns, one a month: what was paid or worked, below zero where more came back.

A column has a solid and a hollow part. Months without an amount stay empty but keep
their place. Amounts of the same month are added.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from .axes import DATES_HEIGHT, draw_dates, draw_values, margin_for, value_words
from .canvas import Canvas, Sheet
from .days import DateLabel, Days, date_ticks, month_start, months_between
from .lettering import LEADING, plain, text_width
from .parts import draw_parts_key, parts_of, told
from .scales import Format, Linear, Number, Range, round_range, summed

_MONTHS = 6
_WIDEST = 44.0
_LEAST = 0.6
_BELOW = 14


@dataclass(frozen=True, slots=True)
class Month:
    """The amounts of the month that holds `on`."""

    on: date
    solid: Number
    hollow: Number = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Columns:
    """A chart of months. `tick` writes the axis and over the columns, `value` amounts with their unit."""

    label: str
    months: tuple[Month, ...]
    tick: Format
    value: Format
    dates: DateLabel
    axis: str = ""
    details: str = ""
    solid_name: str = ""
    hollow_name: str = ""


@dataclass(frozen=True, slots=True)
class _Column:
    """One month's sums."""

    start: date
    solid: Number
    hollow: Number
    notes: tuple[str, ...]

    @property
    def edges(self) -> tuple[Fraction, Fraction]:
        """The lowest and the highest value it reaches, zero among them."""
        ends = [Fraction(0), *(part.end for part in parts_of(self.solid, self.hollow))]
        return min(ends), max(ends)


@dataclass(frozen=True, slots=True)
class _Plot:
    columns: tuple[_Column, ...]
    words: tuple[str, ...]
    range: Range
    at: Days
    up: Linear
    slot: float
    bottom: float


def draw_columns(data: Columns, sheet: Sheet) -> str:
    """The chart as SVG; "" where there is no month."""
    if not data.months:
        return ""
    canvas = Canvas(sheet)
    columns = tuple(_summed(data.months))
    top = _draw_head(canvas, data, sheet)
    plot = _laid_out(data, columns, sheet, top)
    draw_values(canvas, plot.up, plot.range.ticks, plot.words, plot.at.start - plot.slot / 2, sheet.width)
    ticks = date_ticks(plot.at, data.dates, 0, sheet.width, by_month=True)
    draw_dates(canvas, plot.at, ticks, plot.bottom, plot.at.start - plot.slot / 2, sheet.width)
    for column in columns:
        _draw_column(canvas, data, plot, column)
    _draw_amounts(canvas, data, plot)
    return canvas.finish(plot.bottom + DATES_HEIGHT, data.label, data.details)


def _summed(months: tuple[Month, ...]) -> Iterator[_Column]:
    by_start: dict[date, list[Month]] = {}
    for month in months:
        by_start.setdefault(month.on.replace(day=1), []).append(month)
    for start, same in sorted(by_start.items()):
        solid, hollow = summed(m.solid for m in same), summed(m.hollow for m in same)
        yield _Column(start, solid, hollow, tuple(m.note for m in same))


def _laid_out(data: Columns, columns: tuple[_Column, ...], sheet: Sheet, top: float) -> _Plot:
    edges = [edge for column in columns for edge in column.edges]
    span = round_range(edges, 3 if sheet.compact else 4, from_zero=True)
    words = value_words(span.ticks, data.tick)
    left = margin_for(words, sheet.width * 0.25)
    months = months_between(columns[0].start, columns[-1].start)
    count = max(len(months), _MONTHS)
    # Near the end of the calendar the empty months are put before the first one.
    first = min(months[0], date.max.year * 12 + 12 - count)
    slot = (sheet.width - left) / count
    at = Days(month_start(first), month_start(first + count - 1), left + slot / 2, sheet.width - slot / 2)
    foot = top + (140.0 if sheet.compact else 170.0)
    below = _BELOW if span.low < 0 and _amounts(data, columns, slot) else 0
    return _Plot(columns, tuple(words), span, at, span.over(foot, top), slot, foot + below)


def _draw_head(canvas: Canvas, data: Columns, sheet: Sheet) -> float:
    """Write the caption and what solid and hollow mean; gives the top of the chart."""
    caption = plain(data.axis)
    canvas.text(0, 12, caption, soft=True, room=sheet.width)
    y = 12 + (LEADING + 4 if caption else 0)
    key = draw_parts_key(canvas, (data.solid_name, data.hollow_name), 0, y, sheet.width)
    return y + 24 if key else y + 4


def _draw_column(canvas: Canvas, data: Columns, plot: _Plot, column: _Column) -> None:
    wide = max(min(plot.slot * 0.62, _WIDEST), _LEAST)
    x = plot.at(column.start)
    for part in parts_of(column.solid, column.hollow):
        low, high = sorted((plot.up(part.begin), plot.up(part.end)))
        canvas.rect(x - wide / 2, low, wide, max(high - low, 1), part.pen)
    canvas.hit(x - plot.slot / 2, plot.up.end, plot.slot, plot.up.start - plot.up.end, _title(data, column))


def _amounts(data: Columns, columns: tuple[_Column, ...], slot: float) -> list[str]:
    """The words at the end of every column, or none at all where one has not the room."""
    words = [plain(data.tick(summed((column.solid, column.hollow)))) for column in columns]
    return words if max(map(text_width, words)) <= slot - 6 else []


def _draw_amounts(canvas: Canvas, data: Columns, plot: _Plot) -> None:
    for column, word in zip(plot.columns, _amounts(data, plot.columns, plot.slot), strict=False):
        low, high = column.edges
        y = plot.up(low) + 14 if low < 0 and not high else plot.up(high) - 5
        canvas.text(plot.at(column.start), y, word, anchor="middle")


def _title(data: Columns, column: _Column) -> str:
    words = (data.value(column.solid), data.value(column.hollow) if column.hollow else "")
    month = f"{data.dates(column.start, 'month')} {data.dates(column.start, 'year')}"
    return "\n".join([month, *told((data.solid_name, data.hollow_name), words), *column.notes])
