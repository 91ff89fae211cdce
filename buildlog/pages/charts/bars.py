"""Lying bars, one row a system: cost, hours or weight, with refunds and losses to the left of zero.

A bar has a solid part and a hollow one. Rows keep the caller's order.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from .canvas import Canvas, Sheet, segments
from .headings import Heading, Headings, measure_headings
from .lettering import LEADING, plain, text_width
from .parts import draw_parts_key, parts_of, told
from .scales import Format, Linear, Number

_GAP = 16.0
_LEAST = 1.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One row. `total`, if given, is written instead of the two parts."""

    name: str
    solid: Number
    hollow: Number = 0
    code: str = ""
    total: Number | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """A chart of lying bars. `solid_name` and `hollow_name` make the key ("paid", "ordered")."""

    label: str
    bars: tuple[Bar, ...]
    value: Format
    axis: str = ""
    details: str = ""
    solid_name: str = ""
    hollow_name: str = ""


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the columns stand: names, bars, and two columns of figures, each with its end and room."""

    names: Headings
    across: Linear
    ends: tuple[float, float]
    rooms: tuple[float, float]
    pitch: float
    thick: float
    down: float


def draw_bars(data: Bars, sheet: Sheet) -> str:
    """The chart as SVG; "" where there is no row."""
    if not data.bars:
        return ""
    canvas = Canvas(sheet)
    plan = _planned(data, sheet)
    top = _draw_head(canvas, data, plan, sheet)
    for row, (bar, figures) in enumerate(zip(data.bars, _figures(data), strict=True)):
        y = top + row * plan.pitch
        _draw_words(canvas, bar, figures, plan, y + (13 if sheet.compact else plan.pitch / 2 + 4), sheet)
        _draw_bar(canvas, bar, plan, y + plan.down)
        canvas.hit(0, y, sheet.width, plan.pitch, _title(data, bar))
    bottom = top + len(data.bars) * plan.pitch
    _draw_zero(canvas, data, plan, top, bottom, sheet)
    return canvas.finish(bottom + 4, data.label, data.details)


def _planned(data: Bars, sheet: Sheet) -> _Plan:
    names = measure_headings([Heading(b.name, b.code) for b in data.bars], sheet.width * 0.3)
    firsts, seconds = zip(*_figures(data), strict=True)
    most = sheet.width * (0.28 if sheet.compact else 0.18)
    rooms = (min(max(map(text_width, firsts)), most), min(max(map(text_width, seconds)), most))
    ends = (sheet.width - (rooms[1] + _GAP if rooms[1] else 0.0), float(sheet.width))
    if sheet.compact:
        return _Plan(names, _across(data, 1, sheet.width - 1), ends, rooms, 42, 11, 20)
    across = _across(data, names.width + _GAP, ends[0] - rooms[0] - _GAP)
    return _Plan(names, across, ends, rooms, 28, 15, 6.5)


def _across(data: Bars, start: float, end: float) -> Linear:
    """The scale of the bars; nothing but zeros leaves zero at the left."""
    parts = [part for bar in data.bars for part in parts_of(bar.solid, bar.hollow)]
    marks = [Fraction(0), *(part.begin for part in parts), *(part.end for part in parts)]
    low, high = min(marks), max(marks)
    return Linear(low, high if high > low else low + 1, start, end)


def _figures(data: Bars) -> Iterator[tuple[str, str]]:
    """The two figures of each row, as words; the second is empty where there is none."""
    for bar in data.bars:
        if bar.total is not None:
            yield plain(data.value(bar.total)), ""
        else:
            yield plain(data.value(bar.solid)), plain(data.value(bar.hollow)) if bar.hollow else ""


def _draw_head(canvas: Canvas, data: Bars, plan: _Plan, sheet: Sheet) -> float:
    """Write the caption and what solid and hollow mean; gives the top of the first row."""
    caption = plain(data.axis)
    canvas.text(0, 12, caption, soft=True, room=sheet.width)
    x = 0.0 if sheet.compact else plan.across.start
    own_row = caption and text_width(caption) + _GAP > x
    y = 12 + (LEADING + 4 if own_row else 0)
    key = draw_parts_key(canvas, (data.solid_name, data.hollow_name), x, y, sheet.width)
    return y + 10 if key or (caption and not own_row) else y - 10


def _draw_zero(canvas: Canvas, data: Bars, plan: _Plan, top: float, bottom: float, sheet: Sheet) -> None:
    """Draw zero through all rows, or beside each bar alone where the names stand above the bars."""
    x = plan.across(0)
    tops = [top + row * plan.pitch + plan.down - 3 for row in range(len(data.bars))]
    pieces = [(x, y, x, y + plan.thick + 6) for y in tops] if sheet.compact else [(x, top, x, bottom)]
    canvas.path(segments(pieces), width=1.5)


def _draw_words(canvas: Canvas, bar: Bar, figures: tuple[str, str], plan: _Plan, y: float, sheet: Sheet) -> None:
    room = plan.ends[0] - plan.rooms[0] - _GAP if sheet.compact else None
    plan.names.draw(canvas, y, Heading(bar.name, bar.code), room)
    canvas.text(plan.ends[0], y, figures[0], anchor="end", room=plan.rooms[0])
    canvas.text(plan.ends[1], y, figures[1], anchor="end", soft=True, room=plan.rooms[1])


def _draw_bar(canvas: Canvas, bar: Bar, plan: _Plan, y: float) -> None:
    for part in parts_of(bar.solid, bar.hollow):
        left, right = sorted((plan.across(part.begin), plan.across(part.end)))
        # A hollow bar's outline lies half outside it.
        inside = 0.7 if part.pen == "hollow" else 0
        canvas.rect(left, y + inside, max(right - left, _LEAST), plan.thick - 2 * inside, part.pen)


def _title(data: Bars, bar: Bar) -> str:
    words = (data.value(bar.solid), data.value(bar.hollow) if bar.hollow else "")
    rows = told((data.solid_name, data.hollow_name), words)
    total = [] if bar.total is None else [data.value(bar.total)]
    return "\n".join([Heading(bar.name, bar.code).whole, *total, *rows, bar.note])
