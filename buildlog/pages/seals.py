"""Where a seal stands, in words: on an entry's page, in lists, on the page of signatures, in the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from buildlog.records.seals import SealState

BROKEN = "changed since it was sealed"
"""The mark of a broken seal in lists."""


@frozen
class SealLine:
    """Where the seal of an entry stands: ``words`` is the whole of it; ``note`` tells of seals before it."""

    words: str
    whole: bool
    note: str = ""


def seal_line(seal: SealState, book: Logbook, words: Words) -> SealLine:
    """A seal in words: ``Sealed 20 June 2026, unchanged``, or what has changed since."""
    day = words.day(seal.sealed)
    before = [words.day(old.sealed) for old in book.seals if old.superseded and old.entry == seal.entry]
    note = f"sealed before that on {words.listed(before)}, and changed between" if before else ""
    if seal.whole:
        return SealLine(f"Sealed {day}, unchanged", whole=True, note=note)
    return SealLine(f"Changed since it was sealed on {day}: {changed_words(seal, words)}", whole=False, note=note)


def changed_words(seal: SealState, words: Words) -> str:
    """What has changed: the entry's text, the files with it by their names, or how many where names may not be seen."""
    said = ["its text is gone" if seal.file in seal.gone else "its text"] if seal.file in seal.changed else []
    said += [f"{path} is gone" if path in seal.gone else path for path in seal.changed if path != seal.file]
    named = any(path != seal.file for path in seal.changed)
    if seal.unnamed:
        said.append(counted(seal.unnamed, "more file") if named else f"{counted(seal.unnamed, 'file')} with it")
    return words.listed(said)


def broken_mark(entry: str, seals: Mapping[str, SealState]) -> str:
    """The words that mark an entry in a list if its seal is broken, else ''."""
    seal = seals.get(entry)
    return BROKEN if seal and not seal.whole else ""


def standing_lines(book: Logbook) -> Iterator[str]:
    """Where every seal stands, and which signed entries have none, for the terminal."""
    words, sealed = Words(book), book.sealed()
    for name, seal in sealed.items():
        line = seal_line(seal, book, words)
        yield f"{name}: {line.words}" + (f" ({line.note})" if line.note else "")
    for entry in book.entries:
        if entry.facts.signed and entry.slug not in sealed:
            yield f"{entry.slug}: signed, not sealed"
    if not sealed:
        yield "No entry is sealed."
