"""The files of a site before they are delivered: made by this run, or copies of files elsewhere."""

import errno
import os
import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from buildlog.basics.frozen import frozen
from buildlog.site.addresses import RENAME, Register
from buildlog.site.faults import Fault
from buildlog.site.workshop import AsItWas

MARKER = ".buildlog-site"
"""The list of what was published, one name a line; it shows that a folder is ours to change."""

_CHUNK = 1 << 20


class Content(Protocol):
    """What is to be in one file."""

    def is_in(self, path: str, there: os.stat_result) -> bool:
        """Whether the file at `path`, of which `there` is known, holds just this."""
        ...

    def put(self, path: Path) -> None:
        """Writes it to `path`."""
        ...


@frozen
class _Made:
    """Content made by this run."""

    content: bytes

    def is_in(self, path: str, there: os.stat_result) -> bool:
        return there.st_size == len(self.content) and Path(path).read_bytes() == self.content

    def put(self, path: Path) -> None:
        path.write_bytes(self.content)


@frozen
class _Copied:
    """Content of a file elsewhere; copied, never linked, so that a change in the site cannot reach back."""

    source: str | Path
    named_by_content: bool

    def is_in(self, path: str, there: os.stat_result) -> bool:
        here = os.stat(self.source)
        if here.st_size != there.st_size:
            return False
        if self.named_by_content and here.st_mtime_ns == there.st_mtime_ns:
            return True
        return _same_bytes(self.source, path)

    def put(self, path: Path) -> None:
        shutil.copyfile(self.source, path)
        here = os.stat(self.source)
        os.utime(path, ns=(here.st_atime_ns, here.st_mtime_ns))


def _same_bytes(one: str | Path, other: str) -> bool:
    with open(one, "rb") as left, open(other, "rb") as right:
        while (chunk := left.read(_CHUNK)) == right.read(_CHUNK):
            if not chunk:
                return True
    return False


@frozen
class _Aside:
    """Content made by this run and already written to a file of its own, which is moved."""

    source: Path

    def is_in(self, path: str, there: os.stat_result) -> bool:
        return there.st_size == self.source.stat().st_size and _same_bytes(self.source, path)

    def put(self, path: Path) -> None:
        shutil.move(self.source, path)


@frozen
class _There:
    """Content that the site holds already, in a file that nobody touched since it was seen to hold it."""

    seen: AsItWas

    def is_in(self, path: str, there: os.stat_result) -> bool:  # noqa: ARG002 - as the others
        return (there.st_size, there.st_mtime_ns) == (self.seen.size, self.seen.time_ns)

    def put(self, path: Path) -> None:
        raise OSError(errno.EBUSY, "a page was changed by somebody else while the site was made", str(path))


_Content = _Made | _Copied | _Aside | _There


@dataclass
class Staged:
    """The files of a site, by name from its root. Names that cannot be used are collected as faults."""

    faults: list[Fault] = field(default_factory=list)
    _files: dict[str, _Content] = field(default_factory=dict)
    _register: Register = field(default_factory=Register)

    def write(self, name: str, content: bytes) -> None:
        """Adds a file with this content."""
        self._add(name, _Made(content))

    def aside(self, name: str, source: Path) -> None:
        """Adds a file made by this run that lies ready elsewhere, and is taken from there when it is delivered."""
        self._add(name, _Aside(source))

    def as_it_was(self, name: str, seen: AsItWas) -> None:
        """Adds a file that the site was seen to hold already, just as it is wanted."""
        self._add(name, _There(seen))

    def place(self, name: str, source: str | Path, *, named_by_content: bool = False) -> None:
        """Adds a copy of a file, read at delivery.

        Where the name changes with the content, as a web picture's does, `named_by_content` spares reading
        the copy that is there already: the same size and time then count as the same bytes.
        """
        self._add(name, _Copied(source, named_by_content))

    def names(self) -> tuple[str, ...]:
        """The names so far, sorted."""
        return tuple(sorted(self._files))

    def content(self, name: str) -> Content:
        """What is to be in the file of this name."""
        return self._files[name]

    def files(self) -> dict[str, bytes | Path]:
        """Every file that was made, by its name: its bytes, or the file it is a copy of."""
        return {
            name: content.content if isinstance(content, _Made) else Path(content.source)
            for name, content in sorted(self._files.items())
            if not isinstance(content, _There)
        }

    def _add(self, name: str, content: _Content) -> None:
        fault = self._register.enter(name)
        if fault is None and name == MARKER:
            fault = Fault(name, "this address is kept for the list of published files", RENAME)
        if fault is None and self._files.get(name, content) != content:
            fault = Fault(name, "two different files want this address", RENAME)
        if fault:
            self.faults.append(fault)
        else:
            self._files[name] = content
