"""Whether anything moved since a site was last published: if not, there is nothing to read, work out or write.

Asked before anything else is imported, by names, sizes and times of change alone: of the project's files, of this program
and its theme, and of the published site. A file that was changed so shortly before a run that a second change could
bear the same time is not trusted; the next run then works everything out again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from buildlog import VERSION

_RECENT_NS = 2_100_000_000
"""Some file systems tell times to two seconds."""


@dataclass(frozen=True)
class Told:
    """What was told of a publication: how much it holds, the notes, and where it is."""

    pages: int
    pictures: int
    files: int
    notes: tuple[str, ...]
    problems: str
    target: str


@dataclass(frozen=True)
class Still:
    """The record of one site of a project, kept in its cache; ``target`` is '' where project.yaml says it."""

    root: Path
    cache: Path
    audience: str
    target: str

    def recall(self) -> Told | None:
        """What was told the last time, if nothing moved since."""
        try:
            kept = json.loads(self._file.read_bytes())
            told = Told(**{**kept["told"], "notes": tuple(kept["told"]["notes"])})
            same = kept["seal"] == self._seal(told.target)[0]
        except (OSError, ValueError, TypeError, KeyError):
            return None
        return told if same else None

    def before(self) -> int:
        """The time by the clock of the cache's own file system, which a run must ask before it reads anything."""
        self.cache.mkdir(parents=True, exist_ok=True)
        mark = self.cache / f".began-{os.getpid()}"
        mark.write_bytes(b"")
        began_ns = mark.stat().st_mtime_ns
        mark.unlink()
        return began_ns

    def keep(self, told: Told, began_ns: int) -> None:
        """Remembers a publication; forgets the last one where a file is too new to be trusted."""
        seal, newest_ns = self._seal(told.target)
        content = json.dumps({"seal": seal, "told": asdict(told)}).encode()
        with suppress(OSError):  # without it the next run only takes longer
            if newest_ns >= began_ns - _RECENT_NS:
                self._file.unlink(missing_ok=True)
                return
            beside = self._file.with_name(f".{self._file.name}.{os.getpid()}")
            beside.write_bytes(content)
            beside.replace(self._file)

    @property
    def _file(self) -> Path:
        name = hashlib.sha256(f"{self.audience}\n{self.target}".encode()).hexdigest()[:16]
        return self.cache / f"still-{name}.json"

    def _seal(self, target: str) -> tuple[str, int]:
        """One fingerprint of all names, sizes and times, and the newest time of what was read."""
        site, program = os.path.realpath(target), Path(__file__).resolve().parent
        sources = sorted(_files(str(self.root), site))
        ours = sorted([*_files(str(program)), *_files(str(program.parent / "themes"))])
        made = sorted(_files(site, hidden=True))
        whole = hashlib.sha256(VERSION.encode())
        for group in (sources, ours, made):
            whole.update(
                "".join(f"\n{name}\t{size}\t{time_ns}" for name, size, time_ns in group).encode("utf-8", "replace")
            )
            whole.update(b"\n\n")
        return whole.hexdigest(), max((time_ns for _, _, time_ns in sources), default=0)


def _files(folder: str, but: str = "", *, hidden: bool = False) -> Iterator[tuple[str, int, int]]:
    """Every file below a folder with its size and time of change, links followed; a hidden one is no content of a project."""
    stack = [folder]
    while stack:
        try:
            listing = list(os.scandir(stack.pop()))
        except OSError:
            continue
        for item in listing:
            if (item.name.startswith(".") and not hidden) or item.name == "__pycache__" or item.path == but:
                continue
            if item.is_dir(follow_symlinks=False):
                stack.append(item.path)
                continue
            try:
                seen = item.stat()
            except OSError:
                yield item.path, -1, -1
                continue
            yield item.path, seen.st_size, seen.st_mtime_ns
