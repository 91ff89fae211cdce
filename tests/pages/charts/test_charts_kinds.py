"""Facts of each kind of chart that can be measured in the drawing."""

import math
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

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
)

from .reading import Drawing, dates, numbers, pounds, short

SHEETS = [WIDE, NARROW, PRINT]
WEB = [WIDE, NARROW]


def steps(*totals: tuple[date, object], **more: object) -> Steps:
    points = tuple(Point(on, Decimal(str(total)), f"note {index}") for index, (on, total) in enumerate(totals))
    return Steps("Cost", (Series("paid", points),), short, pounds, dates, **more)  # type: ignore[arg-type]


def bars(*rows: Bar, **names: str) -> Bars:
    return Bars("By system", rows, pounds, **names)


def strip(*items: tuple[object, object, str], **more: object) -> Strip:
    made = tuple(Item(Decimal(str(arm)), Decimal(str(weight)), name) for arm, weight, name in items)
    return Strip("Strip", made, short, short, pounds, pounds, **more)  # type: ignore[arg-type]


# Steps ------------------------------------------------------------------------------------------------


def drawn_series(drawing: Drawing) -> list[ET.Element]:
    """The lines that go both ways with a broad stroke."""
    return [e for e in drawing.elements("path") if "V" in e.attrib["d"] and e.get("stroke-width") == "2"]


def step_path(svg: str) -> list[float]:
    (path,) = drawn_series(Drawing(svg))
    return numbers(path.attrib["d"])


@pytest.mark.parametrize("sheet", SHEETS)
def test_steps_go_right_only_and_up_in_proportion(sheet: Sheet) -> None:
    # Given out of order: 10 on day 0, 30 on day 10, 60 on day 40; the axis runs from 0 to 60.
    svg = draw_steps(steps((date(2026, 1, 11), 30), (date(2026, 1, 1), 10), (date(2026, 2, 10), 60)), sheet)
    x0, zero, x1, y1, x2, y2, x3, y3, end = step_path(svg)
    assert x0 == x1 < x2 < x3 == end
    assert (x3 - x1) == pytest.approx(4 * (x2 - x1), abs=0.3)
    assert (zero - y2) == pytest.approx(3 * (zero - y1), abs=0.3)
    assert (zero - y3) == pytest.approx(6 * (zero - y1), abs=0.5)


def test_a_total_holds_until_the_state_date() -> None:
    held = step_path(draw_steps(steps((date(2026, 1, 1), 10), until=date(2026, 3, 1)), WIDE))
    assert held[-1] > held[0] + 500


def test_every_date_tells_its_totals_and_notes() -> None:
    svg = draw_steps(steps((date(2026, 1, 1), 10), (date(2026, 1, 1), 12), (date(2026, 1, 9), 9)), WIDE)
    assert Drawing(svg).titles() == [
        "1 Jan 2026\npaid: 12 lb\nnote 0\nnote 1",
        "9 Jan 2026\npaid: 9 lb\nnote 2",
    ]


def test_weight_does_not_start_at_zero_and_says_so() -> None:
    data = steps((date(2026, 1, 1), 765), (date(2026, 3, 1), 747), from_zero=False)
    drawing = Drawing(draw_steps(data, WIDE))
    assert [w.words for w in drawing.words() if w.anchor == "end"] == ["745", "750", "755", "760", "765"]
    zigzags = [e for e in drawing.elements("path", "l") if e.attrib["d"].count("L") == 5]
    assert len(zigzags) == 1
    assert "0" in [w.words for w in Drawing(draw_steps(steps((date(2026, 1, 1), 765)), WIDE)).words()]


def test_a_fall_below_zero_draws_zero_between() -> None:
    drawing = Drawing(draw_steps(steps((date(2026, 1, 1), -20), (date(2026, 2, 1), 30)), WIDE))
    zero, low = drawing.word("0"), drawing.word("-20")
    assert drawing.word("30").y < zero.y < low.y


