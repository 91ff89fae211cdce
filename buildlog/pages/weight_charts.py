"""The drawings of the weight page: each item at its arm, the running change, the empty centre of gravity over time."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from buildlog.pages.charts import Event, Item, Measured, Point, Series, Steps, Strip, draw_steps, draw_strip
from buildlog.pages.drawings import Drawing, drawn
from buildlog.pages.lines import Desk
from buildlog.pages.measures import UNIT_NAMES, Measures

HEAVIEST = 80
"""Items of the station strip; more find no room, and the ledger lists them all."""


def strip_chart(desk: Desk) -> str:
    """The station strip as pages show it; '' while no change has an arm."""
    kept = desk.words.drawings
    if "strip" not in kept:
        kept["strip"] = strip_drawing(desk, drawn)
    return kept["strip"]


def strip_drawing(desk: Desk, drawing: Drawing) -> str:
    """The station strip of the heaviest items; '' while no change has an arm."""
    words, measures, weight = desk.words, Measures(desk.words), desk.worked.weight
    placed = [(change, change.arm_m) for change in weight.changes if change.arm_m is not None]
    shown = sorted(placed, key=lambda pair: -abs(pair[0].kg))[:HEAVIEST]
    items = tuple(
        Item(
            measures.arm(arm),
            measures.weight(change.kg),
            change.item,
            f"{words.brief_day(change.day)}, {change.basis}",
        )
        for change, arm in shown
    )
    some = f"; the {len(shown)} heaviest of {len(placed)}" if len(shown) < len(placed) else ""
    stands = [measures.arm(point.arm_m) for weighed in weight.weighings for point in weighed.points]
    return drawing(
        draw_strip,
        Strip(
            "What was put on and taken off, each at its arm",
            items,
            measures.tick,
            measures.told_arm,
            measures.told_change,
            measures.told_weight,
            axis=f"arm in {UNIT_NAMES[words.arm_unit]}{_from(desk)}{some}",
            details="In stands on the line, out hangs below it; the area is the weight. The ledger has every line.",
            datum_name="datum",
            in_name="in",
            out_name="out",
            first_arm=min(stands, default=None),
            last_arm=max(stands, default=None),
        ),
    )


def change_chart(desk: Desk) -> str:
    """The net change since the log began, entry by entry, with the days of the weighings."""
    words, measures, weight = desk.words, Measures(desk.words), desk.worked.weight
    points = tuple(_nets(desk, measures))
    events = tuple(Event(weighed.day, "weighed", words.weight(weighed.kg)) for weighed in weight.weighings)
    if not points:
        return ""
    return drawn(
        draw_steps,
        Steps(
            f"Net change of weight, running: {words.weight(weight.total(), signed=True)}",
            (Series("", points),),
            measures.tick,
            measures.told_change,
            measures.dates,
            axis=f"net change since the log began, {words.weight_unit}",
            details="The ledger below has every line.",
            events=events,
            until=desk.worked.on,
        ),
    )


def arm_chart(desk: Desk) -> str:
    """The empty centre of gravity from the first weighing on: a step an entry, a hollow dot a weighing."""
    words, measures, weight = desk.words, Measures(desk.words), desk.worked.weight
    measured = tuple(
        Measured(weighed.day, measures.arm(weighed.arm_m), note="weighed")
        for weighed in weight.weighings
        if weighed.arm_m is not None
    )
    points = tuple(_arms(desk, measures))
    if not points[1:]:
        return ""
    return drawn(
        draw_steps,
        Steps(
            "The empty centre of gravity after each entry",
            (Series("", points),),
            measures.tick,
            measures.told_arm,
            measures.dates,
            axis=f"empty centre of gravity, {UNIT_NAMES[words.arm_unit]}{_from(desk)}",
            details="The ledger below has every line.",
            measured=measured,
            until=desk.worked.on,
            from_zero=False,
        ),
    )


def _nets(desk: Desk, measures: Measures) -> Iterator[Point]:
    """The net change at the end of each entry; a swap is one step."""
    for _, group in groupby(desk.worked.weight.running(), key=lambda pair: pair[0].order):
        lines = list(group)
        change, net = lines[-1]
        yield Point(change.day, measures.weight(net), desk.sources.of(change.entry, change.day).title)


def _arms(desk: Desk, measures: Measures) -> Iterator[Point]:
    weight, sources = desk.worked.weight, desk.sources
    moved = {(change.order, change.entry, change.day) for change in weight.changes}
    moved |= {(weighed.order, weighed.entry, weighed.day) for weighed in weight.weighings}
    for order, entry, day in sorted(moved):
        after = weight.empty_after(order)
        if after is not None and after.arm_m is not None:
            yield Point(day, measures.arm(after.arm_m), sources.of(entry, day).title)


def _from(desk: Desk) -> str:
    return f" from the datum ({desk.words.datum})" if desk.words.datum else " from the datum"
