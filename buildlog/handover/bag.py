"""A BagIt 1.0 bag (RFC 8493): the files of a package below data/, and beside it the lists that prove them.

The bag and its zip are made aside, on the same disk, and moved into place when both lie ready; a run that is killed
leaves the former package whole. Killed between the two moves of the folder, the former lies beside it under a hidden
name, from which the next run puts it back. (Killed, not unplugged: nothing is forced to the disk.)

Same content, same bytes: files by name, no clock, the day of the record as the day of the bag.
"""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import date
from pathlib import Path
from typing import Protocol

from buildlog import VERSION
from buildlog.basics.frozen import frozen
from buildlog.handover.zipped import zipping
from buildlog.site.addresses import RENAME, Register
from buildlog.site.alone import alone
from buildlog.site.faults import Fault


class Awaited(Protocol):
    """A file that is still being made beside us; the bag takes it last."""

    def ready(self) -> Path:
        """Waits until it is there."""


Content = bytes | Path | Awaited
"""What is to be in a file: its bytes, or the file it is a copy of."""
DECLARATION = "bagit.txt"
INFO = "bag-info.txt"
MANIFEST = "manifest-sha256.txt"
TAG_MANIFEST = "tagmanifest-sha256.txt"
PAYLOAD = "data/"
AGENT = "Bag-Software-Agent: buildlog"
_CHUNK = 1 << 20
_ELSEWHERE = "choose another folder with  --to FOLDER"


@frozen
class Bag:
    """What goes into a bag. ``info`` are labels and values of bag-info.txt beside the bag's own; an empty one is left out."""

    payload: Mapping[str, Content]
    """By name below data/, as ``records/entries.csv``."""
    day: date | None
    """The day of the record."""
    info: Sequence[tuple[str, str]] = ()
    tags: Mapping[str, bytes] = field(default_factory=dict)
    """Files beside data/, as README.txt."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """What is known of the payload already: the SHA-256 that has been printed, so the file must still have it."""


@frozen
class Laid:
    """What was made; where there are faults, nothing was, and what is there stays as it was."""

    folder: Path
    zip: Path
    files: int = 0
    size: int = 0
    """Bytes of the payload."""
    faults: tuple[Fault, ...] = ()


def refused(target: Path, keep_out: Sequence[Path] = ()) -> tuple[Fault, ...]:
    """Why nothing may be made at ``target``, as `lay_bag` would say; for asking before long work."""
    root = Path(os.path.realpath(target))
    return (*_forbidden(root, keep_out), *_refusals(_place(root)))


def _place(root: Path) -> Laid:
    return Laid(root, root.with_name(f"{root.name}.zip"))


def lay_bag(
    bag: Bag, target: Path, keep_out: Sequence[Path] = (), progress: Callable[[int, int], None] | None = None
) -> Laid:
    """Makes the folder ``target`` this bag, and ``target``.zip its zip; replaces only a package this program made.

    The target may not be, hold, or lie inside any of ``keep_out``, the places of the builder's own files.
    """
    root = Path(os.path.realpath(target))
    done = _place(root)
    aside = root.with_name(f".{root.name}.buildlog-new")
    try:
        if faults := [*unfit(bag.payload, bag.tags), *_forbidden(root, keep_out)]:
            return replace(done, faults=tuple(faults))
        with alone(aside) as free:
            return _lay(bag, done, aside, progress) if free else replace(done, faults=(_busy(target),))
    except OSError as error:
        words = f"the package could not be made ({error.strerror or error}: {error.filename2 or error.filename or ''})"
        fault = Fault(str(target), words, "the former package, if there is one, is whole; put this right and try again")
        return replace(done, faults=(fault,))


def _lay(bag: Bag, done: Laid, aside: Path, progress: Callable[[int, int], None] | None) -> Laid:
    """The work itself, by the only run that is at it."""
    root = done.folder
    _put_back(root)
    if faults := tuple(_refusals(done)):
        return replace(done, faults=faults)
    with zipping(aside / done.zip.name) as pack:
        size = _write(bag, aside / root.name, pack, progress)
    _swap(aside / root.name, root)
    (aside / done.zip.name).replace(done.zip)
    return replace(done, files=len(bag.payload), size=size)


def _busy(target: Path) -> Fault:
    return Fault(str(target), "another run is making this package", "wait for it to end, then make it again")


def manifest(digests: Mapping[str, str]) -> bytes:
    """A manifest as ``sha256sum`` writes it, by name."""
    return "".join(f"{digest}  {name}\n" for name, digest in sorted(digests.items())).encode()


def _write(
    bag: Bag, folder: Path, pack: Callable[[str, Path], None], progress: Callable[[int, int], None] | None
) -> int:
    """The bag in a folder and, file by file, in its zip under the folder's name (RFC 8493, 4.2); its payload's bytes."""

    def put(name: str, content: Content) -> str:
        place = folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        found = _put(content, place)
        pack(f"{folder.name}/{name}", place)
        return found

    size, digests = 0, dict[str, str]()
    for number, (name, content) in enumerate(sorted(bag.payload.items(), key=_awaited_last), 1):
        digests[PAYLOAD + name] = found = put(PAYLOAD + name, content)
        if bag.digests.get(name, found) != found:
            raise OSError(errno.EAGAIN, "a file was changed while the package was being made", str(content))
        size += (folder / PAYLOAD / name).stat().st_size
        if progress:
            progress(number, len(bag.payload))
    tags = {
        **bag.tags,
        DECLARATION: b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        INFO: _info(bag, size),
        MANIFEST: manifest(digests),
    }
    sums = {name: put(name, content) for name, content in tags.items()}
    put(TAG_MANIFEST, manifest(sums))
    return size


def _awaited_last(named: tuple[str, Content]) -> tuple[bool, str]:
    name, content = named
    return not isinstance(content, bytes | Path), name


def _put(content: Content, place: Path) -> str:
    """Writes a file, and gives the SHA-256 of what was written."""
    if isinstance(content, bytes):
        place.write_bytes(content)
        return hashlib.sha256(content).hexdigest()
    found = hashlib.sha256()
    path = content if isinstance(content, Path) else content.ready()
    with path.open("rb") as source, place.open("wb") as copy:
        while chunk := source.read(_CHUNK):
            found.update(chunk)
            copy.write(chunk)
    return found.hexdigest()


def _info(bag: Bag, size: int) -> bytes:
    """bag-info.txt; what is not known is left out."""
    lines = [
        *bag.info,
        ("Bagging-Date", bag.day.isoformat() if bag.day else ""),
        ("Payload-Oxum", f"{size}.{len(bag.payload)}"),
    ]
    said = [f"{label}: {' '.join(value.split())}" for label, value in lines if value.strip()]
    return "".join(f"{line}\n" for line in [*said, f"{AGENT} {VERSION}"]).encode()


def unfit(payload: Mapping[str, Content], tags: Mapping[str, bytes] | None = None) -> Iterator[Fault]:
    """Every name that some computer or tool cannot hold, and every file that is not there, before anything is read."""
    register = Register()
    inside = {PAYLOAD + name: content for name, content in payload.items()}
    for name, content in sorted({**(tags or {}), **inside}.items()):
        if fault := register.enter(name):
            yield fault
        elif "%" in name:
            yield Fault(name, "programs that check packages do not agree how to read a name with  %", RENAME)
        elif isinstance(content, Path) and not content.is_file():
            yield Fault(str(content), "this file is not there, and the package needs it", "put it back, or take it out")


def _forbidden(root: Path, keep_out: Sequence[Path]) -> Iterator[Fault]:
    """Whether the builder's own files are here."""
    for kept in (Path(os.path.realpath(path)) for path in keep_out):
        if root in {kept, *kept.parents} or kept in root.parents:
            yield Fault(str(root), f"a package may not be made here: {kept.name} of the project is here", _ELSEWHERE)
            return


