"""Publishing: the files of a site are prepared aside, then moved into the target folder, each in one step.

Nothing is touched until every changed file lies ready on the same file system. A file whose bytes are the
same is not written again. What the last publication wrote and this one does not want is removed; what anybody
else put there is left alone. The list `.buildlog-site` in the target tells the two apart: before anything
moves it names the files of both publications, so a run that is killed loses track of nothing, and the next
one completes its work. (Killed, not unplugged: nothing is forced to the disk.)
"""

import errno
import os
import shutil
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.site.addresses import folded, problem_of
from buildlog.site.alone import alone
from buildlog.site.faults import Fault
from buildlog.site.staged import MARKER, Staged

__all__ = ["MARKER", "Delivered", "Fault", "Staged", "deliver"]

_OVERLOOKED = {".gitignore", ".gitkeep", ".git", ".DS_Store", "Thumbs.db", "desktop.ini", ".buildlog-new"}
_PAGES = (".html", ".xml")
_ELSEWHERE = "choose another folder with  --to FOLDER  or with  site:  in project.yaml"


@frozen
class Delivered:
    """What a delivery did, by name in order. Where there are faults, the site is not wholly delivered."""

    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()


def deliver(staged: Staged, target: Path, keep_out: Sequence[Path] = ()) -> Delivered:
    """Makes `target` hold the staged files; refuses, touching nothing, where that could cost anybody a file.

    The target may not be, hold, or lie inside any of `keep_out`: the places where the builder's own files are
    (log, photos, ...; not the project folder itself, inside which the site usually lies).
    """
    root = Path(os.path.realpath(target))
    try:
        if faults := [*staged.faults, *_refusals(root, str(target), keep_out)]:
            return Delivered(faults=tuple(faults))
        aside = _aside(root)
        with alone(aside) as free:
            return _Delivery(staged, root, aside).run() if free else Delivered(faults=(_busy(str(target)),))
    except OSError as error:
        return Delivered(faults=(_undelivered(error, str(target)),))


def exchange(pages: Mapping[str, bytes], target: Path) -> Delivered | None:
    """Puts other pages in the places of some that the last publication wrote; None, touching nothing, where one is gone."""
    root, staged = Path(os.path.realpath(target)), Staged()
    for name, content in pages.items():
        staged.write(name, content)
    try:
        aside = _aside(root)
        with alone(aside) as free:
            return _Delivery(staged, root, aside).exchange() if free else Delivered(faults=(_busy(str(target)),))
    except OSError as error:
        return Delivered(faults=(_undelivered(error, str(target)),))


def _undelivered(error: OSError, shown: str) -> Fault:
    where = error.filename2 or error.filename or ""
    words = f"the site could not be delivered ({error.strerror or error}: {where})"
    return Fault(shown, words, "each page there is whole, old or new; put this right and publish again")


def _refusals(root: Path, shown: str, keep_out: Sequence[Path]) -> Iterator[Fault]:
    for kept in (Path(os.path.realpath(path)) for path in keep_out):
        if _holds(root, kept) or _holds(kept, root):
            words = f"a site may not be published here: {kept.name} of the project is here"
            yield Fault(shown, words, _ELSEWHERE)
            return
    if not root.exists():
        return
    if not root.is_dir():
        yield Fault(shown, "this is a file, not a folder", _ELSEWHERE)
    elif not (root / MARKER).is_file() and any(each.name not in _OVERLOOKED for each in root.iterdir()):
        remedy = f"{_ELSEWHERE}; or, to add the site to what is there, put an empty file  {MARKER}  into it"
        yield Fault(shown, "this folder holds files that were not published by buildlog", remedy)


def _holds(outer: Path, inner: Path) -> bool:
    return any(_same(outer, each) for each in (inner, *inner.parents))


def _same(one: Path, other: Path) -> bool:
    """Whether two paths are one place, also where the file system does not tell capitals apart."""
    return one == other or (one.exists() and other.exists() and one.samefile(other))


def _busy(shown: str) -> Fault:
    return Fault(shown, "another run is publishing to this folder", "wait for it to end, then publish again")


def _aside(root: Path) -> Path:
    """Where the files are prepared: beside the target; inside it where beside is another disk or closed."""
    if root.exists():
        same_disk = root.stat().st_dev == root.parent.stat().st_dev and root != root.parent
        if not (same_disk and os.access(root.parent, os.W_OK)):
            return root / ".buildlog-new"
    return root.with_name(f".{root.name}.buildlog-new")


