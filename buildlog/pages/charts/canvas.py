"""The sheet a chart is drawn on, and a small SVG writer with two ways of naming ink.

On the web an element carries the theme's class and takes whatever colours the page has (light, dark, print).
For print engines that know neither `var()` nor `@media`, the same geometry carries literal colours.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Literal, TypeVar

from .lettering import Anchor, cut, plain

Pen = Literal["ink", "rule", "solid", "hollow", "ghost", "lift"]
Mode = Literal["web", "print"]
Data = TypeVar("Data")

_CLASS: dict[Pen, str] = {
    "ink": "l",
    "rule": "r",
    "solid": "fill",
    "hollow": "hollow",
    "ghost": "ghost",
    "lift": "lift",
}
_LITERAL: dict[Pen, str] = {
    "ink": 'fill="none" stroke="#000"',
    "rule": 'fill="none" stroke="#999"',
    "solid": 'fill="#000"',
    "hollow": 'fill="#fff" stroke="#000" stroke-width="1.5"',
    "ghost": 'fill="none" stroke="#333" stroke-width="1.2"',
    "lift": 'fill="#fff"',
}
_COMPACT = 480
_SOFT = ' fill="#333"'


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where a chart goes: its width in units, the class that shows or hides it, how ink is named.

    Text is 13 units high on every sheet, so a sheet should be about as wide as it is shown.
    """

    width: int = 1000
    shown: str = "wide"
    mode: Mode = "web"
    font: str = "'Sofia Sans Semi Condensed', 'Arial Narrow', sans-serif"

    @property
    def compact(self) -> bool:
        """Whether labels go above what they name instead of beside it."""
        return self.width < _COMPACT


WIDE = Sheet()
NARROW = Sheet(340, "narrow")
PRINT = Sheet(640, "", "print")


def twice(draw: Callable[[Data, Sheet], str], data: Data) -> str:
    """The chart for wide pages and the chart for narrow ones, one after the other; "" if there is none."""
    return draw(data, WIDE) + draw(data, NARROW)


def rounded(value: float) -> str:
    """A length to a tenth, as short as it can be written."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def polyline(points: Iterable[tuple[float, float]]) -> str:
    """Path data through `points`."""
    return "M" + "L".join(f"{rounded(x)} {rounded(y)}" for x, y in points)


def segments(lines: Iterable[tuple[float, float, float, float]]) -> str:
    """Path data of separate lines (x1, y1, x2, y2)."""
    return "".join(_segment(*map(rounded, line)) for line in lines)


def _segment(x1: str, y1: str, x2: str, y2: str) -> str:
    along = f"H{x2}" if y1 == y2 else f"V{y2}" if x1 == x2 else f"L{x2} {y2}"
    return f"M{x1} {y1}{along}"


class Canvas:
    """Collects the elements of one chart in the order they are drawn."""

    def __init__(self, sheet: Sheet) -> None:
        """Begin an empty drawing for `sheet`."""
        self._sheet = sheet
        self._parts: list[str] = []

    def path(self, data: str, pen: Pen = "ink", *, width: float = 1, dash: str = "", title: str = "") -> None:
        """Draw path data; `width` counts for ink and rule only, the other pens have their own."""
        thick = f' stroke-width="{rounded(width)}"' if pen in ("ink", "rule") and width != 1 else ""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        if data:
            self._shape("path", f'{self._ink(pen)} d="{data}"{thick}{dashed}', title)

    def rect(self, x: float, y: float, width: float, height: float, pen: Pen, title: str = "") -> None:
        """Draw a rectangle."""
        self._shape("rect", f"{self._ink(pen)}{_place(x, y, width, height)}", title)

    def circle(self, x: float, y: float, radius: float, pen: Pen, title: str = "") -> None:
        """Draw a circle."""
        where = f' cx="{rounded(x)}" cy="{rounded(y)}" r="{rounded(radius)}"'
        self._shape("circle", f"{self._ink(pen)}{where}", title)

    def hit(self, x: float, y: float, width: float, height: float, title: str) -> None:
        """Lay an invisible area that tells `title` to the pointer."""
        self._shape("rect", f'fill="none" pointer-events="all"{_place(x, y, width, height)}', title)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: Anchor = "start",
        soft: bool = False,
        strong: bool = False,
        room: float | None = None,
        title: str = "",
    ) -> None:
        """Write `words` at the baseline `y`, cut to `room`; what was cut is told by the title."""
        whole = plain(words)
        shown = whole if room is None else cut(whole, room)
        if not shown:
            return
        weight = ' font-weight="600"' if strong else ""
        inked = self._lettering(anchor, soft=soft)
        element = f'<text{inked} x="{rounded(x)}" y="{rounded(y)}"{weight}>{_safe(shown)}</text>'
        told = title or (whole if shown != whole else "")
        self._parts.append(f"<g>{_title(told)}{element}</g>" if told else element)

    def finish(self, height: float, label: str, details: str = "") -> str:
        """The SVG, with `label` as its text alternative and `details` as its longer description."""
        width, tall = rounded(self._sheet.width), rounded(height)
        described = f"<desc>{_safe(details)}</desc>" if plain(details) else ""
        head = f'viewBox="0 0 {width} {tall}" role="img" aria-label="{_safe(label)}" direction="ltr"'
        if self._sheet.mode == "print":
            size = f'xmlns="http://www.w3.org/2000/svg" width="{width}" height="{tall}"'
            letters = f'font-family="{_safe(self._sheet.font)}" font-size="13"'
            return f"<svg {size} {head} {letters}>{described}{''.join(self._parts)}</svg>"
        kind = f"plot {self._sheet.shown}".strip()
        return f'<svg class="{_safe(kind)}" {head}>{described}{"".join(self._parts)}</svg>'

    def _shape(self, name: str, attributes: str, title: str) -> None:
        end = f">{_title(title)}</{name}>" if title else "/>"
        self._parts.append(f"<{name} {attributes}{end}")

    def _ink(self, pen: Pen) -> str:
        return _LITERAL[pen] if self._sheet.mode == "print" else f'class="{_CLASS[pen]}"'

    def _lettering(self, anchor: Anchor, *, soft: bool) -> str:
        if self._sheet.mode == "print":
            return (_SOFT if soft else "") + ("" if anchor == "start" else f' text-anchor="{anchor}"')
        names: Sequence[str] = ["s"] * soft + {"start": [], "middle": ["m"], "end": ["e"]}[anchor]
        return f' class="{" ".join(names)}"' if names else ""


def _place(x: float, y: float, width: float, height: float) -> str:
    return f' x="{rounded(x)}" y="{rounded(y)}" width="{rounded(width)}" height="{rounded(height)}"'


def _safe(text: str) -> str:
    return escape(plain(text), quote=True)


def _title(text: str) -> str:
    lines = [line for line in map(_safe, text.split("\n")) if line]
    return f"<title>{'&#10;'.join(lines)}</title>"
