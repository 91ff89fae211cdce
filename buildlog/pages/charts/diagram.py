"""The loading diagram: centre of gravity across, weight upward, the limits as a polygon, loadings as points.

A solid point is a loading as it begins, the dashed line from it the way its tanks empty (two lines where their order
matters), the flat bar its tolerance.
A hollow point is the empty aircraft. A loading outside has its letter written bold and its title says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from .axes import draw_values, margin_for, value_words
from .canvas import Canvas, Sheet, polyline, segments
from .lettering import ASCENT, LEADING, Anchor, Box, plain, text_box, text_width
from .placing import Disc, Taken
from .scales import Format, Linear, Number, Range, round_range

_RADIUS = 5.0
_STOP = 4.0
_OFFSETS: tuple[tuple[float, float, Anchor], ...] = (
    (10, 4, "start"), (-10, 4, "end"), (0, -10, "middle"), (0, 20, "middle"), (10, -8, "start"), (-10, -8, "end"),
    (10, 16, "start"), (-10, 16, "end"), (12, -20, "start"), (-12, -20, "end"), (12, 28, "start"), (-12, 28, "end"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Dot:
    """A loading: its letter and name, where it stands, its tolerance, and the points its tanks empty through."""

    letter: str
    name: str
    arm: Number
    weight: Number
    plus_minus: Number = 0
    path: tuple[tuple[Number, Number], ...] = ()
    inside: bool = True
    note: str = ""
    other_path: tuple[tuple[Number, Number], ...] = ()

    @property
    def paths(self) -> tuple[tuple[tuple[Number, Number], ...], ...]:
        """The ways there are."""
        return tuple(path for path in (self.path, self.other_path) if path)


@dataclass(frozen=True, slots=True)
class Diagram:
    """Limits (weight, forward, aft) in order of weight, the loadings, the empty aircraft, and the words for figures."""

    label: str
    limits: tuple[tuple[Number, Number, Number], ...]
    dots: tuple[Dot, ...]
    empty: Dot | None
    arm_tick: Format
    weight_tick: Format
    arm_axis: str = ""
    weight_axis: str = ""
    details: str = ""


@dataclass(frozen=True, slots=True)
class _Plot:
    across: Linear
    up: Linear
    arms: Range
    weights: Range
    top: float
    bottom: float
    left: float
    right: float
    width: float
    arm_words: list[str]


def draw_diagram(data: Diagram, sheet: Sheet) -> str:
    """The diagram on a sheet; "" when there are neither limits nor loadings."""
    if not data.limits and not data.dots:
        return ""
    canvas = Canvas(sheet)
    plot, words = _laid_out(data, sheet)
    canvas.text(0, 12, data.weight_axis, soft=True, room=sheet.width)
    draw_values(canvas, plot.up, plot.weights.ticks, words, plot.left, plot.right)
    _draw_arms(canvas, data, plot)
    limits = _polygon(data, plot)
    canvas.path(polyline(limits) if limits else "", "ink", width=2)
    everything = [*data.dots, *([data.empty] if data.empty else [])]
    taken = Taken(plot.left, plot.right)
    taken.stand(_along(limits))
    for dot in everything:
        taken.stand(_obstacles(dot, plot))
    for dot in everything:
        _draw_dot(canvas, dot, plot, hollow=dot is data.empty)
    for dot in everything:
        _draw_name(canvas, dot, plot, taken, full=not sheet.compact)
    return canvas.finish(plot.bottom + 26 + LEADING, data.label, data.details)


def _laid_out(data: Diagram, sheet: Sheet) -> tuple[_Plot, list[str]]:
    arms = round_range(_arms(data), 5 if sheet.compact else 10, from_zero=False)
    weights = round_range(_weights(data), 5 if sheet.compact else 7, from_zero=False)
    words = value_words(weights.ticks, data.weight_tick)
    arm_words = value_words(arms.ticks, data.arm_tick)
    beside = min(max(text_width(arm_words[0]), text_width(arm_words[-1])) / 2, sheet.width * 0.2)
    left, right = max(margin_for(words, sheet.width * 0.25), beside), sheet.width - max(12.0, beside)
    top = LEADING + 10.0
    bottom = top + (260.0 if sheet.compact else 420.0)
    across, up = arms.over(left, right), weights.over(bottom, top)
    return _Plot(across, up, arms, weights, top, bottom, left, right, sheet.width, arm_words), words


def _arms(data: Diagram) -> Iterator[Number]:
    if data.limits:
        sides = [Fraction(arm) for _, *both in data.limits for arm in both]
        ahead, behind = min(sides), max(sides)
        yield from (ahead - (behind - ahead) / 40, behind + (behind - ahead) / 40)
    for dot in (*data.dots, *([data.empty] if data.empty else [])):
        yield from (Fraction(dot.arm) + side * abs(Fraction(dot.plus_minus)) for side in (-1, 1))
        yield from (arm for path in dot.paths for arm, _ in path)


def _weights(data: Diagram) -> Iterator[Number]:
    yield from (weight for weight, _, _ in data.limits)
    for dot in (*data.dots, *([data.empty] if data.empty else [])):
        yield from (dot.weight, *(weight for path in dot.paths for _, weight in path))


def _draw_arms(canvas: Canvas, data: Diagram, plot: _Plot) -> None:
    """The arms along the bottom, a light line up from each."""
    canvas.path(segments((plot.across(t), plot.top, plot.across(t), plot.bottom) for t in plot.arms.ticks), "rule")
    canvas.path(segments([(plot.left, plot.bottom, plot.right, plot.bottom)]))
    last: Box | None = None
    for tick, word in zip(plot.arms.ticks, plot.arm_words, strict=True):
        box = text_box(plot.across(tick), plot.bottom + 16, word, "middle")
        on_sheet = round(box.left, 1) >= 0 and round(box.right, 1) <= plot.width
        if on_sheet and (last is None or last.right + 4 <= box.left):
            canvas.text(plot.across(tick), plot.bottom + 16, word, anchor="middle", soft=True)
            last = box
    canvas.text(plot.right, plot.bottom + 16 + LEADING, data.arm_axis, anchor="end", soft=True, room=plot.right)


def _polygon(data: Diagram, plot: _Plot) -> list[tuple[float, float]]:
    """The limits: up the forward side, down the aft side, back to the beginning."""
    if not data.limits:
        return []
    forward = [(plot.across(f), plot.up(w)) for w, f, _ in data.limits]
    aft = [(plot.across(a), plot.up(w)) for w, _, a in reversed(data.limits)]
    return [*forward, *aft, forward[0]]


def _obstacles(dot: Dot, plot: _Plot) -> list[Disc]:
    """The point, its bar and its dashed line, as things no word may lie on."""
    x, y, wide = plot.across(dot.arm), plot.up(dot.weight), _half_bar(dot, plot)
    bar = [Disc(disc.x, disc.y, _STOP) for disc in _along([(x - wide, y), (x + wide, y)])] if wide else []
    ways = [disc for path in dot.paths for disc in _along(_way(dot, path, plot))]
    return [Disc(x, y, _RADIUS + 2), *bar, *ways]


def _way(dot: Dot, path: tuple[tuple[Number, Number], ...], plot: _Plot) -> list[tuple[float, float]]:
    return [(plot.across(arm), plot.up(weight)) for arm, weight in ((dot.arm, dot.weight), *path)]


def _along(points: list[tuple[float, float]]) -> Iterator[Disc]:
    """A line as a row of small discs, near enough for keeping words off it."""
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = max(2, int(max(abs(x1 - x0), abs(y1 - y0)) / 6))
        yield from (Disc(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps, 2) for i in range(steps + 1))


def _half_bar(dot: Dot, plot: _Plot) -> float:
    return plot.across(plot.arms.low + abs(Fraction(dot.plus_minus))) - plot.across(plot.arms.low)


def _draw_dot(canvas: Canvas, dot: Dot, plot: _Plot, *, hollow: bool) -> None:
    x, y = plot.across(dot.arm), plot.up(dot.weight)
    for path in dot.paths:
        way = _way(dot, path, plot)
        canvas.path(polyline(way), "ink", dash="4 4")
        canvas.circle(*way[-1], 2.5, "hollow")
    if dot.plus_minus:
        wide = _half_bar(dot, plot)
        stops = [(x - wide, y - _STOP, x - wide, y + _STOP), (x + wide, y - _STOP, x + wide, y + _STOP)]
        canvas.path(segments([(x - wide, y, x + wide, y), *stops]), width=1.5)
    told = "\n".join(part for part in (dot.name, dot.note) if part)
    canvas.circle(x, y, _RADIUS, "hollow" if hollow else "solid", told)


def _draw_name(canvas: Canvas, dot: Dot, plot: _Plot, taken: Taken, *, full: bool) -> None:
    """The name where there is room beside the point, else the letter, else nothing: the title and the table have it."""
    x, y = plot.across(dot.arm), plot.up(dot.weight)
    wide = max(_half_bar(dot, plot) - _RADIUS, 0)
    letter, name = plain(dot.letter), plain(dot.name)
    for words in ([f"{letter}  {name}".strip()] if full else []) + [letter or name]:
        for beside, dy, anchor in _OFFSETS:
            dx = beside + (wide if beside > 0 else -wide if beside < 0 else 0)
            box = text_box(x + dx, y + dy, words, anchor)
            if box.top > plot.top - ASCENT and box.bottom < plot.bottom and taken.free(box, 3):
                taken.take([box])
                canvas.text(x + dx, y + dy, words, anchor=anchor, strong=not dot.inside)
                return
