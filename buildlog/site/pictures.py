"""Web pictures from the originals a site shows.

`develop` makes, for each wanted file, a copy of at most 1600 pixels on its long edge and one of at most 480
(only that where the original is no larger): JPEG, WebP or AVIF, upright, sRGB, on white, without any tag of
camera, place, person or time. Of a film it makes a copy without such tags (`film.py`) and, where a frame can be
had, its picture. The names come from the fingerprint of the original, so they tell nothing of its name and
change with its content. A file that cannot be used becomes a `Fault`; the others are made all the same. The
bytes depend on nothing but the original, this program and its libraries: not on order, threads or cache.
"""

import hashlib
import os
import shutil
import stat
import warnings
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from io import BufferedReader
from pathlib import Path
from typing import BinaryIO

from PIL import Image, features
from PIL import __version__ as pillow

from buildlog.basics.frozen import frozen
from buildlog import VERSION
from buildlog.basics.films import is_film
from buildlog.site.darkroom import RECIPE, Copy, Print, develop_one
from buildlog.site.faults import Fault
from buildlog.site.film import examined, film_label, has_stills, keep_film, reel
from buildlog.site.film_boxes import Cut
from buildlog.site.shelf import PHOTOS, Facts, Shelf, Stored, name_of, put

__all__ = ["Fault", "Picture", "Size", "Wanted", "develop"]

_SAVE_EVERY = 250
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
        self._run = _Run(out, Shelf(cache, _version()), kind)
        self._unique = {want.shown: want for want in wanted}
        self._found: dict[str, Picture | Fault] = {}
        self._stopped: list[Fault] = []
        if kind in {"webp", "avif"} and not features.check(kind):
            words = f"this computer's Pillow cannot write {kind}"
            self._stopped = [Fault("project.yaml", words, "write  format: jpeg")]
            return
        try:
            (out / PHOTOS).mkdir(parents=True, exist_ok=True)
            with self._run.shelf.opened():
                looked = ((shown, self._run.known(want)) for shown, want in self._unique.items())
                self._found = {shown: known for shown, known in looked if known}
        except OSError as error:
            self._stopped = [_unstored(error)]

    def finish(
        self, progress: Callable[[int, int], None] | None = None, threads: int = 2
    ) -> tuple[dict[str, Picture], list[Fault]]:
        """Makes what is not there yet; as `develop`."""
        run, found = self._run, self._found
        todo = [want for want in self._unique.values() if want.shown not in found] if not self._stopped else []
        try:
            with closing(_made(run, todo, threads)) as made:
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


def _version() -> str:
    """Everything that decides the bytes of a web copy."""
    codecs = " ".join(f"{name} {features.version(name)}" for name in ("libjpeg_turbo", "webp", "avif", "littlecms2"))
    return f"buildlog {VERSION}, {RECIPE}, Pillow {pillow}, {codecs}"


_Made = Generator[tuple[Wanted, Picture | Fault], None, None]


def _made(run: "_Run", todo: Sequence[Wanted], threads: int) -> _Made:
    """Each file with what came of it, in order; when the caller stops, so do the threads."""
    if not todo:
        return
    with _quiet_decoders():
        pool = ThreadPoolExecutor(max_workers=threads)
        try:
            yield from zip(todo, pool.map(run.make, todo), strict=True)
        finally:
            pool.shutdown(cancel_futures=True)


@contextmanager
def _quiet_decoders() -> Iterator[None]:
    """Pillow's pixel limit makes way for ours, and what it mutters about odd tags is no news to a builder."""
    limit = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        Image.MAX_IMAGE_PIXELS = limit


