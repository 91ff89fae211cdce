"""The loading diagram: points where they should be, and no word on a point, a bar, a line, a limit or another word."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest

from buildlog.pages.charts import NARROW, PRINT, WIDE, Diagram, Dot, Number, Sheet, draw_diagram, twice

from .reading import Drawing, Word, numbers, short

MIDDLE = Sheet(640, "mid")
SHEETS = pytest.mark.parametrize("sheet", [WIDE, MIDDLE, NARROW, PRINT], ids=["wide", "middle", "narrow", "print"])
LIMITS = ((700, 30, 40), (1150, 30, 40), (1320, Decimal("31.5"), 40))
SOLO = Dot("A", "Solo", Decimal("30.84"), 1016, Decimal("0.19"), ((Decimal("32.45"), 920),), note="0.84 in inside")
OUT = Dot("B", "Nose heavy", Decimal("28.5"), 960, Decimal("0.2"), (), inside=False, note="1.5 in outside")
EMPTY = Dot("", "empty", Decimal("30.67"), 750, Decimal("0.26"))
BOTH = Dot(
    "C", "Two tanks", 35, 1250, Decimal("0.15"), ((37, 1150), (36, 1080)), other_path=((34, 1190), (36, 1080))
)  # fmt: skip
DEMO = Diagram(
    "Loadings", LIMITS, (SOLO, OUT, BOTH), EMPTY, short, short, "arm, inches from the datum", "weight, pounds", "Words."
)


class Read:
    """A diagram read back: its scales by the words along its axes, and its marks in the units of the data."""

    def __init__(self, svg: str) -> None:
        self.drawing = Drawing(svg)
        figures = [word for word in self.drawing.words() if re.fullmatch(r"-?[\d.,]+", word.words)]
        low = max(word.y for word in figures)
        self.arms = [word for word in figures if word.y == low]
        self.weights = [word for word in figures if word.y != low]

    def arm(self, x: float) -> float:
        """The arm at a place."""
        return self._along(x, [(word.x, word.words) for word in self.arms])

    def weight(self, y: float) -> float:
        """The weight at a place; figures stand four units below their line."""
        return self._along(y, [(word.y - 4, word.words) for word in self.weights])

    @staticmethod
    def _along(at: float, ticks: list[tuple[float, str]]) -> float:
        (a, one), (b, other) = ticks[0], ticks[-1]
        first, last = float(one.replace(",", "")), float(other.replace(",", ""))
        return first + (at - a) / (b - a) * (last - first)

    def spots(self, pen: str) -> list[tuple[float, float, str]]:
        """The points: arm, weight, title."""
        return [
            (
                self.arm(float(e.attrib["cx"])),
                self.weight(float(e.attrib["cy"])),
                "".join(title.text or "" for title in e),
            )
            for e in self.drawing.elements("circle", pen)
            if e.attrib["r"] == "5"
        ]

    def line(self, data: str) -> list[tuple[float, float]]:
        """Path data as (arm, weight)."""
        found = numbers(data)
        return [(self.arm(x), self.weight(y)) for x, y in zip(found[::2], found[1::2], strict=True)]


def near(found: list[tuple[float, float]], expected: list[tuple[float, float]]) -> bool:
    """Whether places agree to what a tenth of a unit can show."""
    return len(found) == len(expected) and all(
        abs(a - c) < 0.02 and abs(b - d) < 1 for (a, b), (c, d) in zip(found, expected, strict=True)
    )


def test_every_point_limit_and_line_stands_where_it_should() -> None:
    read = Read(draw_diagram(DEMO, WIDE))
    assert near([spot[:2] for spot in read.spots("fill")], [(30.84, 1016), (28.5, 960), (35, 1250)])
    assert near([spot[:2] for spot in read.spots("hollow")], [(30.67, 750)])
    assert [spot[2] for spot in read.spots("fill")] == [
        "Solo\n0.84 in inside",
        "Nose heavy\n1.5 in outside",
        "Two tanks",
    ]
    paths = read.drawing.elements("path", "l")
    (polygon,) = [e.attrib["d"] for e in paths if e.get("stroke-width") == "2"]
    corners = [(30, 700), (30, 1150), (31.5, 1320), (40, 1320), (40, 1150), (40, 700), (30, 700)]
    assert near(read.line(polygon), corners)
    dashed = [read.line(e.attrib["d"]) for e in paths if e.get("stroke-dasharray")]
    ways = [[(30.84, 1016), (32.45, 920)], [(35, 1250), (37, 1150), (36, 1080)], [(35, 1250), (34, 1190), (36, 1080)]]
    assert len(dashed) == len(ways)
    assert all(near(found, way) for found, way in zip(dashed, ways, strict=True))


def test_the_bar_is_as_wide_as_the_tolerance() -> None:
    read = Read(draw_diagram(replace(DEMO, dots=(SOLO,), empty=None), WIDE))
    (bar,) = [e.attrib["d"] for e in read.drawing.elements("path", "l") if e.get("stroke-width") == "1.5"]
    left, y, right = numbers(bar)[:3]
    assert read.arm(left) == pytest.approx(30.84 - 0.19, abs=0.02)
    assert read.arm(right) == pytest.approx(30.84 + 0.19, abs=0.02)
    assert read.weight(y) == pytest.approx(1016, abs=1)


def test_an_outside_loading_is_written_bold_and_no_other() -> None:
    bold = [e.text for e in Drawing(draw_diagram(DEMO, WIDE)).elements("text") if e.get("font-weight") == "600"]
    assert bold == ["B"]  # its name finds no room between the edge of the sheet and the limits


def test_the_text_alternative_and_the_axes_are_the_callers() -> None:
    drawing = Drawing(draw_diagram(DEMO, WIDE))
    assert drawing.root.get("aria-label") == "Loadings"
    assert [e.text for e in drawing.elements("desc")] == ["Words."]
    assert {"weight, pounds", "arm, inches from the datum"} <= {word.words for word in drawing.words()}


Segment = tuple[float, float, float, float]


def strokes(svg: str) -> list[Segment]:
    """Every stroke of ink (limits, bars, dashed lines), not the light lines of the grid, as straight pieces."""
    found: list[Segment] = []
    for e in Drawing(svg).elements("path"):
        inked = e.get("class") == "l" or e.get("stroke") == "#000"
        if not inked or not (e.get("stroke-width") in {"2", "1.5"} or e.get("stroke-dasharray")):
            continue
        for piece in re.findall(r"M[^M]+", e.attrib["d"]):
            points = _points(piece)
            found += [(*one, *other) for one, other in pairwise(points)]
    return found


def _points(piece: str) -> list[tuple[float, float]]:
    at, points = (0.0, 0.0), []
    for letter, said in re.findall(r"([MLHV])([^MLHV]+)", piece):
        values = numbers(said)
        at = {"H": (values[0], at[1]), "V": (at[0], values[0])}.get(letter) or (values[0], values[1])
        points.append(at)
    return points


def lies_on(word: Word, segment: Segment) -> bool:
    """Whether a stroke runs through a word: through its letters, from the line they stand on to their height."""
    x0, y0, x1, y1 = segment
    steps = max(2, int(abs(x1 - x0) + abs(y1 - y0)))
    return any(
        word.left < x0 + (x1 - x0) * n / steps < word.right and word.y - 9 < y0 + (y1 - y0) * n / steps < word.y
        for n in range(steps + 1)
    )


def check_words(data: Diagram, sheet: Sheet) -> None:
    """No name of a loading on anything, and nothing outside the sheet."""
    svg = draw_diagram(data, sheet)
    drawing = Drawing(svg)
    everything = [*data.dots, *([data.empty] if data.empty else [])]
    names = {
        " ".join(text.split()) for dot in everything for text in (dot.letter, dot.name, f"{dot.letter} {dot.name}")
    }
    labels = [word for word in drawing.words() if word.words in names]
    for word in labels:
        assert not any(lies_on(word, segment) for segment in strokes(svg)), word
        for e in drawing.elements("circle"):
            x, y = float(e.attrib["cx"]), float(e.attrib["cy"])
            assert not (word.left < x < word.right and word.y - 9 < y < word.y), (word, x, y)
    assert not drawing.clashes()
    assert not drawing.outside()


@SHEETS
def test_no_name_lies_on_a_point_a_bar_a_line_a_limit_or_another_name(sheet: Sheet) -> None:
    check_words(DEMO, sheet)
    crowd = tuple(
        Dot(letter, f"Case {letter}", 32 + Fraction(n, 4), 900 + 9 * n, Fraction(1, 2), ((33 + Fraction(n, 4), 800),))
        for n, letter in enumerate("ABCDEFGH")
    )
    check_words(replace(DEMO, dots=crowd), sheet)
    check_words(replace(DEMO, dots=(replace(SOLO, plus_minus=4), replace(OUT, plus_minus=9))), sheet)


@SHEETS
def test_names_are_written_where_there_is_room(sheet: Sheet) -> None:
    words = {word.words for word in Drawing(draw_diagram(DEMO, sheet)).words()}
    assert {"A", "B", "C"} <= {word.split()[0] for word in words}
    assert ("A Solo" in words) == (not sheet.compact)


def test_nothing_draws_nothing_and_little_draws_little() -> None:
    nothing = Diagram("Loadings", (), (), None, short, short)
    assert twice(draw_diagram, nothing) == ""
    assert draw_diagram(replace(nothing, empty=EMPTY), WIDE) == ""
    for data in (
        replace(nothing, limits=LIMITS),
        replace(nothing, dots=(SOLO,)),
        replace(nothing, dots=(replace(SOLO, plus_minus=0, path=()),)),
        replace(nothing, dots=(SOLO, SOLO)),
        replace(nothing, limits=((700, 30, 30), (900, 30, 30)), empty=EMPTY),
        replace(nothing, limits=((700, 30, 40),), dots=(SOLO,)),
    ):
        for sheet in (WIDE, NARROW, PRINT):
            check_words(data, sheet)
            assert Drawing(draw_diagram(data, sheet)).elements("circle" if data.dots else "path")


@SHEETS
@pytest.mark.parametrize(("arm", "weight"), [(-400, 1016), (900, 1016), (35, 90_000), (Decimal("-2.5"), 1)])
def test_a_case_far_outside_the_limits_is_on_the_sheet(sheet: Sheet, arm: Number, weight: Number) -> None:
    data = replace(DEMO, dots=(SOLO, replace(OUT, arm=arm, weight=weight)))
    check_words(data, sheet)
    drawing = Drawing(draw_diagram(data, sheet))
    for e in drawing.elements("circle"):
        assert 0 <= float(e.attrib["cx"]) <= drawing.width
        assert 0 <= float(e.attrib["cy"]) <= drawing.height


@SHEETS
def test_a_bar_longer_than_the_limits_are_wide_stays_on_the_sheet(sheet: Sheet) -> None:
    data = replace(DEMO, dots=(replace(SOLO, plus_minus=20),))
    svg = draw_diagram(data, sheet)
    assert all(0 <= x <= Drawing(svg).width for x0, _, x1, _ in strokes(svg) for x in (x0, x1))


def grouped(value: Number) -> str:
    """A number as a page writes it, its thousands apart."""
    return f"{float(value):,.10g}"


@SHEETS
@pytest.mark.parametrize("arms", [(0.762, 1.016), (762, 1016), (76.2, 101.6), (-1016, -762), (11_762, 12_016)])
def test_metric_values_keep_their_figures_on_the_sheet(sheet: Sheet, arms: tuple[float, float]) -> None:
    ahead, behind = (Decimal(str(arm)) for arm in arms)
    limits = ((318, ahead, behind), (522, ahead, behind), (599, ahead + (behind - ahead) / 7, behind))
    middle = Dot("A", "Solo", (ahead + behind) / 2, 461, (behind - ahead) / 50)
    data = Diagram(
        "Loadings", limits, (middle,), None, grouped, grouped, "arm, millimetres from the datum", "kilograms"
    )
    drawing = Drawing(draw_diagram(data, sheet))
    assert not drawing.outside()
    assert not drawing.clashes()
    read = Read(draw_diagram(data, sheet))
    upright = [float(x) for x in re.findall(r"M([\d.]+) [\d.]+V", draw_diagram(data, sheet))]
    assert {min(upright), max(upright)} == {read.arms[0].x, read.arms[-1].x}
    if sheet.mode == "web":
        ((arm, weight, _),) = read.spots("fill")
        assert arm == pytest.approx(float(ahead + behind) / 2, abs=float(behind - ahead) / 100)
        assert weight == pytest.approx(461, abs=1)


def test_the_same_data_makes_the_same_bytes() -> None:
    assert twice(draw_diagram, DEMO) == twice(draw_diagram, replace(DEMO))
    assert " id=" not in twice(draw_diagram, DEMO)
    places = re.findall(r' (?:x|y|d|cx|cy|r)="([^"]*)"', twice(draw_diagram, DEMO))
    assert places
    assert not any(re.search(r"\.\d\d|nan|inf|e", place) for place in places)


def test_print_names_no_class_and_no_variable() -> None:
    svg = draw_diagram(DEMO, PRINT)
    assert svg.startswith('<svg xmlns="http://www.w3.org/2000/svg"')
    assert not re.search(r"class=|style=|var\(", svg)
    assert len(re.findall(r"<circle ", svg)) == len(re.findall(r"<circle ", draw_diagram(DEMO, MIDDLE)))
