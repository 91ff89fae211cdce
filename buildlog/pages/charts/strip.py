"""The station strip: every item at its arm, as a half-disc whose area is its weight.

What went in stands solid on the line, what came out hangs hollow below it. The heaviest are drawn first,
so that the lighter ones lie upon them; items alike in place and size stand stacked like bowls. Words are
given to the heavier ones as far as they find room; every item has its words in its title.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from .canvas import Canvas, Sheet, polyline, segments
from .discs import HalfDisc, Item, Label, place_discs, place_labels, radius_of
from .lettering import LEADING, Box, cut, plain, text_box, text_width
from .placing import Taken, interrupted
from .ruler import RULER_HEIGHT, Graduation, arms_over, draw_ruler, graduated
from .scales import Format, Linear, Number, nice_below

Outline = Sequence[Sequence[tuple[Number, Number]]]

_DATUM_DASH = "10 3 2 3"
_GAP = 10.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of items.

    `tick` writes arms along the rule, `arm` writes them with their unit; `change` writes a weight put in
    or taken out with its sign, `weight` one without. `outline` is a side view: lines through (arm, height),
    heights in the unit of the arms and upward.
    """

    label: str
    items: tuple[Item, ...]
    tick: Format
    arm: Format
    change: Format
    weight: Format
    axis: str = ""
    details: str = ""
    datum: Number = 0
    datum_name: str = ""
    in_name: str = ""
    out_name: str = ""
    first_arm: Number | None = None
    last_arm: Number | None = None
    outline: Outline | None = None


@dataclass(frozen=True, slots=True)
class _Plan:
    at: Linear
    graduation: Graduation
    largest: float
    discs: list[HalfDisc]
    labels: list[Label]
    datum: float | None
    """None where the datum lies so far off that showing it would squeeze the items."""
    above: float
    below: float


def draw_strip(data: Strip, sheet: Sheet) -> str:
    """The strip as SVG; "" where there is no item."""
    if not data.items:
        return ""
    canvas = Canvas(sheet)
    plan = _planned(data, sheet)
    top = LEADING + 4.0 if plain(data.datum_name) else 0.0
    top += _draw_outline(canvas, data, plan, top)
    line = top + plan.above
    rule = line + plan.below + _GAP
    boxes = [_lowered(label.box, line) for label in plan.labels]
    _draw_uprights(canvas, plan, line - plan.above, rule, boxes)
    _draw_datum(canvas, data, plan, rule, boxes, sheet)
    for disc in plan.discs:
        _draw_disc(canvas, data, disc, line)
    canvas.path(segments([(0, line, sheet.width, line)]), width=1.5)
    for label in plan.labels:
        _draw_label(canvas, label, line)
    draw_ruler(canvas, plan.at, rule, plan.graduation)
    bottom = _draw_foot(canvas, data, plan, rule + RULER_HEIGHT + 4, sheet)
    return canvas.finish(bottom, data.label, data.details)


def _planned(data: Strip, sheet: Sheet) -> _Plan:
    largest = 24.0 if sheet.compact else 40.0
    at = arms_over(_arms(data), int(largest) + 4, sheet.width)
    discs = place_discs(data.items, at, largest)
    datum = at(data.datum) if at.low <= data.datum <= at.high else None
    labels = [label for side in (-1, 1) for label in _labels(data, discs, side, datum, sheet)]
    boxes = [label.box for label in labels]
    heights = [*(disc.tip for disc in discs), *(b.top for b in boxes), *(b.bottom for b in boxes)]
    above, below = max(_GAP, -min(heights)), max(_GAP, *heights)
    return _Plan(at, graduated(at, data.tick), largest, discs, labels, datum, above + 4, below)


def _arms(data: Strip) -> list[Number]:
    """The arms the strip must hold: the items', the given ends, the outline's, and a datum close enough."""
    arms: list[Number] = [item.arm for item in data.items]
    arms += [end for end in (data.first_arm, data.last_arm) if end is not None]
    arms += [arm for shape in data.outline or () for arm, _ in shape]
    low, high = Fraction(min(arms)), Fraction(max(arms))
    reach = max(high, Fraction(data.datum)) - min(low, Fraction(data.datum))
    return [*arms, data.datum] if low == high or reach <= (high - low) * Fraction(8, 5) else arms


def _labels(data: Strip, discs: Sequence[HalfDisc], side: int, datum: float | None, sheet: Sheet) -> list[Label]:
    def words(item: Item) -> str:
        name = cut(plain(item.name), 110 if sheet.compact else 170)
        return f"{name} {cut(plain(data.change(item.weight)), 90)}".strip()

    line = [] if datum is None else [Box(datum - 4, -1000, datum + 4, 1000)]
    return place_labels([d for d in discs if d.side == side], words, Taken(0, sheet.width), line)


