"""Reading a chart back: its words with their boxes, its shapes, its titles.

Boxes count every sign as `GLYPH` units wide, the average of the theme's condensed sans at 13 units
(half an em), and 9 units high, so they are independent of the widths the charts themselves reckon with.
"""

import re
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree as ET

from buildlog.pages.charts import DateUnit, Number

GLYPH = 6.5
MONTHS = "JanFebMarAprMayJunJulAugSepOctNovDec"


@dataclass(frozen=True)
class Word:
    """One text of the drawing."""

    words: str
    x: float
    y: float
    anchor: str

    @property
    def left(self) -> float:
        """Its left edge."""
        wide = GLYPH * len(self.words)
        return self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + GLYPH * len(self.words)

    def overlaps(self, other: "Word") -> bool:
        """Whether the boxes of both share area."""
        apart = self.right <= other.left or other.right <= self.left or abs(self.y - other.y) >= 9
        return not apart


class Drawing:
    """A parsed SVG."""

    def __init__(self, svg: str) -> None:
        """Parse; fails on anything that is not well-formed XML."""
        self.root = ET.fromstring(svg)
        view = [float(part) for part in self.root.attrib["viewBox"].split()]
        self.width, self.height = view[2], view[3]

    def elements(self, tag: str, kind: str | None = None) -> list[ET.Element]:
        """All elements of a tag, of one class if given."""
        found = [e for e in self.root.iter() if e.tag.rpartition("}")[2] == tag]
        return [e for e in found if kind is None or e.get("class") == kind]

    def words(self) -> list[Word]:
        """Every text."""
        return [_word(element) for element in self.elements("text")]

    def word(self, words: str) -> Word:
        """The one text that reads so."""
        (found,) = [one for one in self.words() if one.words == words]
        return found

    def titles(self) -> list[str]:
        """Every title, in order."""
        return [e.text or "" for e in self.elements("title")]

    def clashes(self) -> list[tuple[str, str]]:
        """Pairs of texts that lie on each other."""
        return [(a.words, b.words) for a, b in combinations(self.words(), 2) if a.overlaps(b)]

    def outside(self) -> list[str]:
        """Texts that leave the sheet."""
        return [
            w.words for w in self.words()
            if w.left < -0.1 or w.right > self.width + 0.1 or w.y < 9 or w.y > self.height
        ]  # fmt: skip


def numbers(text: str) -> list[float]:
    """Every number in path data."""
    return [float(part) for part in re.findall(r"-?\d+(?:\.\d+)?", text)]


def dates(on: object, unit: DateUnit) -> str:
    """Dates without any locale, for tests."""
    year, month, day = str(on).split("-")
    name = MONTHS[3 * int(month) - 3 : 3 * int(month)]
    short_day = f"{int(day)} {name}"
    return {"day": short_day, "month": name, "year": year, "full": f"{short_day} {year}"}[unit]


def short(value: Number) -> str:
    """A number in a few signs."""
    return f"{float(value):.6g}"


def pounds(value: Number) -> str:
    """A number with a unit."""
    return f"{short(value)} lb"


def _word(element: ET.Element) -> Word:
    place = element.attrib
    return Word(element.text or "", float(place["x"]), float(place["y"]), _anchor(element))


def _anchor(element: ET.Element) -> str:
    kinds = element.get("class", "").split()
    plain = element.get("text-anchor", "start")
    return "end" if "e" in kinds else "middle" if "m" in kinds else plain
