"""How wide a text is, without a font at hand: a stated width for each class of sign, in ems.

The widths are the theme's condensed sans (measured in a browser), rounded up within each class, so that
a box is never smaller than the word in it. Other scripts get wider, cautious figures.
"""

import re
import unicodedata
from functools import lru_cache
from typing import Literal, NamedTuple

Anchor = Literal["start", "middle", "end"]

SIZE = 13
LEADING = 16
ASCENT = 11
DESCENT = 4

# Controls, halves of pairs, and the last two places of every plane of Unicode, which are no signs at all.
_NO_SIGN = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff"
    + "".join(rf"\U{plane | 0xFFFE:08x}\U{plane | 0xFFFF:08x}" for plane in range(0, 0x110000, 0x10000))
    + "]"
)
_THIN = frozenset(" ijlIJ.,:;·'!|()[]{}ł\u00a0\u2009\u202f")
_NARROW = frozenset('rft/°"*')
_WIDE = frozenset("mMwWЖжЮюШшЩщФфЫы%@\u2013\u2014…½¼¾&‰™")


@lru_cache(maxsize=1 << 14)
def text_width(text: str, size: int = SIZE) -> float:
    """The width of `text` in drawing units, a little on the generous side."""
    return size * sum(map(_ems, text))


def cut(text: str, room: float, size: int = SIZE) -> str:
    """`text`, or as much of it as fits in `room` with an ellipsis, or nothing if not even that fits."""
    if text_width(text, size) <= room + 0.01:
        return text
    left = room - text_width("…", size)
    if left < 0:
        return ""
    kept = 0
    for sign in text:
        left -= size * _ems(sign)
        if left < 0:
            break
        kept += 1
    return text[:kept].rstrip() + "…"


def plain(text: str) -> str:
    """`text` on one line, without control or unpaired signs, which XML cannot hold."""
    if not text.replace("\u00a0", " ").isprintable():  # nearly all words are
        text = _NO_SIGN.sub("\ufffd", text)
    return " ".join(text.split())


class Box(NamedTuple):
    """A rectangle of the drawing, y growing downward."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Whether the two share any area."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def text_box(x: float, y: float, text: str, anchor: Anchor = "start", size: int = SIZE) -> Box:
    """The box of a text whose baseline is at `y`."""
    wide = text_width(text, size)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
    return Box(left, y - ASCENT * size / SIZE, left + wide, y + DESCENT * size / SIZE)


@lru_cache(maxsize=1 << 12)
def _ems(sign: str) -> float:
    if sign in _THIN:
        return 0.27
    if sign in _NARROW:
        return 0.4
    if sign in _WIDE:
        return 0.95
    if sign.isdigit():
        return 0.61
    if sign.isascii() or sign in "\u2212±\u00d7":
        return 0.64 if sign.isupper() else 0.57
    return _foreign_ems(sign)


def _foreign_ems(sign: str) -> float:
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(sign) in "WF":
        return 1.05
    return 0.85 if sign.isupper() else 0.75
