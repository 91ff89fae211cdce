"""``buildlog seal``: fingerprints of entries and of the files they name, added to seals.yaml.

What stands in seals.yaml is never written over: new seals go behind it, in a copy made aside and then moved in its place.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path, PurePosixPath
from typing import Any

import yaml

from buildlog.basics.fingerprints import fingerprint, text_fingerprint
from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted, suggestion
from buildlog.basics.problems import Place, Problem
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.seals import SEALS, attachments

_HEAD = """\
# Written by  buildlog seal . Each seal holds the SHA-256 of an entry and of the files it names, so that a later change
# shows. An entry's is taken with its lines ended by LF and no byte-order mark; the others' are those of  sha256sum .
# New seals go at the end; the last one of an entry counts.
"""


class NoSuchEntryError(Exception):
    """A name that is no entry's; nothing was written."""


@frozen
class Sealed:
    """What sealing did: the entries sealed, with how many files each; those sealed before and whole; why nothing was done."""

    made: tuple[tuple[str, int], ...] = ()
    kept: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()

    def told(self) -> Iterator[str]:
        """What was done, a line each."""
        for name, files in self.made:
            yield f"Sealed {name}: its text" + (f" and {counted(files, 'file')} with it" if files else "")
        yield from (f"{name} is sealed, and unchanged since" for name in self.kept)
        if self.problems:
            yield "Nothing was sealed."


def entry_named(name: str, root: Path, logbook: Logbook) -> Entry:
    """The entry of a name, a file name or a path from here or from the project's folder. Raises NoSuchEntryError."""
    plain = name.replace("\\", "/")
    stem = PurePosixPath(plain).name.removesuffix(".md")
    found = next((entry for entry in logbook.entries if entry.slug == stem), None)
    if found is None:
        unread = any(file.startswith("log/") and file.endswith(f"/{stem}.md") for file in logbook.files)
        known = [entry.slug for entry in logbook.entries]
        raise NoSuchEntryError(
            f"{stem} cannot be read as it is; buildlog audit tells why"
            if unread
            else f"there is no entry {name!r}; {suggestion(stem, known, 'name its file, as in  2026-07-04-battery')}"
        )
    if "/" in plain and (root / found.file).resolve() not in {Path(plain).resolve(), (root / plain).resolve()}:
        raise NoSuchEntryError(f"{name!r} is not in this project; its entry of that name is {found.file}")
    return found


def seal(
    root: Path,
    logbook: Logbook,
    entries: Iterable[Entry],
    day: date,
    faults: Iterable[Problem] = (),
    *,
    again: bool = False,
    unsigned: bool = False,
) -> Sealed:
    """Seal entries: all of them, or none if one of them cannot be. ``faults`` are the errors found in the project."""
    wanted = list(dict.fromkeys(entry.file for entry in entries))
    chosen = [entry for entry in logbook.entries if entry.file in wanted]
    standing = logbook.sealed()
    kept = tuple(entry.slug for entry in chosen if entry.slug in standing and standing[entry.slug].whole)
    new = [entry for entry in chosen if entry.slug not in kept]
    unsound = {fault.place.file for fault in faults}
    problems = [problem for entry in new for problem in _hindered(entry, logbook, unsound, again, unsigned)]
    if SEALS in unsound:
        problems.append(_unusable(f"{SEALS} has errors, so nothing is added to it", "buildlog audit  tells them"))
    if problems or not new:
        return Sealed(kept=kept, problems=tuple(problems))
    try:
        seals = [_sealed(root, entry, logbook, day) for entry in new]
        problems += _add(root, seals)
    except OSError as error:
        file = Path(error.filename or SEALS).name
        problems.append(
            _unusable(
                f"{file}: {error.strerror or error}", "see who may read and write there, and whether the disk is full"
            )
        )
    if problems:
        return Sealed(kept=kept, problems=tuple(problems))
    return Sealed(tuple((entry.slug, len(made["files"])) for entry, made in zip(new, seals, strict=True)), kept)


