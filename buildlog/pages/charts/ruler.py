"""The graduated rule of arms under a station strip."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from .canvas import Canvas, segments
from .lettering import plain, text_box
from .scales import Format, Linear, Number, Range, multiples, tick_range

RULER_HEIGHT = 34.0
_LONG = 12.0
_SHORT = 5.0
_ROOM = 4.0


def arms_over(arms: Iterable[Number], pad: int, width: int) -> Linear:
    """A scale over the whole sheet on which all `arms` keep `pad` away from its edges."""
    exact = [Fraction(arm) for arm in arms]
    low, high = min(exact), max(exact)
    if low == high:
        low, high = low - 1, high + 1
    beyond = (high - low) * Fraction(pad, width - 2 * pad)
    return Linear(low - beyond, high + beyond, 0, width)


@dataclass(frozen=True, slots=True)
class Graduation:
    """The numbered ticks of a rule and their words."""

    span: Range
    words: tuple[str, ...]


def draw_ruler(canvas: Canvas, at: Linear, y: float, graduation: Graduation) -> None:
    """Draw the rule at `y` with a number at each long tick that has room for it."""
    span, words = graduation.span, graduation.words
    fine = multiples(span.step.finer(), at.low, at.high)
    shown = fine if len(fine) * _ROOM <= at.end else ()
    long = set(span.ticks)
    short = [t for t in shown if t not in long]
    canvas.path(
        segments([
            (at.start, y, at.end, y),
            *((at(t), y, at(t), y + _SHORT) for t in short),
            *((at(t), y, at(t), y + _LONG) for t in span.ticks),
        ])
    )  # fmt: skip
    for number, word in zip(span.ticks, words, strict=True):
        box = text_box(at(number), 0, word, "middle")
        if box.left >= 0 and box.right <= at.end:
            canvas.text(at(number), y + _LONG + 14, word, anchor="middle", soft=True)


def graduated(at: Linear, tick: Format) -> Graduation:
    """The finest graduation whose numbers stand clear of each other."""
    for count in range(max(int(at.end / 50), 2), 1, -1):
        span = tick_range(at.low, at.high, count)
        words = tuple(plain(tick(t)) for t in span.ticks)
        boxes = [text_box(at(t), 0, w, "middle") for t, w in zip(span.ticks, words, strict=True)]
        if all(one.right + 12 <= two.left for one, two in pairwise(boxes)):
            return Graduation(span, words)
    return Graduation(span, tuple(word if index == 0 else "" for index, word in enumerate(words)))