def _refusals(done: Laid) -> Iterator[Fault]:
    """What would be lost here."""
    root = done.folder
    if root.exists() and not root.is_dir():
        yield Fault(str(root), "this is a file, not a folder", _ELSEWHERE)
    elif root.is_dir() and (strangers := _strangers(root)):
        words = f"this folder holds what this program did not put there: {', '.join(strangers[:5])}"
        yield Fault(str(root), words, f"move it away, or {_ELSEWHERE}")
    elif done.zip.exists() and not _is_ours(root):
        yield Fault(str(done.zip), "a file of this name is there without its folder", f"move it away, or {_ELSEWHERE}")


def _is_ours(root: Path) -> bool:
    info = root / INFO
    return info.is_file() and AGENT in info.read_text("utf-8", errors="replace")


def _strangers(root: Path) -> list[str]:
    """The files in a folder that the package there does not list; all of them where it is none of ours."""
    files = sorted(path.relative_to(root).as_posix() for path in root.rglob("*") if not path.is_dir())
    if not _is_ours(root):
        return files
    lists = [root / name for name in (MANIFEST, TAG_MANIFEST) if (root / name).is_file()]
    lines = [line for one in lists for line in one.read_text("utf-8", errors="replace").split("\n")]
    listed = {line.partition("  ")[2] for line in lines} | {TAG_MANIFEST, MANIFEST, DECLARATION, INFO}
    return [name for name in files if name not in listed]


def _former(root: Path) -> Path:
    return root.with_name(f".{root.name}.buildlog-former")


def _put_back(root: Path) -> None:
    """Ends what a killed run left: its former package goes back where there is no new one, else away."""
    former = _former(root)
    if former.is_dir() and not root.exists():
        former.rename(root)
    elif former.is_dir():
        shutil.rmtree(former)


def _swap(ready: Path, root: Path) -> None:
    """The new folder in the place of the former one, which goes away last."""
    if root.exists():
        root.rename(_former(root))
    ready.rename(root)
    _put_back(root)
