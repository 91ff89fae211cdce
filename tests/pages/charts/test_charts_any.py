"""What must hold for any data: well-formed XML, the same bytes, words apart and on the sheet."""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.pages.charts import (
    NARROW,
    PRINT,
    WIDE,
    Bar,
    Bars,
    Columns,
    Event,
    Item,
    Measured,
    Month,
    Number,
    Point,
    Row,
    Series,
    Sheet,
    Steps,
    Strip,
    Timeline,
    Work,
    draw_bars,
    draw_columns,
    draw_steps,
    draw_strip,
    draw_timeline,
    twice,
)
from buildlog.pages.charts.lettering import Box, cut, plain, text_box, text_width
from buildlog.pages.charts.placing import Disc, Taken

from .reading import Drawing, dates

Draw = Callable[[Any, Sheet], str]

SHEETS = [WIDE, NARROW, PRINT, Sheet(620, "wide")]
NASTY = [
    "</text><script>",
    "\x00\x0b",
    "\ud800",
    "\ufffe",
    "a\nb",
    "&amp;",
    "\"'<>",
    "📐",
    "ا ب",
    "日本",
    "…",
    "",
    " ",
]
WORDS = [
    "Fuel",
    "Left wing fabric",
    "Exhaust collector",
    "Radio",
    "Engine controls and cables",
    "Seats",
    "Cowling",
]

numbers = st.one_of(
    st.integers(-(10**6), 10**6),
    st.decimals(-(10**6), 10**6, places=2),
    st.fractions(-1000, 1000, max_denominator=60),
    st.sampled_from([0, Decimal("1E+400"), Decimal("-1E+400"), Decimal("1E-400"), Decimal("0.00"), 10**40]),
)
texts = st.one_of(st.text(max_size=12), st.sampled_from(NASTY), st.sampled_from(WORDS))
days = st.one_of(st.dates(), st.dates(date(2024, 1, 1), date(2026, 12, 31)))


def written(value: Number) -> str:
    """Any number in a few signs, an exponent where it must be."""
    exact = Decimal(value.numerator) / Decimal(value.denominator) if isinstance(value, Fraction) else Decimal(value)
    return f"{exact:.4g}"


def loud(value: Number) -> str:
    """A formatter that is of no help."""
    return f"<{written(value)}> & units of a very long name"


FORMATS = st.sampled_from([written, loud])


