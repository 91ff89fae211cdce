"""The work, system by system: a tick for each entry on its date, its area for its hours.

A day's tick is narrow and as tall as its hours; work over several days is as wide as they are.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from .axes import DATES_HEIGHT, draw_dates
from .canvas import Canvas, Sheet, segments
from .days import DateLabel, DateTick, Days, date_ticks, days_over
from .headings import Heading, Headings, measure_headings
from .lettering import cut, plain, text_width
from .marks import Event, Marks, place_events
from .scales import Format, Number, nice_below

_GAP = 16.0
_TALLEST = 22.0
_LEAST = 1.2
_TICK = 2.6
_HEAD = 34.0


@dataclass(frozen=True, slots=True)
class Work:
    """One entry: its date, or first and last, and its hours."""

    on: date
    hours: Number
    name: str = ""
    to: date | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One system and its entries."""

    name: str
    work: tuple[Work, ...]
    code: str = ""


@dataclass(frozen=True, slots=True)
class Timeline:
    """A chart of systems over dates. `value` writes hours with their unit."""

    label: str
    rows: tuple[Row, ...]
    value: Format
    dates: DateLabel
    axis: str = ""
    details: str = ""
    events: tuple[Event, ...] = ()
    until: date | None = None


@dataclass(frozen=True, slots=True)
class _Plot:
    names: Headings
    at: Days
    ticks: tuple[DateTick, ...]
    marks: Marks
    most: Fraction
    top: float
    pitch: float
    bottom: float

    def height(self, hours: Number, width: float) -> float:
        """How tall a mark `width` wide must be for its area to be its hours."""
        if not self.most:
            return _LEAST
        over, under = _density(hours, width).as_integer_ratio()
        most, most_under = self.most.as_integer_ratio()
        return max(over * most_under / (under * most) * _TALLEST, _LEAST)


def draw_timeline(data: Timeline, sheet: Sheet) -> str:
    """The chart as SVG; "" where no row has an entry."""
    if not any(row.work for row in data.rows):
        return ""
    canvas = Canvas(sheet)
    plot = _laid_out(data, sheet)
    _draw_head(canvas, data, plot, sheet)
    lines = [plot.top + (index + 1) * plot.pitch for index in range(len(data.rows))]
    # Where names stand above the ticks, upright lines keep to the ticks.
    spans = [(y - _TALLEST - 2, y) for y in lines] if sheet.compact else [(plot.top, plot.bottom)]
    months = [plot.at(tick.on) for tick in plot.ticks if tick.text]
    canvas.path(segments((x, begin, x, end) for x in months for begin, end in spans), "rule")
    plot.marks.draw_lines(canvas, plot.top, spans, "ghost")
    for row, y in zip(data.rows, lines, strict=True):
        _draw_row(canvas, data, plot, row, y, sheet)
    plot.marks.draw_words(canvas, data.dates, plot.top)
    draw_dates(canvas, plot.at, plot.ticks, plot.bottom + 8, plot.at.start, sheet.width)
    return canvas.finish(plot.bottom + 8 + DATES_HEIGHT, data.label, data.details)


def _laid_out(data: Timeline, sheet: Sheet) -> _Plot:
    names = measure_headings([Heading(r.name, r.code) for r in data.rows], sheet.width * 0.3)
    left = 0.0 if sheet.compact else names.width + _GAP
    at = days_over(_dates(data), left + _TICK, sheet.width - _TICK)
    marks = place_events(data.events, at, 0, sheet.width, 110 if sheet.compact else 180)
    ticks = date_ticks(at, data.dates, 0, sheet.width)
    most = max(_density(work.hours, _width(at, work)) for row in data.rows for work in row.work)
    top = (_HEAD if plain(data.axis) or most else 0) + marks.height
    pitch = 46.0 if sheet.compact else 30.0
    return _Plot(names, at, ticks, marks, most, top, pitch, top + pitch * len(data.rows))


def _dates(data: Timeline) -> Iterator[date]:
    for row in data.rows:
        for work in row.work:
            yield from (work.on, work.to or work.on)
    yield from (event.on for event in data.events)
    if data.until is not None:
        yield data.until


def _width(at: Days, work: Work) -> float:
    return max(at(work.to) - at(work.on), _TICK) if work.to is not None else _TICK


def _density(hours: Number, width: float) -> Fraction:
    """Hours spread over a mark, counted in the width of one day's tick."""
    exact = abs(Fraction(hours))
    return exact if width == _TICK else exact * Fraction(_TICK) / Fraction(width)


def _draw_head(canvas: Canvas, data: Timeline, plot: _Plot, sheet: Sheet) -> None:
    """Write the caption, and at the right a tick of a round number of hours as the measure of the others."""
    right = float(sheet.width)
    if plot.most:
        hours = nice_below(plot.most)
        words = cut(plain(data.value(hours)), sheet.width * 0.3)
        tall = plot.height(hours, _TICK)
        x = right - text_width(words) - 10
        canvas.rect(x, _TALLEST - tall, _TICK, tall, "solid")
        canvas.path(segments([(x - 8, _TALLEST, x + _TICK + 2, _TALLEST)]), "rule")
        canvas.text(right, _TALLEST - 2, words, anchor="end", soft=True)
        right = x - 24
    canvas.text(0, _TALLEST - 2, data.axis, soft=True, room=right)


def _draw_row(canvas: Canvas, data: Timeline, plot: _Plot, row: Row, y: float, sheet: Sheet) -> None:
    """Draw one system on its line at `y`; same dates stand side by side."""
    heading, lift = Heading(row.name, row.code), _TALLEST + 8 if sheet.compact else 7
    plot.names.draw(canvas, y - lift, heading, float(sheet.width) if sheet.compact else None)
    canvas.path(segments([(plot.at.start - _TICK, y, sheet.width, y)]), "rule")
    used: dict[date, int] = {}
    for work in sorted(row.work, key=lambda w: w.on):
        wide = _width(plot.at, work)
        tall = plot.height(work.hours, wide)
        beside = used.get(work.on, 0)
        used[work.on] = beside + 1
        x = plot.at(work.on) - _TICK / 2 + beside * (_TICK + 1)
        title = "\n".join([_when(data, work), work.name, data.value(work.hours)])
        canvas.rect(min(x, sheet.width - wide), y - tall, wide, tall, "solid", title)


def _when(data: Timeline, work: Work) -> str:
    first = data.dates(work.on, "full")
    return first if work.to is None or work.to == work.on else f"{first} \u2013 {data.dates(work.to, 'full')}"
