"""The ledger of weight, line by line with its running sums; and each weighing as it stands on a form."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.pages.lines import ChangeLine, Desk, change_line
from buildlog.pages.sources import Source

if TYPE_CHECKING:
    from buildlog.figures.weight import Change, Loose, Weighed


@frozen
class LedgerLine:
    """A change, or a weighing (``change`` is None).

    ``net`` runs on from line to line; ``empty`` and ``arm`` are the state after its entry, on the entry's last line and
    once there is a weighing.
    """

    year: int
    source: Source
    change: ChangeLine | None
    net: str
    empty: str
    arm: str
    anchor: str


@frozen
class FormLine:
    """A line of a weighing's form."""

    item: str
    reading: str
    tare: str
    net: str
    arm: str
    moment: str
    basis: str = ""


@frozen
class WeighingForm:
    """A weighing as on its form: scales, what is taken off and added, and what they come to."""

    source: Source
    anchor: str
    attitude: str
    oil: str
    scale: str
    calibrated: str
    points: tuple[FormLine, ...]
    off: tuple[FormLine, ...]
    added: tuple[FormLine, ...]
    total: FormLine


def ledger(desk: Desk) -> tuple[LedgerLine, ...]:
    """Every change and every weighing, oldest first; an entry's changes come before its weighing."""
    running = desk.worked.weight.running()
    weighings = {weighed.order: weighed for weighed in desk.worked.weight.weighings}
    lines: list[LedgerLine] = []
    grouped = {order: list(group) for order, group in groupby(running, key=lambda pair: pair[0].order)}
    net = ""
    for order in sorted({*grouped, *weighings}):
        changes = grouped.get(order, [])
        for number, (change, total) in enumerate(changes, start=1):
            net = desk.words.weight(total, signed=True, unit=False)
            last = number == len(changes) and order not in weighings
            lines.append(_changed(change, net, order if last else None, desk))
        if order in weighings:
            lines.append(_weighed(weighings[order], net, desk))
    return tuple(lines)


def weighing_forms(desk: Desk) -> tuple[WeighingForm, ...]:
    """All weighings, the latest first."""
    return tuple(_form(weighed, desk) for weighed in reversed(desk.worked.weight.weighings))


def _anchor(weighed: Weighed) -> str:
    return f"weighing-{weighed.order}"


def _changed(change: Change, net: str, order: int | None, desk: Desk) -> LedgerLine:
    line, words = change_line(change, desk), desk.words
    after = desk.worked.weight.empty_after(order) if order is not None else None
    empty = words.weight(after.kg, unit=False) if after else ""
    arm = words.arm(after.arm_m, unit=False) if after and after.arm_m is not None else ""
    return LedgerLine(change.day.year, line.source, line, net, empty, arm, "")


def _weighed(weighed: Weighed, net: str, desk: Desk) -> LedgerLine:
    words = desk.words
    arm = words.arm(weighed.arm_m, unit=False) if weighed.arm_m is not None else ""
    source, empty = desk.sources.of(weighed.entry, weighed.day), words.weight(weighed.kg, unit=False)
    return LedgerLine(weighed.day.year, source, None, net, empty, arm, f"#{_anchor(weighed)}")


def _form(weighed: Weighed, desk: Desk) -> WeighingForm:
    record, words = weighed.record, desk.words
    entry = desk.sources.entry(weighed.entry)
    hidden = entry is not None and entry.hidden
    scale = None if hidden else record.scale
    bases = iter([item.basis for item in (*record.on_board, *record.missing)])
    loose = [_loose(item, next(bases), hidden, desk) for item in weighed.loose]
    return WeighingForm(
        desk.sources.of(weighed.entry, weighed.day),
        _anchor(weighed),
        "" if hidden else record.attitude or "",
        "" if hidden else record.oil or "",
        (scale.make_and_serial if scale else None) or "",
        words.day(scale.calibrated) if scale and scale.calibrated else "",
        tuple(_points(weighed, desk)),
        tuple(loose[: len(record.on_board)]),
        tuple(loose[len(record.on_board) :]),
        FormLine(
            "Empty",
            "",
            "",
            words.weight(weighed.kg, unit=False),
            words.arm(weighed.arm_m, unit=False) if weighed.arm_m is not None else "",
            words.moment(weighed.moment, unit=False),
        ),
    )


def _points(weighed: Weighed, desk: Desk) -> Iterator[FormLine]:
    words = desk.words
    for point in weighed.points:
        yield FormLine(
            point.at,
            words.weight(point.reading, unit=False),
            words.weight(point.tare, unit=False) if point.tare else "",
            words.weight(point.net, unit=False),
            words.arm(point.arm_m, unit=False),
            words.moment(point.net * point.arm_m, unit=False),
        )


def _loose(item: Loose, basis: str, hidden: bool, desk: Desk) -> FormLine:
    """An item on board or missing; without its words where the entry may not be read."""
    words, name = desk.words, "an item" if hidden else item.item
    net, moment = words.weight(item.kg, signed=True, unit=False), words.moment(item.kg * item.arm_m, unit=False)
    return FormLine(name, "", "", net, words.arm(item.arm_m, unit=False), moment, basis)
