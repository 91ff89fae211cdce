"""The whole folder read: every file validated, all problems of a run collected, whatever is sound kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar, cast

from buildlog.basics.problems import Misread, Place, Problem, in_order, shown
from buildlog.reading.entries import Leaf, read_entry, read_facts, stem, take_apart, written_keys
from buildlog.reading.folder import Folder, scan
from buildlog.reading.ledgers import read_ledger
from buildlog.reading.references import settle
from buildlog.reading.source import Source, read_source
from buildlog.reading.validate import validated
from buildlog.reading.yaml_text import Document, read_yaml
from buildlog.records.entry import Entry
from buildlog.records.ledgers import LedgerRow
from buildlog.records.logbook import Logbook
from buildlog.records.project import Aircraft, Project
from buildlog.records.registers import Checks, Component, Directives, History, Loading, Plan
from buildlog.records.types import PLACE_KEY, Record, read_key
from buildlog.records.writings import Decision, DecisionFacts, Page, PageFacts

R = TypeVar("R", bound=Record)


@dataclass
class Desk:
    """What piles up while reading: problems, the text of each file for quoting, keys seen in unsound files, files unread."""

    folder: Folder
    context: dict[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    sources: dict[str, Source] = field(default_factory=dict)
    unsound_keys: set[str] = field(default_factory=set)
    unread: set[str] = field(default_factory=set)

    def open(self, file: str) -> Source | None:
        """The text of a file, its problems noted."""
        source, problems = read_source(self.folder.root / file, file)
        self.problems += problems
        if source is not None:
            self.sources[file] = source
        else:
            self.unread.add(file)
        return source

    def locate(self, file: str, path: tuple[str | int, ...], before_colon: bool = False) -> Place:
        """The place of a field in a file's facts; read again, since this is only wanted for a problem."""
        source = self.sources[file]
        if file.endswith(".md"):
            leaf, _ = take_apart(source, frozenset())
            return leaf.document.place(path, before_colon) if leaf else Place(file, 1)
        return read_yaml(source)[0].place(path, before_colon)

    def note_keys(self, file: str, value: Any) -> None:
        """The keys of a file whose facts could not be used; of one that is no group of lines, nothing is known."""
        if isinstance(value, dict):
            self.unsound_keys |= written_keys(value)
        else:
            self.unread.add(file)

    def document(self, file: str) -> Document | None:
        """A YAML file, its problems noted; None when it cannot be used or holds nothing."""
        source = self.open(file)
        if source is None:
            return None
        document, problems = read_yaml(source)
        self.problems += problems
        if document.broken:
            self.unread.add(file)
        return None if document.value is None else document


@dataclass(frozen=True)
class Reading:
    """A logbook, the problems found on the way, and the sources to quote from."""

    logbook: Logbook
    problems: tuple[Problem, ...]
    lines: Mapping[str, list[str]]


def read_logbook(root: Path) -> Reading:
    """Everything below ``root``. Never raises for what a builder wrote."""
    folder, problems = scan(root)
    desk = Desk(folder, problems=problems)
    project = _project(desk)
    desk.context["currency"] = project.units.currency
    entries = _entries(desk)
    logbook = Logbook(
        project=project,
        entries=tuple(sorted(entries, key=_in_time)),
        components=_components(desk),
        history=_register(desk, "history", History),
        loading=_loading(desk),
        plan=_register(desk, "plan", Plan),
        directives=_register(desk, "directives", Directives),
        checks=_register(desk, "checks", Checks),
        decisions=tuple(_decisions(desk)),
        pages=tuple(_pages(desk)),
        ledger=tuple(_ledgers(desk)),
        files=frozenset(folder.files),
    )
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
        desk.problems.append(Problem(Place("project.yaml"), "no-project", "there is no project.yaml in this folder",
                                     "begin one with  buildlog start FOLDER , or name the folder with  --project"))
        return stand_in
    document = desk.document("project.yaml")
    if document is None:
        if "project.yaml" not in desk.unread:
            desk.unread.add("project.yaml")
            desk.problems.append(Problem(Place("project.yaml", 1), "no-project", "there is nothing in this file yet",
                                         "write at least\ntitle: Bringing back a Dunlin\naircraft: {type: Halloran Dunlin}"))
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


def _parts(desk: Desk, name: str) -> list[str]:
    """A register's files: one, or those of the folder of its name."""
    single = f"{name}.yaml"
    several = desk.folder.under(name, ".yaml")
    return ([single] if single in desk.folder.files else []) + several


