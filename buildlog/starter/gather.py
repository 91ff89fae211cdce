"""``buildlog gather``: pictures off a card into photos/, by day, and a draft of an entry for each working session.

Nothing is deleted or written over: a file is copied under a name that is free, compared with what was read, and only
then given that name. What is in photos/ already, by its content, is not copied again.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

from buildlog.basics.fingerprints import fingerprint
from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.records.logbook import Logbook
from buildlog.starter.drafts import begin_draft, plain_name
from buildlog.starter.pictures_found import Broken, Found, listed, look
from buildlog.starter.sessions import Session, sessions

_ASIDE = ".being-copied"


@frozen
class Plan:
    """What would be done: sessions with new pictures; what is left out, and why."""

    sessions: tuple[Session, ...]
    repeats: int
    broken: tuple[Broken, ...]
    others: tuple[Path, ...]
    inside: int

    @property
    def new(self) -> list[Found]:
        """The pictures to copy."""
        return [found for session in self.sessions for found in session.pictures]


@dataclass
class Gathered:
    """What was done: the files copied, the drafts begun, and why it ended early, if it did."""

    copied: list[str] = field(default_factory=list)
    drafts: list[str] = field(default_factory=list)
    stopped: str = ""


def plan(root: Path, named: Iterable[Path], gap: timedelta, progress: Callable[[int, int], None] | None = None) -> Plan:
    """Look at every file and say what would be done; nothing is written."""
    listing = listed(named)
    files = [path for path in listing.files if not path.resolve().is_relative_to(root.resolve())]
    there = _Known(root / "photos")
    new: dict[str, Found] = {}
    broken: list[Broken] = []
    repeats = 0
    for number, path in enumerate(files, 1):
        found = look(path)
        if isinstance(found, Broken):
            broken.append(found)
        elif found.sha256 in new or there.holds(found):
            repeats += 1
        else:
            new[found.sha256] = found
        if progress:
            progress(number, len(files))
    inside = len(listing.files) - len(files)
    return Plan(tuple(sessions(new.values(), gap)), repeats, tuple(broken), listing.others, inside)


class _Known:
    """What photos/ holds by content; only files as long as one that is asked about are read."""

    def __init__(self, folder: Path) -> None:
        self._by_size: dict[int, list[Path]] = {}
        self._contents: dict[int, set[str]] = {}
        for path in folder.rglob("*"):
            if path.is_file() and not path.name.startswith("."):
                self._by_size.setdefault(path.stat().st_size, []).append(path)

    def holds(self, found: Found) -> bool:
        """Whether a file of the same content is there."""
        size = found.path.stat().st_size
        if size not in self._contents:
            self._contents[size] = {_sha256(path) for path in self._by_size.get(size, ())}
        return found.sha256 in self._contents[size]


def _sha256(path: Path) -> str:
    with path.open("rb") as stream:
        return fingerprint(stream)


def gather(root: Path, logbook: Logbook, planned: Plan, progress: Callable[[int, int], None] | None = None) -> Gathered:
    """Copy the pictures and begin the drafts. A session cut short has a draft of the pictures that were copied."""
    done = Gathered()
    slugs = {entry.slug for entry in logbook.entries} | {path.stem for path in (root / "log").rglob("*.md")}
    years = {session.first_day.year for session in planned.sessions}

    def tell(files: int) -> None:
        if progress:
            progress(files, len(planned.new))

    by_year = {year: any(file.startswith(f"log/{year}/") for file in logbook.files) for year in years}
    for session in planned.sessions:
        try:
            _one(root, session, done, slugs, by_year[session.first_day.year], tell)
        except OSError as wrong:
            done.stopped = f"{wrong.strerror or wrong}"
            break
    return done


def _one(
    root: Path, session: Session, done: Gathered, slugs: set[str], by_year: bool, tell: Callable[[int], None]
) -> None:
    """Copy one session's pictures and begin its draft."""
    copied: list[tuple[Found, str]] = []
    try:
        for found in session.pictures:
            copied.append((found, _copied(root, found)))
            done.copied.append(copied[-1][1])
            tell(len(done.copied))
    finally:  # also when the builder stops it: a picture copied and in no draft would be overlooked next time
        if copied:
            done.drafts.append(begin_draft(root, session, copied, slugs, by_year=by_year))


