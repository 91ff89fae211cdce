"""The index: where systems, components, people, shops, numbers, findings, directives and papers are told of, by page.

What this reader may not see is not in the logbook any more, so it is not here either. The template knows the pages.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from typing import NamedTuple, Protocol

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, heading, para, part
from buildlog.pages.known import anchor
from buildlog.pages.lines import finding_anchor
from buildlog.records.entry import Entry
from buildlog.records.systems import System

MANY = 24
"""Entries from which on they are counted and not named one by one."""
_KINDS = (
    "Systems",
    "Components",
    "Part and serial numbers",
    "Findings",
    "Directives and bulletins",
    "People",
    "Suppliers and shops",
    "Papers",
)


class OnComponent(Protocol):
    """A line that may name a component."""

    @property
    def component(self) -> str | None:
        """Its key."""


class Supplied(Protocol):
    """A line that may name who sold or did it."""

    @property
    def supplier(self) -> str | None:
        """Who."""


class Told(NamedTuple):
    """A place that something is told of: what kind of thing, its name, what more is said of it, and the place."""

    kind: str
    name: str
    place: str
    words: str = ""


def part_index(binder: Binder, places: AbstractSet[str]) -> Node | None:
    """The last part; ``places`` are those of the document that can be led to."""
    found: dict[str, dict[str, list[Told]]] = defaultdict(lambda: defaultdict(list))
    for one in (*_registers(binder), *_log(binder)):
        if one.name and one.place in places:
            found[one.kind][one.name].append(one)
    entries = frozenset(binder.desk.at.entry(entry.slug) for entry in binder.desk.worked.logbook.told())
    body: list[Node] = []
    for kind in _KINDS:
        terms = [_term(told, entries) for told in found[kind].values()]
        if terms:
            body += [heading(2, kind, marked=False), {"t": "index", "terms": sorted(terms, key=_in_order)}]
    words = "By page; a page is named once, however often a thing is told of on it."
    made = [para(words, kind="lede"), {"t": "columns", "c": body}] if body else []
    return part("Index", "index", made)


def _term(told: list[Told], entries: AbstractSet[str]) -> Node:
    """A line of the index; of what very many entries name, the place of its own and how many they are."""
    places = list(dict.fromkeys(one.place for one in told))
    own = [place for place in places if place not in entries]
    many = len(places) - len(own)
    often = many >= MANY
    return {
        "name": told[0].name,
        "words": told[0].words,
        "places": own if often else places,
        "note": f"in {many} entries" if often else "",
    }


def _in_order(line: Node) -> list[tuple[bool, int, str]]:
    """By name, numbers by their value: F-9 before F-10."""
    runs = re.findall(r"\d+|\D+", f"{line['name']} {line['words']}".casefold())
    return [(run.isdecimal(), int(run), "") if run.isdecimal() else (False, 0, run) for run in runs]


def _registers(binder: Binder) -> Iterator[Told]:
    """Where each thing stands in a part of its own."""
    desk = binder.desk
    book = desk.worked.logbook
    for system in book.systems():
        yield Told("Systems", system.name, desk.at.system(system.key), _number(system))
    for key, known in book.components.items():
        place = desk.at.component(key)
        yield Told("Components", known.name, place)
        for number in (known.part_no, known.serial):
            yield Told("Part and serial numbers", number or "", place, known.name)
    for state in desk.worked.findings:
        yield Told("Findings", state.line.key, f"findings.html#{finding_anchor(state.line.key)}")
    for directive in desk.worked.directives:
        record = directive.record
        yield Told("Directives and bulletins", record.number, f"directives.html#{anchor(record.key)}")
    for file in sorted(book.files):
        yield Told("Papers", _paper(file, binder), binder.paper(file))


def _number(system: System) -> str:
    return f"({system.code})" if system.code else ""


def _paper(file: str, binder: Binder) -> str:
    """What the first entry that keeps a paper calls it, else its file's name."""
    entries = binder.desk.worked.logbook.told()
    named = (paper.title for entry in entries for paper in entry.facts.documents if paper.file == file)
    return next(named, file.rpartition("/")[2])


def _log(binder: Binder) -> Iterator[Told]:
    """Where each entry is, for everything that it names."""
    for entry in binder.desk.worked.logbook.told():
        place = binder.desk.at.entry(entry.slug)
        for kind, name, words in (*_facts(entry, binder), *_people(entry, binder), *_shops(entry, binder)):
            yield Told(kind, name, place, words)


def _facts(entry: Entry, binder: Binder) -> Iterator[tuple[str, str, str]]:
    """Kind, name and more words of the things that an entry's facts name."""
    facts, book = entry.facts, binder.desk.worked.logbook
    for system in map(book.system, facts.system):
        yield "Systems", system.name, _number(system)
    for part_ in facts.parts:
        for number in (part_.part_no, part_.serial):
            yield "Part and serial numbers", number or "", part_.item
    for key in _components(entry):
        if key in book.components:
            yield "Components", book.components[key].name, ""
    for key in (*(one.key for one in facts.findings), *(one.key for one in facts.closes)):
        yield "Findings", key, ""
    numbers = {one.key: one.number for one in book.directives.directives}
    for key in facts.directives:
        yield "Directives and bulletins", numbers.get(key, ""), ""
    for paper in facts.documents:
        yield "Papers", _paper(paper.file, binder), ""


def _components(entry: Entry) -> Iterator[str]:
    facts = entry.facts
    yield from (change.key for change in facts.components)
    groups: tuple[tuple[OnComponent, ...], ...] = (
        facts.parts,
        facts.weight,
        facts.findings,
        facts.measured,
        facts.orders,
    )
    yield from (line.component for group in groups for line in group if line.component)


def _people(entry: Entry, binder: Binder) -> Iterator[tuple[str, str, str]]:
    book = binder.desk.worked.logbook
    if book.sight.names:
        for key in (*entry.facts.hours, *(line.by for line in entry.facts.signed)):
            known = book.project.people.get(key)
            yield "People", known.name if known else key, ""


def _shops(entry: Entry, binder: Binder) -> Iterator[tuple[str, str, str]]:
    """Who sold or did something, save the project's own people."""
    facts, people = entry.facts, binder.desk.worked.logbook.project.people
    groups: tuple[tuple[Supplied, ...], ...] = (facts.parts, facts.costs, facts.orders, facts.quotes)
    named = [line.supplier for group in groups for line in group]
    named += [name for change in facts.components for name in (change.to, change.by) if name not in people]
    yield from (("Suppliers and shops", name, "") for name in named if name)
