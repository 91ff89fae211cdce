"""Work done by a copy of this process beside it, where the system can make one at next to no cost (fork).

A copy knows all that this process knows, so nothing need be sent to it; what it finds comes back pickled. If a copy dies,
its work is done here.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from types import TracebackType
from typing import Any, Generic, TypeVar

J = TypeVar("J")
R = TypeVar("R")
FEW = 150
"""Entries or texts up to which one process is done sooner than two."""
_MOST = 255
"""Jobs are drawn from a pipe by one byte each, which two processes cannot both read."""


def can_be() -> bool:
    """Whether a copy can be made and there is a core for it.

    Only on Linux: elsewhere libraries of the system do not outlive being copied.
    """
    if sys.platform != "linux" or threading.active_count() > 1:
        return False
    return len(os.sched_getaffinity(0)) > 1


class Beside(Generic[R]):
    """A copy of this process that does one thing and ends; leaving the block ends it, wherever it is."""

    def __init__(self, do: Callable[[], R]) -> None:
        for stream in (sys.stdout, sys.stderr):
            stream.flush()
        self._do = do
        self._read, write = os.pipe()
        self._process = os.fork()
        if self._process:
            os.close(write)
            return
        try:
            with os.fdopen(write, "wb") as out:
                pickle.dump(do(), out, pickle.HIGHEST_PROTOCOL)
            os._exit(0)
        finally:  # whatever happened, a copy may not go on as if it were the program; its work is done there
            os._exit(1)

    def found(self) -> R | None:
        """What it found, once it has; None if it died."""
        with os.fdopen(self._read, "rb", closefd=False) as source:
            try:
                found: R = pickle.load(source)  # noqa: S301 - our own copy wrote it
            except (EOFError, pickle.UnpicklingError):
                return None
        return found

    def __enter__(self) -> Beside[R]:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        os.close(self._read)
        with suppress(ProcessLookupError):
            os.kill(self._process, signal.SIGKILL)
        with suppress(ChildProcessError):
            os.waitpid(self._process, 0)


def both(one: Callable[[], R], other: Callable[[], J], *, beside: bool) -> tuple[R, J]:
    """What comes of two things to do, the first of them done by a copy if ``beside``; it must be picklable."""
    if not beside:
        return one(), other()
    with Beside(lambda: (one(),)) as copy:
        here = other()
        there = copy.found()
    return (there[0] if there else one()), here


def shared_out(
    jobs: Sequence[J], do: Callable[[J], R], *, beside: bool, meanwhile: Callable[[], Any] = lambda: None
) -> list[R]:
    """What comes of each job, in their order, done by this process and, if ``beside``, a copy; an exception of any job is raised here.

    Jobs are drawn one by one, so that whoever is quicker does more; they should be ordered longest first. ``meanwhile`` is
    done here before the first job is drawn. What comes of them must be picklable; at most 255 jobs.
    """
    if not beside or len(jobs) <= 1:
        meanwhile()
        return [do(job) for job in jobs]
    if len(jobs) > _MOST:
        raise ValueError(f"at most {_MOST} jobs can be shared out")
    draw, tickets = os.pipe()
    os.write(tickets, bytes(range(len(jobs))))
    os.close(tickets)
    try:
        with Beside(lambda: dict(_drawn(jobs, do, draw))) as copy:
            meanwhile()
            found = dict(_drawn(jobs, do, draw))
            found |= copy.found() or {}
    finally:
        os.close(draw)
    return [found[at] if at in found else do(job) for at, job in enumerate(jobs)]


def _drawn(jobs: Sequence[J], do: Callable[[J], R], draw: int) -> Iterator[tuple[int, R]]:
    """Does one job after the other until none is left."""
    while ticket := os.read(draw, 1):
        yield ticket[0], do(jobs[ticket[0]])
