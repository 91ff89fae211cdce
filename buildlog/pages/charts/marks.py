"""Events over a chart of dates: a small pennant on a line, with its words where there is room."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from .canvas import Canvas, Pen, segments
from .days import DateLabel
from .lettering import LEADING, Anchor, Box, cut, plain, text_box
from .placing import Taken

_ROWS = 3
_PENNANT = 7.0
_WORDLESS = -1
_Choice = tuple[int, bool]
_RIGHT_FIRST: tuple[_Choice, ...] = tuple((row, left) for left in (False, True) for row in range(_ROWS))
_LEFT_FIRST: tuple[_Choice, ...] = tuple((row, left) for left in (True, False) for row in range(_ROWS))
_BY_ROW: tuple[_Choice, ...] = tuple((row, left) for row in range(_ROWS) for left in (False, True))


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened on a date, such as a milestone or a weighing."""

    on: date
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Mark:
    event: Event
    x: float
    row: int
    words: str = ""
    to_left: bool = False


@dataclass(frozen=True, slots=True)
class Marks:
    """Events with their places worked out, and the height their words need above the chart."""

    placed: tuple[_Mark, ...]
    height: float
    base: float
    """How far above the chart the rows of words begin: pennants without words stand below them."""

    def _y(self, mark: _Mark, top: float) -> float:
        return top - (self.base + _rise(mark.row) if mark.words else self.base - 1)

    def draw_lines(self, canvas: Canvas, top: float, spans: Sequence[tuple[float, float]], pen: Pen) -> None:
        """Draw the line of every event from its words to the chart's `top`, and through each of `spans`."""
        stems = [(m.x, self._y(m, top), m.x, top) for m in self.placed]
        through = [(m.x, begin, m.x, end) for m in self.placed for begin, end in spans]
        canvas.path(segments([*stems, *through]), pen)

    def draw_words(self, canvas: Canvas, dates: DateLabel, top: float) -> None:
        """Draw the pennants and their words over a chart that begins at `top`."""
        for mark in self.placed:
            event, y, side = mark.event, self._y(mark, top), -1 if mark.to_left else 1
            title = "\n".join(filter(None, (dates(event.on, "full"), event.name, event.note)))
            canvas.path(_pennant(mark.x, y, side), "solid", title=title)
            anchor: Anchor = "end" if mark.to_left else "start"
            canvas.text(mark.x + side * 9, y + 8, mark.words, anchor=anchor, title=title)


def place_events(
    events: Sequence[Event], at: Callable[[date], float], left: float, right: float, widest: float
) -> Marks:
    """Find room for the words of `events`: of a few ways to go about it, the one that names the most."""
    in_order = sorted(events, key=lambda e: e.on)
    marked = [_Mark(event, at(event.on), _WORDLESS, cut(plain(event.name), widest)) for event in in_order]
    backward, choices = marked[::-1], (_RIGHT_FIRST, _LEFT_FIRST, _BY_ROW)
    ways = [_placed(order, choice, Taken(left, right)) for order in (backward, marked) for choice in choices]
    best = min(ways, key=lambda marks: (sum(not m.words for m in marks), _rows(marks)))
    rows, base = _rows(best), 0.0 if all(mark.words for mark in best) else _PENNANT + 2
    placed = tuple(sorted(best, key=lambda m: m.event.on))
    return Marks(placed, base + rows * LEADING + (2 if rows else 0), base)


def _placed(marks: Sequence[_Mark], choices: Sequence[_Choice], taken: Taken) -> list[_Mark]:
    placed = []
    for mark in marks:
        tried = [replace(mark, row=row, to_left=to_left) for row, to_left in choices if mark.words]
        free = (one for one in tried if all(taken.free(box) for box in _boxes(one)))
        wordless = replace(mark, words="", to_left=mark.x + _PENNANT > taken.right)
        placed.append(next(free, wordless))
        taken.take(_boxes(placed[-1]))
    return placed


def _rows(marks: Sequence[_Mark]) -> int:
    return max((mark.row for mark in marks), default=_WORDLESS) + 1


def _boxes(mark: _Mark) -> list[Box]:
    """The line of a mark and its words, in heights above the chart (upward is negative)."""
    if not mark.words:
        return []
    rise = -_rise(mark.row)
    line = Box(mark.x - 2, rise, mark.x + 2, 0)
    side = -1 if mark.to_left else 1
    box = text_box(mark.x + side * 9, rise + 8, mark.words, "end" if mark.to_left else "start")
    near = mark.x + side * 3
    flag = Box(min(near, box.left), rise, max(near, box.right), rise + LEADING - 2)
    return [line, flag]


def _rise(row: int) -> float:
    return (row + 1) * LEADING - 4


def _pennant(x: float, y: float, side: int) -> str:
    return f"M{x:.1f} {y:.1f}l{side * 7} 3.5l{-side * 7} 3.5z"
