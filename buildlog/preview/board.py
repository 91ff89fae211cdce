"""What the preview knows now, for every page that is open: the last build, and when each file of the site changed."""

from __future__ import annotations

import secrets
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from buildlog.basics.frozen import frozen
from buildlog.preview.outcome import Outcome


@frozen
class State:
    """One moment: its number, whether a build is under way and how far, what the last one gave, what changed since."""

    number: int
    working: bool
    progress: tuple[int, int]
    outcome: Outcome | None
    changed: tuple[str, ...]


@dataclass
class Board:
    """The state that the build writes and the pages wait for. Every change has a number, counted up from 0.

    ``run`` tells one preview from the next one at the same address, where the numbers begin anew.
    """

    run: str = field(default_factory=lambda: secrets.token_hex(8))
    _number: int = 0
    _working: bool = False
    _progress: tuple[int, int] = (0, 0)
    _outcome: Outcome | None = None
    _changed: dict[str, int] = field(default_factory=dict)
    _names: frozenset[str] = frozenset()
    _heirs: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _closed: bool = False
    _looked_at: Counter[str] = field(default_factory=Counter)
    _news: threading.Condition = field(default_factory=threading.Condition)

    def begin(self) -> None:
        """A build begins."""
        with self._news:
            self._working, self._progress = True, (0, 0)
            self._tell()

    def progress(self, done: int, whole: int) -> None:
        """The build has come so far."""
        with self._news:
            self._progress = done, whole
            self._tell()

    def rest(self) -> None:
        """The build ended and tells nothing."""
        with self._news:
            self._working = False
            self._tell()

    def glimpsed(self, name: str) -> None:
        """A page was made ahead of the build that is under way."""
        with self._news:
            self._tell()
            self._changed[name] = self._number

    @contextmanager
    def looking(self, name: str) -> Iterator[None]:
        """Somebody has the page of this name open while the block runs."""
        with self._news:
            self._looked_at[name] += 1
        try:
            yield
        finally:
            with self._news:
                self._looked_at[name] -= 1

    def looked_at(self) -> tuple[str, ...]:
        """The pages that are open."""
        with self._news:
            return tuple(sorted(name for name, count in self._looked_at.items() if count > 0))

    def tell(self, outcome: Outcome) -> None:
        """A build ended with this."""
        with self._news:
            self._working, self._outcome = False, outcome
            self._tell()
            for name in (*outcome.written, *outcome.removed):
                self._changed[name] = self._number
            if outcome.good:
                self._note_heirs(outcome)

    def state(self, since: int = 0) -> State:
        """The state now, with the names of what changed after the moment ``since``."""
        with self._news:
            return self._state(since)

    def wait(self, since: int, seconds: float) -> State | None:
        """The next state after the moment ``since``; None if none comes in that time or the preview ends."""
        with self._news:
            self._news.wait_for(lambda: self._closed or self._number > since, seconds)
            return self._state(since) if self._number > since and not self._closed else None

    def heirs(self, name: str) -> tuple[str, ...] | None:
        """The pages that were new when the page of this name went, None if there never was one."""
        with self._news:
            return self._heirs.get(name)

    def close(self) -> None:
        """The preview ends: nobody need wait any longer."""
        with self._news:
            self._closed = True
            self._news.notify_all()

    @property
    def closed(self) -> bool:
        """Whether the preview has ended."""
        return self._closed

    def _tell(self) -> None:
        self._number += 1
        self._news.notify_all()

    def _state(self, since: int) -> State:
        changed = tuple(sorted(name for name, number in self._changed.items() if number > since))
        return State(self._number, self._working, self._progress, self._outcome, changed)

    def _note_heirs(self, outcome: Outcome) -> None:
        """A page that went may have a new address: the pages that came at the same moment."""
        names = frozenset((*outcome.written, *outcome.unchanged))
        came = tuple(sorted(name for name in names - self._names if name.endswith(".html"))) if self._names else ()
        for name in outcome.removed:
            if name.endswith(".html"):
                self._heirs[name] = came
        self._names = names
