"""Web pictures from the originals a site shows.

`develop` makes, for each wanted file, a copy of at most 1600 pixels on its long edge and one of at most 480
(only that where the original is no larger): JPEG, WebP or AVIF, upright, sRGB, on white, without any tag of
camera, place, person or time. Of a film it makes a copy without such tags (`film.py`) and, where a frame can be
had, its picture. The names come from the fingerprint of the original, so they tell nothing of its name and
change with its content. A file that cannot be used becomes a `Fault`; the others are made all the same. The
bytes depend on nothing but the original, this program and its libraries: not on order, threads or cache.
"""

from __future__ import annotations

import os
import shutil
import stat
import time
from collections.abc import Callable, Generator, Sequence
from contextlib import closing, suppress
from dataclasses import field
from pathlib import Path

from buildlog.basics.films import is_film
from buildlog.basics.frozen import frozen
from buildlog.site.faults import Fault
from buildlog.site.shelf import PHOTOS, Facts, Shelf, name_of

__all__ = ["Fault", "Picture", "Size", "Wanted", "develop"]

_SAVE_EVERY = 250
_SAVE_AT_MOST = 0.05
"""The share of a run's time that saving what it has made may take; with thousands of pictures the index is long."""
_ROOM = "check that the disk has room and that you may write to it, then publish again"


@frozen
class Wanted:
    """An original to be shown: where it is (absolute), and its path from the project folder for messages."""

    source: str | Path
    shown: str


@frozen
class Size:
    """One web copy: its size in pixels, and its name in the site, as photos/1a2b3c4d5e6f7081-1600.jpg."""

    width: int
    height: int
    name: str


@frozen
class Picture:
    """A picture: its original's path and SHA-256, its copies (largest first), the original's upright size.

    Of a film the copies are those of a frame, if one could be had, and the size is 0 where it is not known.
    """

    shown: str
    digest: str
    sizes: tuple[Size, ...]
    width: int
    height: int
    film: Size | None = None

    @property
    def files(self) -> tuple[Size, ...]:
        """Every file of it that a site may hold; the first is what a link to it opens."""
        return (self.film, *self.sizes) if self.film else self.sizes


def develop(
    wanted: Sequence[Wanted],
    out: Path,
    cache: Path | None,
    progress: Callable[[int, int], None] | None = None,
    *,
    kind: str = "jpeg",
    threads: int = 2,
) -> tuple[dict[str, Picture], list[Fault]]:
    """The pictures by their `shown`, their files under `out` by name as `kind` (jpeg, webp, avif), and the faults.

    `out` may be the cache folder itself: the files are there anyway. `progress` is called with the number of
    files done and to do, counting only those that must be opened; a run without news does not call it.
    """
    return Developing(wanted, out, cache, kind).finish(progress, threads)


class Developing:
    """Pictures on their way: those that are there already are looked up at once, the others made when it is finished."""

    def __init__(self, wanted: Sequence[Wanted], out: Path, cache: Path | None, kind: str = "jpeg") -> None:
        """Opens no picture."""
        self._unique = {want.shown: want for want in wanted}
        self._found: dict[str, Picture | Fault] = {}
        self._stopped: list[Fault] = []
        self._run: Run | None = None
        if not wanted and kind == "jpeg" and not Shelf(cache, "").begun:
            return  # and what makes pictures need not even be loaded
        from buildlog.site.making import can_write, version

        if not can_write(kind):
            words = f"this computer's Pillow cannot write {kind}"
            self._stopped = [Fault("project.yaml", words, "write  format: jpeg")]
            return
        self._run = run = Run(out, Shelf(cache, version()), kind)
        try:
            (out / PHOTOS).mkdir(parents=True, exist_ok=True)
            with run.shelf.opened():
                looked = ((shown, run.known(want)) for shown, want in self._unique.items())
                self._found = {shown: known for shown, known in looked if known}
        except OSError as error:
            self._stopped = [_unstored(error)]

    def finish(
        self, progress: Callable[[int, int], None] | None = None, threads: int = 2
    ) -> tuple[dict[str, Picture], list[Fault]]:
        """Makes what is not there yet; as `develop`."""
        run, found = self._run, self._found
        if run is None:
            return {}, self._stopped
        todo = [want for want in self._unique.values() if want.shown not in found] if not self._stopped else []
        try:
            with closing(run.made(todo, threads)) as made:
                for done, (want, result) in enumerate(made, 1):
                    found[want.shown] = result
                    run.tell(done, len(todo), progress)
        except OSError as error:
            self._stopped = [_unstored(error)]
        finally:
            with suppress(OSError):  # without its index the cache is only slower
                run.shelf.save()
        results = [found[shown] for shown in self._unique if shown in found]
        pictures = {each.shown: each for each in results if isinstance(each, Picture)}
        return pictures, [each for each in results if isinstance(each, Fault)] + self._stopped


