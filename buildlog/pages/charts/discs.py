"""Half-discs on a line: how large, how stacked, and where their words find room.

Heights are counted from the line, upward negative, until the strip knows where the line lies.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from .lettering import ASCENT, DESCENT, LEADING, Anchor, Box, text_box, text_width
from .placing import Disc, Taken
from .scales import Linear, Number

_LEAST = 1.5
_WORTH_WORDS = 7.0
_ALIKE = 3.0
_STACK = 4.0
_TALLEST_STACK = 24.0
_TIERS = 5
_SLANT = 20
_LINKS = 8


@dataclass(frozen=True, slots=True)
class Item:
    """Something put in (weight above zero) or taken out (below zero) at an arm."""

    arm: Number
    weight: Number
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class HalfDisc:
    """An item's place: centre `x`, `radius`, and how far its flat side is off the line."""

    item: Item
    x: float
    radius: float
    off: float
    side: int = field(init=False)
    """-1 above the line, 1 below it."""

    def __post_init__(self) -> None:
        """Ask the item once: finding room for words asks thousands of times."""
        object.__setattr__(self, "side", 1 if self.item.weight < 0 else -1)

    @property
    def tip(self) -> float:
        """The height of its outermost point."""
        return self.side * (self.off + self.radius)

    def path(self, line: float, more: float = 0) -> str:
        """Path data with the line at `line`; `more` widens the radius."""
        radius, y = self.radius + more, line + self.side * self.off
        sweep = 1 if self.side < 0 else 0
        reach = f"{radius:.1f} {radius:.1f} 0 0 {sweep} {self.x + radius:.1f} {y:.1f}"
        return f"M{self.x - radius:.1f} {y:.1f}A{reach}z"


class Label(NamedTuple):
    """Words for a half-disc at a baseline, with a leader to its tip where they stand away from it."""

    disc: HalfDisc
    words: str
    x: float
    y: float
    anchor: Anchor = "middle"
    foot: float | None = None
    """Where a leader from the tip meets the words; None: no leader."""

    @property
    def box(self) -> Box:
        """The box of the words."""
        return text_box(self.x, self.y, self.words, self.anchor)

    @property
    def near(self) -> float:
        """The height of the edge of the words that faces the line."""
        return self.y + DESCENT if self.disc.side < 0 else self.y - ASCENT

    def leader(self) -> Iterator[Box]:
        """The leader, as a chain of small boxes."""
        if self.foot is None:
            return
        x, tip, near = self.disc.x, self.disc.tip, self.near
        across, up = self.foot - x, near - tip
        wide, tall = abs(across) / _LINKS / 2 + 2, abs(up) / _LINKS / 2
        for link in range(_LINKS):
            share = (link + 0.5) / _LINKS
            at, level = x + share * across, tip + share * up
            yield Box(at - wide, level - tall, at + wide, level + tall)


def radius_of(weight: Number, heaviest: Fraction, largest: float) -> float:
    """The radius whose area is to the largest as `weight` is to the heaviest; never too small to see."""
    share = float(abs(Fraction(weight)) / heaviest) if heaviest else 0.0
    return max(largest * math.sqrt(share), _LEAST)


def place_discs(items: Sequence[Item], at: Linear, largest: float) -> list[HalfDisc]:
    """The half-discs in the order to draw them: heaviest first, a stack from its far end."""
    heaviest = max(abs(Fraction(item.weight)) for item in items)
    ordered = sorted(items, key=lambda i: (-abs(Fraction(i.weight)), Fraction(i.arm), i.name))
    stacks: list[list[HalfDisc]] = []
    for item in ordered:
        disc = HalfDisc(item, at(item.arm), radius_of(item.weight, heaviest, largest), 0)
        alike = next((stack for stack in stacks if _alike(stack[0], disc)), None)
        if alike is None:
            stacks.append([disc])
        else:
            alike.append(disc)
    return [disc for stack in stacks for disc in _stacked(stack)]


def _alike(one: HalfDisc, other: HalfDisc) -> bool:
    apart = abs(one.x - other.x) + abs(one.radius - other.radius)
    return one.side == other.side and apart < _ALIKE


def _stacked(stack: Sequence[HalfDisc]) -> Iterator[HalfDisc]:
    step = min(_STACK, _TALLEST_STACK / max(len(stack) - 1, 1))
    for level in reversed(range(len(stack))):
        disc = stack[level]
        yield HalfDisc(disc.item, disc.x, disc.radius, level * step)


def place_labels(
    discs: Sequence[HalfDisc], words: Callable[[Item], str], taken: Taken, yielding: Sequence[Box]
) -> list[Label]:
    """Words for the half-discs of one side, heaviest first, each in the first place that is free.

    Words keep off the lines `yielding` if they can; such a line gives way where they cannot.
    """
    taken.stand(Disc(d.x, d.side * d.off, d.radius) for d in discs)
    labels: list[Label] = []
    for disc in sorted(discs, key=lambda d: (-d.radius, d.off, d.x)):
        text = words(disc.item)
        if disc.radius < _WORTH_WORDS or not text:
            continue
        label = _best(_candidates(disc, text, taken), taken, yielding)
        if label is not None:
            labels.append(label)
            taken.take((label.box, *label.leader()))
    return labels


def _best(candidates: Iterator[Label], taken: Taken, yielding: Sequence[Box]) -> Label | None:
    """The first that fits and is clear of the yielding lines; else the first that fits."""
    second = None
    for label in candidates:
        if _fits(label, taken):
            if not any(box.meets(label.box) for box in yielding):
                return label
            second = second or label
    return second


def _fits(label: Label, taken: Taken) -> bool:
    """Whether the words lie on nothing and the leader crosses no words; it may cross half-discs."""
    return taken.free(label.box, 5) and (label.foot is None or not taken.crossed(label.leader()))


def _candidates(disc: HalfDisc, words: str, taken: Taken) -> Iterator[Label]:
    drop = 14 if disc.side > 0 else -5
    half = text_width(words) / 2
    middle = max(taken.left + half, min(disc.x, taken.right - half))
    yield Label(disc, words, middle, disc.tip + drop)
    beside = disc.side * disc.off + drop
    yield Label(disc, words, disc.x + disc.radius + 6, beside, "start")
    yield Label(disc, words, disc.x - disc.radius - 6, beside, "end")
    for tier in range(1, _TIERS + 1):
        y = disc.tip + drop + disc.side * (tier * LEADING - 8)
        yield Label(disc, words, middle, y, "middle", disc.x)
        yield Label(disc, words, disc.x - 4, y, "start", disc.x)
        yield Label(disc, words, disc.x + 4, y, "end", disc.x)
        for slant in range(_SLANT, tier * _SLANT + 1, _SLANT):
            yield Label(disc, words, disc.x + slant - 4, y, "start", disc.x + slant)
            yield Label(disc, words, disc.x - slant + 4, y, "end", disc.x - slant)