def _copied(root: Path, found: Found) -> str:
    """Copy one file under a free name, whole or not at all; its path from the project's folder."""
    folder = root / "photos" / found.taken.date().isoformat()
    folder.mkdir(parents=True, exist_ok=True)
    aside = folder / _ASIDE
    try:
        with found.path.open("rb") as source, aside.open("wb") as target:
            shutil.copyfileobj(source, target, 1 << 20)
        with aside.open("rb") as written:
            digest = hashlib.file_digest(written, "sha256")
        if digest.hexdigest() != found.sha256:
            raise OSError(f"{found.path.name} changed while it was copied")
        seen = found.path.stat()
        os.utime(aside, ns=(seen.st_atime_ns, seen.st_mtime_ns))
        return f"photos/{folder.name}/{_settled(aside, folder, plain_name(found.path.name))}"
    finally:
        aside.unlink(missing_ok=True)


def _settled(aside: Path, folder: Path, name: str) -> str:
    """Give the copy the name, with a number if that is taken, in large or small letters."""
    taken = {path.name.casefold() for path in folder.iterdir()}
    for numbered in _numbered(name):
        if numbered.casefold() in taken:
            continue
        try:
            (folder / numbered).hardlink_to(aside)  # fails, and writes nothing over, if the name is taken meanwhile
        except FileExistsError:
            continue
        except OSError:  # a file system without links
            aside.rename(folder / numbered)
        return numbered
    raise AssertionError  # the numbers do not end


def _numbered(name: str) -> Iterator[str]:
    stem, dot, ending = name.rpartition(".")
    yield name
    number = 2
    while True:
        yield f"{stem}-{number}{dot}{ending}"
        number += 1


def told(planned: Plan) -> Iterator[str]:
    """What would be done, a line each."""
    for session in planned.sessions:
        first, last = session.pictures[0], session.pictures[-1]
        span = f"{first.taken:%Y-%m-%d %H:%M} to {last.taken:%Y-%m-%d %H:%M}" if first != last else ""
        yield f"{span or f'{first.taken:%Y-%m-%d %H:%M}'}: {_kinds(session.pictures)}"
    yield from _clocks(planned.new)
    if planned.repeats:
        yield f"{counted(planned.repeats, 'file')} left out: the same content is in photos/, or among the others."
    if planned.inside:
        yield f"{counted(planned.inside, 'file')} left alone: in the project already."
    if planned.others:
        endings = sorted({path.suffix.lower() or "no ending" for path in planned.others})
        yield f"{counted(len(planned.others), 'file')} left alone: no picture or film of a kind taken ({', '.join(endings)})."


def _kinds(found: Sequence[Found]) -> str:
    films = sum(each.film for each in found)
    said = [counted(len(found) - films, "picture")] if len(found) > films else []
    return " and ".join(said + ([counted(films, "film")] if films else []))


def _clocks(new: Sequence[Found]) -> Iterator[str]:
    """By which clock the times are, and what was not looked into."""
    camera = [each for each in new if each.clock != "the file's time"]
    offset = sum(each.taken.tzinfo is not None for each in camera)
    if camera:
        yield f"Time by the camera's clock: {len(camera)}, of which {offset} give its offset from UTC."
    if len(new) > len(camera):
        yield f"Time by the file's, because none could be read in it: {len(new) - len(camera)}."
    unopened = sum(not each.opened for each in new)
    if unopened:
        yield (
            f"{counted(unopened, 'HEIC picture')} cannot be looked into here and will be copied unseen; "
            'the reader for them:  pip install "buildlog[heic]"'
        )
