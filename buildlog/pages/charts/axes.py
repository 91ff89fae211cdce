"""The rules a chart stands on: a graduated line of dates, and lines for round values."""

from collections.abc import Sequence
from decimal import Decimal

from .canvas import Canvas, rounded, segments
from .days import DateTick, Days
from .lettering import LEADING, plain, text_width
from .scales import Format, Linear

DATES_HEIGHT = 44.0
_LONG = 9.0
_SHORT = 4.0


def draw_dates(canvas: Canvas, days: Days, ticks: Sequence[DateTick], y: float, start: float, end: float) -> None:
    """Draw the graduated line of dates at `y` from `start` to `end`, words and years below it."""
    lines = [(days(t.on), y, days(t.on), y + (_LONG if t.text else _SHORT)) for t in ticks]
    canvas.path(segments([(start, y, end, y), *lines]))
    for tick in ticks:
        canvas.text(days(tick.on), y + _LONG + 13, tick.text, anchor="middle", soft=True)
        canvas.text(days(tick.on), y + _LONG + 13 + LEADING, tick.year, anchor="middle", soft=True)


def value_words(ticks: Sequence[Decimal], number: Format) -> list[str]:
    """The words of each tick; a word that only repeats the one before is left out."""
    words = [plain(number(tick)) for tick in ticks]
    return [word if index == 0 or word != words[index - 1] else "" for index, word in enumerate(words)]


def margin_for(words: Sequence[str], most: float) -> float:
    """The width to leave for words beside an axis."""
    return min(max(map(text_width, words), default=0.0), most) + 8


def draw_values(
    canvas: Canvas, scale: Linear, ticks: Sequence[Decimal], words: Sequence[str], left: float, right: float
) -> None:
    """Draw a light line for each tick, ink at zero, with its words to the left."""
    canvas.path(segments((left, scale(t), right, scale(t)) for t in ticks if t), "rule")
    canvas.path(segments((left, scale(t), right, scale(t)) for t in ticks if not t), "ink")
    for tick, word in zip(ticks, words, strict=True):
        canvas.text(left - 8, scale(tick) + 4, word, anchor="end", soft=True, room=left - 8)


def draw_break(canvas: Canvas, x: float, y: float) -> None:
    """The draughtsman's zigzag: this axis does not begin at zero."""
    points = ((0, -16), (0, -11), (-4, -9), (4, -5), (0, -3), (0, 0))
    canvas.path("M" + "L".join(f"{rounded(x + dx)} {rounded(y + dy)}" for dx, dy in points))
