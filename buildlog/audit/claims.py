"""Checks of what history.yaml says of the time before the log."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note
from buildlog.basics.problems import Problem, Severity
from buildlog.figures.conflicts import conflicts, subject_of
from buildlog.records.history import Fact

_TO_SEE = {"document": "a document", "marking": "a marking", "measured": "a measurement"}


def claim_without_evidence(case: Case) -> Iterator[Problem]:
    """A fact that rests on a document, a marking or a measurement names a photo or paper of it.

    Why: the paper will be lost one day, and then the fact is only a statement.
    Wrong: {about: engine, quantity: time_since_new, value: 361 h, basis: document, says: Oil slip}
    Right: the same with evidence: [documents/oil-slip.jpg]
    """
    for fact in case.worked.logbook.history.facts:
        if fact.basis in _TO_SEE and not fact.evidence:
            yield note(
                fact.place,
                "claim-without-evidence",
                f"{fact.about}, {_words(fact.quantity)}: known by {_TO_SEE[fact.basis]} that no file shows",
                "photograph it and add  evidence: [photos/name.jpg] ; if nobody can see it any more, write  "
                "basis: statement",
            )


def facts_conflict(case: Case) -> Iterator[Problem]:
    """Two facts about one thing do not contradict one another; both are kept, and the figures are as wide as they are.

    Compared are hours (which only grow), the day of the last flight, and amounts or single words of one date. Longer
    words are not compared, and what is unknown contradicts nothing.

    Why: whoever takes the record over will find it, and should find that you saw it.
    Wrong: {quantity: time_since_new, value: 412 h, on: 2004-06-14, …} and {…, value: 361 h, on: 2005-01-20}
    Right: the slip of the pen corrected; or both left, and a question in questions: that says what would settle it
    """
    for one, other in conflicts(case.worked.logbook.history.facts):
        yield _told(one, other)


def _told(one: Fact, other: Fact) -> Problem:
    about, quantity = subject_of(other)
    return Problem(
        other.place,
        "facts-conflict",
        f"{about}, {_words(quantity)}: {_said(other)} and {_said(one)} cannot both be true",
        "correct the one that is a slip of the pen; if both are written so, leave both and ask in  questions:",
        Severity.NOTE,
        (one.place,),
    )


def _said(fact: Fact) -> str:
    """What a fact says, as its builder wrote it."""
    bounds = [("", fact.value), ("at least ", fact.at_least), ("at most ", fact.at_most)]
    said = " and ".join(f"{word}{text}" for word, text in bounds if text)
    day = fact.on.text if fact.on else "no date"
    return f"{said} ({day})" if said else day


def _words(quantity: str) -> str:
    return quantity.replace("_", " ")
