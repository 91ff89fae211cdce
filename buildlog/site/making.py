"""What is made of the originals that a site shows and that are not in the picture cache: decoded, shrunk, written.

Loaded when the first picture is wanted, as the libraries that decode take long to load.
"""

from __future__ import annotations

import hashlib
import os
import warnings
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from io import BufferedReader
from pathlib import Path
from typing import BinaryIO

from PIL import Image, features
from PIL import __version__ as pillow

from buildlog import VERSION
from buildlog.basics.films import is_film
from buildlog.basics.frozen import frozen
from buildlog.site.darkroom import RECIPE, Copy, Print, develop_one
from buildlog.site.faults import Fault
from buildlog.site.film import examined, film_label, keep_film, reel
from buildlog.site.film_boxes import Cut
from buildlog.site.pictures import Picture, Run, Wanted, length, picture_name, unreadable
from buildlog.site.shelf import Facts, Stored, put

_AHEAD = 64
"""Pictures that are begun before the first of them is asked for: each takes memory while it waits."""


def can_write(kind: str) -> bool:
    """Whether this computer's library writes a format."""
    return kind not in {"webp", "avif"} or bool(features.check(kind))


def version() -> str:
    """Everything that decides the bytes of a web copy."""
    codecs = " ".join(f"{name} {features.version(name)}" for name in ("libjpeg_turbo", "webp", "avif", "littlecms2"))
    return f"buildlog {VERSION}, {RECIPE}, Pillow {pillow}, {codecs}"


def made(run: Run, todo: Sequence[Wanted], threads: int) -> Generator[tuple[Wanted, Picture | Fault], None, None]:
    """Each file with what came of it, in order; when the caller stops, so do the threads."""
    with _quiet_decoders():
        pool = ThreadPoolExecutor(max_workers=threads)
        ahead: deque[tuple[Wanted, Future[Picture | Fault]]] = deque()
        try:
            for want in todo:
                ahead.append((want, pool.submit(_Maker(run).make, want)))
                if len(ahead) > _AHEAD:
                    first, result = ahead.popleft()
                    yield first, result.result()
            yield from ((first, result.result()) for first, result in ahead)
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
class _Maker:
    """Makes what a run of `develop` wants."""

    run: Run

    def make(self, want: Wanted) -> Picture | Fault:
        """The picture from its original; one that was met before under another name is not decoded again."""
        try:
            original = Path(want.source).open("rb")  # noqa: SIM115 - closed below
        except OSError as error:
            return unreadable(want, error)
        with original:
            try:
                digest, made = self._made(want, original)
            except OSError as error:
                return unreadable(want, error)
            if isinstance(made, Fault):
                return made
            if isinstance(made, Cut):
                self._store_film(want, digest, original, made)
            elif made is not None:
                self.run.shelf.keep(
                    self.run.key(want, digest), Facts(made.width, made.height, self._put(digest, made.copies))
                )
        gone = Fault(want.shown, "its web copies were taken away while they were made", "publish again")
        return self.run.shelved(want, digest) or gone

    def _made(self, want: Wanted, original: BufferedReader) -> tuple[str, Print | Cut | Fault | None]:
        """The fingerprint of a file and what comes of it; None where that is on the shelf."""
        digest = hashlib.file_digest(original, "sha256").hexdigest()
        self.run.shelf.note(want.source, os.fstat(original.fileno()), digest)
        if self.run.ready(want, digest):
            return digest, None
        original.seek(0)
        if is_film(want.shown):
            return digest, examined(original, want.shown)
        return digest, develop_one(original, want.shown, self.run.kind)

    def _put(self, digest: str, copies: Sequence[Copy]) -> tuple[Stored, ...]:
        for copy in copies:
            put(self.run.home / picture_name(digest, copy.label), copy.content)
        return tuple(Stored(copy.label, copy.width, copy.height, len(copy.content)) for copy in copies)

    def _store_film(self, want: Wanted, digest: str, original: BinaryIO, cut: Cut) -> None:
        label = film_label(want.shown)
        path = self.run.home / picture_name(digest, label)
        keep_film(original, cut, path)
        made = reel(path, cut, want.shown, self.run.kind)
        film = Stored(label, made.width, made.height, length(path))
        facts = Facts(made.width, made.height, (film, *self._put(digest, made.copies)))
        self.run.shelf.keep(self.run.key(want, digest), facts)