@frozen
class _Delivery:
    """One delivery into `root`, which nothing speaks against; `aside` is ours alone for its time."""

    staged: Staged
    root: Path
    aside: Path

    def run(self) -> Delivered:
        names = self.staged.names()
        changed = [name for name in names if not self._is_there(name)]
        if faults := [*self._closed_folders(), *self._strangers(changed)]:
            return Delivered(faults=tuple(faults))
        self._prepare(changed)
        self._list({*self._listed, *names})
        removed = self._remove(self._obstacles)
        for folder in sorted(_folders(changed)):
            (self.root / folder).mkdir(parents=True, exist_ok=True)
        for number, name in sorted(enumerate(changed), key=_pages_last):
            _move(self.aside / str(number), self.root / name)
        removed += self._remove(self._gone - self._obstacles)
        self._list(names)
        moved = {*changed}
        return Delivered(tuple(changed), tuple(name for name in names if name not in moved), tuple(sorted(removed)))

    def exchange(self) -> Delivered | None:
        """Only files that are there already, and nothing taken away."""
        names = self.staged.names()
        linked, listed = any((self.root / folder).is_symlink() for folder in _folders(names)), {*self._lines}
        if linked or not all(name in listed and stat.S_ISREG(_mode(self.root / name)) for name in names):
            return None
        changed = [name for name in names if not self._is_there(name)]
        self._prepare(changed)
        for number, name in enumerate(changed):
            _move(self.aside / str(number), self.root / name)
        return Delivered(tuple(changed), tuple(sorted({*names} - {*changed})))

    @cached_property
    def _listed(self) -> frozenset[str]:
        """What the last publication wrote; a line that is no name of ours is not believed."""
        return frozenset(line for line in self._lines if problem_of(line) is None)

    @property
    def _lines(self) -> list[str]:
        try:
            return (self.root / MARKER).read_text("utf-8", errors="replace").split("\n")
        except FileNotFoundError:
            return []

    @cached_property
    def _gone(self) -> frozenset[str]:
        """What was published and is no longer wanted."""
        return self._listed - {*self.staged.names()}

    @cached_property
    def _obstacles(self) -> frozenset[str]:
        """Old files where a folder must be, and old files in a folder where a file must be."""
        names = {*self.staged.names()}
        folders = _folders(names)
        return frozenset(old for old in self._gone if old in folders or names.intersection(_folders([old])))

    def _is_there(self, name: str) -> bool:
        path = f"{self._under}{name}"
        try:
            there = os.lstat(path)
        except (FileNotFoundError, NotADirectoryError):
            return False
        return stat.S_ISREG(there.st_mode) and self.staged.content(name).is_in(path, there)

    @cached_property
    def _under(self) -> str:
        """The root, to be put before a name: a site may have tens of thousands."""
        return os.path.join(self.root, "")

    def _closed_folders(self) -> Iterator[Fault]:
        """Folders that are needed and cannot be: somebody put a file or a link of that name there."""
        for folder in sorted(_folders(self.staged.names()) - self._listed):
            path = self.root / folder
            if path.is_symlink() or (path.exists() and not path.is_dir()):
                words = "the site needs a folder of this name, and something else is in its place"
                yield Fault(str(path), words, "take it away, then publish again")

    def _strangers(self, changed: Iterable[str]) -> Iterator[Fault]:
        """Files that would be overwritten and that no publication wrote."""
        for name in changed:
            path = self.root / name
            if os.path.lexists(path) and not self._is_ours(name, path):
                words = "a page of the site has this name, and this file was not published by buildlog"
                yield Fault(str(path), words, "rename it or take it away, then publish again")

    def _is_ours(self, name: str, path: Path) -> bool:
        if path.is_dir() and not path.is_symlink():
            return any(name in _folders([old]) for old in self._gone)
        return name in self._listed or self._is_twin(path, self._listed_folded.get(folded(name)))

    def _is_twin(self, path: Path, other: str | None) -> bool:
        """Whether the other name is the same file, as where the file system tells no capitals apart."""
        return other is not None and path.exists() and _same(path, self.root / other)

    @cached_property
    def _listed_folded(self) -> dict[str, str]:
        return {folded(name): name for name in self._listed}

    @cached_property
    def _wanted_folded(self) -> dict[str, str]:
        return {folded(name): name for name in self.staged.names()}

    def _prepare(self, names: Iterable[str]) -> None:
        for number, name in enumerate(names):
            self.staged.content(name).put(self.aside / str(number))

    def _list(self, names: Iterable[str]) -> None:
        """Writes the list, if it changes."""
        content = "".join(f"{name}\n" for name in sorted(names)).encode()
        marker = self.root / MARKER
        if marker.is_file() and marker.read_bytes() == content:
            return
        self.root.mkdir(parents=True, exist_ok=True)
        (self.aside / "list").write_bytes(content)
        _move(self.aside / "list", marker)

    def _remove(self, names: Iterable[str]) -> list[str]:
        """Takes the files away, and the folders empty then; a folder put in a file's place is not ours."""
        removed = [name for name in sorted(names) if self._unlink(name)]
        for folder in sorted(_folders(names), key=len, reverse=True):
            with suppress(OSError):
                (self.root / folder).rmdir()
        return removed

    def _unlink(self, name: str) -> bool:
        path = self.root / name
        through_link = any((self.root / folder).is_symlink() for folder in _folders([name]))
        if through_link or not os.path.lexists(path) or (path.is_dir() and not path.is_symlink()):
            return False
        if self._is_twin(path, self._wanted_folded.get(folded(name))):
            return False
        path.unlink()
        return True


def _folders(names: Iterable[str]) -> set[str]:
    """Every folder that the names lie in."""
    found: set[str] = set()
    for name in names:
        folder = name.rpartition("/")[0]
        while folder and folder not in found:
            found.add(folder)
            folder = folder.rpartition("/")[0]
    return found


def _pages_last(numbered: tuple[int, str]) -> tuple[bool, str]:
    """Pictures and styles come before the pages that show them."""
    return numbered[1].endswith(_PAGES), numbered[1]


def _mode(path: Path) -> int:
    """What sort of file there is; 0 for none."""
    try:
        return path.lstat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return 0


def _move(ready: Path, place: Path) -> None:
    """Puts a prepared file in its place in one step."""
    try:
        ready.replace(place)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        beside = place.with_name(f".{place.name}.buildlog-new")  # one disk, mounted twice
        shutil.copy2(ready, beside)
        beside.replace(place)
