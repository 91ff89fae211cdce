"""The picture cache: web copies by the fingerprint of their original, and which file had which fingerprint.

A file counts as unchanged while its path, size and time of last change are the same; so a run without news opens no
picture, and a renamed picture costs one fingerprint. The folder may be deleted at any time. It is emptied when the
program, its settings or the libraries that encode change. Each file is written beside its place and moved there whole.

What no run has wanted for 90 days goes, by the clock of the folder's own file system; so copies in a format that a
project has left stay a while, in case it comes back. Runs look at the index, mark what they want and clear out the rest
in turn, one at a time: what another run is using is marked before anybody may take it away.
"""

import contextlib
import os
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from buildlog.site.alone import alone
from buildlog.site.shelf_index import Facts, Notes, Stored, name_of, notes_of, written

__all__ = ["PHOTOS", "Facts", "Shelf", "Stored", "aside", "name_of", "put"]

PHOTOS = "photos"
KEPT_DAYS = 90
"""What no run has wanted for so long is taken away."""
_EVERY_DAYS = 7
"""How often what is wanted is marked anew and the rest cleared out, so that a run without news writes nothing."""
_DAY_NS = 86_400_000_000_000
_INDEX = "index.json"
_TURN = ".turn"
_TRIES, _PAUSE = 200, 0.05


@dataclass
class Shelf:
    """The cache in `folder`, for one `version` of everything that decides the bytes; None keeps nothing.

    What was made of an original is known by a key: its fingerprint and the format, as ``9f86d081… jpeg``.
    """

    folder: Path | None
    version: str
    _notes: Notes = field(default_factory=Notes)
    _began_ns: int = 0
    _news: bool = False

    @property
    def begun(self) -> bool:
        """Whether anything was ever kept."""
        return self.folder is not None and (self.folder / _INDEX).exists()

    @contextlib.contextmanager
    def opened(self) -> Iterator[None]:
        """Reads what is there, and marks and clears out after the caller has asked for what is wanted."""
        if self.folder is None:
            yield
            return
        (self.folder / PHOTOS).mkdir(parents=True, exist_ok=True)
        self._began_ns = _tick(self.folder)
        with _in_turn(self.folder) as mine:
            self._load(self.folder)
            yield
            if mine and self._today - self._notes.cleared >= _EVERY_DAYS:
                self._clear_out(self.folder)
            self._write(self.folder)

    def _load(self, folder: Path) -> None:
        """The index; where another version wrote it, the folder is emptied."""
        found = notes_of(folder / _INDEX, self.version)
        if found is None:
            (folder / _INDEX).unlink(missing_ok=True)
            shutil.rmtree(folder / PHOTOS)
            (folder / PHOTOS).mkdir()
        self._notes = found or Notes(cleared=self._today)

    @property
    def _today(self) -> int:
        return self._began_ns // _DAY_NS

    def digest(self, source: str | Path, seen: os.stat_result) -> str | None:
        """The fingerprint noted for this file, if it still has the size and the time it had then."""
        size, time_ns, digest = self._notes.files.get(str(source), (-1, -1, ""))
        return digest if (size, time_ns) == (seen.st_size, seen.st_mtime_ns) else None

    def note(self, source: str | Path, seen: os.stat_result, digest: str) -> None:
        """Remembers a fingerprint, unless the file is so new that a change could fall into the same tick."""
        if seen.st_mtime_ns < self._began_ns:
            self._news = True
            self._notes.files[str(source)] = (seen.st_size, seen.st_mtime_ns, digest)

    def facts(self, key: str) -> Facts | None:
        """What is known of what was made of an original; asking for it is wanting it."""
        facts = self._notes.pictures.get(key)
        if facts is not None and self._today - facts.seen >= _EVERY_DAYS:
            self._news = True
            facts = self._notes.pictures[key] = replace(facts, seen=self._today)
        return facts

    def keep(self, key: str, facts: Facts) -> None:
        """Remembers what was made of an original."""
        self._news = True
        self._notes.pictures[key] = replace(facts, seen=self._today)

    def save(self) -> None:
        """Writes the index, if there is news; a run that is cut off later finds everything up to here."""
        if self.folder is None or not self._news:
            return
        with _in_turn(self.folder):
            found = notes_of(self.folder / _INDEX, self.version)
            if found:  # what another run has noted or marked meanwhile counts as well
                self._notes.take_in(found)
            self._write(self.folder)

    def _write(self, folder: Path) -> None:
        if self._news:
            self._news = False
            put(folder / _INDEX, written(self._notes.copy(), self.version))

    def _clear_out(self, folder: Path) -> None:
        """Takes away what nobody has wanted for long: of the index, and every file that no line of it owns."""
        oldest = self._today - KEPT_DAYS
        self._news = True
        self._notes = self._notes.wanted_since(oldest, self._today)
        owned = self._notes.names()
        for path in (folder / PHOTOS).iterdir():
            with contextlib.suppress(FileNotFoundError):  # a file that another run has moved to its place meanwhile
                if path.name not in owned and path.stat().st_mtime_ns // _DAY_NS < oldest:
                    path.unlink()


@contextlib.contextmanager
def _in_turn(folder: Path) -> Iterator[bool]:
    """Waits until no other run is at the index; false where one stays at it for longer than any should."""
    for _ in range(_TRIES):
        with alone(folder / _TURN) as mine:
            if mine:
                yield True
                return
        time.sleep(_PAUSE)
    yield False


def put(path: Path, content: bytes) -> None:
    """Writes a file so that at every moment the old one or the whole new one is there."""
    beside = aside(path)
    try:
        beside.write_bytes(content)
        beside.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def aside(path: Path) -> Path:
    """Where a file is made before it is moved to its place: beside it, this thread's alone."""
    return path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}")


def _tick(folder: Path) -> int:
    """The time by the clock of the folder's own file system, which need not be this computer's."""
    mark = folder / f".now-{os.getpid()}"
    mark.write_bytes(b"")
    began_ns = mark.stat().st_mtime_ns
    mark.unlink()
    return began_ns