def test_series_differ_by_stroke_and_carry_their_last_value() -> None:
    on = date(2026, 1, 1)
    series = (
        Series("paid", (Point(on, 5), Point(date(2026, 2, 1), 10))),
        Series("ordered", (Point(on, 6), Point(date(2026, 2, 1), 10)), "dashed"),
    )
    for sheet in WEB:
        drawing = Drawing(draw_steps(Steps("Cost", series, short, pounds, dates), sheet))
        lines = [line.get("stroke-dasharray") for line in drawn_series(drawing)]
        assert lines == [None, "7 4"]
        assert [w.words for w in drawing.words()].count("10 lb") == 2
        assert not drawing.clashes()


def test_a_measurement_is_a_hollow_dot_on_its_tolerance() -> None:
    on = date(2026, 1, 1)
    data = steps((on, 750), measured=(Measured(on, Decimal(752), Fraction(3, 2)),), from_zero=False)
    drawing = Drawing(draw_steps(data, WIDE))
    (dot,) = drawing.elements("circle", "hollow")
    (bar,) = [numbers(e.attrib["d"]) for e in drawing.elements("path", "l") if e.get("stroke-width") == "1.5"]
    assert float(dot.attrib["cy"]) == pytest.approx((bar[1] + bar[2]) / 2, abs=0.1)
    assert "1 Jan 2026\n752 lb ± 1.5" in drawing.titles()


def test_events_close_together_keep_their_words_apart() -> None:
    names = ("First weighing", "Engine sealed", "Left wing covered", "Engine runs", "Second weighing")
    events = tuple(Event(date(2026, 6, 1 + 3 * index), name) for index, name in enumerate(names))
    data = steps((date(2026, 3, 1), 10), (date(2026, 11, 1), 90), events=events)
    for sheet in SHEETS:
        drawing = Drawing(draw_steps(data, sheet))
        assert not drawing.clashes()
        assert not drawing.outside()
        assert [f"{n + 1} Jun 2026" in "".join(drawing.titles()) for n in range(0, 15, 3)] == [True] * 5


def test_the_last_total_at_the_top_keeps_clear_of_the_last_event() -> None:
    long_ago, last = date(2026, 1, 1), date(2026, 2, 1)
    data = steps((long_ago, 0), (last, 60), events=(Event(last, "Engine runs at last"),))
    drawing = Drawing(draw_steps(data, WIDE))
    assert drawing.word("60 lb").y - drawing.word("Engine runs at last").y >= 15


# Bars -------------------------------------------------------------------------------------------------


def rects(svg: str, kind: str) -> list[tuple[float, float]]:
    """Left edge and width of every rectangle of a kind."""
    return [(float(e.attrib["x"]), float(e.attrib["width"])) for e in Drawing(svg).elements("rect", kind)]


@pytest.mark.parametrize("sheet", WEB)
def test_bars_are_as_long_as_their_values(sheet: Sheet) -> None:
    svg = draw_bars(bars(Bar("Engine", Decimal(400)), Bar("Fuel", Decimal(100)), Bar("Radio", Decimal(50))), sheet)
    (x, full), (_, quarter), (_, eighth) = rects(svg, "fill")
    assert full == pytest.approx(4 * quarter, abs=0.3)
    assert full == pytest.approx(8 * eighth, abs=0.5)
    assert {left for left, _ in rects(svg, "fill")} == {x}


@pytest.mark.parametrize("sheet", WEB)
def test_a_refund_lies_left_of_the_zero_the_costs_stand_on(sheet: Sheet) -> None:
    (cost_x, cost), (refund_x, refund) = rects(draw_bars(bars(Bar("A", 30), Bar("B", -10)), sheet), "fill")
    assert refund_x + refund == pytest.approx(cost_x, abs=0.15)
    assert cost == pytest.approx(3 * refund, abs=0.3)


