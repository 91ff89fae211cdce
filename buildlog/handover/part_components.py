"""Component status and times: the register as it stands, and what happened to each component."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
    Node,
    Said,
    column,
    group,
    heading,
    inline_terms,
    line,
    of_file,
    para,
    part,
    row,
    tab,
    table,
    terms,
    to,
    under,
)
from buildlog.pages.component import ComponentView, StateRow
from buildlog.pages.components import SystemGroup
from buildlog.pages.known import FactRow
from buildlog.pages.times import TimeLine

_REGISTER = (
    column("Component", "2.4fr"),
    column("State", "1.3fr"),
    column("Since"),
    column("Part number"),
    column("Serial"),
    column("Last entry", "2fr"),
)
_EVENTS = (
    column("Day"),
    column("What", "1.6fr"),
    column("Left in state", "1fr"),
    column("Why, and papers", "2.2fr"),
    column("Entry", "1.8fr"),
)


def part_components(binder: Binder) -> Node | None:
    """The register, then each component that the log tells something of."""
    view = binder.components
    body = [*_groups(view.here), *_gone(view.gone)]
    told = [node for state in binder.desk.worked.components.values() for node in _one(binder.component(state.key))]
    if body and told:
        body += [heading(2, "Component by component"), *told]
    if view.counts:
        counts = binder.desk.words.listed(f"{count.number} {count.words}" for count in view.counts)
        body.insert(0, para(f"The register of what has an identity of its own: {counts}.", kind="lede"))
    return part("Component status and times", "components.html", of_file("components.yaml", body))


def _groups(groups: tuple[SystemGroup, ...]) -> list[Node]:
    rows = [made for one in groups for made in (group(tab(one.tab)), *map(_state, one.rows))]
    return table(_REGISTER, rows)


def _gone(groups: tuple[SystemGroup, ...]) -> list[Node]:
    made = _groups(groups)
    return [heading(2, "Gone"), *made] if made else []


def _state(one: StateRow) -> Node:
    inside = under(line("in ", one.inside.words)) if one.inside else []
    last: Line = to(one.last.title, one.last.path) if one.last else []
    return row(line(to(one.name, one.path), inside), one.state, one.since, one.part_no, one.serial, last)


def _one(view: ComponentView) -> list[Node]:
    """A component with its identity, what is known of it and what happened; nothing for one that nothing is told of."""
    if not (view.identity or view.events or view.facts):
        return []
    events = [
        row(
            event.source.day,
            event.what,
            event.state,
            line(event.because, under(event.number)),
            to(event.source.title, event.source.path),
        )
        for event in view.events
    ]
    pairs: list[tuple[str, Said]] = [("State", _state_words(view.state))]
    pairs += [(term.name, term.words) for term in view.identity]
    times = [(f"Time {one.since}", _time(one)) for one in view.times]
    known = [(fact.what, _known(fact)) for fact in view.facts]
    return [
        heading(3, view.state.name, view.state.path, marked=False),
        para(
            line(tab(view.tab), "   "),
            inline_terms(pairs),
            kind="facts",
            sticky=bool(events or known or times or view.note),
        ),
        *terms([*times, *known]),
        *([para(view.note, kind="note", sticky=bool(events))] if view.note else []),
        *table(_EVENTS, events),
    ]


def _known(fact: FactRow) -> Line:
    value, says = fact.value or fact.when, f"{fact.basis}: {fact.says}"
    return line(value, under(says)) if value else line(says)


def _time(one: TimeLine) -> Line:
    conflict = "; facts contradict one another" if one.conflict else ""
    return line(one.hours, under(f"{one.basis}{conflict}"))


def _state_words(state: StateRow) -> str:
    return f"{state.state}, {state.since}" if state.since else state.state
