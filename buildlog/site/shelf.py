"""The picture cache: web copies by the fingerprint of their original, and which file had which fingerprint.

A file counts as unchanged while its path, size and time of last change are the same; so a run without news
opens no picture, and a renamed picture costs one fingerprint. The folder may be deleted at any time. It is
emptied when the program, its settings or the libraries that encode change. Each file is written beside its
place and moved there whole.
"""

import contextlib
import json
import os
import shutil
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

_T = TypeVar("_T")
PHOTOS = "photos"
_INDEX = "index.json"


@dataclass(frozen=True)
class Stored:
    """One web copy on the shelf: the long edge it is meant for, its real size, the length of the file."""

    label: int
    width: int
    height: int
    length: int


@dataclass(frozen=True)
class Facts:
    """What is known of an original by its fingerprint: its upright size and its copies, largest first."""

    width: int
    height: int
    copies: tuple[Stored, ...]


@dataclass
class Shelf:
    """The cache in `folder`, for one `version` of everything that decides the bytes; None keeps nothing."""

    folder: Path | None
    version: str
    _files: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    _facts: dict[str, Facts] = field(default_factory=dict)
    _began_ns: int = 0
    _news: bool = False

    def load(self) -> None:
        """Reads what is there; empties the folder where another version wrote it."""
        if self.folder is None:
            return
        (self.folder / PHOTOS).mkdir(parents=True, exist_ok=True)
        self._began_ns = _tick(self.folder)
        index = _read(self.folder / _INDEX)
        if index.get("version") == self.version:
            self._files = _each(index, "files", _file)
            self._facts = _each(index, "pictures", _picture)
            return
        (self.folder / _INDEX).unlink(missing_ok=True)
        shutil.rmtree(self.folder / PHOTOS)
        (self.folder / PHOTOS).mkdir()

    def digest(self, source: Path, seen: os.stat_result) -> str | None:
        """The fingerprint noted for this file, if it still has the size and the time it had then."""
        size, time_ns, digest = self._files.get(str(source), (-1, -1, ""))
        return digest if (size, time_ns) == (seen.st_size, seen.st_mtime_ns) else None

    def note(self, source: Path, seen: os.stat_result, digest: str) -> None:
        """Remembers a fingerprint, unless the file is so new that a change could fall into the same tick."""
        if seen.st_mtime_ns < self._began_ns:
            self._news = True
            self._files[str(source)] = (seen.st_size, seen.st_mtime_ns, digest)

    def facts(self, digest: str) -> Facts | None:
        """What is known of the original with this fingerprint."""
        return self._facts.get(digest)

    def keep(self, digest: str, facts: Facts) -> None:
        """Remembers what was made of an original."""
        self._news = True
        self._facts[digest] = facts

    def save(self) -> None:
        """Writes the index, if there is news; a run that is cut off later finds everything up to here."""
        if self.folder is None or not self._news:
            return
        self._news = False
        pictures = {digest: _listed(facts) for digest, facts in sorted(self._facts.copy().items())}
        files = dict(sorted(self._files.copy().items()))
        index = {"version": self.version, "files": files, "pictures": pictures}
        put(self.folder / _INDEX, json.dumps(index, indent=0).encode("ascii"))


def put(path: Path, content: bytes) -> None:
    """Writes a file so that at every moment the old one or the whole new one is there."""
    beside = path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}")
    try:
        beside.write_bytes(content)
        beside.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def _tick(folder: Path) -> int:
    """The time by the clock of the folder's own file system, which need not be this computer's."""
    mark = folder / f".now-{os.getpid()}"
    mark.write_bytes(b"")
    began_ns = mark.stat().st_mtime_ns
    mark.unlink()
    return began_ns


def _read(path: Path) -> Mapping[str, object]:
    """The index, or nothing where there is none or it cannot be read."""
    try:
        index = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return {}
    return index if isinstance(index, dict) else {}


def _listed(facts: Facts) -> list[object]:
    return [facts.width, facts.height, [[c.label, c.width, c.height, c.length] for c in facts.copies]]


def _each(index: Mapping[str, object], part: str, read: Callable[[object], _T | None]) -> dict[str, _T]:
    """One part of the index; lines that are not as this program writes them are left out."""
    lines = index.get(part)
    if not isinstance(lines, dict):
        return {}
    return {str(key): found for key, line in lines.items() if (found := read(line)) is not None}


def _file(line: object) -> tuple[int, int, str] | None:
    match line:
        case [int(size), int(time_ns), str(digest)]:
            return size, time_ns, digest
    return None


def _picture(line: object) -> Facts | None:
    match line:
        case [int(width), int(height), [_, *_] as copies]:
            stored = [_stored(copy) for copy in copies]
            if None not in stored:
                return Facts(width, height, tuple(copy for copy in stored if copy is not None))
    return None


def _stored(line: object) -> Stored | None:
    match line:
        case [int(label), int(width), int(height), int(length)]:
            return Stored(label, width, height, length)
    return None
