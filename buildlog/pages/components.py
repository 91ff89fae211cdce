"""Everything with an identity, by system and state; what is gone stands apart."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.components import ComponentState
from buildlog.figures.figures import Figures
from buildlog.pages.component import StateRow, component_sheet, state_row
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Sheet, Tab
from buildlog.pages.words import Words
from buildlog.records.entry import Entry
from buildlog.records.logbook import system_order
from buildlog.records.systems import System

_PLACES = ("fitted", "loose", "away", "awaited", "gone")


@frozen
class SystemGroup:
    """The components of one system."""

    tab: Tab
    rows: tuple[StateRow, ...]


@frozen
class Count:
    """How many components are in a place."""

    words: str
    number: int


@frozen
class ComponentsView:
    """The register as it stands."""

    here: tuple[SystemGroup, ...]
    gone: tuple[SystemGroup, ...]
    counts: tuple[Count, ...]
    part_numbers: bool
    serials: bool


def component_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The register and one page for each component."""
    desk = Desk.of(worked, words, at)
    states = tuple(worked.components.values())
    yield _index(states, desk)
    entries = _entries(desk)
    for state in states:
        yield component_sheet(state, tuple(entries.get(state.key, ())), desk)


def _entries(desk: Desk) -> dict[str, list[Entry]]:
    """The entries that tell something of each component, oldest first."""
    told: dict[str, list[Entry]] = {}
    for entry in desk.worked.logbook.told():
        facts = entry.facts
        named = {line.component for line in facts.parts} | {line.component for line in facts.orders}
        named |= {line.component for line in facts.weight} | {line.component for line in facts.findings}
        named |= {line.component for line in facts.measured} | {change.key for change in facts.components}
        for key in filter(None, named):
            told.setdefault(key, []).append(entry)
    return told


def _index(states: tuple[ComponentState, ...], desk: Desk) -> Sheet:
    here = tuple(state for state in states if state.place != "gone")
    gone = tuple(state for state in states if state.place == "gone")
    view = ComponentsView(
        _by_system(here, desk),
        _by_system(gone, desk),
        tuple(_counts(states)),
        any(state.record.part_no for state in states),
        any(state.record.serial for state in states),
    )
    number = counted(len(states), "component")
    return Sheet(
        "components.html",
        "components.html",
        "Components",
        view,
        "components.html",
        description=f"{number} with their state: what is fitted, what is off, and what is gone.",
        worked_from=number,
        updated=desk.worked.logbook.last_day(),
    )


def _by_system(states: tuple[ComponentState, ...], desk: Desk) -> tuple[SystemGroup, ...]:
    held: dict[System, list[ComponentState]] = {}
    for state in sorted(states, key=_order):
        held.setdefault(desk.worked.logbook.system(state.record.system or ""), []).append(state)
    return tuple(
        SystemGroup(desk.at.tab(system.key), tuple(state_row(state, desk) for state in held[system]))
        for system in sorted(held, key=system_order)
    )


def _order(state: ComponentState) -> tuple[int, str]:
    return _PLACES.index(state.place), state.record.name


def _counts(states: tuple[ComponentState, ...]) -> Iterator[Count]:
    words = {
        "fitted": "installed",
        "loose": "here and not fitted",
        "away": "sent out",
        "awaited": "not here yet",
        "gone": "gone",
    }
    for place in _PLACES:
        number = sum(state.place == place for state in states)
        if number:
            yield Count(words[place], number)
