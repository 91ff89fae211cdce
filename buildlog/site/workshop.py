"""Where pages lie while a site is made: each in a file of its own, unless the site that is there holds the same."""

from __future__ import annotations

import os
from itertools import count
from pathlib import Path

from buildlog.basics.frozen import frozen

_NUMBERS = count()


@frozen
class AsItWas:
    """That a page of the site needs no change: the size and time of change (ns) of the file that holds the same."""

    size: int
    time_ns: int


@frozen
class Workshop:
    """A folder for pages that were made; ``site`` is where they will be delivered, if that is known."""

    folder: Path
    site: Path | None = None

    def lay(self, name: str, content: bytes) -> Path | AsItWas:
        """Lays a page down, so that the pages of a long log need not all be held at once.

        Each process has a folder of its own: two that make files in one wait for each other. To make a file takes many
        times as long as to read one, and most pages of a site are as they were.
        """
        same = self._there(name, content)
        if same is not None:
            return same
        place = self.folder / str(os.getpid()) / str(next(_NUMBERS))
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(content)
        return place

    def _there(self, name: str, content: bytes) -> AsItWas | None:
        if self.site is None:
            return None
        try:
            with (self.site / name).open("rb") as there:
                seen = os.fstat(there.fileno())
                same = seen.st_size == len(content) and there.read() == content
        except (OSError, ValueError):
            return None
        return AsItWas(seen.st_size, seen.st_mtime_ns) if same else None
