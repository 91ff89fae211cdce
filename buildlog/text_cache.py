"""What was read of each text, kept from run to run, so that only texts that changed are parsed again.

It lies in the project's cache in parts, so that one edit writes one of them anew. Each part is written aside and moved into
its place; one that cannot be read, or that another version of this program or of Python wrote, counts as empty. The parts
are pickles: they are this user's own files, in this user's own cache, and nothing else is ever read as one.
"""

from __future__ import annotations

import hashlib
import pickle
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from buildlog import VERSION
from buildlog.reading.memory import Memory
from buildlog.site.shelf import put

PARTS = 64
_FOLDER = "texts"
_READERS = ("basics/*.py", "records/*.py", "reading/*.py", "site/prose.py")


@dataclass
class TextCache:
    """The remembered texts of one project, in its cache folder."""

    folder: Path
    _there: dict[int, dict[str, Any]] = field(default_factory=dict)

    def load(self, files: Iterable[str] | None = None) -> Memory:
        """What earlier runs remember: of these files at least, if only they are asked for."""
        memory = Memory()
        for number in range(PARTS) if files is None else {_part(file) for file in files}:
            self._there[number] = dict(self._read(number))
            memory.add(self._there[number])
        return memory

    def save(self, memory: Memory) -> None:
        """Writes the parts, of those loaded, in which something changed; without them the next run only takes longer."""
        parts: dict[int, dict[str, Any]] = {number: {} for number in self._there}
        for file, kept in memory.all().items():
            if _part(file) in parts:
                parts[_part(file)][file] = kept
        with suppress(OSError, pickle.PicklingError, RecursionError):
            (self.folder / _FOLDER).mkdir(parents=True, exist_ok=True)
            for number, part in parts.items():
                before = self._there.get(number, {})
                if part.keys() != before.keys() or any(part[file] is not before[file] for file in part):
                    put(self._file(number), pickle.dumps((_version(), part), pickle.HIGHEST_PROTOCOL))

    def _read(self, number: int) -> dict[str, Any]:
        try:
            version, part = pickle.loads(self._file(number).read_bytes())  # noqa: S301 - our own file, see above
        except Exception:  # noqa: BLE001 - a part of another time may raise anything at all
            return {}
        return part if version == _version() and isinstance(part, dict) else {}

    def _file(self, number: int) -> Path:
        return self.folder / _FOLDER / f"{number:02}.pickle"


@contextmanager
def remembered(cache: Path) -> Iterator[Memory]:
    """What earlier runs remember of a project's texts; what is read in the block is remembered too, unless it fails."""
    texts = TextCache(cache)
    memory = texts.load()
    yield memory
    texts.save(memory)


def _part(file: str) -> int:
    return hashlib.sha256(file.encode("utf-8", "surrogatepass")).digest()[0] % PARTS


@cache
def _version() -> str:
    """Everything that decides what is made of a text: this program to the last line, and the libraries that read."""
    import markdown_it
    import pydantic
    import yaml

    folder = Path(__file__).resolve().parent
    ours = hashlib.sha256()
    for path in sorted(path for part in _READERS for path in folder.glob(part)):
        seen = path.stat()
        ours.update(f"{path.name} {seen.st_size} {seen.st_mtime_ns}\n".encode())
    libraries = f"{markdown_it.__version__} {pydantic.VERSION} {yaml.__version__}"
    return f"{VERSION} {sys.version} {libraries} {ours.hexdigest()}"
