"""What was saved in a project's folder, as it happens: told by the system where it can, else looked for each second.

Not looked at: hidden files and what editors and systems put down for a moment, and what this program made itself (a
published site, a package), known by the list that lies in it.
"""

from __future__ import annotations

import os
import re
import stat
import threading
import time
from collections.abc import Iterator
from functools import cached_property, partial
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.site.staged import MARKER

QUIET_MS = 10
"""How long nothing more may happen before a save counts as done."""
LONGEST_MS = 100
"""How long a save may be held back by others that follow it: the build that comes next takes those."""
EVERY_SECONDS = 1.0
"""How often a folder is looked through where the system does not tell."""
OFTEN_MS = 500
"""How often a watch looks up where the system tells, though nothing was told."""
State = tuple[int, int, int]
"""What tells one state of a file from another: time of change (ns), size, and its number on the disk."""
_MADE = (MARKER, "bagit.txt")
_PASSING = re.compile(
    r"""^\. | ~$ | ^\#.*\#$ | ^4913$ | \.sw[a-z]$ | \.(tmp|temp|part|partial|crdownload|bak)$
    | ___jb_(tmp|old)___$ | ^~\$ | ^(Thumbs\.db|desktop\.ini|Icon\r)$""",
    re.VERBOSE | re.IGNORECASE,
)


def is_passing(name: str) -> bool:
    """Whether a file or folder of this name is hidden, or put down by an editor or the system for a moment."""
    return _PASSING.search(name) is not None


@frozen
class Watch:
    """A project's folder that is watched until ``stop`` is set."""

    root: Path
    stop: threading.Event

    @cached_property
    def begun(self) -> tuple[dict[str, State], float]:
        """The files as they were when this was first asked, and how long it took in seconds.

        To be asked before anybody reads the files: what is saved from then on is told.
        """
        return self._timed()

    def changes(self) -> Iterator[frozenset[str]]:
        """Names from the folder of what was saved, set by set; by the system's word, else by looking."""
        try:
            yield from self.told()
        except (ImportError, OSError, RuntimeError):  # not installed, or no more watches to be had
            yield from self.looked_for()

    def told(self) -> Iterator[frozenset[str]]:
        """The changes as the system tells them; needs the extra ``preview``."""
        from watchfiles import watch

        before, _ = self.begun
        events = watch(
            self.root,
            watch_filter=None,
            debounce=LONGEST_MS,
            step=QUIET_MS,
            stop_event=self.stop,
            raise_interrupt=False,
            rust_timeout=OFTEN_MS,
            yield_on_timeout=True,
        )
        missed: frozenset[str] | None = None
        for event in events:
            names = frozenset(filter(None, (self.name_of(path) for _, path in event)))
            if missed is None:  # by now the system tells, which it did not from the beginning
                missed = _changed(before, self._timed()[0])
                names |= missed
            if names:
                yield names

    def looked_for(self) -> Iterator[frozenset[str]]:
        """The changes as they are found by going through the folder, never more than a tenth of the time."""
        before, took = self.begun
        while not self.stop.wait(max(EVERY_SECONDS, 10 * took)):
            now, took = self._timed()
            changed = _changed(before, now)
            before = now
            if changed:
                yield changed

    def name_of(self, path: str) -> str | None:
        """The name of a file from the project's folder; None for what is not looked at."""
        try:
            parts = Path(path).relative_to(self.root).parts
        except ValueError:
            return None
        if not parts or any(is_passing(part) for part in parts):
            return None
        folders = (self.root.joinpath(*parts[:count]) for count in range(1, len(parts) + 1))
        if any(_is_made(folder) for folder in folders):
            return None
        return "/".join(parts)

    def _timed(self) -> tuple[dict[str, State], float]:
        start = time.perf_counter()
        return dict(self._files("")), time.perf_counter() - start

    def _files(self, inner: str) -> Iterator[tuple[str, State]]:
        """Every file that is looked at, with what tells one state of it from another."""
        try:
            with os.scandir(self.root / inner) as found:
                listing = [item for item in found if not is_passing(item.name)]
        except OSError:
            return
        for item in listing:
            name = f"{inner}/{item.name}" if inner else item.name
            try:
                seen = item.stat()
                folder = item.is_dir(follow_symlinks=False)
            except OSError:
                continue
            if folder and not _is_made(self.root / name):
                yield from self._files(name)
            elif stat.S_ISREG(seen.st_mode) and not _is_made(self.root / name):
                yield name, (seen.st_mtime_ns, seen.st_size, seen.st_ino)


def _changed(before: dict[str, State], now: dict[str, State]) -> frozenset[str]:
    return frozenset(name for name in before.keys() | now.keys() if before.get(name) != now.get(name))


def _is_made(path: Path) -> bool:
    """Whether this is a site or package that this program made, or the zip beside a package."""
    holds = partial(map, lambda name: (path / name).is_file())
    if path.suffix == ".zip":
        return (path.with_suffix("") / "bagit.txt").is_file()
    return any(holds(_MADE))
