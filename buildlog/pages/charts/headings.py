"""The names of rows: a system's number in strong figures and its name beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

from .canvas import Canvas
from .lettering import plain, text_width

_GAP = 8.0


@dataclass(frozen=True, slots=True)
class Heading:
    """What a row is called; `code` may be empty."""

    name: str
    code: str = ""

    @property
    def whole(self) -> str:
        """Number and name in one line."""
        return " ".join(filter(None, (plain(self.code), plain(self.name))))


@dataclass(frozen=True, slots=True)
class Headings:
    """The two columns that numbers and names stand in."""

    code: float
    name: float

    @property
    def width(self) -> float:
        """The width of both together."""
        return self.code + self.name

    def draw(self, canvas: Canvas, y: float, heading: Heading, room: float | None = None) -> None:
        """Write one heading at the baseline `y`; `room` widens or narrows the name's column."""
        canvas.text(0, y, heading.code, strong=True, room=max(self.code - _GAP, 0))
        canvas.text(self.code, y, heading.name, room=self.name if room is None else room - self.code)


def measure_headings(headings: Sequence[Heading], most: float) -> Headings:
    """Columns as wide as the words need, together no more than `most`."""
    # Strong figures are a little wider than the plain ones the table of widths knows.
    code = max((text_width(plain(h.code)) * 1.05 + _GAP for h in headings if plain(h.code)), default=0.0)
    code = min(code, most / 3)
    name = max((text_width(plain(h.name)) for h in headings), default=0.0)
    return Headings(code, min(name, most - code))
