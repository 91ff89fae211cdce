"""Signatures: what each says, what a rule asks of such an entry and what of that is shown; and work that wants one.

Sources (14 CFR, read in a stored copy of the public text)
- 43.9(a), an entry of work: (1) a description of the work; (2) the date of its completion; (3) the name of whoever did it
  if not the signer; (4) the signature, certificate number and kind of certificate of the signer, which approve the return
  to service of that work only.
- 43.11(a), an entry of an inspection: (1) its type and a brief description of its extent; (2) its date and the aircraft's
  total time in service; (3) signature, certificate number and kind of certificate.
- The statement of a condition inspection is asked for by the aircraft's own operating limitations: it "was found to be in
  a condition for safe operation", and never the word of type-certificated aircraft. Theirs prevail over what stands here.
- 43.1(b) leaves most amateur-built aircraft out of part 43; to sign in its form all the same is common practice.

Assumptions: a signature covers the entry it stands in. The words signed are the description of the work, for only they
show what was signed. The work was complete on the entry's last day, or when it was signed if that was before. Who else is
named under ``hours:`` did the work. That a system wants a signature for its work is the builder's own rule
(``signature: yes`` in project.yaml): common practice for engine, propeller and controls.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.records.changes import SignOff
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.project import Certificate, Person

SAFE = "condition for safe operation"
"""What the statement of a condition inspection says."""
NOT_FOR_THIS = "airworthy"
"""What it does not say: the word claims conformity with a type certificate."""
_LIMITATIONS = "the operating limitations of the aircraft"
_KEPT_BACK = "not told here"
_NO_PAGE = "stated here; the signed page is not in this record"


@frozen
class Point:
    """One thing that a rule asks of a signed entry; ``shown`` is None where the record does not show it."""

    asks: str
    shown: str | None
    rule: str
    instead: str = ""
    """What is said where it is not shown."""
    day: date | None = None
    """The day, where ``shown`` is one."""
    kept_back: bool = False
    """Whether this audience may not see such a thing, so that nobody can say that it is missing."""
    is_file: bool = False
    """Whether ``shown`` is a file."""
    wording: bool = False
    """Whether it is about the words of a statement."""


@frozen
class Signature:
    """Something that was signed, as the entry tells it."""

    entry: str
    nth: int
    """Which of its entry's signatures it is, from 1."""
    line: SignOff
    person: Person | None
    certificate: Certificate | None
    systems: tuple[str, ...]
    components: tuple[str, ...]
    """What the entry did something to, by keys: that is what it covers."""
    points: tuple[Point, ...]

    @property
    def day(self) -> date:
        """The day it was signed."""
        return self.line.date

    @property
    def missing(self) -> tuple[str, ...]:
        """What the rule asks and the record does not show."""
        return tuple(point.asks for point in self.points if point.shown is None and not point.kept_back)


@frozen
class Unsigned:
    """Work on a system that wants a signature, with none over it: the entry and the system."""

    entry: str
    day: date
    system: str


def signoffs(logbook: Logbook) -> tuple[Signature, ...]:
    """Every signature, in the order of the log."""
    return tuple(
        _signature(entry, nth, line, logbook)
        for entry in logbook.told()
        for nth, line in enumerate(entry.facts.signed, 1)
    )


def unsigned(logbook: Logbook) -> tuple[Unsigned, ...]:
    """The entries whose main system wants a signature that neither they nor a later entry of that system have."""
    asking = {key for key, system in logbook.project.systems.items() if system.signature}
    found: list[Unsigned] = []
    signed: set[str] = set()
    for entry in reversed(logbook.entries):
        key = entry.main_system or ""
        signed |= set(entry.facts.system) if entry.facts.signed else set()
        if key in asking - signed and _is_work(entry) and not entry.hidden:
            found.append(Unsigned(entry.slug, entry.day, key))
    return tuple(reversed(found))


