"""The heads of the picture files, read for the audit: whether each is a picture or film, how large, of what day, and which are the same.

Only heads are read, and whole files only where two are of one size; the library for it is loaded when first needed.
"""

from __future__ import annotations

import importlib
import re
import warnings
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import date
from pathlib import Path

from buildlog.basics.films import HEAD, begins_film, is_film
from buildlog.basics.fingerprints import fingerprint
from buildlog.records.pictures import Snapshot, Survey

_DETAILS, _TAKEN = 0x8769, 0x9003
"""Exif: the block of details, and in it the day and time the picture was taken (DateTimeOriginal)."""


def survey(root: Path, files: Iterable[str]) -> Survey:
    """What the heads of some files below a folder tell."""
    with suppress(ImportError):
        importlib.import_module("pillow_heif").register_heif_opener(thumbnails=False)
    snapshots = {file: _snapshot(root / file) for file in sorted(files)}
    return Survey(snapshots, tuple(_same(root, snapshots)))


def _snapshot(path: Path) -> Snapshot:
    return _film(path) if is_film(path.name) else _picture(path)


def _film(path: Path) -> Snapshot:
    try:
        with path.open("rb") as stream:
            if not begins_film(stream.read(HEAD)):
                return Snapshot(0, trouble="this is not a film of a kind that can be shown")
        return Snapshot(path.stat().st_size, 0)
    except OSError as wrong:
        return Snapshot(0, trouble=_why(wrong))


def _picture(path: Path) -> Snapshot:
    from PIL import Image

    try:
        size = path.stat().st_size
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path) as image:
                return Snapshot(size, image.width * image.height, _taken(image))
    except Image.DecompressionBombError:
        return Snapshot(size)
    except Exception as wrong:  # noqa: BLE001 - on broken files the decoders raise nearly everything there is
        return Snapshot(0, trouble=_why(wrong))


def _why(wrong: Exception) -> str:
    """Why a file cannot be read, without its path on this machine."""
    from PIL import UnidentifiedImageError

    if isinstance(wrong, UnidentifiedImageError):
        return "this is not a picture of a kind that can be read"
    return wrong.strerror or "it cannot be read" if isinstance(wrong, OSError) else "its head is damaged"


def _taken(image: object) -> date | None:
    """The day a picture says it was taken; what cannot be read counts as none."""
    try:
        written = str(image.getexif().get_ifd(_DETAILS).get(_TAKEN, ""))  # type: ignore[attr-defined]
        found = re.match(r"(\d{4}):(\d{2}):(\d{2})", written, re.ASCII)
        return date(*map(int, found.groups())) if found else None
    except Exception:  # noqa: BLE001 - a damaged block of details, or a camera that never knew the day
        return None


def _same(root: Path, snapshots: dict[str, Snapshot]) -> Iterator[tuple[str, ...]]:
    """Files with the same content under several names."""
    by_size: dict[int, list[str]] = {}
    for file, snapshot in snapshots.items():
        if not snapshot.trouble:
            by_size.setdefault(snapshot.size, []).append(file)
    for files in by_size.values():
        by_content: dict[str, list[str]] = {}
        for file in files if len(files) > 1 else ():
            with (root / file).open("rb") as stream:
                by_content.setdefault(fingerprint(stream), []).append(file)
        yield from (tuple(group) for group in by_content.values() if len(group) > 1)
