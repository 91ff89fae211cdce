"""Amounts in two parts, solid and hollow: paid and ordered, put in and taken out."""

from dataclasses import dataclass
from fractions import Fraction

from .canvas import Canvas, Pen
from .lettering import plain, text_width
from .scales import Number

_SAMPLE = 22.0
_GAP = 18.0


@dataclass(frozen=True, slots=True)
class Part:
    """One part of an amount, from one value to another."""

    pen: Pen
    begin: Fraction
    end: Fraction


def parts_of(solid: Number, hollow: Number) -> tuple[Part, ...]:
    """The parts that are not nothing, in the order to draw them.

    Parts of one sign follow one another from zero; parts of opposite signs lie on either side of it.
    """
    first, second = Fraction(solid), Fraction(hollow)
    begin = first if first * second > 0 else Fraction(0)
    both = (Part("hollow", begin, begin + second), Part("solid", Fraction(0), first))
    return tuple(part for part in both if part.begin != part.end)


def draw_parts_key(canvas: Canvas, names: tuple[str, str], x: float, y: float, right: float) -> bool:
    """Write what solid and hollow mean at the baseline `y`; says whether there was anything to write."""
    pens: tuple[Pen, Pen] = ("solid", "hollow")
    named = [(name, pen) for name, pen in zip(map(plain, names), pens, strict=True) if name]
    room = (right - x) / max(len(named), 1) - _SAMPLE - _GAP
    for name, pen in named:
        canvas.rect(x + 1, y - 9, 14, 9, pen)
        canvas.text(x + _SAMPLE, y, name, room=room)
        x += _SAMPLE + min(text_width(name), room) + _GAP
    return bool(named)


def told(names: tuple[str, str], words: tuple[str, str]) -> list[str]:
    """One line for each part that has words, after its name."""
    pairs = zip(names, words, strict=True)
    return [f"{name}: {word}" if plain(name) else word for name, word in pairs if word]