def _is_work(entry: Entry) -> bool:
    facts = entry.facts
    return bool(facts.components or facts.parts or facts.closes)


def _signature(entry: Entry, nth: int, line: SignOff, logbook: Logbook) -> Signature:
    person = logbook.project.people.get(line.by)
    held = line.certificate or (person.certificate if person else None)
    inspected = line.as_ == "condition-inspection"
    asked = (*_of_inspection(line), *_signed(line, held, logbook, "14 CFR 43.11(a)(3)"), _statement(line))
    worked = (*_of_work(entry, line, logbook), *_signed(line, held, logbook, "14 CFR 43.9(a)(4)"))
    points = (asked if inspected else worked) if "us" in logbook.project.requirements else ()
    keys = dict.fromkeys(change.key for change in entry.facts.components)
    return Signature(entry.slug, nth, line, person, held, entry.facts.system, tuple(keys), points)


def _of_work(entry: Entry, line: SignOff, logbook: Logbook) -> Iterator[Point]:
    """43.9(a)(1) to (3)."""
    yield Point("what was done, in the words signed", line.words, "14 CFR 43.9(a)(1)", "no words are written down")
    done = min(entry.day, line.date)
    yield Point("the day the work was complete", done.isoformat(), "14 CFR 43.9(a)(2)", day=done)
    others = [key for key in entry.facts.hours if key != line.by]
    people = logbook.project.people
    named = ", ".join(people[key].name if key in people else key for key in others)
    hidden = not logbook.sight.hours
    nobody = "nobody but the signer is named"
    yield Point(
        "who did the work, if not the signer",
        None if hidden else named or nobody,
        "14 CFR 43.9(a)(3)",
        _KEPT_BACK,
        kept_back=hidden,
    )


def _of_inspection(line: SignOff) -> Iterator[Point]:
    """43.11(a)(1) and (2); a condition inspection is a type of its own."""
    yield Point("the type of inspection", line.kind or "condition inspection", "14 CFR 43.11(a)(1)")
    yield Point("how far it went", line.extent or _extent_in(line.words), "14 CFR 43.11(a)(1)", "not written")
    yield Point("its date", line.date.isoformat(), "14 CFR 43.11(a)(2)", day=line.date)
    hours = None if line.total_time is None else f"{line.total_time} h"
    yield Point("the total time in service of the aircraft", hours, "14 CFR 43.11(a)(2)", "not written")


def _extent_in(words: str | None) -> str | None:
    """The extent, where the statement names it as the operating limitations do."""
    said = re.search(r"scope and detail of appendix d[^,.;]*", _plain(words), re.IGNORECASE)
    return said[0] if said else None


def _signed(line: SignOff, held: Certificate | None, logbook: Logbook, rule: str) -> Iterator[Point]:
    """The signature in ink, and the certificate it was given under."""
    sight = logbook.sight
    away = line.paper is None and not sight.documents
    instead = "stated here; signed pages are not shown here" if away else _NO_PAGE
    yield Point("the signature in ink", line.paper, rule, instead, kept_back=away, is_file=True)
    number = held.number if held else None
    secret = number is None and held is not None and not sight.names
    yield Point(
        "the number of the certificate", number, rule, _KEPT_BACK if secret else "not written", kept_back=secret
    )
    yield Point("the kind of certificate", held.kind if held else None, rule, "not written")


def _statement(line: SignOff) -> Point:
    said = _plain(line.words).casefold()
    wrong = f"the words do not say \u201c{SAFE}\u201d" if said else "no words are written down"
    if NOT_FOR_THIS in said:
        wrong = "the words claim conformity with a type, which a condition inspection does not find"
    good = SAFE in said and NOT_FOR_THIS not in said
    asks = f"the statement that it was found in a {SAFE}"
    return Point(asks, line.words if good else None, _LIMITATIONS, wrong, wording=True)


def _plain(words: str | None) -> str:
    return " ".join((words or "").split())
