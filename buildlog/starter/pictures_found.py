"""Pictures and films on a card or in a phone's folder: which files are some, whether they are whole, when they were taken.

A picture is decoded before it is taken over: one that broke off while it was copied has a good head and no end.
"""

from __future__ import annotations

import importlib
import os
import re
import warnings
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from buildlog.basics.films import HEAD, begins_film, is_film
from buildlog.basics.fingerprints import fingerprint
from buildlog.basics.frozen import frozen

PICTURES = {".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif"}
_HEIC = {".heic", ".heif"}
_FORMATS = ("JPEG", "MPO", "PNG", "WEBP", "HEIF")
_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
_DETAILS = 0x8769
_TAKEN = ((0x9003, 0x9011), (0x9004, 0x9012))
"""Exif: when the picture was taken and that clock's offset; when it was made digital, and its offset."""
_SMALL = (400, 400)
"""A JPEG is decoded no larger than it must be to be read to its end."""
_FIRST_YEAR, _LAST_YEAR = 1900, 2199


@frozen
class Found:
    """A picture or a film to take over: when it was taken by ``clock``, which is the camera's or the file's."""

    path: Path
    sha256: str
    taken: datetime
    clock: str
    film: bool = False
    opened: bool = True
    """False where the picture could not be looked into here, for want of the reader of its kind."""

    @property
    def instant(self) -> datetime:
        """The moment; a camera that gives no offset is taken to go by this machine's time zone."""
        return self.taken.astimezone()


@frozen
class Broken:
    """A file that is not taken over, and why."""

    path: Path
    why: str


@frozen
class Listing:
    """The files to look at, and those that are neither picture nor film."""

    files: tuple[Path, ...]
    others: tuple[Path, ...]


def listed(named: Iterable[Path]) -> Listing:
    """The files named, and those in the folders named and below, in order; hidden ones are not looked at."""
    files: dict[Path, None] = {}
    for path in named:
        files.update(dict.fromkeys(_below(path) if path.is_dir() else [path]))
    good = tuple(path for path in files if path.suffix.lower() in PICTURES or is_film(path.name))
    return Listing(good, tuple(path for path in files if path not in set(good)))


def _below(folder: Path) -> Iterator[Path]:
    for inner, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (Path(inner, name) for name in sorted(names) if not name.startswith("."))


def look(path: Path) -> Found | Broken:
    """What one file is; a film and a picture of a kind that has no reader here are told by their heads only."""
    film = is_film(path.name)
    if not path.is_file():
        return Broken(path, "this is not a file")
    try:
        taken, clock, opened = None, "the camera's clock", not film
        with path.open("rb") as stream:
            head = stream.read(HEAD)
            stream.seek(0)
            sha256 = fingerprint(stream)
        if not head:
            return Broken(path, "this file is empty")
        if film and not begins_film(head):
            return Broken(path, "this is not a film that can be played")
        if path.suffix.lower() in _HEIC and head[8:12] in _HEIC_BRANDS and "HEIF" not in _formats():
            opened = False
        if opened:
            taken = _taken_of(path)
        if taken is None:
            taken, clock = datetime.fromtimestamp(path.stat().st_mtime).astimezone(), "the file's time"
    except Exception as wrong:  # noqa: BLE001 - on broken files the decoders raise nearly everything there is
        return Broken(path, _why(wrong))
    return Found(path, sha256, taken, clock, film, opened or film)


@lru_cache(maxsize=1)
def _formats() -> tuple[str, ...]:
    """The formats that can be read here; the HEIC reader is an extra."""
    from PIL import Image

    Image.init()
    with suppress(ImportError):
        importlib.import_module("pillow_heif").register_heif_opener(thumbnails=False)
    return tuple(name for name in _FORMATS if name in Image.OPEN)


def _taken_of(path: Path) -> datetime | None:
    """Decode the whole picture, and give the time written in it, with its offset where that is there."""
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with Image.open(path, formats=_formats()) as image:
            image.draft(None, _SMALL)
            image.load()
            return _written(image)


def _written(image: object) -> datetime | None:
    """The time in a picture's data; what cannot be read counts as none."""
    try:
        details = image.getexif().get_ifd(_DETAILS)  # type: ignore[attr-defined]
    except Exception:  # noqa: BLE001 - a damaged block of details must not cost the picture
        return None
    times = (moment(str(details.get(time, "")), str(details.get(offset, ""))) for time, offset in _TAKEN)
    return next((time for time in times if time is not None), None)


def moment(time: str, offset: str) -> datetime | None:
    """An Exif time such as ``2026:07:04 14:03:20`` with its offset, such as ``+02:00``; None if it is no time."""
    found = re.match(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)", time, re.ASCII)
    if not found or not _FIRST_YEAR < int(found[1]) < _LAST_YEAR:
        return None
    zone = re.match(r"[+-]\d\d:\d\d", offset, re.ASCII)
    plain = "{}-{}-{}T{}:{}:{}".format(*found.groups())
    for text in (plain + zone[0] if zone else plain, plain):
        try:
            return datetime.fromisoformat(text)
        except ValueError:
            continue
    return None


def _why(wrong: Exception) -> str:
    """Why a file is not taken, without what only a programmer would understand."""
    from PIL import Image, UnidentifiedImageError

    if isinstance(wrong, UnidentifiedImageError):
        return "this is not a picture of a kind that can be read"
    if isinstance(wrong, Image.DecompressionBombError):
        return "it has too many pixels to be opened; save a smaller copy of it"
    if isinstance(wrong, OSError) and wrong.strerror:
        return f"it cannot be read ({wrong.strerror})"
    if "truncated" in str(wrong).lower():
        return "this picture breaks off before its end"
    return f"this picture is damaged ({str(wrong) or type(wrong).__name__})"