def test_paid_and_ordered_follow_one_another() -> None:
    svg = draw_bars(bars(Bar("A", 30, 10)), WIDE)
    ((solid_x, solid),), ((hollow_x, hollow),) = rects(svg, "fill"), rects(svg, "hollow")
    assert hollow_x == pytest.approx(solid_x + solid, abs=0.15)
    assert solid == pytest.approx(3 * hollow, abs=0.3)


def test_in_and_out_lie_on_either_side_and_the_total_is_written() -> None:
    svg = draw_bars(bars(Bar("Battery", 8, -24, total=-16), solid_name="in", hollow_name="out"), WIDE)
    # The first of each kind is the key's.
    (_, (solid_x, solid)), (_, (hollow_x, hollow)) = rects(svg, "fill"), rects(svg, "hollow")
    assert hollow_x + hollow == pytest.approx(solid_x, abs=0.15)
    assert hollow == pytest.approx(3 * solid, abs=0.3)
    drawing = Drawing(svg)
    assert drawing.word("-16 lb").right == pytest.approx(1000)
    assert drawing.titles() == ["Battery\n-16 lb\nin: 8 lb\nout: -24 lb"]


def test_a_long_name_is_cut_and_told_whole() -> None:
    name = "Engine controls, cables, quadrants and all the small brackets"
    for sheet in WEB:
        drawing = Drawing(draw_bars(bars(Bar(name, 3, code="76"), Bar("Fuel", 1, code="28")), sheet))
        cut = next(w.words for w in drawing.words() if w.words.endswith("…"))
        assert name.startswith(cut[:-1])
        assert name in drawing.titles()
        assert not drawing.clashes()


@pytest.mark.parametrize("sheet", WEB)
def test_long_numbers_and_long_figures_keep_to_their_columns(sheet: Sheet) -> None:
    def loud(value: Number) -> str:
        return f"{short(value)} in the currency of a far country, after all refunds"

    rows = (Bar("Fuel and oil", 30, 10, code="28-10-4711-A/B left of the spar"), Bar("Radio", 9, code="23"))
    drawing = Drawing(draw_bars(Bars("By system", rows, loud), sheet))
    assert not drawing.clashes()
    assert not drawing.outside()
    cut = [w for w in drawing.words() if w.words.endswith("…")]
    assert {w.anchor for w in cut} == {"start", "end"}
    longest = max(x + wide for x, wide in rects(draw_bars(Bars("", rows, loud), WIDE), "hollow"))
    assert all(w.left > longest for w in cut if w.anchor == "end" and sheet == WIDE)


def test_nothing_but_zeros_draws_names_and_no_bar() -> None:
    svg = draw_bars(bars(Bar("Fuel", 0), Bar("Radio", Decimal("0.00"))), WIDE)
    assert rects(svg, "fill") == []
    assert [w.words for w in Drawing(svg).words()] == ["Fuel", "0 lb", "Radio", "0 lb"]


def test_the_smallest_amount_can_still_be_seen() -> None:
    assert rects(draw_bars(bars(Bar("A", Decimal("1e9")), Bar("B", Decimal("1e-9"))), WIDE), "fill")[1][1] == 1


# Columns ----------------------------------------------------------------------------------------------


def columns(*months: Month) -> Columns:
    return Columns("By month", months, short, pounds, dates)


@pytest.mark.parametrize("sheet", WEB)
def test_columns_are_as_tall_as_their_sums_and_in_order(sheet: Sheet) -> None:
    months = (Month(date(2026, 5, 9), 30), Month(date(2026, 3, 30), 20), Month(date(2026, 5, 31), 10))
    found = Drawing(draw_columns(columns(*months), sheet)).elements("rect", "fill")
    march, may = ((float(e.attrib["x"]), float(e.attrib["height"])) for e in found)
    assert march[0] < may[0]
    assert may[1] == pytest.approx(2 * march[1], abs=0.3)