def _lowered(box: Box, line: float) -> Box:
    return Box(box.left, box.top + line, box.right, box.bottom + line)


def _draw_uprights(canvas: Canvas, plan: _Plan, top: float, foot: float, boxes: Sequence[Box]) -> None:
    """Draw a light line up from each number of the rule, giving way to words."""
    places = [plan.at(tick) for tick in plan.graduation.span.ticks]
    canvas.path(segments(piece for x in places for piece in interrupted(x, top, foot, boxes)), "rule")


def _draw_outline(canvas: Canvas, data: Strip, plan: _Plan, top: float) -> float:
    """Draw the side view in true proportion; gives its height."""
    shapes = [shape for shape in data.outline or () if shape]
    if not shapes:
        return 0
    heights = [Fraction(height) for shape in shapes for _, height in shape]
    crest = max(heights)
    unit = Fraction(plan.at.end) / (plan.at.high - plan.at.low)
    for shape in shapes:
        points = ((plan.at(arm), top + float((crest - Fraction(height)) * unit)) for arm, height in shape)
        canvas.path(polyline(points), "ghost")
    return float((crest - min(heights)) * unit) + LEADING


def _draw_datum(canvas: Canvas, data: Strip, plan: _Plan, foot: float, boxes: Sequence[Box], sheet: Sheet) -> None:
    name = plain(data.datum_name)
    if plan.datum is not None:
        pieces = interrupted(plan.datum, LEADING if name else 0, foot, boxes)
        canvas.path(segments(pieces), dash=_DATUM_DASH)
        half = text_width(name) / 2
        x = min(max(plan.datum, half), sheet.width - half)
        canvas.text(x, 12, name, anchor="middle", soft=True, room=sheet.width)
    elif data.datum < plan.at.low:
        canvas.text(0, 12, f"← {name}" if name else "", soft=True, room=sheet.width)
    else:
        canvas.text(sheet.width, 12, f"{name} →" if name else "", anchor="end", soft=True, room=sheet.width)


def _draw_disc(canvas: Canvas, data: Strip, disc: HalfDisc, line: float) -> None:
    item = disc.item
    title = "\n".join([item.name, f"{data.change(item.weight)}, {data.arm(item.arm)}", item.note])
    if disc.side < 0:
        # A pale edge keeps solid things apart where they overlap.
        canvas.path(disc.path(line, more=1.2), "lift")
    canvas.path(disc.path(line), "solid" if disc.side < 0 else "hollow", title=title)


def _draw_label(canvas: Canvas, label: Label, line: float) -> None:
    if label.foot is not None:
        tip, end = line + label.disc.tip, line + label.near
        canvas.path(segments([(label.disc.x, tip, label.foot, end)]), "ghost")
    canvas.text(label.x, line + label.y, label.words, anchor=label.anchor)


def _draw_foot(canvas: Canvas, data: Strip, plan: _Plan, top: float, sheet: Sheet) -> float:
    """Write the caption, and a pair of half-discs of a round weight as the measure of the others."""
    heaviest = max(abs(Fraction(item.weight)) for item in data.items)
    caption = plain(data.axis)
    if not heaviest:
        canvas.text(0, top + 12, caption, soft=True, room=sheet.width)
        return top + LEADING
    if caption and sheet.compact:
        canvas.text(0, top + 12, caption, soft=True, room=sheet.width)
        top += LEADING + 8
    sample = nice_below(heaviest / 2)
    left = _draw_sample(canvas, data, sample, radius_of(sample, heaviest, plan.largest), top, sheet)
    if not sheet.compact:
        canvas.text(0, top + 12, caption, soft=True, room=left - _GAP)
    return top + 2 * max(radius_of(sample, heaviest, plan.largest), LEADING) + 4


def _draw_sample(canvas: Canvas, data: Strip, sample: Number, radius: float, top: float, sheet: Sheet) -> float:
    """Draw the pair with its weight to the left and its meanings to the right; gives its left edge."""
    line = top + max(radius, LEADING)
    room = sheet.width * 0.4
    wide = max(min(text_width(plain(name)), room) for name in (data.in_name, data.out_name))
    x = sheet.width - wide - 8 - radius
    canvas.path(HalfDisc(Item(0, sample, ""), x, radius, 0).path(line), "solid")
    canvas.path(HalfDisc(Item(0, -sample, ""), x, radius, 0).path(line), "hollow")
    canvas.path(segments([(x - radius - 5, line, sheet.width, line)]))
    canvas.text(x + radius + 8, line - 5, data.in_name, soft=True, room=room)
    canvas.text(x + radius + 8, line + 14, data.out_name, soft=True, room=room)
    words = cut(plain(data.weight(sample)), sheet.width * 0.3)
    canvas.text(x - radius - 10, line + 4, words, anchor="end", soft=True)
    return text_box(x - radius - 10, 0, words, "end").left