def _register(desk: Desk, name: str, model: type[R]) -> R:
    """A register of lists; the lists of several files follow one another."""
    merged: dict[str, Any] = {}
    for file in _parts(desk, name):
        document = desk.document(file)
        if document is None:
            continue
        record, problems = validated(model, document, desk.context)
        desk.problems += problems
        if record is None:
            desk.note_keys(file, document.value)
            continue
        for field_name in model.model_fields:
            value = getattr(record, field_name)
            if isinstance(value, tuple):
                merged[field_name] = merged.get(field_name, ()) + value
            elif value is not None:
                merged[field_name] = value
    empty = {n: f.get_default(call_default_factory=True) for n, f in model.model_fields.items()}
    return cast("R", model.model_construct(**{**empty, **merged}))


def _loading(desk: Desk) -> Loading | None:
    files = _parts(desk, "loading")
    desk.problems += [Problem(Place(file), "second-loading", f"the loading is already in {files[0]}; there is one for an aircraft",
                              f"put what is here into {files[0]}", also=(Place(files[0]),)) for file in files[1:]]
    document = desk.document(files[0]) if files else None
    if document is None:
        return None
    loading, problems = validated(Loading, document, desk.context)
    desk.problems += problems
    if loading is None:
        desk.note_keys(files[0], document.value)
    return loading


def _components(desk: Desk) -> dict[str, Component]:
    """The register of components, by key; each is validated alone so that one fault does not cost the others."""
    components: dict[str, Component] = {}
    for file in _parts(desk, "components"):
        document = desk.document(file)
        if document is None:
            continue
        if not isinstance(document.value, dict):
            desk.unread.add(file)
            desk.problems.append(Problem(document.place(()), "wrong-shape", "a group of  key: {name: \u2026}  is wanted",
                                         "write  engine: {name: Engine, system: engine}"))
            continue
        for key in (key for key in document.value if key != PLACE_KEY):
            component, problems = validated(Component, document, desk.context, (key,))
            desk.problems += problems + _misnamed(key, document)
            if key in components:
                desk.problems.append(Problem(document.place((key,), key=True), "repeated-key",
                                             f"the component {shown(key)} stands in two files", "keep one of them",
                                             also=(components[key].place,)))
            elif component is not None:
                components[key] = component
            else:
                desk.unsound_keys.add(key)
    return components


def _misnamed(key: str, document: Document) -> list[Problem]:
    """A key under which no entry could name its component."""
    try:
        read_key(key)
    except Misread as trouble:
        return [Problem(document.place((key,), key=True), trouble.name, trouble.message, trouble.remedy)]
    return []


def _leaves(desk: Desk, folder: str) -> list[tuple[str, Leaf]]:
    """The Markdown files below a folder that could be taken apart."""
    known = frozenset(desk.folder.files)
    leaves = []
    for file in desk.folder.under(folder, ".md"):
        source = desk.open(file)
        if source is None:
            continue
        leaf, problems = take_apart(source, known)
        desk.problems += problems
        if leaf is None or leaf.document.broken:
            desk.unread.add(file)
        if leaf is not None:
            leaves.append((file, leaf))
    return leaves


def _sound(desk: Desk, leaf: Leaf, problems: list[Problem], record: object) -> bool:
    desk.problems += problems
    if record is None:
        desk.note_keys(leaf.prose.file, leaf.document.value)
    return record is not None


def _entries(desk: Desk) -> list[Entry]:
    entries = []
    for file, leaf in _leaves(desk, "log"):
        entry, problems = read_entry(leaf, file, desk.context)
        if _sound(desk, leaf, problems, entry) and entry is not None:
            entries.append(entry)
    return entries


def _decisions(desk: Desk) -> list[Decision]:
    decisions = []
    for file, leaf in _leaves(desk, "decisions"):
        facts, problems = read_facts(DecisionFacts, leaf, desk.context)
        if _sound(desk, leaf, problems, facts) and facts is not None:
            decisions.append(Decision(facts=facts, prose=leaf.prose, file=file, slug=stem(file)))
    return decisions


def _pages(desk: Desk) -> list[Page]:
    pages = []
    for file, leaf in _leaves(desk, "pages"):
        facts, problems = read_facts(PageFacts, leaf, desk.context)
        if _sound(desk, leaf, problems, facts) and facts is not None:
            pages.append(Page(facts=facts, prose=leaf.prose, file=file, slug=stem(file)))
    return pages


def _ledgers(desk: Desk) -> list[LedgerRow]:
    rows: list[LedgerRow] = []
    for file in desk.folder.under("ledgers", ".csv"):
        source = desk.open(file)
        if source is not None:
            found, problems = read_ledger(source, desk.context)
            rows += found
            desk.problems += problems
    return sorted(rows, key=lambda row: (row.date, row.place))
