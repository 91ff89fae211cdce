"""Checks of what was signed: that it stays as it was, that it says what such an entry says, that work that wants it has it."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note, warn
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.figures.signoffs import Point, Signature
from buildlog.records.seals import SealState
from buildlog.records.statements import SAFE

_REMEDIES = {
    "words": 'add  words: "what was signed"',
    "ink": "photograph or scan the page, and name it:  paper: documents/name.jpg",
    "total time": "add  total_time: 412.6 h",
    "how far": "add  extent: scope and detail of appendix D to part 43",
    "certificate": 'add  certificate: {kind: mechanic, number: "0417001"}  to the person in project.yaml, or here',
}


def sealed_entry_changed(case: Case) -> Iterator[Problem]:
    """A sealed entry and the files it names are still what they were when it was sealed.

    Why: a record whose signed entries can change afterwards without a word proves nothing by them.
    Wrong: a number mended in a sealed entry
    Right: a new entry with corrects: the sealed one, which stays as it was
    """
    for seal in case.worked.logbook.sealed().values():
        if not seal.whole:
            there = seal.file in case.worked.logbook.files
            yield Problem(
                Place(seal.file) if there else seal.place,
                "sealed-entry-changed",
                f"{seal.entry} was sealed on {seal.sealed} and has changed since: {_changed(seal)}",
                "put it back as it was, or write a new entry with  corrects:\n"
                f"if the change was meant, seal it again:  buildlog seal --again {seal.entry}",
                Severity.WARNING,
                (seal.place,) if there else (),
            )


def _changed(seal: SealState) -> str:
    """What has changed, by name."""
    return ", ".join(f"{path} (gone)" if path in seal.gone else path for path in seal.changed)


def signature_incomplete(case: Case) -> Iterator[Problem]:
    """A signature is told with all that an entry of its kind holds, and a condition inspection with its right words.

    For work 14 CFR 43.9(a), for inspections 43.11(a) and the aircraft's operating limitations; whether they apply to
    this aircraft is for its papers to say.

    Why: what is missing is cheap to ask for while the ink is wet.
    Wrong: signed: {by: mechanic, as: work, date: 2026-07-04}
    Right: the same with words: and paper:, and a certificate: of the mechanic in project.yaml
    """
    for signature in case.worked.signatures:
        lacking = [point for point in signature.points if point.shown is None]
        missing = [point for point in lacking if not point.wording]
        if missing:
            yield note(
                signature.line.place,
                "signature-incomplete",
                f"not shown of this signature: {'; '.join(_told(point) for point in missing)}",
                "\n".join(dict.fromkeys(_remedy(point) for point in missing)),
            )
        yield from (_wrong_words(signature, point) for point in lacking if point.wording)


def _told(point: Point) -> str:
    return f"{point.asks} ({point.rule})"


def _remedy(point: Point) -> str:
    return next(remedy for word, remedy in _REMEDIES.items() if word in point.asks)


def _wrong_words(signature: Signature, point: Point) -> Problem:
    return warn(
        signature.line.place,
        "signature-incomplete",
        f"{point.instead} ({point.rule})",
        f"copy the words as they were signed; if they do not find the aircraft in a {SAFE}, ask the signer",
    )


def signature_missing(case: Case) -> Iterator[Problem]:
    """Work on a system that wants a signature has one, in its own entry or in a later one of the same system.

    Why: a wing that nobody signed for is found out when it is closed up.
    Wrong: systems: {controls: {signature: yes}}, and an entry of controls with parts and no signed:
    Right: signed: in that entry, or in a later one with system: controls
    """
    entries = {entry.slug: entry for entry in case.worked.logbook.entries}
    for work in case.worked.unsigned:
        name = case.worked.logbook.system(work.system).name
        yield warn(
            entries[work.entry].place,
            "signature-missing",
            f"{name} wants a signature for its work, and neither this entry nor a later one of it has one",
            "when it is signed, write  signed: {by: mechanic, as: work, date: 2026-07-04}  here or in the later entry",
        )
