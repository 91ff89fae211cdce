"""What was made of each Markdown file, for the next reading in the same process: what did not change is not parsed again.

Only what had no problem is remembered. A file's record depends on its text, on the project's currency, and on which of the
paths it names were there; all three are compared, so that a file put somewhere else is seen too.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from buildlog.basics.frozen import frozen
from buildlog.records.prose import Prose


@dataclass
class Asked(Collection[str]):
    """The files of a project, remembering what was asked of them."""

    files: frozenset[str]
    answers: dict[str, bool] = field(default_factory=dict)
    listed: bool = False
    """Whether somebody went through them all, as for a suggestion; then the answers are not all there was to it."""

    def __contains__(self, name: object) -> bool:
        found = name in self.files
        if isinstance(name, str):
            self.answers[name] = found
        return found

    def __iter__(self) -> Iterator[str]:
        self.listed = True
        return iter(self.files)

    def __len__(self) -> int:
        return len(self.files)


@frozen
class _Kept:
    digest: bytes
    front: bytes
    context: dict[str, Any]
    answers: dict[str, bool]
    record: object


@dataclass
class Memory:
    """The records of the last reading, by file."""

    _kept: dict[str, _Kept] = field(default_factory=dict)

    def recall(self, file: str, text: str, context: dict[str, Any], files: frozenset[str]) -> object | None:
        """The record of a file whose text is still this, and whose paths still lead where they led."""
        kept = self._kept.get(file)
        if kept is None or kept.digest != _digest(text) or kept.context != context:
            return None
        return kept.record if all((name in files) == there for name, there in kept.answers.items()) else None

    def keep(self, file: str, text: str, context: dict[str, Any], asked: Asked, record: object) -> None:
        """Remembers a record that had no problem."""
        if not asked.listed:
            self._kept[file] = _Kept(_digest(text), front_of(text, record), dict(context), asked.answers, record)

    def front(self, file: str) -> bytes | None:
        """What stands before the text proper of a file is known by; None where nothing is remembered of it."""
        kept = self._kept.get(file)
        return kept.front if kept else None

    def digest(self, file: str) -> str | None:
        """What the text that is remembered of a file is known by; None where nothing is remembered of it."""
        kept = self._kept.get(file)
        return kept.digest.hex() if kept else None

    def all(self) -> dict[str, Any]:
        """Everything remembered, by file, to be kept elsewhere."""
        return dict(self._kept)

    def add(self, kept: Mapping[str, Any]) -> None:
        """Remembers what was kept elsewhere."""
        self._kept.update({file: one for file, one in kept.items() if isinstance(one, _Kept)})

    def forget(self, files: Collection[str]) -> None:
        """Drops every file but these."""
        self._kept = {file: kept for file, kept in self._kept.items() if file in files}


def front_of(text: str, record: Any) -> bytes:
    """What stands before the text proper is known by."""
    return _digest(text[: len(text) - len(record.prose.source)])


def outline_of(prose: Prose) -> bytes:
    """What others than its own page may know of a text is known by; where a link stands in it concerns nobody else."""
    led = [(one.target, one.picture, one.words, one.title, one.audience) for one in prose.references]
    return _digest(repr((prose.first_line, prose.plain, prose.opening, led)))


def digest_of(text: str) -> str:
    """What a text is known by."""
    return _digest(text).hex()


def _digest(text: str) -> bytes:
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=20).digest()
