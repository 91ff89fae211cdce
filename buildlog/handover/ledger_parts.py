"""The ledgers of the aircraft: components, what happened to them, equipment, weight changes."""

from __future__ import annotations

from decimal import Decimal

from buildlog.figures.components import ComponentState
from buildlog.figures.figures import Figures
from buildlog.figures.service import Hours
from buildlog.handover.ledger_columns import Column, Ledger, Make, Pen, hazy

_ENTRY = "address of the entry; empty where it is not shown in this package"
_TIMES = (
    ("time_since_new", "new", "time in service since new"),
    ("time_since_overhaul", "overhaul", "time in service since overhaul"),
    ("time_since_fitted", "fitted", "time in service since it was fitted in this log"),
)


def component_ledger(worked: Figures, pen: Pen) -> Ledger:
    """The register as it stands, with times in service as far as they are known."""
    columns = (
        Column("component", lambda c: c.key, "its key"),
        Column("name", lambda c: c.record.name, "what it is called"),
        Column("system", lambda c: c.record.system, "its system"),
        Column("in", lambda c: c.inside, "key of the component it sits in"),
        Column("state", lambda c: c.state, "where it is, and in what state"),
        Column("since", lambda c: pen.day(c.since), "since when; empty: as found when the log began", "ISO 8601"),
        Column("maker", lambda c: c.record.maker, "who made it"),
        Column("model", lambda c: c.record.model, "model"),
        Column("part_number", lambda c: c.record.part_no, "part number"),
        Column("serial", lambda c: c.record.serial, "serial number"),
        Column("made", lambda c: hazy(c.record.made), "when it was made", "ISO 8601-2 (EDTF)"),
        *(column for name, attribute, meaning in _TIMES for column in _hours(worked, name, attribute, meaning)),
        Column("note", lambda c: c.record.note, "remark"),
    )
    return Ledger("components.csv", columns, [*worked.components.values()])


def _hours(worked: Figures, name: str, attribute: str, meaning: str) -> tuple[Column, ...]:
    """A time as its bounds: the same for one known exactly, empty for one not known."""

    def of(state: ComponentState) -> Hours:
        found: Hours = getattr(worked.times.of[state.key], attribute)
        return found

    def low(state: ComponentState) -> Decimal | None:
        return of(state).bounds.low

    def high(state: ComponentState) -> Decimal | None:
        return of(state).bounds.high

    return (
        Column(f"{name}_at_least", low, f"{meaning}, at least; empty: not known", "h"),
        Column(f"{name}_at_most", high, f"{meaning}, at most; empty: not known", "h"),
        Column(f"{name}_basis", lambda c: of(c).basis if of(c).bounds.known else None, f"{meaning}: how it is known"),
    )


def event_ledger(worked: Figures, pen: Pen) -> Ledger:
    """What happened to each component."""
    rows = [(state, event) for state in worked.components.values() for event in state.events]
    columns = (
        Column("component", lambda row: row[0].key, "key of the component"),
        Column("day", lambda row: pen.day(row[1].day), "the day", "ISO 8601"),
        Column("event", lambda row: row[1].verb, "removed, installed, tagged, sent, received, repaired or overhauled"),
        Column("state", lambda row: row[1].line.state, "its state afterwards, where that was said"),
        Column("in", lambda row: row[1].line.inside, "the component it was fitted in, if not the register's"),
        Column("because", lambda row: row[1].line.because, "why"),
        Column("to", lambda row: row[1].line.to, "the shop it went to"),
        Column("by", lambda row: row[1].line.by, "who did it"),
        Column("tag", lambda row: row[1].line.tag, "file or number of its tag"),
        Column("paper", lambda row: row[1].line.paper, "paper that says so"),
        Column("entry", lambda row: pen.entry(row[1].entry), _ENTRY),
        Column("note", lambda row: row[1].line.note, "remark"),
    )
    return Ledger("component-events.csv", columns, rows)


def equipment_ledger(worked: Figures, pen: Pen) -> Ledger:
    """What is fitted, with weight and arm."""
    columns = (
        Column("component", lambda e: e.state.key, "key of the component"),
        Column("name", lambda e: e.state.record.name, "what it is called"),
        Column("weight", lambda e: pen.kg(e.kg), "what it weighs; empty: not known", pen.units.weight),
        Column("arm", lambda e: pen.units.metres(e.arm_m), "distance from the datum; empty: not known", pen.units.arm),
        Column("basis", lambda e: e.basis, "how the weight is known: weighed, published or estimated"),
        Column("entry", lambda e: pen.entry(e.entry), f"the entry that fitted it, or empty for as found; {_ENTRY}"),
    )
    return Ledger("equipment.csv", columns, worked.equipment)


def weight_ledger(worked: Figures, pen: Pen) -> Ledger:
    """What came off and what went on."""
    columns = (
        Column("day", lambda c: pen.day(c.day), "the day", "ISO 8601"),
        Column("entry", lambda c: pen.entry(c.entry), _ENTRY),
        Column("item", lambda c: c.item, "what was moved"),
        Column("weight", lambda c: pen.kg(c.kg), "its weight; negative for what came out", pen.units.weight),
        Column(
            "plus_minus", lambda c: pen.kg(c.plus_minus and c.plus_minus.base), "its own tolerance", pen.units.weight
        ),
        Column(
            "arm", lambda c: pen.units.metres(c.arm_m), "distance from the datum; empty: not written", pen.units.arm
        ),
        Column("moment", lambda c: pen.moment(c.moment), "weight times arm", pen.moment_unit),
        Column("basis", lambda c: c.basis, "how the weight is known: weighed, published or estimated"),
        Column("system", lambda c: c.system, "its system"),
        Column("component", lambda c: c.component, "key of the component it is"),
    )
    return Ledger("weight-changes.csv", columns, worked.weight.changes)


PART_LEDGERS: tuple[Make, ...] = (component_ledger, event_ledger, equipment_ledger, weight_ledger)
