"""The facts of a day for the margin: what it took, what it weighed, and what happened."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from buildlog.basics.names import counted
from buildlog.pages.entry_fact import MOST, Fact, Said
from buildlog.pages.entry_happened import happened
from buildlog.pages.lines import Desk
from buildlog.pages.words import Words
from buildlog.records.entry import Entry

if TYPE_CHECKING:
    from buildlog.figures.weight import Change


def margin(entry: Entry, place: int, desk: Desk) -> tuple[Fact, ...]:
    """All facts of an entry; ``place`` is its position in the log."""
    took = (*_work(entry, desk), *_money(entry, desk), *_weight(entry, desk), *_empty(entry, place, desk))
    return (*took, *_moved(entry, desk), *happened(entry, desk))


def _work(entry: Entry, desk: Desk) -> Iterator[Fact]:
    hours, people = entry.facts.hours, desk.worked.logbook.project.people
    if not hours:
        return
    named = desk.worked.logbook.sight.names
    lines = []
    for person, minutes in hours.items():
        known = people.get(person)
        who = (known.name if named else known.role) if known else person
        lines.append(Said(f"{who} {desk.words.labour(minutes, unit=False)}"))
    alone = len(lines) == 1 and next(iter(hours)) == "owner"
    yield Fact("Work", desk.words.labour(sum(hours.values())), "", () if alone else tuple(lines))


def _money(entry: Entry, desk: Desk) -> Iterator[Fact]:
    mine = desk.worked.cost.of_entry(entry.slug)
    if not desk.priced or not mine:
        return
    words, known = desk.words, [line for line in mine if line.value is not None]
    net = sum(line.value or 0 for line in known)
    back = -sum(line.value or 0 for line in known if line.refund)
    lines = [Said(f"{words.money(net + back, unit=False)} paid, {words.money(back, unit=False)} back")] if back else []
    lines += [Said(f"{words.written_money(line.money)} apart, no rate stated") for line in mine if line.value is None]
    yield Fact("Money", words.money(net) if known else "", "#e-costs", tuple(lines))


def _weight(entry: Entry, desk: Desk) -> Iterator[Fact]:
    mine, words = _changes(entry, desk), desk.words
    if mine:
        net = sum((change.kg for change in mine), Fraction(0))
        yield Fact(
            "Weight",
            words.weight(net, signed=True),
            "#e-weights",
            tuple(Said(text) for text in _where(mine, words)),
        )


def _where(changes: Sequence[Change], words: Words) -> Iterator[str]:
    arms = {change.arm_m for change in changes}
    without = sum(change.arm_m is None for change in changes)
    if without:
        yield f"{'no arm' if without == len(changes) else counted(without, 'line') + ' without an arm'}"
    elif len(arms) == 1:
        yield f"at {words.arm(next(change.arm_m for change in changes if change.arm_m is not None))}"


def _empty(entry: Entry, place: int, desk: Desk) -> Iterator[Fact]:
    words = desk.words
    if entry.facts.weighing:
        yield from _weighed(entry, desk)
    if entry.facts.weighing or not _changes(entry, desk):
        return
    after = desk.worked.weight.empty_after(place)
    if after is None:
        return
    cg = (Said(f"centre of gravity {words.arm(after.arm_m)}"),) if after.arm_m is not None else ()
    yield Fact("Empty after this", words.weight(after.kg), "weight.html", cg)


def _weighed(entry: Entry, desk: Desk) -> Iterator[Fact]:
    """What a weighing found, and how good it is."""
    words = desk.words
    for weighed, good in desk.worked.balance.weighings:
        if weighed.entry == entry.slug:
            figure = f"{words.weight(weighed.kg, unit=False)} ± {words.weight(good.u_kg)}"
            cg = (
                f"centre of gravity {words.arm(weighed.arm_m, unit=False)} ± {words.arm(good.u_arm)}"
                if weighed.arm_m is not None
                else ""
            )
            yield Fact("Empty, as weighed", figure, "#e-weighing", (Said(cg),) if cg else ())


def _moved(entry: Entry, desk: Desk) -> Iterator[Fact]:
    words, parts, at = desk.words, desk.worked.logbook.components, desk.at
    for name, went_in in (("Out", False), ("In", True)):
        lines = [change for change in _changes(entry, desk) if change.installed == went_in]
        said = tuple(
            Said(
                f"{line.item}, {words.weight(abs(line.kg))}",
                at.component(line.component) if line.component and line.component in parts else "",
                basis=line.basis,
            )
            for line in lines[:MOST]
        )
        more = (Said(f"and {len(lines) - MOST} more", "#e-weights"),) if len(lines) > MOST else ()
        if said:
            yield Fact(name, "", "", said + more, broad=True)


def _changes(entry: Entry, desk: Desk) -> tuple[Change, ...]:
    return desk.worked.weight.of_entry(entry.slug)
