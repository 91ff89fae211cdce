"""seals.yaml, and whether what was sealed is still as it was: only entries that are sealed are read for it."""

from __future__ import annotations

from pathlib import Path

from buildlog.basics.fingerprints import fingerprint, text_fingerprint
from buildlog.reading.desk import Desk
from buildlog.reading.entries import stem
from buildlog.reading.validate import validated
from buildlog.records.seals import SEALS, Seal, Seals, SealState


def the_seals(desk: Desk) -> tuple[SealState, ...]:
    """Where each seal stands; a file that cannot be read counts as gone."""
    document = desk.document(SEALS) if SEALS in desk.folder.files else None
    if document is None:
        return ()
    seals, problems = validated(Seals, document, desk.context)
    desk.problems += problems
    if seals is None:
        return ()
    last = {stem(seal.entry): number for number, seal in enumerate(seals.seals)}
    return tuple(
        _state(seal, desk, superseded=last[stem(seal.entry)] != number) for number, seal in enumerate(seals.seals)
    )


def _state(seal: Seal, desk: Desk, *, superseded: bool) -> SealState:
    file = _where(seal.entry, desk)
    if superseded:
        return SealState(stem(seal.entry), file, seal.sealed, superseded=True, place=seal.place)
    there = frozenset(desk.folder.files)
    now = {file: _text(desk.folder.root / file) if file in there else None}
    now |= {path: _bytes(desk.folder.root / path) if path in there else None for path in sorted(seal.files)}
    was = seal.files | {file: seal.sha256}
    changed = tuple(path for path, held in now.items() if held != was[path])
    gone = tuple(path for path in changed if now[path] is None)
    return SealState(stem(seal.entry), file, seal.sealed, changed, gone, place=seal.place)


def _where(sealed: str, desk: Desk) -> str:
    """The entry's file: as it was sealed, or of the same name in another folder of the log."""
    if sealed in desk.folder.files:
        return sealed
    return next((file for file in desk.folder.under("log", ".md") if stem(file) == stem(sealed)), sealed)


def _text(path: Path) -> str | None:
    try:
        return text_fingerprint(path.read_bytes())
    except OSError:
        return None


def _bytes(path: Path) -> str | None:
    try:
        with path.open("rb") as stream:
            return fingerprint(stream)
    except OSError:
        return None