def some(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(strategy, max_size=9).map(tuple)


events = some(st.builds(Event, days, texts, texts))
ALL: list[tuple[Draw, st.SearchStrategy[Any]]] = [
    (
        draw_steps,
        st.builds(
            Steps,
            texts,
            some(st.builds(Series, texts, some(st.builds(Point, days, numbers, texts)))),
            FORMATS,
            FORMATS,
            st.just(dates),
            axis=texts,
            details=texts,
            events=events,
            measured=some(st.builds(Measured, days, numbers, st.none() | numbers, texts)),
            until=st.none() | days,
            from_zero=st.booleans(),
        ),
    ),
    (
        draw_bars,
        st.builds(
            Bars,
            texts,
            some(st.builds(Bar, texts, numbers, numbers, texts, st.none() | numbers, texts)),
            FORMATS,
            *[texts] * 4,
        ),
    ),
    (
        draw_columns,
        st.builds(
            Columns,
            texts,
            some(st.builds(Month, days, numbers, numbers, texts)),
            FORMATS,
            FORMATS,
            st.just(dates),
            *[texts] * 4,
        ),
    ),
    (
        draw_strip,
        st.builds(
            Strip,
            texts,
            some(st.builds(Item, numbers, numbers, texts, texts)),
            *[FORMATS] * 4,
            axis=texts,
            datum=numbers,
            datum_name=texts,
            in_name=texts,
            out_name=texts,
            first_arm=st.none() | numbers,
            last_arm=st.none() | numbers,
        ),
    ),
    (
        draw_timeline,
        st.builds(
            Timeline,
            texts,
            some(st.builds(Row, texts, some(st.builds(Work, days, numbers, texts)), texts)),
            FORMATS,
            st.just(dates),
            axis=texts,
            events=events,
            until=st.none() | days,
        ),
    ),
]
KINDS = pytest.mark.parametrize(("draw", "datas"), ALL, ids=[draw.__name__ for draw, _ in ALL])


@KINDS
@settings(max_examples=120, deadline=None)
@given(data=st.data(), sheet=st.sampled_from(SHEETS))
def test_any_data_makes_well_formed_xml_whose_words_stand_apart(
    draw: Draw, datas: st.SearchStrategy[Any], data: st.DataObject, sheet: Sheet
) -> None:
    chart = data.draw(datas)
    svg = draw(chart, sheet)
    if not svg:
        return
    drawing = Drawing(svg)
    assert drawing.root.get("role") == "img"
    assert not re.search(r"[^ -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff\n]", svg)
    words = [(w, text_box(w.x, w.y, w.words, w.anchor)) for w in drawing.words()]  # type: ignore[arg-type]
    for word, box in words:
        assert box.left >= -0.1, word
        assert box.right <= drawing.width + 0.1, word
        assert box.top >= -0.1, word
        assert box.bottom <= drawing.height + 0.1, word
    for (one, a), (other, b) in combinations(words, 2):
        level = abs(one.y - other.y) < 9
        assert not (level and a.left + 0.2 < b.right and b.left + 0.2 < a.right), (one, other)


@KINDS
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_the_same_data_makes_the_same_bytes_to_a_tenth(
    draw: Draw, datas: st.SearchStrategy[Any], data: st.DataObject
) -> None:
    chart = data.draw(datas)
    once, again = twice(draw, chart), twice(draw, replace(chart))
    assert once == again
    places = re.findall(r' (?:x|y|d|width|height|cx|cy|r|points)="([^"]*)"', once)
    assert not any(re.search(r"\.\d\d|-0(?![.\d])|nan|inf|e", place.replace("M", " ")) for place in places)
    assert " id=" not in once


@KINDS
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_print_names_no_class_and_no_variable(draw: Draw, datas: st.SearchStrategy[Any], data: st.DataObject) -> None:
    svg = draw(data.draw(datas), PRINT)
    tags = re.findall(r"<[a-z][^>]*>", svg)
    assert not any(" class=" in tag or "var(" in tag or " style=" in tag for tag in tags)
    assert not svg or svg.startswith('<svg xmlns="http://www.w3.org/2000/svg"')


def test_nothing_draws_nothing() -> None:
    nothing: list[tuple[Draw, Any]] = [
        (draw_steps, Steps("a", (), written, written, dates)),
        (draw_steps, Steps("a", (Series("b", ()),), written, written, dates, events=(Event(date.max, "c"),))),
        (draw_bars, Bars("a", (), written)),
        (draw_columns, Columns("a", (), written, written, dates)),
        (draw_strip, Strip("a", (), written, written, written, written)),
        (draw_timeline, Timeline("a", (Row("b", ()),), written, dates)),
    ]
    assert [twice(draw, data) for draw, data in nothing] == [""] * 6


def test_one_function_draws_wide_and_narrow_with_text_of_one_size() -> None:
    chart = Bars("Cost", (Bar("Fuel", 3),), written)
    both = twice(draw_bars, chart)
    assert both.count("<svg ") == 2
    assert 'class="plot wide" viewBox="0 0 1000 ' in both
    assert 'class="plot narrow" viewBox="0 0 340 ' in both
    assert "font-size" not in both
    assert "transform" not in both


def test_the_text_alternative_is_the_callers_and_escaped() -> None:
    root = Drawing(draw_bars(Bars('Cost "by" <system>', (Bar("Fuel", 3),), written, details="a & b"), WIDE)).root
    assert root.get("aria-label") == 'Cost "by" <system>'
    assert [e.text for e in root if e.tag == "desc"] == ["a & b"]


def test_widths_follow_the_script() -> None:
    assert text_width("iiii") < text_width("aaaa") < text_width("MMMM")
    assert text_width("日本") > text_width("ab")
    assert text_width("e\u0301") == text_width("e")


@given(st.text(max_size=40), st.floats(0, 300))
def test_a_cut_text_fits_and_begins_as_the_whole(text: str, room: float) -> None:
    shown = cut(text, room)
    assert text_width(shown) <= room + 0.02
    assert shown in (text, "") or text.startswith(shown[:-1])


def shown_sign(sign: str) -> str:
    """One sign as XML may hold it, from the categories of Unicode."""
    if unicodedata.category(sign) == "Cc":
        return " " if sign in "\t\n\r" else "\ufffd"
    return "\ufffd" if unicodedata.category(sign) == "Cs" or ord(sign) & 0xFFFE == 0xFFFE else sign


@given(st.text(st.characters(categories=None) | st.sampled_from(" \t\n\r\x0b\x1c\x85\u00a0\u202f\ufffe\U0010ffff")))
def test_plain_words_hold_no_sign_that_xml_cannot(text: str) -> None:
    assert plain(text) == " ".join("".join(map(shown_sign, text)).split())


def test_every_sign_there_is_is_shown_or_not() -> None:
    for number in range(0x110000):
        assert plain(f"a{chr(number)}b") == " ".join(f"a{shown_sign(chr(number))}b".split())


PLACES = st.floats(0, 400).map(lambda place: round(place, 1))
BOXES = st.builds(lambda x, y, wide, tall: Box(x, y, x + wide, y + tall), PLACES, PLACES, PLACES, PLACES)


@given(
    boxes=st.lists(BOXES, max_size=6),
    discs=st.lists(st.builds(Disc, PLACES, PLACES, st.floats(1, 60)), max_size=6),
    asked=st.lists(BOXES, min_size=1, max_size=6),
    gap=st.sampled_from([0, 5]),
)
def test_room_is_free_where_nothing_that_was_taken_lies(
    boxes: list[Box], discs: list[Disc], asked: list[Box], gap: float
) -> None:
    taken = Taken(0, 500)
    taken.take(boxes)
    taken.stand(discs)
    for box in asked:
        wider = Box(box.left - gap, box.top, box.right + gap, box.bottom)
        on_the_sheet = box.left >= 0 and box.right <= 500
        free = on_the_sheet and not any(one.meets(wider) for one in (*boxes, *discs))
        assert taken.free(box, gap) == free
    assert taken.crossed(asked) == any(one.meets(box) for one in boxes for box in asked)
