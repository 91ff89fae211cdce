"""What is not weighed: a part without a weight is not zero, so it is listed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.purchases import Part


@frozen
class NotWeighed:
    """A part put on the aircraft, or a component fitted or removed, of which no weight is written."""

    day: date
    item: str
    place: Place
    entry: str


def _named(entry: Entry) -> tuple[set[str], set[str]]:
    """The words and the components that the weight lines of an entry name."""
    return (
        {line.item.casefold() for line in entry.facts.weight},
        {line.component for line in entry.facts.weight if line.component},
    )


def parts_not_weighed(entry: Entry) -> Iterator[NotWeighed]:
    """Parts that stay on the aircraft and that no weight line of the entry names."""
    if entry.facts.weight_change is not None or entry.hidden:
        return
    words, components = _named(entry)
    for part in entry.facts.parts:
        if _leaves_weight(part) and part.item.casefold() not in words and part.component not in components:
            yield NotWeighed(entry.day, part.item, part.place, entry.slug)


def components_not_weighed(logbook: Logbook) -> list[NotWeighed]:
    """Components that are off where they were on, or the other way, without a weight written.

    One taken off and put back, weighed neither time, has changed nothing and is not told; nor is one that sits in
    another component, whose weight it shares, or one that a part of the same entry already stands for.
    """
    open_: dict[str, NotWeighed] = {}
    for entry in logbook.entries:
        words, components = _named(entry)
        stood_for = {part.component for part in entry.facts.parts if part.component}
        for change in entry.facts.components:
            known = logbook.components.get(change.key)
            if change.verb not in {"installed", "removed"} or known is None or known.inside:
                continue
            if change.key in components | stood_for or known.name.casefold() in words:
                continue
            if open_.pop(change.key, None) is None:
                open_[change.key] = NotWeighed(entry.day, f"{known.name}, {change.verb}", change.place, entry.slug)
    return list(open_.values())


def _leaves_weight(part: Part) -> bool:
    return part.kind == "part" and part.weight is None
