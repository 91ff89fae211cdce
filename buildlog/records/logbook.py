"""The whole record in order: what the reader makes and every figure is worked out from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.records.entry import Entry
from buildlog.records.ledgers import LedgerRow
from buildlog.records.project import Project
from buildlog.records.registers import Checks, Component, Directives, History, Loading, Plan
from buildlog.records.requirements import RequirementTable
from buildlog.records.seals import SealState
from buildlog.records.systems import BUILT_IN, GENERAL, System
from buildlog.records.writings import Decision, Page


@frozen
class Sight:
    """What an audience may see."""

    name: str
    costs: str = "full"
    hours: bool = True
    suppliers: bool = True
    serials: bool = True
    names: bool = True
    receipts: bool = True
    documents: bool = True
    exact_dates: bool = True
    levels: frozenset[str] = frozenset({"public", "handover", "private"})
    may_say: tuple[str, ...] = ()


BUILDER = Sight("builder")
"""The builder sees everything."""


@frozen
class Logbook:
    """Everything that was written, validated; entries oldest first."""

    project: Project
    entries: tuple[Entry, ...] = ()
    components: Mapping[str, Component] = field(default_factory=dict)
    history: History = field(default_factory=History)
    loading: Loading | None = None
    plan: Plan = field(default_factory=Plan)
    directives: Directives = field(default_factory=Directives)
    checks: Checks = field(default_factory=Checks)
    requirements: tuple[RequirementTable, ...] = ()
    """What rules ask of the records: the lists that project.yaml names."""
    decisions: tuple[Decision, ...] = ()
    pages: tuple[Page, ...] = ()
    ledger: tuple[LedgerRow, ...] = ()
    seals: tuple[SealState, ...] = ()
    """Where each seal of seals.yaml stands, in the order they were made."""
    files: frozenset[str] = frozenset()
    numbered: frozenset[str] = frozenset()
    """What has a serial number that this audience may not see: keys of components, and ``aircraft``."""
    sight: Sight = BUILDER
    newest: date | None = None
    """The day of the newest entry of all, where some are not here: what is due is as of one day for every audience."""
    later: tuple[Entry, ...] = ()
    """Entries after the day the record is taken as of; only what was not here yet is known from them."""

    def system(self, key: str) -> System:
        """A system by its key: the project's own name and number before the built-in ones."""
        own = self.project.systems.get(key)
        if own is not None:
            known = BUILT_IN.get(key)
            return System(key, own.called or (known.name if known else key), own.code or (known.code if known else ""))
        return BUILT_IN.get(key, GENERAL if not key else System(key, key, ""))

    def systems(self) -> list[System]:
        """All systems there are, in the order of their numbers, those without a number last."""
        keys = {*BUILT_IN, *self.project.systems}
        return sorted((self.system(key) for key in keys), key=system_order)

    def texts(self) -> tuple[Entry | Decision | Page, ...]:
        """Everything that has prose."""
        return (*self.entries, *self.decisions, *self.pages)

    def told(self) -> Iterator[Entry]:
        """The entries that may be read, oldest first."""
        return (entry for entry in self.entries if not entry.hidden)

    def has_serial(self, key: str) -> bool:
        """Whether a component, or the ``aircraft``, has a serial number, shown to this audience or not."""
        own = self.components.get(key)
        return key in self.numbered or bool(own.serial if own else key == "aircraft" and self.project.aircraft.serial)

    def sealed(self) -> Mapping[str, SealState]:
        """The seal that counts of each sealed entry, by the entry's address."""
        return {seal.entry: seal for seal in self.seals if not seal.superseded}

    def last_day(self) -> date | None:
        """The date of the newest entry: the day the record is as of, unless another is asked for."""
        return max((*(entry.day for entry in self.entries), *filter(None, [self.newest])), default=None)


def system_order(system: System) -> tuple[bool, str, str]:
    """Sort key of systems: by number, the unnumbered after them, the one without a key last of all."""
    return (not system.key, system.code or "~", system.name)
