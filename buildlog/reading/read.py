"""The whole folder read: every file validated, all problems of a run collected, whatever is sound kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from buildlog.basics.problems import Place, Problem, in_order
from buildlog.reading.desk import Desk
from buildlog.reading.entries import Leaf, read_entry, read_facts, stem, take_apart
from buildlog.reading.folder import scan
from buildlog.reading.ledgers import read_ledger
from buildlog.reading.markdown import Lay
from buildlog.reading.memory import Asked, Memory
from buildlog.reading.references import settle
from buildlog.reading.registers import register, the_components, the_loading
from buildlog.reading.requirements import the_requirements
from buildlog.reading.seals import the_seals
from buildlog.reading.source import Source
from buildlog.reading.validate import validated
from buildlog.records.entry import Entry
from buildlog.records.ledgers import LedgerRow
from buildlog.records.logbook import Logbook
from buildlog.records.project import Aircraft, Project
from buildlog.records.registers import Checks, Directives, History, Plan
from buildlog.records.writings import Decision, DecisionFacts, Page, PageFacts

T = TypeVar("T")


@dataclass(frozen=True)
class Reading:
    """A logbook, the problems found on the way, and the sources to quote from."""

    logbook: Logbook
    problems: tuple[Problem, ...]
    lines: Mapping[str, list[str]]


def read_logbook(root: Path, memory: Memory | None = None, lay: Lay | None = None) -> Reading:
    """Everything below ``root``, unchanged texts out of ``memory``. Never raises for what a builder wrote.

    ``lay`` lays out each text that is parsed, for pages.
    """
    folder, problems = scan(root)
    desk = Desk(folder, problems=problems, memory=memory or Memory(), lay=lay)
    project = _project(desk)
    desk.context["currency"] = project.units.currency
    entries = _entries(desk)
    logbook = Logbook(
        project=project,
        entries=tuple(sorted(entries, key=_in_time)),
        components=the_components(desk),
        history=register(desk, "history", History),
        loading=the_loading(desk),
        plan=register(desk, "plan", Plan),
        directives=register(desk, "directives", Directives),
        checks=register(desk, "checks", Checks),
        requirements=the_requirements(desk, project),
        decisions=tuple(_decisions(desk)),
        pages=tuple(_pages(desk)),
        ledger=tuple(_ledgers(desk)),
        seals=the_seals(desk),
        files=frozenset(folder.files),
    )
    desk.memory.forget(logbook.files)
    logbook, found = settle(logbook, desk.unsound_keys, desk.unread, desk.locate)
    return Reading(logbook, tuple(in_order(desk.problems + found)), _Lines(desk.sources))


@dataclass(frozen=True)
class _Lines(Mapping[str, list[str]]):
    """The lines of each file, split only when somebody asks."""

    sources: Mapping[str, Source]

    def __getitem__(self, file: str) -> list[str]:
        return self.sources[file].lines()

    def __iter__(self) -> Iterator[str]:
        return iter(self.sources)

    def __len__(self) -> int:
        return len(self.sources)


def _in_time(entry: Entry) -> tuple[Any, ...]:
    """Order of the entries: by day, within a day by time, those without a time by file name, last."""
    time = entry.facts.time
    return (entry.day, time is None, time.isoformat() if time else "", entry.slug)


def _project(desk: Desk) -> Project:
    """project.yaml, or a stand-in so that the rest is still read."""
    stand_in = Project(title="?", aircraft=Aircraft(type="?"))
    if "project.yaml" not in desk.folder.files:
        desk.problems.append(
            Problem(
                Place("project.yaml"),
                "no-project",
                "there is no project.yaml in this folder",
                "begin one with  buildlog start FOLDER , or name the folder with  --project",
            )
        )
        return stand_in
    document = desk.document("project.yaml")
    if document is None:
        if "project.yaml" not in desk.unread:
            desk.unread.add("project.yaml")
            desk.problems.append(
                Problem(
                    Place("project.yaml", 1),
                    "no-project",
                    "there is nothing in this file yet",
                    "write at least\ntitle: Bringing back a Dunlin\naircraft: {type: Halloran Dunlin}",
                )
            )
        return stand_in
    currency = "USD"
    units = document.value.get("units") if isinstance(document.value, dict) else None
    if isinstance(units, dict) and isinstance(units.get("currency"), str):
        currency = units["currency"].strip().upper()
    project, problems = validated(Project, document, {"currency": currency})
    desk.problems += problems
    if project is None:
        desk.unread.add("project.yaml")
    return project or stand_in


def _texts(
    desk: Desk, folder: str, kind: type[T], read: Callable[[Leaf, str], tuple[T | None, list[Problem]]]
) -> list[T]:
    """The records of the Markdown files below a folder, those that could be used."""
    records: list[T] = []
    files = frozenset(desk.folder.files)
    for file in desk.folder.under(folder, ".md"):
        source = desk.open(file)
        if source is None:
            continue
        kept = desk.memory.recall(file, source.text, desk.context, files)
        if isinstance(kept, kind):
            records.append(kept)
            continue
        asked = Asked(files)
        leaf, problems = take_apart(source, asked, desk.lay)
        if leaf is None or leaf.document.broken:
            desk.unread.add(file)
        record, found = read(leaf, file) if leaf is not None else (None, [])
        desk.problems += problems + found
        if record is not None:
            records.append(record)
        elif leaf is not None:
            desk.note_keys(file, leaf.document.value)
        if record is not None and not problems and not found:
            desk.memory.keep(file, source.text, desk.context, asked, record)
    return records


def _entries(desk: Desk) -> list[Entry]:
    return _texts(desk, "log", Entry, lambda leaf, file: read_entry(leaf, file, desk.context))


def _decisions(desk: Desk) -> list[Decision]:
    def read(leaf: Leaf, file: str) -> tuple[Decision | None, list[Problem]]:
        facts, problems = read_facts(DecisionFacts, leaf, desk.context)
        return None if facts is None else Decision(facts=facts, prose=leaf.prose, file=file, slug=stem(file)), problems

    return _texts(desk, "decisions", Decision, read)


def _pages(desk: Desk) -> list[Page]:
    def read(leaf: Leaf, file: str) -> tuple[Page | None, list[Problem]]:
        facts, problems = read_facts(PageFacts, leaf, desk.context)
        return None if facts is None else Page(facts=facts, prose=leaf.prose, file=file, slug=stem(file)), problems

    return _texts(desk, "pages", Page, read)


def _ledgers(desk: Desk) -> list[LedgerRow]:
    rows: list[LedgerRow] = []
    for file in desk.folder.under("ledgers", ".csv"):
        source = desk.open(file)
        if source is not None:
            found, problems = read_ledger(source, desk.context)
            rows += found
            desk.problems += problems
    return sorted(rows, key=lambda row: (row.date, row.place))
