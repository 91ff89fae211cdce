"""The record as it stood at the end of a day: what is later is left out before anything is summed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from buildlog.records.logbook import Logbook


def as_of(logbook: Logbook, day: date | None) -> Logbook:
    """The logbook with the entries and ledger rows up to and including ``day``; None leaves it whole.

    An entry that spans several days counts from its last day on.
    """
    if day is None:
        return logbook
    return replace(
        logbook,
        entries=tuple(entry for entry in logbook.entries if entry.day <= day),
        newest=min(logbook.newest, day) if logbook.newest else None,
        later=tuple(entry for entry in logbook.entries if entry.day > day) + logbook.later,
        ledger=tuple(row for row in logbook.ledger if row.date <= day),
        seals=tuple(seal for seal in logbook.seals if seal.sealed <= day),
    )
