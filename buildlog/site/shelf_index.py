"""The index of the picture cache: what it holds in memory, and as a file.

Lines of the file that are not as this program writes them are left out: a damaged index is only slower.
"""

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from buildlog.basics.frozen import frozen

_T = TypeVar("_T")
_SHORT = 16
"""So much of a fingerprint stands in the names of files."""


@frozen
class Stored:
    """One file on the shelf: the end of its name, as 1600.jpg, its size in pixels (0: not known), its length."""

    label: str
    width: int
    height: int
    length: int


@frozen
class Facts:
    """What was made of an original: its upright size, the files, largest first, and the day it was last wanted."""

    width: int
    height: int
    copies: tuple[Stored, ...]
    seen: int = 0


@dataclass
class Notes:
    """Which file had which size, time and fingerprint; what was made of what; when it was last cleared out (a day)."""

    files: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    pictures: dict[str, Facts] = field(default_factory=dict)
    cleared: int = 0

    def copy(self) -> "Notes":
        """The same, in dictionaries that no other thread adds to."""
        return Notes(self.files.copy(), self.pictures.copy(), self.cleared)

    def take_in(self, others: "Notes") -> None:
        """Adds, in place, what another run noted; of two days the later counts, else what is here already."""
        for path, note in others.files.items():
            self.files.setdefault(path, note)
        for key, facts in others.pictures.items():
            mine = self.pictures.setdefault(key, facts)
            if facts.seen > mine.seen:
                self.pictures[key] = replace(mine, seen=facts.seen)
        self.cleared = max(self.cleared, others.cleared)

    def wanted_since(self, oldest: int, today: int) -> "Notes":
        """What was wanted on this day or later, and the files of it that are still there."""
        pictures = {key: facts for key, facts in self.pictures.items() if facts.seen >= oldest}
        known = {key.partition(" ")[0] for key in pictures}
        files = {path: note for path, note in self.files.items() if note[2] in known and os.path.lexists(path)}
        return Notes(files, pictures, today)

    def names(self) -> frozenset[str]:
        """The names of all files that the index lists, with the print copies, which are made of these."""
        listed = (name_of(key, copy.label) for key, facts in self.pictures.items() for copy in facts.copies)
        return frozenset({*listed, *(print_copy(key, key.split()[1]) for key in self.pictures)})


def name_of(digest: str, label: str) -> str:
    """The name of a file made of the original with this fingerprint: it tells nothing of the original's name."""
    return f"{digest[:_SHORT]}-{label}"


def print_copy(digest: str, kind: str) -> str:
    """The name of the JPEG for print that is made of the large web copy in this format."""
    return name_of(digest, "800.jpg" if kind == "jpeg" else f"800-{kind}.jpg")


def notes_of(path: Path, version: str) -> Notes | None:
    """The index in a file; None where there is none, it cannot be read, or another version wrote it."""
    try:
        index = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return None
    if not isinstance(index, dict) or index.get("version") != version:
        return None
    cleared = index.get("cleared")
    return Notes(
        _each(index, "files", _file),
        {key: facts for key, facts in _each(index, "pictures", _picture).items() if " " in key},
        cleared if isinstance(cleared, int) else 0,
    )


def written(notes: Notes, version: str) -> bytes:
    """The file of the index."""
    pictures = {key: _listed(facts) for key, facts in sorted(notes.pictures.items())}
    index = {
        "version": version,
        "cleared": notes.cleared,
        "files": dict(sorted(notes.files.items())),
        "pictures": pictures,
    }
    return json.dumps(index).encode("ascii")


def _listed(facts: Facts) -> list[object]:
    return [facts.width, facts.height, facts.seen, [[c.label, c.width, c.height, c.length] for c in facts.copies]]


def _each(index: Mapping[str, object], part: str, read: Callable[[object], _T | None]) -> dict[str, _T]:
    """One part of the index."""
    lines = index.get(part)
    if not isinstance(lines, dict):
        return {}
    return {str(key): found for key, line in lines.items() if (found := read(line)) is not None}


def _file(line: object) -> tuple[int, int, str] | None:
    match line:
        case [int(size), int(time_ns), str(digest)]:
            return size, time_ns, digest
    return None


def _picture(line: object) -> Facts | None:
    match line:
        case [int(width), int(height), int(seen), [_, *_] as copies]:
            stored = [_stored(copy) for copy in copies]
            if None not in stored:
                return Facts(width, height, tuple(copy for copy in stored if copy is not None), seen)
    return None


def _stored(line: object) -> Stored | None:
    match line:
        case [str(label), int(width), int(height), int(length)] if label and "/" not in label and "\\" not in label:
            return Stored(label, width, height, length)
    return None
