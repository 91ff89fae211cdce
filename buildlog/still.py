"""What moved since a site was last published: nothing, so that there is nothing to do; or the texts of some entries alone.

Asked before anything else is imported, by names, sizes and times of change alone: of the project's files, of this program
and its theme, and of the published site. A file that was changed so shortly before a run that a second change could bear
the same time is not trusted by its time: a text is known by its words then, with anything else the next run works
everything out again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, field
from functools import cached_property
from pathlib import Path

from buildlog import VERSION
from buildlog.basics.frozen import frozen

_RECENT_NS = 2_100_000_000
"""Some file systems tell times to two seconds."""
_TEXTS = ("log/", "decisions/", "pages/")
Stamp = tuple[int, int]
"""Size in bytes and time of change in ns."""


@frozen
class Told:
    """What was told of a publication: how much it holds, the notes, and where it is."""

    pages: int
    pictures: int
    files: int
    notes: tuple[str, ...]
    problems: str
    target: str


@frozen
class Listing:
    """The files that a site is made from, as they were at one moment, and when that was by the cache's own clock.

    ``rest`` is one fingerprint of this program and of all files of the project but its texts.
    """

    rest: str
    texts: Mapping[str, Stamp]
    files: frozenset[str]
    newest_ns: int
    began_ns: int

    @property
    def trusted(self) -> bool:
        """Whether no file but a text is so new that it could change once more and bear the same time."""
        return self.newest_ns < self.began_ns - _RECENT_NS

    def recent(self) -> list[str]:
        """The texts that are so new."""
        return [file for file, (_, time_ns) in self.texts.items() if time_ns >= self.began_ns - _RECENT_NS]

    def moved(self, before: Mapping[str, Stamp], is_text: Callable[[str], bool | None]) -> list[str] | None:
        """The texts that are not what they were; None where there are others than there were.

        ``is_text`` says of a text that was too new to be known by its time whether it is the same: None for others.
        """
        if before.keys() != self.texts.keys():
            return None
        return [file for file, stamp in self.texts.items() if stamp != before[file] or is_text(file) is False]


@frozen
class Look:
    """What a look at a site found: what was told of it, the texts that moved since, and the site's files as they are."""

    told: Told
    moved: tuple[str, ...]
    mark: str
    """What is known of how the site stands is kept under this."""
    made: dict[str, Stamp]


@frozen
class Still:
    """The record of one site of a project, kept in its cache; ``target`` is '' where project.yaml says it."""

    root: Path
    cache: Path
    audience: str
    target: str
    _listings: dict[str, Listing] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """What this site is called in the cache."""
        return hashlib.sha256(f"{self.audience}\n{self.target}".encode()).hexdigest()[:16]

    @property
    def standing(self) -> Path:
        """Where how this site stands is written down."""
        return self.cache / f"standing-{self.name}.pickle"

    @property
    def pages(self) -> Path:
        """Where it is written down what its pages were made of."""
        return self.cache / f"pages-{self.name}.pickle"

    def look(self) -> Look | None:
        """What was told the last time, if nothing moved since but texts; None otherwise."""
        try:
            kept = json.loads(self._file.read_bytes())
            told = Told(**{**kept["told"], "notes": tuple(kept["told"]["notes"])})
            now = self.listing(told.target)
            doubtful = {file: digest for file, (_, _, digest) in kept["texts"].items() if digest}
            before = {file: (size, time_ns) for file, (size, time_ns, _) in kept["texts"].items()}
            moved = now.moved(before, lambda file: self._is(file, doubtful[file]) if file in doubtful else None)
            made = dict(_files(os.path.realpath(told.target), hidden=True))
            same = kept["rest"] == now.rest and kept["site"] == _seal(made)
            return Look(told, tuple(moved), kept["mark"], made) if same and moved is not None else None
        except (OSError, ValueError, TypeError, KeyError):
            return None

    def listing(self, target: str) -> Listing:
        """The files as they were when this run first looked at them, which must be before anything is read."""
        if target not in self._listings:
            began_ns, sources = self._seen
            site = os.path.realpath(target)
            if site != self._site:
                sources = {path: stamp for path, stamp in sources.items() if not _lies_in(path, site)}
            self._listings[target] = _listing(self.root, sources, began_ns)
        return self._listings[target]

    def before(self) -> None:
        """Looks at the project's files, before a run that reads them."""
        _ = self._seen

    @cached_property
    def _seen(self) -> tuple[int, dict[str, Stamp]]:
        return now_ns(self.cache), dict(_files(str(self.root), self._site))

    @cached_property
    def _site(self) -> str:
        """Where the site was published last, which there is no need to go through; '' where nobody knows."""
        try:
            return os.path.realpath(str(json.loads(self._file.read_bytes())["told"]["target"]))
        except (OSError, ValueError, TypeError, KeyError):
            return ""

    def keep(self, told: Told, digest: Callable[[str], str | None], mark: str = "", look: Look | None = None) -> None:
        """Remembers a publication made from the listing; forgets the last one where a file is too new to be trusted.

        ``digest`` tells what was read of a text, None where nobody knows; ``look`` is what the site was when only the
        pages of some texts were changed, and has their new stamps.
        """
        before = self.listing(told.target)
        doubtful = {file: digest(file) for file in before.recent()}
        made = look.made if look else dict(_files(os.path.realpath(told.target), hidden=True))
        texts = {file: (*stamp, doubtful.get(file) or "") for file, stamp in before.texts.items()}
        content = {"rest": before.rest, "site": _seal(made), "texts": texts, "told": asdict(told), "mark": mark}
        with suppress(OSError):  # without it the next run only takes longer
            if not before.trusted or None in doubtful.values():
                self._file.unlink(missing_ok=True)
                return
            beside = self._file.with_name(f".{self._file.name}.{os.getpid()}")
            beside.write_bytes(json.dumps(content).encode())
            beside.replace(self._file)

    @property
    def _file(self) -> Path:
        return self.cache / f"still-{self.name}.json"

    def _is(self, file: str, digest: str) -> bool:
        from buildlog.reading.memory import digest_of
        from buildlog.reading.source import read_source

        source, _ = read_source(self.root / file, file)
        return source is not None and digest_of(source.text) == digest