@frozen
class _Run:
    """One call of `develop`: where the files go and what is remembered."""

    out: Path
    shelf: Shelf
    kind: str

    def tell(self, done: int, todo: int, progress: Callable[[int, int], None] | None) -> None:
        """Reports how far the run is, and from time to time saves what a run cut off here would lose."""
        if progress:
            progress(done, todo)
        if done % _SAVE_EVERY == 0:
            self.shelf.save()

    def known(self, want: Wanted) -> Picture | Fault | None:
        """The picture, if nothing has to be opened for it; None if something has."""
        try:
            seen = os.stat(want.source)
        except OSError as error:
            return _unreadable(want, error)
        if not stat.S_ISREG(seen.st_mode):
            return Fault(want.shown, "this is not a file", "name a picture file, as in  photos/IMG_0412.jpg")
        digest = self.shelf.digest(want.source, seen)
        return self._shelved(want, digest) if digest else None

    def make(self, want: Wanted) -> Picture | Fault:
        """The picture from its original; one that was met before under another name is not decoded again."""
        try:
            original = open(want.source, "rb")
        except OSError as error:
            return _unreadable(want, error)
        with original:
            try:
                digest, made = self._made(want, original)
            except OSError as error:
                return _unreadable(want, error)
            if isinstance(made, Fault):
                return made
            if isinstance(made, Cut):
                self._store_film(want, digest, original, made)
            elif made is not None:
                self.shelf.keep(self._key(want, digest), Facts(made.width, made.height, self._put(digest, made.copies)))
        gone = Fault(want.shown, "its web copies were taken away while they were made", "publish again")
        return self._shelved(want, digest) or gone

    def _made(self, want: Wanted, original: BufferedReader) -> tuple[str, Print | Cut | Fault | None]:
        """The fingerprint of a file and what comes of it; None where that is on the shelf."""
        digest = hashlib.file_digest(original, "sha256").hexdigest()
        self.shelf.note(want.source, os.fstat(original.fileno()), digest)
        if self._ready(want, digest):
            return digest, None
        original.seek(0)
        if is_film(want.shown):
            return digest, examined(original, want.shown)
        return digest, develop_one(original, want.shown, self.kind)

    def _put(self, digest: str, copies: Sequence[Copy]) -> tuple[Stored, ...]:
        for copy in copies:
            put(self._home / _name(digest, copy.label), copy.content)
        return tuple(Stored(copy.label, copy.width, copy.height, len(copy.content)) for copy in copies)

    def _store_film(self, want: Wanted, digest: str, original: BinaryIO, cut: Cut) -> None:
        label = film_label(want.shown)
        path = self._home / _name(digest, label)
        keep_film(original, cut, path)
        made = reel(path, cut, want.shown, self.kind)
        film = Stored(label, made.width, made.height, _length(path))
        facts = Facts(made.width, made.height, (film, *self._put(digest, made.copies)))
        self.shelf.keep(self._key(want, digest), facts)

    def _key(self, want: Wanted, digest: str) -> str:
        """How the shelf knows what is made of a file; a film's depends on whether frames can be had here."""
        if not is_film(want.shown):
            return f"{digest} {self.kind}"
        return f"{digest} {self.kind} {film_label(want.shown)} {'still' if has_stills() else 'bare'}"

    def _ready(self, want: Wanted, digest: str) -> Facts | None:
        """What is known of an original, if its copies are all there and whole."""
        facts = self.shelf.facts(self._key(want, digest))
        if facts is None:
            return None
        whole = (_length(f"{self._home}/{_name(digest, copy.label)}") == copy.length for copy in facts.copies)
        return facts if all(whole) else None

    def _shelved(self, want: Wanted, digest: str) -> Picture | None:
        facts = self._ready(want, digest)
        if facts is None:
            return None
        sizes = [Size(copy.width, copy.height, _name(digest, copy.label)) for copy in facts.copies]
        if self._home != self.out:
            for size in sizes:
                _lay(self._home / size.name, self.out / size.name)
        film = sizes.pop(0) if is_film(want.shown) else None
        return Picture(want.shown, digest, tuple(sizes), facts.width, facts.height, film)

    @property
    def _home(self) -> Path:
        return self.shelf.folder or self.out


def _name(digest: str, label: str) -> str:
    return f"{PHOTOS}/{name_of(digest, label)}"


def _length(path: str | Path) -> int:
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


def _unreadable(want: Wanted, error: OSError) -> Fault:
    if isinstance(error, FileNotFoundError):
        return Fault(want.shown, "there is no such file", "check its name, or take its line out")
    return Fault(want.shown, f"this cannot be read ({error.strerror})", "check that you may read this file")