def _unstored(error: OSError) -> Fault:
    return Fault(PHOTOS, f"the web pictures could not be stored ({error.strerror})", _ROOM)


@frozen
class Run:
    """One call of `develop`: where the files go and what is remembered."""

    out: Path
    shelf: Shelf
    kind: str
    _saved: list[float] = field(default_factory=lambda: [0.0])
    """From when on it may be saved again, by a clock of this process."""

    def tell(self, done: int, todo: int, progress: Callable[[int, int], None] | None) -> None:
        """Reports how far the run is, and from time to time saves what a run cut off here would lose."""
        if progress:
            progress(done, todo)
        begun = time.perf_counter()
        if done % _SAVE_EVERY == 0 and begun >= self._saved[-1]:
            self.shelf.save()
            ended = time.perf_counter()
            self._saved[:] = [ended + (ended - begun) / _SAVE_AT_MOST]

    def known(self, want: Wanted) -> Picture | Fault | None:
        """The picture, if nothing has to be opened for it; None if something has."""
        try:
            seen = os.stat(want.source)
        except OSError as error:
            return unreadable(want, error)
        if not stat.S_ISREG(seen.st_mode):
            return Fault(want.shown, "this is not a file", "name a picture file, as in  photos/IMG_0412.jpg")
        digest = self.shelf.digest(want.source, seen)
        return self.shelved(want, digest) if digest else None

    def made(self, todo: Sequence[Wanted], threads: int) -> Generator[tuple[Wanted, Picture | Fault], None, None]:
        """Each file with what came of it, in order."""
        if todo:
            from buildlog.site.making import made

            yield from made(self, todo, threads)

    def key(self, want: Wanted, digest: str) -> str:
        """How the shelf knows what is made of a file; a film's depends on whether frames can be had here."""
        if not is_film(want.shown):
            return f"{digest} {self.kind}"
        from buildlog.site.film import film_label, has_stills

        return f"{digest} {self.kind} {film_label(want.shown)} {'still' if has_stills() else 'bare'}"

    def ready(self, want: Wanted, digest: str) -> Facts | None:
        """What is known of an original, if its copies are all there and whole."""
        facts = self.shelf.facts(self.key(want, digest))
        if facts is None:
            return None
        whole = (length(f"{self.home}/{picture_name(digest, copy.label)}") == copy.length for copy in facts.copies)
        return facts if all(whole) else None

    def shelved(self, want: Wanted, digest: str) -> Picture | None:
        """The picture of an original with this fingerprint, its copies laid out; None if they are not on the shelf."""
        facts = self.ready(want, digest)
        if facts is None:
            return None
        sizes = [Size(copy.width, copy.height, picture_name(digest, copy.label)) for copy in facts.copies]
        if self.home != self.out:
            for size in sizes:
                _lay(self.home / size.name, self.out / size.name)
        film = sizes.pop(0) if is_film(want.shown) else None
        return Picture(want.shown, digest, tuple(sizes), facts.width, facts.height, film)

    @property
    def home(self) -> Path:
        """Where copies are written first."""
        return self.shelf.folder or self.out


def picture_name(digest: str, label: str) -> str:
    """A web copy's name in the site."""
    return f"{PHOTOS}/{name_of(digest, label)}"


def length(path: str | Path) -> int:
    """A file's size in bytes; -1 for none."""
    with suppress(OSError):
        return os.stat(path).st_size
    return -1


def _lay(source: Path, target: Path) -> None:
    """The same file under another name: a link where the file system has them, else a copy."""
    if target.exists() and target.samefile(source):
        return
    target.unlink(missing_ok=True)
    try:
        target.hardlink_to(source)
    except OSError:
        shutil.copy2(source, target)


def unreadable(want: Wanted, error: OSError) -> Fault:
    """That an original cannot be read."""
    if isinstance(error, FileNotFoundError):
        return Fault(want.shown, "there is no such file", "check its name, or take its line out")
    return Fault(want.shown, f"this cannot be read ({error.strerror})", "check that you may read this file")