def _hindered(entry: Entry, logbook: Logbook, unsound: set[str], again: bool, unsigned: bool) -> Iterator[Problem]:
    """Why an entry is not sealed."""
    old = logbook.sealed().get(entry.slug)
    if old is not None and not again:
        yield Problem(
            Place(entry.file),
            "sealed-already",
            f"it was sealed on {old.sealed} and has changed since: {', '.join(old.changed)}",
            "put it back as it was, or write a new entry with  corrects:\n"
            f"if the change was meant, seal it again:  buildlog seal --again {entry.slug}",
        )
    if not entry.facts.signed and not unsigned:
        yield Problem(
            entry.place,
            "not-signed",
            "nobody has signed this entry",
            "write who did, as in  signed: {by: mechanic, as: work, date: 2026-07-04}\n"
            f"or seal it all the same:  buildlog seal --unsigned {entry.slug}",
        )
    if entry.file in unsound:
        yield Problem(
            Place(entry.file), "unsound-entry", "the entry has errors", "mend them first; buildlog audit  tells them"
        )


def _sealed(root: Path, entry: Entry, logbook: Logbook, day: date) -> dict[str, Any]:
    """One seal as plain values, in the order they are written."""
    files = {}
    for path in attachments(entry, logbook.files):
        with (root / path).open("rb") as stream:
            files[path] = fingerprint(stream)
    sha256 = text_fingerprint((root / entry.file).read_bytes())
    return {"entry": entry.file, "sealed": day.isoformat(), "sha256": sha256, "files": files}


def _add(root: Path, seals: Sequence[dict[str, Any]]) -> list[Problem]:
    """Write the seals behind what is there, or say why that cannot be done."""
    target = (root / SEALS).resolve()
    there = target.read_bytes() if target.exists() else b""
    whole = there + _written(seals, there.decode("utf-8")).encode()
    if _seals_in(whole) != [*(_seals_in(there) or []), *map(_plain, seals)]:
        remedy = "write its seals one below the other, each beginning with  - entry: , and nothing behind them"
        return [_unusable(f"{SEALS} is written so that nothing can be added at its end", remedy)]
    beside = target.with_name(f".{SEALS}.new")
    try:
        beside.write_bytes(whole)
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)
    return []


def _written(seals: Sequence[dict[str, Any]], there: str) -> str:
    """The text to add, with the line ends and the indent of what is there."""
    item = re.search(r"^( *)- ", there, re.MULTILINE)
    indent = item[1] if item else "  "
    lines = (
        []
        if item or re.search(r"^seals:", there, re.MULTILINE)
        else [*(_HEAD.splitlines() if not there else []), "seals:"]
    )
    for made in seals:
        lines += [f"{indent}- entry: {_scalar(made['entry'])}", f"{indent}  sealed: {made['sealed']}"]
        lines += [f"{indent}  sha256: {made['sha256']}"]
        lines += [f"{indent}  files:"] if made["files"] else []
        lines += [f"{indent}    {_scalar(path)}: {sha256}" for path, sha256 in made["files"].items()]
    end = "\r\n" if "\r\n" in there else "\n"
    return ("" if not there or there.endswith("\n") else end) + "".join(line + end for line in lines)


def _scalar(path: str) -> str:
    """A path as YAML: plain where it can be, else in quotes."""
    return path if re.fullmatch(r"\w[\w./-]*", path) else json.dumps(path, ensure_ascii=False)


def _plain(made: dict[str, Any]) -> dict[str, Any]:
    """A seal as it is read back: no empty list of files."""
    return {name: held for name, held in made.items() if held}


def _seals_in(content: bytes) -> list[Any] | None:
    """The seals in a text, all scalars as words; None where there are none or it is no YAML."""
    try:
        value = yaml.load(content.decode("utf-8-sig"), Loader=yaml.BaseLoader)  # noqa: S506 - makes words only
    except (yaml.YAMLError, UnicodeDecodeError):
        return None
    held = value.get("seals") if isinstance(value, dict) else None
    return held if isinstance(held, list) else None


def _unusable(message: str, remedy: str) -> Problem:
    return Problem(Place(SEALS), "cannot-seal", message, remedy)
