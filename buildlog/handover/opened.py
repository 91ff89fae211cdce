"""A package opened for reading, a folder or a zip alike; nothing outside it is ever read."""

from __future__ import annotations

import os
import stat
import zipfile
import zlib
from collections.abc import Callable, Mapping
from dataclasses import field
from io import BufferedIOBase
from pathlib import Path
from typing import cast

from buildlog.basics.frozen import frozen
from buildlog.handover.bag import DECLARATION, MANIFEST

UNREADABLE = (OSError, EOFError, RuntimeError, ValueError, NotImplementedError, zipfile.BadZipFile, zlib.error)
"""What reading a damaged file can end in."""


class NoPackageError(Exception):
    """What was named is no package at all."""


@frozen
class Opened:
    """The files of a package by name, each to be opened; and names that must not be unpacked or followed."""

    files: Mapping[str, Callable[[], BufferedIOBase]]
    unsafe: Mapping[str, str] = field(default_factory=dict)
    """Why, by name."""


def opened(path: Path) -> Opened:
    """Opens a package. Raises NoPackageError."""
    if not path.exists():
        raise NoPackageError(f"{path} is not there")
    try:
        found = _folder(path) if path.is_dir() else _zip(path)
    except UNREADABLE as error:
        raise NoPackageError(f"{path} is neither a folder nor a zip that can be read ({error})") from error
    if not found.unsafe and not {DECLARATION, MANIFEST} & {*found.files}:
        raise NoPackageError(f"{path} is no package: there is neither {DECLARATION} nor {MANIFEST} in it")
    return found


def _folder(path: Path) -> Opened:
    files: dict[str, Callable[[], BufferedIOBase]] = {}
    unsafe: dict[str, str] = {}
    for base, folders, names in os.walk(path):
        for name in sorted(names + [one for one in folders if (Path(base) / one).is_symlink()]):
            place = Path(base) / name
            shown = place.relative_to(path).as_posix()
            if stat.S_ISREG(place.lstat().st_mode):
                files[shown] = _opener(place)
            else:
                unsafe[shown] = "is a link or a device and no file"
    return Opened(files, unsafe)


def _opener(place: Path) -> Callable[[], BufferedIOBase]:
    return lambda: place.open("rb")


def _zip(path: Path) -> Opened:
    """The one folder within a zip, as a package is zipped."""
    archive = zipfile.ZipFile(path)
    entries = archive.infolist()
    if unsafe := _unsafe(entries):
        return Opened({}, unsafe)
    inside = [entry for entry in entries if not entry.is_dir()]
    tops = {entry.filename.partition("/")[0] for entry in inside}
    root = f"{tops.pop()}/" if len(tops) == 1 else ""
    return Opened({entry.filename.removeprefix(root): _member(archive, entry) for entry in inside})


def _member(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Callable[[], BufferedIOBase]:
    return lambda: cast("BufferedIOBase", archive.open(entry))


def _unsafe(entries: list[zipfile.ZipInfo]) -> dict[str, str]:
    """The names of a zip that would be written elsewhere than where it is unpacked, or twice."""
    found: dict[str, str] = {}
    seen: set[str] = set()
    for entry in entries:
        name = entry.orig_filename
        parts = name.removesuffix("/").split("/")
        if {"", ".."} & {*parts} or "\\" in name or ":" in name or "\0" in name:
            found[name] = "leads out of the folder it is unpacked in"
        elif entry.filename in seen:
            found[name] = "is in the zip twice"
        elif stat.S_ISLNK(entry.external_attr >> 16):
            found[name] = "is a link and no file"
        seen.add(entry.filename)
    return found
