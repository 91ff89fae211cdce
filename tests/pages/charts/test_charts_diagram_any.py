"""The loading diagram of any data and any names: well-formed, and its words apart and on the sheet."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.pages.charts import NARROW, PRINT, WIDE, Diagram, Dot, Sheet, draw_diagram
from buildlog.pages.charts.lettering import text_box

from .reading import Drawing
from .test_charts_any import NASTY, texts, written
from .test_charts_diagram import DEMO, MIDDLE, SOLO

values = st.one_of(
    st.integers(-2000, 2000),
    st.decimals(-2000, 2000, places=2),
    st.fractions(-100, 100, max_denominator=30),
    st.sampled_from([0, Decimal("1E+300"), Decimal("1E-300"), -(10**30)]),
)
ways = st.lists(st.tuples(values, values), max_size=3).map(tuple)
dots = st.builds(Dot, texts, texts, values, values, values, ways, st.booleans(), texts, ways)
any_limits = st.lists(st.tuples(values, values, values), max_size=4).map(tuple)
diagrams = st.builds(
    Diagram,
    texts,
    any_limits,
    st.lists(dots, max_size=6).map(tuple),
    st.none() | dots,
    st.just(written),
    st.just(written),
    texts,
    texts,
    texts,
)


@settings(max_examples=120, deadline=None)
@given(diagrams, st.sampled_from([WIDE, MIDDLE, NARROW, PRINT]))
def test_any_data_makes_well_formed_xml_whose_words_stand_apart(data: Diagram, sheet: Sheet) -> None:
    svg = draw_diagram(data, sheet)
    if not svg:
        assert not data.limits
        assert not data.dots
        return
    drawing = Drawing(svg)
    assert not re.search(r"[^ -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff\n]", svg)
    words = [(word, text_box(word.x, word.y, word.words, word.anchor)) for word in drawing.words()]  # type: ignore[arg-type]
    for word, box in words:
        assert box.left >= -0.1, word
        assert box.right <= drawing.width + 0.1, word
        assert 0 <= box.top < box.bottom <= drawing.height, word
    for (one, a), (other, b) in combinations(words, 2):
        level = abs(one.y - other.y) < 9
        assert not (level and a.left + 0.2 < b.right and b.left + 0.2 < a.right), (one, other)


@pytest.mark.parametrize("name", [*NASTY, "x" * 400, "\u202egnol", "a" * 30 + "\u0301" * 30])
def test_nasty_names(name: str) -> None:
    data = replace(DEMO, dots=(replace(SOLO, name=name, letter=name, note=name),), label=name, details=name)
    for sheet in (WIDE, NARROW, PRINT):
        assert Drawing(draw_diagram(data, sheet)).root.get("role") == "img"
        assert "<script" not in draw_diagram(data, sheet)
