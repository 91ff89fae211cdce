"""Finding room: labels take their place one after the other, and none may lie on what is already there."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from .lettering import Box

_COLUMN = 32.0


class Disc(NamedTuple):
    """A round obstacle."""

    x: float
    y: float
    radius: float

    def meets(self, box: Box) -> bool:
        """Whether any of `box` lies inside."""
        x, y, radius = self
        across = max(box.left - x, 0.0, x - box.right)
        down = max(box.top - y, 0.0, y - box.bottom)
        return across * across + down * down < radius * radius


@dataclass(slots=True)
class Taken:
    """What already stands on a part of the sheet; nothing goes beyond `left` and `right`.

    It is kept by upright columns: a label asks only about what stands in its own, and asks tens of thousands of times.
    """

    left: float
    right: float
    _boxes: dict[int, list[Box]] = field(default_factory=dict)
    _discs: dict[int, list[Disc]] = field(default_factory=dict)

    def free(self, box: Box, gap: float = 0) -> bool:
        """Whether `box` with a margin of `gap` at its sides lies on the sheet and on nothing else."""
        left, top, right, bottom = box
        if left < self.left or right > self.right:
            return False
        left, right = left - gap, right + gap
        # Compared here, not by calling  meets : it is nearly always no, hundreds of thousands of times in one chart.
        # What shares a column lies mostly above or below, so heights come first.
        for column in _columns(left, right):
            for begin, crest, end, foot in self._boxes.get(column, ()):
                if crest < bottom and top < foot and begin < right and left < end:
                    return False
            for disc in self._discs.get(column, ()):
                x, y, radius = disc
                near = y - bottom < radius and top - y < radius and left - x < radius and x - right < radius
                if near and disc.meets(Box(left, top, right, bottom)):
                    return False
        return True

    def crossed(self, boxes: Iterable[Box]) -> bool:
        """Whether one of `boxes` lies on one that was taken; round things may be crossed."""
        for left, top, right, bottom in boxes:
            for column in _columns(left, right):
                for begin, crest, end, foot in self._boxes.get(column, ()):
                    if crest < bottom and top < foot and begin < right and left < end:
                        return True
        return False

    def take(self, boxes: Iterable[Box]) -> None:
        """Keep others off `boxes`."""
        for box in boxes:
            for column in _columns(box.left, box.right):
                self._boxes.setdefault(column, []).append(box)

    def stand(self, discs: Iterable[Disc]) -> None:
        """Keep others off `discs`."""
        for disc in discs:
            for column in _columns(disc.x - disc.radius, disc.x + disc.radius):
                self._discs.setdefault(column, []).append(disc)


def _columns(left: float, right: float) -> range:
    return range(int(left // _COLUMN), int(right // _COLUMN) + 1)


def interrupted(x: float, top: float, bottom: float, boxes: Iterable[Box]) -> list[tuple[float, float, float, float]]:
    """An upright line as the pieces that are left where it gives way to `boxes`."""
    pieces = []
    for box in sorted((b for b in boxes if b.left - 2 < x < b.right + 2), key=lambda b: b.top):
        if box.top > top:
            pieces.append((x, top, x, min(box.top, bottom)))
        top = max(top, box.bottom)
    if top < bottom:
        pieces.append((x, top, x, bottom))
    return [piece for piece in pieces if piece[1] < piece[3]]


def spread(wanted: list[float], heights: list[float], top: float, bottom: float) -> list[float]:
    """Tops for blocks stacked in the order given, each as near to its wanted top as the others allow.

    The blocks must fit between `top` and `bottom` together.
    """
    placed: list[float] = []
    free = top
    for want, height in zip(wanted, heights, strict=True):
        placed.append(max(want, free))
        free = placed[-1] + height
    limit = bottom
    for index in reversed(range(len(placed))):
        placed[index] = min(placed[index], limit - heights[index])
        limit = placed[index]
    return placed
