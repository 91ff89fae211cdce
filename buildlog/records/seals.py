"""seals.yaml: fingerprints of signed entries and of the files they name, so that a later change shows.

The format is this program's own. A seal is of an entry's name: moved to another folder below log/ it is the same entry.
The last seal of an entry counts; those before it stay in the file as its history.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from dataclasses import field
from datetime import date
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread, Place, shown
from buildlog.records.entry import Entry
from buildlog.records.types import DateField, Record, TextField, checked, plain_map

SEALS = "seals.yaml"
_SAMPLE = "0c15e883dee85bb2f3540a47ec58f617a2547117f9096417ba5422268029f501"


def _fingerprint(text: str) -> None:
    if not re.fullmatch(r"[0-9a-f]{64}", text):
        raise Misread(
            "not-a-fingerprint",
            f"{shown(text)} is no SHA-256 of 64 hexadecimal digits",
            "take it back as  buildlog seal  wrote it, or take the whole seal out and seal the entry again",
        )


Fingerprint = Annotated[str, checked(_fingerprint, "SHA-256", _SAMPLE)]


class Seal(Record):
    """One sealing of an entry."""

    sample: ClassVar[str] = f"{{entry: log/2026-07-04-battery.md, sealed: 2026-07-04, sha256: {_SAMPLE}}}"

    entry: TextField = Field(description="The entry's file.", examples=["log/2026-07-04-battery.md"])
    sealed: DateField = Field(description="The day it was sealed.", examples=["2026-07-04"])
    sha256: Fingerprint = Field(
        description="SHA-256 of the entry's text with its lines ended by LF and no byte-order mark: for a file with LF "
        "what  sha256sum  gives.",
    )
    files: Annotated[dict[str, Fingerprint], BeforeValidator(plain_map)] = Field(
        {}, description="SHA-256 of the bytes of each file the entry names, by its path from the project folder."
    )


class Seals(Record):
    """seals.yaml."""

    seals: tuple[Seal, ...] = Field((), description="Each sealing, the newest last.")


@frozen
class SealState:
    """Where a seal stands: whether the entry and the files sealed with it are still what they were."""

    entry: str
    """The entry's address (its file's stem)."""
    file: str
    sealed: date
    changed: tuple[str, ...] = ()
    """What is not as it was sealed, or not there any more: the entry's own file first, then the files with it."""
    gone: tuple[str, ...] = ()
    """Those of them that are not there any more."""
    unnamed: int = 0
    """How many more are changed whose names this audience may not see."""
    superseded: bool = False
    """Whether a later seal of the same entry has taken its place; then nothing is compared."""
    place: Place = field(default=Place(""))

    @property
    def whole(self) -> bool:
        """Whether nothing has changed."""
        return not (self.changed or self.unnamed)


def attachments(entry: Entry, files: frozenset[str]) -> tuple[str, ...]:
    """The files of the project that an entry names: photos, papers, receipts, tags, pages with signatures, links in its text."""
    named = dict.fromkeys(path for path in _named(entry) if path)
    found = {_from_folder(path, entry.file, files) for path in named}
    return tuple(sorted(path for path in found if path and not _is_writing(path)))


def _named(entry: Entry) -> Iterator[str | None]:
    facts = entry.facts
    yield facts.picture
    yield from (photo.file for photo in facts.photos)
    yield from (document.file for document in facts.documents)
    yield from (line.receipt for line in facts.bought)
    yield from (quote.document for quote in facts.quotes)
    yield from (name for line in facts.components for name in (line.tag, line.paper))
    yield from (line.paper for line in facts.signed)
    yield from (reference.target.partition("#")[0] for reference in entry.prose.references)


def _from_folder(path: str, file: str, files: frozenset[str]) -> str:
    """The path from the project folder, as the reader finds it; '' for what is no file here, as the number of a tag."""
    tries = (posixpath.join(posixpath.dirname(file), path), path)
    return next((found for found in map(posixpath.normpath, tries) if found in files), "")


def _is_writing(path: str) -> bool:
    """Whether a link leads to another writing of the builder: that goes on being written, and is no part of this one."""
    return not path.startswith(("photos/", "documents/")) and path.endswith((".md", ".yaml", ".csv"))
