"""Finding room: labels take their place one after the other, and none may lie on what is already there."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from .lettering import Box


@dataclass(frozen=True, slots=True)
class Disc:
    """A round obstacle."""

    x: float
    y: float
    radius: float

    def meets(self, box: Box) -> bool:
        """Whether any of `box` lies inside."""
        x, y, radius = self.x, self.y, self.radius
        if box.left - x >= radius or x - box.right >= radius or box.top - y >= radius or y - box.bottom >= radius:
            return False  # asked thousands of times, and nearly always so
        across = max(box.left - x, 0.0, x - box.right)
        down = max(box.top - y, 0.0, y - box.bottom)
        return across * across + down * down < radius * radius


@dataclass(slots=True)
class Taken:
    """What already stands on a part of the sheet; nothing goes beyond `left` and `right`."""

    left: float
    right: float
    boxes: list[Box] = field(default_factory=list)
    discs: list[Disc] = field(default_factory=list)

    def free(self, box: Box, gap: float = 0) -> bool:
        """Whether `box` with a margin of `gap` at its sides lies on the sheet and on nothing else."""
        if box.left < self.left or box.right > self.right:
            return False
        left, top, right, bottom = box.left - gap, box.top, box.right + gap, box.bottom
        for other in self.boxes:  # loops written out: this is asked tens of thousands of times
            if left < other.right and other.left < right and top < other.bottom and other.top < bottom:
                return False
        wider = Box(left, top, right, bottom)
        for disc in self.discs:
            x, radius = disc.x, disc.radius
            if left - x < radius and x - right < radius and disc.meets(wider):
                return False
        return True

    def take(self, boxes: Iterable[Box]) -> None:
        """Keep others off `boxes`."""
        self.boxes.extend(boxes)


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
