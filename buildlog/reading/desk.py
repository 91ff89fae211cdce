"""What piles up while a folder is read."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from buildlog.basics.problems import Place, Problem
from buildlog.reading.entries import take_apart, written_keys
from buildlog.reading.folder import Folder
from buildlog.reading.markdown import Lay
from buildlog.reading.memory import Memory
from buildlog.reading.source import Source, read_source
from buildlog.reading.yaml_text import Document, read_yaml


@dataclass
class Desk:
    """What piles up while reading: problems, the text of each file for quoting, keys of unsound files, files unread."""

    folder: Folder
    context: dict[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    sources: dict[str, Source] = field(default_factory=dict)
    unsound_keys: set[str] = field(default_factory=set)
    unread: set[str] = field(default_factory=set)
    memory: Memory = field(default_factory=Memory)
    lay: Lay | None = None

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
