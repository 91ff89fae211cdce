"""The text of one file, with a line table of its own: whatever ended its lines, only LF ends one here."""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem

LARGEST = 5_000_000
"""Bytes of text in one file beyond which it is surely not something a builder wrote by hand."""


@frozen
class Source:
    """A file's text, and its name from the project folder."""

    file: str
    text: str

    @staticmethod
    def of(file: str, text: str) -> Source:
        """The source of a text; CRLF and CR line ends are read as LF, a byte-order mark is dropped."""
        text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
        return Source(file, text)

    @cached_property
    def starts(self) -> tuple[int, ...]:
        """The offsets of the lines' first characters; a text that nobody asks a place of is not gone through."""
        starts, at = [0], self.text.find("\n")
        while at >= 0:
            starts.append(at + 1)
            at = self.text.find("\n", at + 1)
        return tuple(starts)

    def place(self, start: int, end: int | None = None) -> Place:
        """The place of a stretch of characters; one that runs over a line's end keeps only its start."""
        line = bisect_right(self.starts, start)
        column = start - self.starts[line - 1] + 1
        if end is None or end <= start:
            return Place(self.file, line, column)
        text = self.text[start:end].rstrip()
        whole = end if "\n" not in text else start + text.index("\n")
        return Place(self.file, line, column, column + min(whole, start + (len(text) or end - start)) - start)

    def line(self, number: int) -> str:
        """A line by its number, counted from 1."""
        end = self.starts[number] - 1 if number < len(self.starts) else len(self.text)
        return self.text[self.starts[number - 1] : end]

    def lines(self) -> list[str]:
        """All lines."""
        return self.text.split("\n")


def read_source(path: Path, file: str) -> tuple[Source | None, list[Problem]]:
    """The text of a file, or the problem that keeps it from being read."""
    try:
        if path.stat().st_size > LARGEST:
            words = f"the file is {path.stat().st_size:,} bytes long; that is no text a person wrote"
            return None, [Problem(Place(file), "huge-file", words, "move it to documents/, or split it")]
        raw = path.read_bytes()
    except OSError as error:
        return None, [
            Problem(
                Place(file),
                "cannot-open",
                f"the file cannot be read: {error.strerror or error}",
                "see who may read it and whether the disk is well",
            )
        ]
    try:
        return Source.of(file, raw.decode("utf-8")), []
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        words = f"byte {column} of line {line} (value {raw[error.start]}) is not UTF-8 text"
        return None, [Problem(Place(file, line, 0), "not-utf-8", words, "save the file as UTF-8 in your editor")]
