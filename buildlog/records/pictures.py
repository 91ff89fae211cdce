"""The pictures that the record shows: where each is named, and what was found in its file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.writings import Decision, Page


@frozen
class Snapshot:
    """What the head of a file tells: ``size`` in bytes, ``pixels`` (None: too many to open; 0: a film), its own day.

    ``trouble`` is why it cannot be read, "" where it can.
    """

    size: int
    pixels: int | None = None
    taken: date | None = None
    trouble: str = ""


@frozen
class Survey:
    """The files of the pictures looked at, by path, and those that hold the same, in groups."""

    snapshots: Mapping[str, Snapshot] = field(default_factory=dict)
    same: tuple[tuple[str, ...], ...] = ()


def named_in(text: Entry | Decision | Page) -> dict[str, Place]:
    """The pictures that a text or the lines before it name, each with the first place."""
    named: dict[str, Place] = {}
    if isinstance(text, Entry):
        for line in text.facts.photos:
            named.setdefault(line.file, line.place)
    for reference in text.prose.references:
        if reference.picture and reference.target:
            named.setdefault(reference.target.partition("#")[0], reference.place)
    return named


def pictures_of(book: Logbook) -> dict[str, Place]:
    """Every picture named and there, with the first place that names it."""
    named: dict[str, Place] = {}
    for text in book.texts():
        for file, place in named_in(text).items():
            if file in book.files:
                named.setdefault(file, place)
    return named