def listing(root: Path, site: Path, cache: Path) -> Listing:
    """The files of a project and of this program now; those of its site are left out."""
    return _listing(root, dict(_files(str(root), os.path.realpath(site))), now_ns(cache))


def _listing(root: Path, sources: Mapping[str, Stamp], began_ns: int) -> Listing:
    start = len(str(root)) + 1
    files = {path[start:]: stamp for path, stamp in sources.items()}
    texts = {file: stamp for file, stamp in files.items() if file.startswith(_TEXTS) and file.endswith(".md")}
    others = {file: stamp for file, stamp in files.items() if file not in texts}
    newest_ns = max((time_ns for _, time_ns in others.values()), default=0)
    return Listing(_seal(others, _ours()), texts, frozenset(files), newest_ns, began_ns)


def program() -> str:
    """What this program and its theme are known by."""
    return _seal(_ours())


def _ours() -> dict[str, Stamp]:
    folder = Path(__file__).resolve().parent
    return dict([*_files(str(folder)), *_files(str(folder.parent / "themes"))])


def _lies_in(path: str, folder: str) -> bool:
    return path.startswith(folder + os.sep)


def stamp_of(path: Path) -> Stamp:
    """A file's size and time of change."""
    seen = path.stat()
    return seen.st_size, seen.st_mtime_ns


def now_ns(cache: Path) -> int:
    """The time by the clock of the cache's own file system; 0, by which every file is too new, where there can be none."""
    mark = cache / f".began-{os.getpid()}"
    try:
        cache.mkdir(parents=True, exist_ok=True)
        mark.write_bytes(b"")
        began_ns = mark.stat().st_mtime_ns
        mark.unlink()
    except OSError:
        return 0
    return began_ns


def _seal(*groups: Mapping[str, Stamp]) -> str:
    """One fingerprint of names, sizes and times."""
    whole = hashlib.sha256(VERSION.encode())
    for group in groups:
        whole.update(repr(sorted(group.items())).encode("utf-8", "backslashreplace"))
    return whole.hexdigest()


def _files(folder: str, but: str = "", *, hidden: bool = False) -> Iterator[tuple[str, Stamp]]:
    """Every file below a folder with its stamp, links followed; a hidden one is no content of a project."""
    stack = [folder]
    while stack:
        try:
            found: Iterable[os.DirEntry[str]] = list(os.scandir(stack.pop()))
        except OSError:
            continue
        for item in found:
            if (item.name.startswith(".") and not hidden) or item.name == "__pycache__" or item.path == but:
                continue
            if item.is_dir(follow_symlinks=False):
                stack.append(item.path)
                continue
            try:
                seen = item.stat()
            except OSError:
                yield item.path, (-1, -1)
                continue
            yield item.path, (seen.st_size, seen.st_mtime_ns)
