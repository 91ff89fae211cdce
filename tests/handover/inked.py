"""Where the words of a printed page stand: each run of glyphs with its box, by the page's own operators and font widths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf

Matrix = tuple[float, float, float, float, float, float]
SAME: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True)
class Ink:
    """A run of glyphs: from the left edge to the right one, its line's height, its size and its font."""

    left: float
    right: float
    y: float
    size: float
    font: str


def times(one: Matrix, two: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = two
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


@dataclass
class Font:
    """The widths of a font's glyphs, in thousandths of its size; the engine writes two bytes a glyph."""

    name: str
    otherwise: float = 1000
    widths: dict[int, float] = field(default_factory=dict)

    @classmethod
    def of(cls, font: pikepdf.Object) -> Font:
        inner = font.DescendantFonts[0]
        made = cls(str(inner.BaseFont).partition("+")[2], float(inner.get("/DW", 1000)))
        listed = list(inner.get("/W", []))
        while listed:
            first, then = int(listed.pop(0)), listed.pop(0)
            if isinstance(then, pikepdf.Array):
                made.widths |= {first + n: float(width) for n, width in enumerate(then)}
            else:
                width = float(listed.pop(0))
                made.widths |= dict.fromkeys(range(first, int(then) + 1), width)
        return made

    def width(self, codes: bytes) -> float:
        pairs = zip(codes[::2], codes[1::2], strict=True)
        return sum(self.widths.get(high * 256 + low, self.otherwise) for high, low in pairs) / 1000


def inks(page: pikepdf.Page) -> Iterator[Ink]:
    """Every run of glyphs on a page; what is drawn within forms is left out."""
    fonts = {
        name: Font.of(font) for name, font in page.obj.Resources.get("/Font", {}).items() if "/DescendantFonts" in font
    }
    here, kept = SAME, list[Matrix]()
    text, font, size = SAME, Font(""), 0.0
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            kept.append(here)
        elif name == "Q":
            here = kept.pop()
        elif name == "cm":
            here = times(tuple(map(float, operands)), here)  # type: ignore[arg-type]
        elif name == "BT":
            text = SAME
        elif name == "Tm":
            text = tuple(map(float, operands))  # type: ignore[assignment]
        elif name == "Td":
            text = times((1, 0, 0, 1, float(operands[0]), float(operands[1])), text)
        elif name == "Tf":
            font, size = fonts.get(str(operands[0]), Font("")), float(operands[1])
        elif name in {"Tj", "TJ"}:
            long = sum(
                font.width(bytes(one)) * size if isinstance(one, pikepdf.String) else -float(one) / 1000 * size
                for one in (operands[0] if name == "TJ" else [operands[0]])
            )
            placed = times(text, here)
            yield Ink(placed[4], placed[4] + long * placed[0], placed[5], size * abs(placed[3]), font.name)
            text = times((1, 0, 0, 1, long, 0), text)


def pictures(page: pikepdf.Page) -> Iterator[tuple[float, float, float, float]]:
    """The pictures on a page: width and height as drawn, and in pixels."""
    objects = page.obj.Resources.get("/XObject", {})
    here, kept = SAME, list[Matrix]()
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            kept.append(here)
        elif name == "Q":
            here = kept.pop()
        elif name == "cm":
            here = times(tuple(map(float, operands)), here)  # type: ignore[arg-type]
        elif name == "Do" and objects[str(operands[0])].get("/Subtype") == "/Image":
            image = objects[str(operands[0])]
            yield abs(here[0]), abs(here[3]), float(image.Width), float(image.Height)
