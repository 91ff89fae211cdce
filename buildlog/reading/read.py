"""The whole folder read: every file validated, all problems of a run collected, whatever is sound kept."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from buildlog.basics.beside import FEW, can_be, shared_out
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, in_order
from buildlog.reading.desk import Desk
from buildlog.reading.entries import Read, read_text
from buildlog.reading.folder import scan
from buildlog.reading.ledgers import read_ledger
from buildlog.reading.markdown import Lay
from buildlog.reading.memory import Asked, Memory
from buildlog.reading.references import settle
from buildlog.reading.registers import register, the_components, the_loading
from buildlog.reading.requirements import the_requirements
from buildlog.reading.seals import the_seals
from buildlog.reading.source import Source, read_source
from buildlog.reading.validate import validated
from buildlog.records.entry import Entry
from buildlog.records.ledgers import LedgerRow
from buildlog.records.logbook import Logbook
from buildlog.records.project import Aircraft, Project
from buildlog.records.registers import Checks, Directives, History, Plan
from buildlog.records.writings import Decision, Page

T = TypeVar("T")
_TOGETHER = 8
"""Texts that are read as one job."""


@frozen
class Lines(Mapping[str, list[str]]):
    """The lines of each file that was read, split only when somebody asks."""

    root: Path
    sources: Mapping[str, Source]
    others: frozenset[str] = frozenset()
    """Files that were read and whose texts are not held."""

    def __getitem__(self, file: str) -> list[str]:
        source = self.sources.get(file)
        if source is None and file in self.others:
            source, _ = read_source(self.root / file, file)
        if source is None:
            raise KeyError(file)
        return source.lines()

    def __iter__(self) -> Iterator[str]:
        return iter({*self.sources, *self.others})

    def __len__(self) -> int:
        return len({*self.sources, *self.others})


@frozen
class Reading:
    """A logbook, the problems found on the way, and the sources to quote from."""

    logbook: Logbook
    problems: tuple[Problem, ...]
    lines: Lines

    def lean(self, files: Collection[str]) -> Reading:
        """The same with the texts of these files alone; another is read again if somebody asks for it."""
        kept = {file: source for file, source in self.lines.sources.items() if file in files}
        return replace(self, lines=Lines(self.lines.root, kept, frozenset(self.lines)))


def read_logbook(
    root: Path, memory: Memory | None = None, lay: Lay | None = None, meanwhile: Callable[[], None] = lambda: None
) -> Reading:
    """Everything below ``root``, unchanged texts out of ``memory``. Never raises for what a builder wrote.

    ``lay`` lays out each text that is parsed, for pages. ``meanwhile`` is done here while another process, where there
    are many texts, begins to parse them.
    """
    folder, problems = scan(root)
    desk = Desk(folder, problems=problems, memory=memory or Memory(), lay=lay)
    project = _project(desk)
    desk.context["currency"] = project.units.currency
    entries = _texts(desk, "log", Entry, meanwhile)
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
        decisions=tuple(_texts(desk, "decisions", Decision)),
        pages=tuple(_texts(desk, "pages", Page)),
        ledger=tuple(_ledgers(desk)),
        seals=the_seals(desk),
        files=frozenset(folder.files),
    )
    desk.memory.forget(logbook.files)
    logbook, found = settle(logbook, desk.unsound_keys, desk.unread, desk.locate)
    return Reading(logbook, tuple(in_order(desk.problems + found)), Lines(root, desk.sources))


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


def _texts(desk: Desk, folder: str, kind: type[T], meanwhile: Callable[[], None] = lambda: None) -> list[T]:
    """The records of the Markdown files below a folder, those that could be used."""
    files = frozenset(desk.folder.files)
    sources = [source for file in desk.folder.under(folder, ".md") if (source := desk.open(file))]
    kept = {one.file: desk.memory.recall(one.file, one.text, desk.context, files) for one in sources}
    news = [source for source in sources if not isinstance(kept[source.file], kind)]
    read = dict(_read_all(desk, files, news, meanwhile))
    return [record for source in sources if (record := _record(desk, source, kind, kept, read)) is not None]


def _read_all(
    desk: Desk, files: frozenset[str], news: Sequence[Source], meanwhile: Callable[[], None]
) -> Iterator[tuple[str, tuple[Read, Asked]]]:
    """What is read of each text, by file; many are shared out between two processes."""
    size = max(_TOGETHER, -(-len(news) // 200))
    jobs = [news[start : start + size] for start in range(0, len(news), size)]

    def read(sources: Sequence[Source]) -> list[tuple[str, tuple[Read, Asked]]]:
        return [_one(source, Asked(files), desk) for source in sources]

    for found in shared_out(jobs, read, beside=len(news) > FEW and can_be(), meanwhile=meanwhile):
        yield from found


def _one(source: Source, asked: Asked, desk: Desk) -> tuple[str, tuple[Read, Asked]]:
    """What is read of a text and what it asked; its leaf only where it could not be used."""
    read = read_text(source, asked, desk.context, desk.lay)
    leaf = read.leaf if read.record is None else None
    return source.file, (replace(read, leaf=leaf), replace(asked, files=frozenset()))


def _record(
    desk: Desk, source: Source, kind: type[T], kept: Mapping[str, object], fresh: Mapping[str, tuple[Read, Asked]]
) -> T | None:
    """The record of a text, with what is to be noted of it."""
    file, known = source.file, kept[source.file]
    if isinstance(known, kind):
        return known
    read, asked = fresh[file]
    desk.problems += read.problems
    if isinstance(read.record, kind):
        if not read.problems:
            desk.memory.keep(file, source.text, desk.context, asked, read.record)
        return read.record
    if read.leaf is None or read.leaf.document.broken:
        desk.unread.add(file)
    if read.leaf is not None:
        desk.note_keys(file, read.leaf.document.value)
    return None


def _ledgers(desk: Desk) -> list[LedgerRow]:
    rows: list[LedgerRow] = []
    for file in desk.folder.under("ledgers", ".csv"):
        source = desk.open(file)
        if source is not None:
            found, problems = read_ledger(source, desk.context)
            rows += found
            desk.problems += problems
    return sorted(rows, key=lambda row: (row.date, row.place))
