"""The ledgers of where it stands: findings, directives, what falls due, and what is known of the time before the log."""

from __future__ import annotations

from buildlog.figures.figures import Figures
from buildlog.handover.ledger_columns import Column, Ledger, Make, Pen, hazy, listed

_STANDINGS = {"airworthiness": "before flight"}
"""How readers are told what a finding waits for."""


def finding_ledger(worked: Figures, pen: Pen) -> Ledger:
    """Every finding and its end."""
    columns = (
        Column("finding", lambda f: f.line.key, "its key"),
        Column("found", lambda f: f.line.found, "what was found"),
        Column(
            "standing",
            lambda f: _STANDINGS.get(f.line.standing, f.line.standing),
            "before flight: to be closed before the aircraft flies; deferred: may wait; cosmetic",
        ),
        Column("until", lambda f: pen.day(f.line.until), "put off until", "ISO 8601"),
        Column("limit", lambda f: f.line.limit, "what limits it while it is open"),
        Column("system", lambda f: f.system, "its system"),
        Column("component", lambda f: f.line.component, "key of the component it was found on"),
        Column("raised", lambda f: pen.day(f.raised), "day it was found", "ISO 8601"),
        Column("raised_in", lambda f: pen.entry(f.raised_in), "address of the entry that raised it"),
        Column("closed", lambda f: pen.day(f.closed), "day it was closed; empty: open", "ISO 8601"),
        Column("closed_in", lambda f: pen.entry(f.closed_in), "address of the entry that closed it"),
        Column("closed_by", lambda f: f.closed_by, "what ended it"),
    )
    return Ledger("findings.csv", columns, worked.findings)


def fact_ledger(worked: Figures, pen: Pen) -> Ledger:  # noqa: ARG001 - every ledger is made so
    """What is known of the time before the log, and how."""
    columns = (
        Column("about", lambda f: f.about, "key of the component, or airframe, or aircraft"),
        Column("quantity", lambda f: f.quantity, "what is said"),
        Column("value", lambda f: f.value, "the value as written, with its unit"),
        Column("at_least", lambda f: f.at_least, "a lower bound as written, with its unit"),
        Column("at_most", lambda f: f.at_most, "an upper bound as written, with its unit"),
        Column("on", lambda f: hazy(f.on), "when it was so", "ISO 8601-2 (EDTF)"),
        Column("basis", lambda f: f.basis, "measured, document, marking, statement, inferred or unknown"),
        Column("says", lambda f: f.says, "who or what says so"),
        Column("evidence", lambda f: listed(f.evidence), "files that show it; between semicolons"),
    )
    return Ledger("history-facts.csv", columns, worked.logbook.history.facts)


def directive_ledger(worked: Figures, pen: Pen) -> Ledger:
    """Every directive and bulletin that was considered."""
    columns = (
        Column("directive", lambda d: d.record.key, "its key"),
        Column("number", lambda d: d.record.number, "its number and revision"),
        Column("title", lambda d: d.record.title, "what it asks"),
        Column("kind", lambda d: d.record.kind, "directive or bulletin"),
        Column("about", lambda d: d.record.about, "key of the component"),
        Column("state", lambda d: d.state, "not-determined, open, recurring, done or not-applicable"),
        Column("applies", lambda d: d.record.applies, "yes, no or unknown"),
        Column("because", lambda d: d.record.because, "why it does or does not"),
        Column("method", lambda d: d.record.method, "how it was dealt with"),
        Column("every", lambda d: d.record.recurring and str(d.record.recurring), "how often it comes back"),
        Column("revision", lambda d: pen.day(d.record.revision), "date of its revision", "ISO 8601"),
        Column("due", lambda d: pen.day(d.record.due), "day by which it is to be done", "ISO 8601"),
        Column("status", lambda d: d.record.status, "where it stands, in the builder's words"),
        Column("not_written", lambda d: listed(d.missing), "what the record lacks of it; between semicolons"),
    )
    return Ledger("directives.csv", columns, worked.directives)


def check_ledger(worked: Figures, pen: Pen) -> Ledger:
    """All that falls due, the most pressing first."""
    columns = (
        Column("kind", lambda d: d.kind, "check, life, directive or finding"),
        Column("key", lambda d: d.key, "its key"),
        Column("name", lambda d: d.name, "what it is"),
        Column("component", lambda d: d.about, "key of the component it belongs to"),
        Column("system", lambda d: d.system, "its system"),
        Column("state", lambda d: d.state, "how it stands on the day of the record"),
        Column("due", lambda d: pen.day(d.due), "the day it falls due; empty: none, or not known", "ISO 8601"),
        Column("hours_left_at_least", lambda d: d.left.low, "hours left, at least; negative: overrun", "h"),
        Column("hours_left_at_most", lambda d: d.left.high, "hours left, at most; negative: overrun", "h"),
        Column("every", lambda d: d.every, "how often"),
        Column("last", lambda d: hazy(d.last), "the last time", "ISO 8601-2 (EDTF)"),
        Column("last_entry", lambda d: pen.entry(d.last_entry), "address of the entry that tells of the last time"),
        Column("basis", lambda d: d.basis, "how the last time is known, where no entry tells of it"),
        Column("source", lambda d: d.source, "the rule or paper that asks for it"),
        Column("reason", lambda d: d.reason, "why it stands so"),
        Column("note", lambda d: d.note, "remark"),
    )
    return Ledger("checks.csv", columns, worked.due)


STANDING_LEDGERS: tuple[Make, ...] = (finding_ledger, fact_ledger, directive_ledger, check_ledger)
