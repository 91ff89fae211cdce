"""What rules ask of the records, row by row: documented, reconstructed, unknown or not applicable, and why.

Nothing here judges the aircraft. *Documented* rests on a signed entry, a paper, a marking or a measurement of the record;
*reconstructed* on bounds, statements, inference or arithmetic; *unknown* is said where neither is there. A signed
inspection is never inferred. Reasoning: the rules that the tables cite (requirements/*.yaml), read with the question what
may honestly be stated without the history.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.components import ComponentState
from buildlog.figures.directives import DirectiveState
from buildlog.figures.evidence_life import life_shown
from buildlog.figures.service import AIRFRAME, Hours, Times
from buildlog.figures.signoffs import Signature
from buildlog.figures.weight import Empty
from buildlog.records.history import Fact
from buildlog.records.logbook import Logbook
from buildlog.records.requirements import Requirement, RequirementTable

AIRCRAFT = "aircraft"
STANDINGS = ("documented", "reconstructed", "unknown", "not-applicable")
"""How a thing that a rule asks stands in the record."""
SURE = ("measured", "document", "marking")
"""Ways to know something that can be held up and looked at."""


@frozen
class Finding:
    """What a look at the record gives for one row and subject."""

    standing: str
    says: str
    basis: str = ""
    facts: tuple[Fact, ...] = ()
    entries: tuple[str, ...] = ()


@frozen
class Shown:
    """One row of a table for one subject: ``aircraft``, ``airframe`` or the key of a component."""

    table: RequirementTable
    row: Requirement
    subject: str
    found: Finding

    @property
    def standing(self) -> str:
        """documented, reconstructed, unknown or not-applicable."""
        return self.found.standing


@frozen
class Ground:
    """What the rows are settled from."""

    logbook: Logbook
    states: Mapping[str, ComponentState]
    times: Times
    directives: tuple[DirectiveState, ...]
    signatures: tuple[Signature, ...]
    """All of them: those that this audience may not see count too."""
    empty: Empty | None

    def facts(self, subject: str, quantities: tuple[str, ...]) -> tuple[Fact, ...]:
        """The facts of some quantities about a subject; aircraft and airframe are one."""
        names = {AIRCRAFT, AIRFRAME} if subject in {AIRCRAFT, AIRFRAME} else {subject}
        return tuple(fact for fact in self.logbook.history.facts if fact.about in names and fact.quantity in quantities)


def shown(ground: Ground) -> tuple[Shown, ...]:
    """Every row of every table that project.yaml names, for everything that it is asked of."""
    return tuple(
        Shown(table, row, subject, found)
        for table in ground.logbook.requirements
        for row in table.rows
        for subject, found in _row(row, ground)
    )


def _row(row: Requirement, ground: Ground) -> Iterator[tuple[str, Finding]]:
    category = ground.logbook.project.aircraft.category
    if not row.asked_of(category):
        yield AIRCRAFT, Finding("not-applicable", f"Asked only of: {row.only_if}; this aircraft is {category}")
        return
    subjects = list(dict.fromkeys(key for of in row.of for key in _subjects(of, ground)))
    if not subjects:
        yield AIRCRAFT, Finding("not-applicable", f"Nothing of the kind is in the register ({', '.join(row.of)})")
    for subject in subjects:
        yield subject, _SETTLED[row.by](row, subject, ground)


def _subjects(of: str, ground: Ground) -> list[str]:
    if of in {AIRCRAFT, AIRFRAME}:
        return [of]
    here = [state for state in ground.states.values() if state.place != "gone"]
    if of in {"engine", "propeller"}:
        return [state.key for state in here if state.record.system == of and state.record.inside is None]
    lives = [(state.key, state.record.life) for state in here if state.record.life]
    if of == "life-limited":
        return [key for key, _ in lives]
    return [key for key, life in lives if of == "overhaul-limited" and life and life.since == "overhaul"]


def _time(row: Requirement, subject: str, ground: Ground) -> Finding:
    hours = ground.times.of[AIRFRAME if subject == AIRCRAFT else subject].new
    if not hours.facts:
        logged = ground.times.logged(AIRFRAME if subject == AIRCRAFT else subject)
        since = (
            f". Run with it in this log since the first reading: {logged}"
            if logged.known and ground.times.clock.readings
            else ""
        )
        return Finding("unknown", row.unknown + since, "unknown", _kept(ground, subject, "time_"))
    return _hours(hours)


def _overhaul(row: Requirement, subject: str, ground: Ground) -> Finding:
    hours = ground.times.of[subject].overhaul
    said = _kept(ground, subject, "overhaul")
    if not hours.bounds.known:
        return Finding("unknown", row.unknown, "unknown", said)
    return _hours(hours, said)


def _kept(ground: Ground, subject: str, word: str) -> tuple[Fact, ...]:
    """What is said of it that gives no hours."""
    return tuple(fact for fact in ground.logbook.history.facts if fact.about == subject and word in fact.quantity)


def _hours(hours: Hours, also: tuple[Fact, ...] = ()) -> Finding:
    """Exact hours by something to look at are documented, any bound is not."""
    facts = tuple(dict.fromkeys((*hours.facts, *also)))
    entries = (hours.entry,) if hours.entry else ()
    if hours.conflict:
        words = f"What is known contradicts itself; all of it together leaves {hours.bounds}"
        return Finding("reconstructed", words, hours.basis, facts, entries)
    sure = hours.bounds.exact and hours.basis in SURE
    words = f"{str(hours.bounds)[:1].upper()}{str(hours.bounds)[1:]}, by {_by(hours.basis)}"
    return Finding("documented" if sure else "reconstructed", words, hours.basis, facts, entries)


def _by(basis: str) -> str:
    return {"measured": "measurement", "inferred": "inference"}.get(basis, basis)


def _life(row: Requirement, subject: str, ground: Ground) -> Finding:
    standing, words, basis = life_shown(ground.states[subject], ground.times.of[subject])
    return Finding(standing, words if standing != "unknown" else f"{row.unknown}. {words}", basis)


def _inspection(row: Requirement, _: str, ground: Ground) -> Finding:
    """Only a signed inspection with all that is asked of its entry counts."""
    made = [one for one in ground.signatures if one.line.as_ == "condition-inspection"]
    if not made:
        return Finding("unknown", row.unknown)
    last = made[-1]
    if last.missing:
        words = f"An entry tells of one, {last.day.isoformat()}. Not shown of it: {', '.join(last.missing)}"
        return Finding("unknown", f"{row.unknown}. {words}", entries=(last.entry,))
    return Finding("documented", f"Signed {last.day.isoformat()}", "document", entries=(last.entry,))


def _directives(row: Requirement, subject: str, ground: Ground) -> Finding:
    considered = [one for one in ground.directives if _belongs(one, subject, ground)]
    binding = [one for one in considered if one.record.kind == "directive"]
    others = [one for one in considered if one.record.kind != "directive" and one.state == "not-determined"]
    more = f". Of bulletins, not determined: {', '.join(one.record.number for one in others)}" if others else ""
    if not binding:
        return Finding("unknown", f"{row.unknown}: none is listed as considered{more}")
    left = [one.record.number for one in binding if one.state in {"not-determined", "open"}]
    if left:
        return Finding("unknown", f"{row.unknown} or still to do: {', '.join(left)}{more}")
    missing = list(dict.fromkeys(word for one in binding for word in one.missing))
    if missing or any(one.state == "not-applicable" for one in binding):
        reasons = "; ".join(one.record.because for one in binding if one.record.because)
        words = reasons or f"Not written: {', '.join(missing)}"
        return Finding("reconstructed", f"{words}{more}", "statement")
    return Finding("documented", f"{counted(len(binding), 'directive')} with method and date{more}", "document")


def _belongs(one: DirectiveState, subject: str, ground: Ground) -> bool:
    """Whether a directive is about a subject, or about something of its book."""
    about = one.record.about
    if about == subject or (subject in {AIRFRAME, AIRCRAFT} and about in {AIRFRAME, AIRCRAFT}):
        return True
    part, above = ground.logbook.components.get(about), ground.logbook.components.get(subject)
    if part is None or (above is None and subject != AIRFRAME):
        return False
    if above is None:
        return part.book == AIRFRAME
    return part.inside == subject or (part.book is not None and part.book == above.book and part.system != above.system)


def _alterations(row: Requirement, subject: str, ground: Ground) -> Finding:
    return _by_facts(
        row, ground.facts(subject, ("major_alteration", "major_alterations", "alteration_form", *row.facts))
    )


def _work(row: Requirement, _: str, ground: Ground) -> Finding:
    work = [entry for entry in ground.logbook.entries if entry.is_work]
    signed = [entry.slug for entry in work if entry.facts.signed]
    if not work:
        return Finding("unknown", row.unknown)
    words = f"In this log: {counted(len(work), 'entry', 'entries')} with work, {len(signed)} signed. Before it: {row.unknown.lower()}"
    return Finding("reconstructed", words, "statement", entries=tuple(signed))


def _weighing(row: Requirement, _: str, ground: Ground) -> Finding:
    empty = ground.empty
    if empty is None:
        return Finding("unknown", row.unknown)
    if empty.weighing is None:
        return Finding("reconstructed", f"{row.unknown}: a stated figure and the changes since", "document")
    day, changes = empty.weighing.day.isoformat(), len(empty.changes)
    entries = (empty.weighing.entry,)
    if not changes:
        return Finding("documented", f"Weighed {day}, nothing changed since", "measured", entries=entries)
    words = f"Weighed {day}; {counted(changes, 'change')} since, worked out and not weighed"
    return Finding("reconstructed", words, "measured", entries=entries)


def _identity(row: Requirement, subject: str, ground: Ground) -> Finding:
    facts = ground.facts(subject, row.facts)
    sure = [fact for fact in facts if fact.basis in SURE]
    if sure:
        return Finding("documented", sure[0].says, sure[0].basis, tuple(sure))
    if ground.logbook.has_serial(subject):
        photo = subject in ground.states and ground.states[subject].record.photo
        words = "Maker, model and serial number are written in the register"
        words += (
            "; no picture of the plate is named as its evidence" if photo else "; no plate or paper is on record for it"
        )
        return Finding("reconstructed", words, "statement", facts)
    return Finding("unknown", row.unknown, "unknown", facts)


def _facts(row: Requirement, subject: str, ground: Ground) -> Finding:
    return _by_facts(row, ground.facts(subject, row.facts))


def _by_facts(row: Requirement, facts: tuple[Fact, ...]) -> Finding:
    """A paper, a marking or a measurement documents; a statement or an inference only reconstructs."""
    told = [fact for fact in facts if fact.basis != "unknown"]
    if not told:
        return Finding("unknown", row.unknown, "unknown", facts)
    best = next((fact for fact in told if fact.basis in SURE), None)
    if best is not None:
        return Finding("documented", best.says, best.basis, facts)
    return Finding("reconstructed", told[0].says, told[0].basis, facts)


_SETTLED = {
    "time-in-service": _time,
    "life-status": _life,
    "time-since-overhaul": _overhaul,
    "inspection": _inspection,
    "inspection-records": _inspection,
    "directives": _directives,
    "alterations": _alterations,
    "work-records": _work,
    "weighing": _weighing,
    "identity": _identity,
    "facts": _facts,
}