def test_a_month_without_work_keeps_its_place() -> None:
    months = (Month(date(2026, 1, 1), 1), Month(date(2026, 2, 1), 1), Month(date(2026, 7, 1), 1))
    xs = [float(e.attrib["x"]) for e in Drawing(draw_columns(columns(*months), WIDE)).elements("rect", "fill")]
    # 31 days, and 150 days.
    assert (xs[2] - xs[1]) / (xs[1] - xs[0]) == pytest.approx(150 / 31, abs=0.05)


def test_a_month_of_refunds_hangs_below_zero() -> None:
    drawing = Drawing(draw_columns(columns(Month(date(2026, 1, 1), 30), Month(date(2026, 2, 1), -10)), WIDE))
    paid, refunded = drawing.elements("rect", "fill")
    foot = float(paid.attrib["y"]) + float(paid.attrib["height"])
    assert float(refunded.attrib["y"]) == pytest.approx(foot, abs=0.1)
    (amount,) = [w for w in drawing.words() if w.words == "-10" and w.anchor == "middle"]
    assert amount.y > foot
    assert not drawing.clashes()


def test_a_decade_of_months_fits_a_narrow_sheet() -> None:
    months = [Month(date(2016 + n // 12, n % 12 + 1, 1), n % 7) for n in range(120)]
    drawing = Drawing(draw_columns(columns(*months), NARROW))
    edges = [float(e.attrib["x"]) for e in drawing.elements("rect", "fill")]
    assert all(one < other for one, other in pairwise(edges))
    assert not drawing.clashes()
    assert not drawing.outside()
    assert len([t for t in drawing.titles() if "20" in t]) == 120


# Strip ------------------------------------------------------------------------------------------------


def half_discs(svg: str, kind: str) -> list[tuple[float, float, float]]:
    """Centre, radius and sweep of every half-disc of a kind but the key's, which comes last."""
    found = [e.attrib["d"] for e in Drawing(svg).elements("path", kind) if "A" in e.attrib["d"]][:-1]
    return [((n[0] + n[7]) / 2, n[2], n[6]) for n in map(numbers, found)]


@pytest.mark.parametrize("sheet", WEB)
def test_the_area_is_the_weight_and_the_side_tells_in_from_out(sheet: Sheet) -> None:
    svg = draw_strip(strip((10, -24, "battery"), (50, 6, "battery"), (90, 12, "fabric")), sheet)
    ((x_out, out, down),) = half_discs(svg, "hollow")
    (x_fabric, fabric, up), (x_in, inside, _) = half_discs(svg, "fill")
    # Radii to a tenth: 24 units at the least, so areas are good to one part in a hundred.
    assert math.pi * out**2 / 2 == pytest.approx(4 * math.pi * inside**2 / 2, rel=0.02)
    assert out**2 == pytest.approx(2 * fabric**2, rel=0.02)
    assert (down, up) == (0, 1)
    assert x_in - x_out == pytest.approx(x_fabric - x_in, abs=0.2)


def test_the_heaviest_is_drawn_first() -> None:
    svg = draw_strip(strip((40, 1, "a"), (41, 9, "b"), (39, 4, "c")), WIDE)
    radii = [radius for _, radius, _ in half_discs(svg, "fill")]
    assert radii == sorted(radii, reverse=True)


def test_equal_items_at_one_arm_are_all_to_be_seen() -> None:
    svg = draw_strip(strip(*[(40, 2, f"seat {n}") for n in range(4)], (90, 1, "mat")), WIDE)
    found = [e.attrib["d"] for e in Drawing(svg).elements("path", "fill") if "A" in e.attrib["d"]][:4]
    flats = [numbers(path)[1] for path in found]
    assert flats == sorted(flats)
    assert len(set(flats)) == 4


def test_moving_the_datum_moves_nothing_but_the_numbers() -> None:
    items = ((-12, -8, "exhaust"), (73, -24, "battery"), (181, 3, "spring"))
    moved = [(arm + 100, weight, name) for arm, weight, name in items]
    at_zero = draw_strip(strip(*items), WIDE)
    at_hundred = draw_strip(strip(*moved, datum=100), WIDE)
    assert half_discs(at_zero, "hollow") == half_discs(at_hundred, "hollow")
    assert half_discs(at_zero, "fill") == half_discs(at_hundred, "fill")


def test_a_far_datum_is_pointed_to() -> None:
    near = draw_strip(strip((-12, 8, "a"), (90, 4, "b"), datum_name="datum"), WIDE)
    far = draw_strip(strip((200, 8, "a"), (290, 4, "b"), datum_name="datum"), WIDE)
    behind = draw_strip(strip((-290, 8, "a"), (-200, 4, "b"), datum_name="datum"), WIDE)
    assert 'stroke-dasharray="10 3 2 3"' in near
    assert "← datum" in far
    assert "datum →" in behind
    assert "dasharray" not in far + behind


def test_a_crowd_of_items_keeps_its_words_apart() -> None:
    crowd = [(20 + 3 * n, (-1) ** n * (1 + n % 5), f"item number {n}") for n in range(30)]
    for sheet in SHEETS:
        drawing = Drawing(draw_strip(strip(*crowd, axis="inches", in_name="in", out_name="out"), sheet))
        assert not drawing.clashes()
        assert not drawing.outside()
        assert sum("item number" in title for title in drawing.titles()) == 30
        assert any("item number" in word.words for word in drawing.words())


def test_an_outline_is_drawn_in_true_proportion() -> None:
    square = [(0, 0), (0, 50), (50, 50), (50, 0), (0, 0)]
    svg = draw_strip(strip((10, 1, "a"), (90, 2, "b"), outline=(square,)), WIDE)
    (shape,) = [numbers(e.attrib["d"]) for e in Drawing(svg).elements("path", "ghost") if "A" not in e.attrib["d"]][:1]
    assert max(shape[0::2]) - min(shape[0::2]) == pytest.approx(max(shape[1::2]) - min(shape[1::2]), abs=0.2)


# Timeline ---------------------------------------------------------------------------------------------


def timeline(*rows: Row) -> Timeline:
    return Timeline("Work", rows, pounds, dates)


@pytest.mark.parametrize("sheet", WEB)
def test_the_area_of_a_tick_is_its_hours(sheet: Sheet) -> None:
    work = (
        Work(date(2026, 1, 1), Decimal(8)),
        Work(date(2026, 2, 1), Decimal(4)),
        Work(date(2026, 3, 1), Decimal(400), to=date(2026, 4, 1)),
    )
    drawing = Drawing(draw_timeline(timeline(Row("Wings", work)), sheet))
    found = [e.attrib for e in drawing.elements("rect", "fill")][1:]
    first, second, long = (float(a["width"]) * float(a["height"]) for a in found)
    assert first == pytest.approx(2 * second, rel=0.02)
    assert long == pytest.approx(50 * first, rel=0.02)


def test_entries_of_one_day_stand_side_by_side() -> None:
    work = tuple(Work(date(2026, 1, 1), hours, name) for hours, name in ((3, "a"), (2, "b"), (1, "c")))
    drawing = Drawing(draw_timeline(timeline(Row("Wings", work)), WIDE))
    found = [(float(e.attrib["x"]), float(e.attrib["width"])) for e in drawing.elements("rect", "fill")][1:]
    assert all(x + wide < other for (x, wide), (other, _) in pairwise(found))
    assert drawing.titles() == ["1 Jan 2026\na\n3 lb", "1 Jan 2026\nb\n2 lb", "1 Jan 2026\nc\n1 lb"]


def test_an_entry_without_hours_is_still_marked() -> None:
    svg = draw_timeline(timeline(Row("Wings", (Work(date(2026, 1, 1), 0, "looked"),)), Row("Tail", ())), WIDE)
    assert len(rects(svg, "fill")) == 1
    assert {w.words for w in Drawing(svg).words()} >= {"Wings", "Tail"}
