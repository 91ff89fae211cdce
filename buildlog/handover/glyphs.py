"""Signs that the print fonts lack: told with their place, and set as another sign, before the engine meets them.

The engine refuses a PDF/A with a sign that no font has. Which signs they have stands in ``coverage.txt`` beside the
fonts: ranges in hexadecimal, measured with the engine itself (tests/handover/test_pdf.py holds the list against the fonts).
Signs that are never seen, as the joiners and selectors within an emoji, are left out without a word.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.handover.document_nodes import Node

SUBSTITUTE = "\u25af"
COVERAGE = "coverage.txt"
_TEXTS = (
    "s",
    "alt",
    "name",
    "title",
    "code",
    "words",
    "note",
    "svg",
    "kind",
    "aircraft",
    "aircraft_short",
    "state_of",
    "line",
    "description",
    "figure",
    "unit",
    "date",
    "time",
    "by",
    "state",
)
"""The keys of a document whose values are set in type."""
_CONTROL = {"\n": "\n", "\t": "    "}
_SELECTORS = range(0xFE00, 0xFE10)


@frozen
class Coverage:
    """The signs that the fonts have, as the first and last of each range."""

    starts: tuple[int, ...]
    ends: tuple[int, ...]

    def __contains__(self, sign: str) -> bool:
        at = bisect_right(self.starts, ord(sign)) - 1
        return at >= 0 and ord(sign) <= self.ends[at]


def coverage(fonts: Path) -> Coverage:
    """What the fonts of a folder cover, by the list beside them."""
    lines = (fonts / COVERAGE).read_text("utf-8").splitlines()
    pairs = [one.split("-") for one in lines if one and not one.startswith("#")]
    return Coverage(tuple(int(pair[0], 16) for pair in pairs), tuple(int(pair[-1], 16) for pair in pairs))


def ranges(signs: Iterable[str]) -> list[str]:
    """Signs as the lines of a coverage file."""
    made: list[list[int]] = []
    for number in sorted(map(ord, signs)):
        if made and number == made[-1][1] + 1:
            made[-1][1] = number
        else:
            made.append([number, number])
    return [f"{first:04X}" if first == last else f"{first:04X}-{last:04X}" for first, last in made]


def printable(
    document: Node, known: Coverage, sources: Mapping[str, tuple[int, str]] | None = None
) -> tuple[Node, list[Problem]]:
    """The document with every lacking sign replaced, and a warning for each sign in each file.

    ``sources``: the text of each file that prose comes from, with its first line's number, to find the exact line.
    """
    work = _Setter(known, dict(sources or {}))
    made = work.set(document, "", 0)
    return made, work.problems()


@dataclass
class _Setter:
    """Goes through a document and keeps what it met."""

    known: Coverage
    sources: dict[str, tuple[int, str]]
    met: dict[tuple[str, str], list[int]] = field(default_factory=dict)

    def set(self, node: Any, file: str, line: int) -> Any:
        if isinstance(node, list):
            return [self.set(one, file, line) for one in node]
        if not isinstance(node, dict):
            return node
        file, line = node.get("file", file), node.get("line", line) if isinstance(node.get("line", 0), int) else line
        return {key: self._value(key, value, file, line) for key, value in node.items()}

    def _value(self, key: str, value: Any, file: str, line: int) -> Any:
        if isinstance(value, str):
            return self._text(value, file, line) if key in _TEXTS else value
        if key == "fields":
            return [self._text(one, file, line) for one in value]
        return self.set(value, file, line)

    def _text(self, text: str, file: str, line: int) -> str:
        if text.isascii() and text.isprintable():
            return text
        return "".join(sign if sign in self.known else self._other(sign, file, line) for sign in text)

    def _other(self, sign: str, file: str, line: int) -> str:
        if sign in _CONTROL:
            return _CONTROL[sign]
        if unicodedata.category(sign) in {"Cc", "Cf"} or ord(sign) in _SELECTORS:
            return ""
        self.met.setdefault((file, sign), []).append(line)
        return SUBSTITUTE

    def problems(self) -> list[Problem]:
        """One warning for each sign of each file."""
        return [self._problem(file, sign, lines) for (file, sign), lines in self.met.items()]

    def _problem(self, file: str, sign: str, lines: list[int]) -> Problem:
        name = unicodedata.name(sign, "a sign without a name").lower()
        often = f" ({counted(len(lines), 'time')})" if len(lines) > 1 else ""
        return Problem(
            self._place(file, sign, lines),
            "no-print-sign",
            f"the fonts of the document have no {sign!r} ({name}, U+{ord(sign):04X}); it is printed as {SUBSTITUTE}{often}",
            "write it in words, or with another sign",
            Severity.WARNING,
        )

    def _place(self, file: str, sign: str, lines: list[int]) -> Place:
        """The first line that holds the sign, from the block it was met in on."""
        first, text = self.sources.get(file, (1, ""))
        for number, words in enumerate(text.split("\n"), first):
            if number >= min(lines) and sign in words:
                return Place(file, number, words.index(sign) + 1)
        return Place(file or "project.yaml", min(lines))
