"""A problem with what somebody wrote: a value with a place, a message and a remedy, never an exception."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from buildlog.basics.frozen import frozen


@dataclass(frozen=True, order=True)
class Place:
    """Where something stands: file from the project folder, line and columns counted from 1 (0: the whole file).

    ``end`` is the column after the last character on the same line, 0 where only the start is known.
    """

    file: str
    line: int = 0
    column: int = 0
    end: int = 0

    def __str__(self) -> str:
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n)]
        return ":".join(parts)


class Severity(StrEnum):
    """How much a problem matters: an error stops publishing, a warning does not, a note only tells."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@frozen
class Problem:
    """One thing to repair: its name is in plain words and never reused for something else."""

    place: Place
    name: str
    message: str
    remedy: str = ""
    severity: Severity = Severity.ERROR
    also: tuple[Place, ...] = field(default=())

    def sort_key(self) -> tuple[str, int, int, str, str]:
        """Problems are told in the order of the files, whatever order they were found in."""
        return (self.place.file, self.place.line, self.place.column, self.name, self.message)


class Misread(ValueError):  # noqa: N818 - a word for what happened, as the house names things
    """Raised by the parsers of ``basics`` for a text that is not what it should be; the reader makes a Problem of it.

    ``field`` names the one field of a record that the complaint is about, where it is not the whole of it.
    """

    def __init__(self, name: str, message: str, remedy: str = "", field: str = "") -> None:
        super().__init__(message)
        self.name = name
        self.message = message
        self.remedy = remedy
        self.field = field


def shown(value: object, longest: int = 60) -> str:
    """What was written as a message names it: a text in quotes, cut if it is long; anything else in words."""
    if isinstance(value, str):
        text = value if len(value) <= longest else value[: longest - 1] + "\u2026"
        return "'" + "".join(char if char.isprintable() else repr(char)[1:-1] for char in text) + "'"
    if isinstance(value, bool):
        return "'true'" if value else "'false'"
    if isinstance(value, Mapping):
        return "a group of lines"
    return "an empty field" if value is None else "a list" if isinstance(value, list | tuple) else repr(value)


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """The problems sorted by place, each once."""
    return sorted(set(problems), key=Problem.sort_key)


def as_text(problem: Problem, lines: Mapping[str, list[str]]) -> str:
    """The problem as it is printed: place, name, message, the source line with a mark under it, the remedy.

    ``lines`` holds the lines of each file that was read, by its name.
    """
    where = problem.place
    told = [f"{where}: {problem.severity} {problem.name}: {problem.message}"]
    source = lines.get(where.file, [])
    if 0 < where.line <= len(source):
        told += _quoted(source[where.line - 1], where)
    told += [f"      {line}" for line in problem.remedy.splitlines()]
    told += [f"      see also {place}" for place in problem.also]
    return "\n".join(told)


def _quoted(line: str, where: Place, width: int = 96) -> list[str]:
    """The source line and the mark under what is meant, cut to a window round the mark if it is long."""
    start = max(where.column - 1, 0)
    stop = where.end - 1 if where.end > where.column else len(line.rstrip())
    left = max(0, min(start - 24, len(line) - width))
    text = "".join(c if c.isprintable() else " " for c in line)[left : left + width].rstrip()
    quoted = [f" {where.line:4d} | {text}".rstrip()]
    if where.column:
        length = max(1, min(stop, left + width) - start)
        quoted.append("      | " + " " * (start - left) + "^" * min(length, max(1, len(text) - start + left)))
    return quoted
