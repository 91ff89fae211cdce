"""Running totals over dates: each holds its level until the next entry moves it.

Several totals are told apart by their stroke, never by colour. Totals of money and hours stand on zero;
a weight need not, and then a zigzag at the foot of the axis says so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from .axes import DATES_HEIGHT, draw_break, draw_dates, draw_values, margin_for, value_words
from .canvas import Canvas, Sheet, rounded, segments
from .days import DateLabel, Days, date_ticks, days_over
from .lettering import LEADING, plain, text_width
from .marks import Event, Marks, place_events
from .placing import spread
from .scales import Format, Linear, Number, Range, round_range

Stroke = Literal["solid", "dashed", "dotted", "thin"]

_DASH: dict[Stroke, str] = {"solid": "", "dashed": "7 4", "dotted": "1.5 3.5", "thin": ""}
_KEY_ROW = 20.0
_POINTED = 4.0
"""How far apart dates lie, in units of the drawing, so that each can be pointed at."""
_MOST_NOTES = 6


@dataclass(frozen=True, slots=True)
class Point:
    """The total from a date on, and what moved it there."""

    on: date
    total: Number
    note: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """One running total. Points may come in any order; those of one date keep theirs."""

    name: str
    points: tuple[Point, ...]
    stroke: Stroke = "solid"


@dataclass(frozen=True, slots=True)
class Measured:
    """A value that was measured on a date, to set against the running total: a hollow dot."""

    on: date
    value: Number
    plus_minus: Number | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Steps:
    """A chart of running totals. `tick` writes the axis, `value` the totals with their unit."""

    label: str
    series: tuple[Series, ...]
    tick: Format
    value: Format
    dates: DateLabel
    axis: str = ""
    details: str = ""
    events: tuple[Event, ...] = ()
    measured: tuple[Measured, ...] = ()
    until: date | None = None
    from_zero: bool = True


@dataclass(frozen=True, slots=True)
class _Line:
    name: str
    stroke: Stroke
    points: tuple[Point, ...]

    @property
    def last(self) -> Number:
        return self.points[-1].total


@dataclass(frozen=True, slots=True)
class _Plot:
    data: Steps
    lines: tuple[_Line, ...]
    words: tuple[str, ...]
    range: Range
    marks: Marks
    at: Days
    up: Linear
    top: float
    bottom: float


def draw_steps(data: Steps, sheet: Sheet) -> str:
    """The chart as SVG; "" where there is neither a point nor a measurement."""
    lines = tuple(_line(series) for series in data.series if series.points)
    if not lines and not data.measured:
        return ""
    canvas = Canvas(sheet)
    plot = _laid_out(data, lines, sheet)
    _draw_frame(canvas, plot, sheet)
    plot.marks.draw_lines(canvas, plot.top, [(plot.top, plot.bottom)], "rule")
    for line in plot.lines:
        thick = 1 if line.stroke == "thin" else 2
        canvas.path(_path(plot, line), "ink", width=thick, dash=_DASH[line.stroke])
    _draw_hits(canvas, plot)
    plot.marks.draw_words(canvas, data.dates, plot.top)
    _draw_measured(canvas, plot)
    if sheet.compact:
        _draw_key(canvas, plot, sheet)
    else:
        _draw_ends(canvas, plot, sheet)
    return canvas.finish(plot.bottom + DATES_HEIGHT, data.label, data.details)


def _line(series: Series) -> _Line:
    return _Line(plain(series.name), series.stroke, tuple(sorted(series.points, key=lambda p: p.on)))


def _laid_out(data: Steps, lines: tuple[_Line, ...], sheet: Sheet) -> _Plot:
    span = round_range(_values(data, lines), 4 if sheet.compact else 6, from_zero=data.from_zero)
    words = value_words(span.ticks, data.tick)
    left = margin_for(words, sheet.width * 0.25)
    right = sheet.width - (16 if sheet.compact else _end_room(data, lines, sheet))
    at = days_over(_dates(data, lines), left, right)
    marks = place_events(data.events, at, left, sheet.width, 110 if sheet.compact else 180)
    key = len(lines) * _KEY_ROW if sheet.compact else 0
    top = key + (LEADING + 2 if plain(data.axis) else 0) + marks.height + 12
    tall = max(180.0 if sheet.compact else 260.0, sum(map(_end_height, lines)))
    return _Plot(data, lines, tuple(words), span, marks, at, span.over(top + tall, top), top, top + tall)


def _values(data: Steps, lines: tuple[_Line, ...]) -> Iterator[Number]:
    for line in lines:
        yield from (point.total for point in line.points)
    for one in data.measured:
        yield from _reach(one)


def _reach(one: Measured) -> tuple[Fraction, Fraction]:
    """The value less and more its tolerance."""
    off = Fraction(one.plus_minus or 0)
    return Fraction(one.value) - off, Fraction(one.value) + off


def _dates(data: Steps, lines: tuple[_Line, ...]) -> Iterator[date]:
    for line in lines:
        yield from (point.on for point in line.points)
    yield from (one.on for one in data.measured)
    yield from (event.on for event in data.events)
    if data.until is not None:
        yield data.until


def _end_room(data: Steps, lines: tuple[_Line, ...], sheet: Sheet) -> float:
    words = [plain(data.value(line.last)) for line in lines] + [line.name for line in lines]
    return max(24.0, 8 + margin_for(words, sheet.width * 0.22))


def _end_height(line: _Line) -> float:
    return 34.0 if line.name else 18.0


def _draw_frame(canvas: Canvas, plot: _Plot, sheet: Sheet) -> None:
    if plot.data.axis:
        key = len(plot.lines) * _KEY_ROW if sheet.compact else 0
        canvas.text(0, key + 12, plot.data.axis, soft=True, room=sheet.width)
    draw_values(canvas, plot.up, plot.range.ticks, plot.words, plot.at.start, plot.at.end)
    ticks = date_ticks(plot.at, plot.data.dates, 0, sheet.width)
    draw_dates(canvas, plot.at, ticks, plot.bottom, plot.at.start, plot.at.end)
    if plot.range.low > 0 or plot.range.high < 0:
        draw_break(canvas, plot.at.start, plot.bottom)


def _path(plot: _Plot, line: _Line) -> str:
    first = line.points[0]
    begin = plot.up(0) if plot.data.from_zero else plot.up(first.total)
    turns = [f"M{rounded(plot.at(first.on))} {rounded(begin)}"]
    turns += [f"H{rounded(plot.at(p.on))}V{rounded(plot.up(p.total))}" for p in line.points]
    return "".join([*turns, f"H{rounded(plot.at.end)}"])


def _draw_hits(canvas: Canvas, plot: _Plot) -> None:
    """Lay a band from each date to the next that tells the totals from then on."""
    told: dict[date, list[str]] = {}
    for line in plot.lines:
        for point in line.points:
            told.setdefault(point.on, []).append(point.note)
    groups = _pointable(sorted(told), plot.at)
    edges = [*(plot.at(group[0]) for group in groups), plot.at.end]
    current: dict[int, int] = dict.fromkeys(range(len(plot.lines)), 0)
    for place, group in enumerate(groups):
        rows = [" \u2013 ".join(plot.data.dates(on, "full") for on in dict.fromkeys((group[0], group[-1])))]
        for index, line in enumerate(plot.lines):
            while current[index] < len(line.points) and line.points[current[index]].on <= group[-1]:
                current[index] += 1
            if current[index]:
                total = plot.data.value(line.points[current[index] - 1].total)
                rows.append(f"{line.name}: {total}" if line.name else total)
        notes = [note for on in group for note in told[on] if note]
        more = [f"and {len(notes) - _MOST_NOTES} more"] if len(notes) > _MOST_NOTES else []
        title = "\n".join([*rows, *notes[:_MOST_NOTES], *more])
        canvas.hit(edges[place], plot.top, edges[place + 1] - edges[place], plot.bottom - plot.top, title)


def _pointable(dates: Sequence[date], at: Days) -> list[list[date]]:
    """The dates in groups that lie far enough apart to be pointed at."""
    groups: list[list[date]] = []
    for on in dates:
        if groups and at(on) - at(groups[-1][0]) < _POINTED:
            groups[-1].append(on)
        else:
            groups.append([on])
    return groups


def _draw_measured(canvas: Canvas, plot: _Plot) -> None:
    for one in plot.data.measured:
        x, value = plot.at(one.on), plot.data.value(one.value)
        if one.plus_minus:
            low, high = map(plot.up, _reach(one))
            canvas.path(segments([(x, low, x, high)]), "ink", width=1.5)
            value = f"{value} ± {plot.data.tick(one.plus_minus)}"
        title = "\n".join(part for part in (plot.data.dates(one.on, "full"), value, one.note) if part)
        canvas.circle(x, plot.up(one.value), 4.5, "hollow", title)


def _draw_ends(canvas: Canvas, plot: _Plot, sheet: Sheet) -> None:
    """Write the last total and the name at the end of each line, moved apart where they would touch."""
    lines = sorted(plot.lines, key=lambda line: plot.up(line.last))
    heights = [_end_height(line) for line in lines]
    wanted = [plot.up(line.last) - 8 for line in lines]
    # Words of events may reach out over the right margin, just above the chart.
    highest = plot.top + 2 if plot.data.events else plot.top - 8
    tops = spread(wanted, heights, highest, plot.bottom + 4)
    x, room = plot.at.end + 12, sheet.width - plot.at.end - 12
    for line, want, top in zip(lines, wanted, tops, strict=True):
        if abs(want - top) > 1:
            canvas.path(segments([(plot.at.end + 1, want + 8, x - 2, top + 8)]), "rule")
        canvas.text(x, top + 12, plot.data.value(line.last), strong=True, room=room)
        canvas.text(x, top + 12 + 15, line.name, soft=True, room=room)


def _draw_key(canvas: Canvas, plot: _Plot, sheet: Sheet) -> None:
    """Write each total in a row of its own above the chart, after a sample of its stroke."""
    for row, line in enumerate(plot.lines):
        y = row * _KEY_ROW + 12
        total = plain(plot.data.value(line.last))
        wide = min(text_width(total), sheet.width * 0.5)
        thick = 1 if line.stroke == "thin" else 2
        canvas.path(segments([(0, y - 4, 26, y - 4)]), width=thick, dash=_DASH[line.stroke])
        canvas.text(34, y, line.name, room=sheet.width - wide - 34 - 10)
        canvas.text(sheet.width, y, total, anchor="end", strong=True, room=wide)
