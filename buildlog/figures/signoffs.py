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

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.records.changes import SignOff
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.project import Certificate, Person
from buildlog.records.statements import NOT_FOR_THIS, SAFE, extent_in, folded, is_statement

_LIMITATIONS = "the operating limitations of the aircraft"
_KEPT_BACK = "not told here"
_PAGE_KEPT_BACK = "stated here; signed pages are not shown here"
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
    """Whether it is there and this audience may not see it, so that it is not missing."""
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
    hidden: bool = False
    """Whether its entry may not be seen: it counts, and is listed nowhere."""

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
    """Every signature, in the order of the log; those in entries that may not be seen among them."""
    return tuple(
        _signature(entry, nth, line, logbook)
        for entry in logbook.entries
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
    asked = (*_of_inspection(line), *_signed(line, held, "14 CFR 43.11(a)(3)"), _statement(line))
    worked = (*_of_work(entry, line, logbook), *_signed(line, held, "14 CFR 43.9(a)(4)"))
    points = (asked if inspected else worked) if "us" in logbook.project.requirements else ()
    keys = dict.fromkeys(change.key for change in entry.facts.components)
    return Signature(entry.slug, nth, line, person, held, entry.facts.system, tuple(keys), points, entry.hidden)


def _written(asks: str, said: str | None, rule: str, instead: str, kept: str = _KEPT_BACK) -> Point:
    """A point that the line says or does not; empty, it is said and may not be seen."""
    away = said == ""
    return Point(asks, said or None, rule, kept if away else instead, kept_back=away)


def _of_work(entry: Entry, line: SignOff, logbook: Logbook) -> Iterator[Point]:
    """43.9(a)(1) to (3)."""
    yield _written("what was done, in the words signed", line.words, "14 CFR 43.9(a)(1)", "no words are written down")
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
    extent = extent_in(line.words) if line.extent is None else line.extent
    yield _written("how far it went", extent, "14 CFR 43.11(a)(1)", "not written")
    yield Point("its date", line.date.isoformat(), "14 CFR 43.11(a)(2)", day=line.date)
    hours = None if line.total_time is None else f"{line.total_time} h"
    yield Point("the total time in service of the aircraft", hours, "14 CFR 43.11(a)(2)", "not written")


def _signed(line: SignOff, held: Certificate | None, rule: str) -> Iterator[Point]:
    """The signature in ink, and the certificate it was given under."""
    yield replace(_written("the signature in ink", line.paper, rule, _NO_PAGE, _PAGE_KEPT_BACK), is_file=True)
    yield _written("the number of the certificate", held.number if held else None, rule, "not written")
    yield _written("the kind of certificate", held.kind if held else None, rule, "not written")


def _statement(line: SignOff) -> Point:
    said = folded(line.words)
    wrong = f"the words do not say \u201c{SAFE}\u201d" if said else "no words are written down"
    if NOT_FOR_THIS in said:
        wrong = "the words claim conformity with a type, which a condition inspection does not find"
    good = is_statement(line.words)
    asks = f"the statement that it was found in a {SAFE}"
    return Point(asks, line.words if good else None, _LIMITATIONS, wrong, wording=True)
