"""A work folder that only one run at a time may use, and that a killed run does not block for ever.

The operating system holds the lock and lets go of it when the process ends, however it ends.
"""

import contextlib
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

_LOCK = "in-use"


@contextlib.contextmanager
def alone(folder: Path) -> Iterator[bool]:
    """The folder, made and emptied, for this run; false if another run is using it. It is gone afterwards."""
    lock = _held(folder)
    if lock is None:
        yield False
        return
    try:
        _clear(folder)
        yield True
    finally:
        _clear(folder)
        _let_go(lock, folder)


def _held(folder: Path) -> BinaryIO | None:
    """The open lock file; None if another run holds it. A run that is just ending may take the file away."""
    for _ in range(3):
        folder.mkdir(parents=True, exist_ok=True)
        try:
            handle = (folder / _LOCK).open("ab")
        except FileNotFoundError:
            continue
        if not _lock(handle):
            handle.close()
            return None
        with contextlib.suppress(FileNotFoundError):
            if os.path.samestat(os.fstat(handle.fileno()), (folder / _LOCK).stat()):
                return handle
        handle.close()
    return None


def _let_go(lock: BinaryIO, folder: Path) -> None:
    if sys.platform == "win32":  # an open file cannot be removed there
        lock.close()
    with contextlib.suppress(OSError):
        (folder / _LOCK).unlink()
        folder.rmdir()
    lock.close()


def _clear(folder: Path) -> None:
    for entry in sorted(folder.iterdir()):
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry)
        elif entry.name != _LOCK:
            entry.unlink()


if sys.platform == "win32":
    import msvcrt

    def _lock(handle: BinaryIO) -> bool:
        try:
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock(handle: BinaryIO) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:  # a file system without locks: two runs at once are the builder's own affair
            return True
        return True
