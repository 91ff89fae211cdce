"""Build after build: one at a time, and however much is saved meanwhile, exactly one more after it."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from buildlog.preview.board import Board
from buildlog.preview.outcome import Build, Glimpse, Outcome, StoppedError

Told = Callable[[tuple[str, ...], Outcome, float], None]
"""Told after each build: the names of what was saved, what came of it, in how many seconds."""
_MOST_CUT_SHORT = 8
"""How many builds in a row make way for a save: the rest of the site must come at last."""
_AHEAD = 2
"""How many pages are made ahead of a build; more would hold it up."""
_Stamp = tuple[int, int, int] | None


@dataclass
class Rounds:
    """The builds of one preview. ``changed`` may be called from any thread; ``run`` builds until ``stop``."""

    root: Path
    build: Build
    board: Board
    told: Told
    glimpse: Glimpse | None = None
    _names: set[str] = field(default_factory=set)
    _stamps: dict[str, _Stamp] = field(default_factory=dict)
    _first: bool = True
    _stopped: bool = False
    _held_back: bool = False
    _cut_short: int = 0
    _followed: bool = False
    """Whether there was a whole build, so that a later one can wait."""
    _news: threading.Condition = field(default_factory=threading.Condition)

    def changed(self, names: Iterable[str]) -> None:
        """These files of the project were saved, renamed or taken away."""
        with self._news:
            self._names.update(names)
            self._news.notify_all()

    def stop(self) -> None:
        """No further build; one that is under way is broken off where it can be."""
        with self._news:
            self._stopped = True
            self._news.notify_all()

    def run(self) -> None:
        """Builds once, and then whenever something changed."""
        while (names := self._next()) is not None:
            self._round(names)

    def _next(self) -> tuple[str, ...] | None:
        """What the next build is for; waits for it. None at the end."""
        while True:
            with self._news:
                self._news.wait_for(lambda: self._stopped or self._names or self._first)
                if self._stopped:
                    return None
                first, self._first = self._first, False
                names, self._names = sorted(self._names), set()
            if news := [name for name in names if self._is_news(name)]:
                return tuple(news)
            if first:
                return ()

    def _is_news(self, name: str) -> bool:
        """Whether a file is another than when it was last built; the echo of a save is none."""
        stamp = _stamp(self.root / name)
        if stamp is not None and self._stamps.get(name) == stamp:
            return False
        self._stamps[name] = stamp
        return True

    def _round(self, names: tuple[str, ...]) -> None:
        self.board.begin()
        start = time.perf_counter()
        try:
            self._look_ahead(names)
            outcome = self.build(self._progress, self._between)
        except StoppedError:
            self._cut_short += 1
            self._again(names)
            return
        except Exception as error:  # noqa: BLE001 - a fault of the program must not end the preview
            outcome = Outcome(made=False, failure=_last_word(error))
        self._cut_short, self._followed = 0, True
        if self._better_wait(outcome):
            self.board.rest()
            return
        self.board.tell(outcome)
        self.told(names, outcome, time.perf_counter() - start)

    def _look_ahead(self, names: tuple[str, ...]) -> None:
        """Makes the page that somebody is looking at before all the others."""
        if self.glimpse is None or not names:
            return
        for page in self.board.looked_at()[:_AHEAD]:
            with suppress(Exception):  # the build that follows tells what is wrong
                if self.glimpse(page):
                    self.board.glimpsed(page)

    def _between(self) -> None:
        """Breaks a build off at the end, and where another save came whose page somebody waits for."""
        news = self._names and self._followed and self.glimpse is not None
        if self._stopped or (news and self._cut_short < _MOST_CUT_SHORT):
            raise StoppedError

    def _again(self, names: tuple[str, ...]) -> None:
        """What a build that was broken off was for is left to the next one."""
        with self._news:
            for name in names:
                self._stamps.pop(name, None)
            self._names.update(names)

    def _better_wait(self, outcome: Outcome) -> bool:
        """Whether trouble is left to the next build, which is due already: a file was caught half written.

        Only once in a row, so that something that writes all the time cannot hide an error.
        """
        with self._news:
            self._held_back = not outcome.good and bool(self._names) and not self._held_back
            return self._held_back

    def _progress(self, done: int, whole: int) -> None:
        if self._stopped:
            raise StoppedError
        self.board.progress(done, whole)


def _stamp(path: Path) -> _Stamp:
    """What tells one state of a file from another; None where there is none or it is a folder."""
    try:
        seen = path.stat()
    except OSError:
        return None
    return None if os.path.isdir(path) else (seen.st_mtime_ns, seen.st_size, seen.st_ino)  # noqa: PTH112


def _last_word(error: Exception) -> str:
    words = " ".join(str(error).split())
    return f"{type(error).__name__}: {words}" if words else type(error).__name__
