"""Everything that is worked out of one logbook, and the problems that working it out brings to light."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from buildlog.basics.problems import Problem
from buildlog.figures.components import ComponentState, components
from buildlog.figures.cost import Cost, cost
from buildlog.figures.findings import FindingState, findings
from buildlog.figures.labour import Labour, labour
from buildlog.figures.moment import as_of
from buildlog.figures.orders import Quote, quotes
from buildlog.figures.weight import WeightRecord, weights
from buildlog.records.logbook import Logbook


@dataclass(frozen=True)
class Figures:
    """The figures of a logbook as of a day (None only when there is no entry yet)."""

    logbook: Logbook
    on: date | None
    cost: Cost
    labour: Labour
    weight: WeightRecord
    components: Mapping[str, ComponentState]
    findings: tuple[FindingState, ...]
    quotes: tuple[Quote, ...]


def figures(logbook: Logbook, on: date | None = None) -> tuple[Figures, list[Problem]]:
    """All figures as of a day; left out, the day of the newest entry, so that the same folder gives the same figures."""
    seen = as_of(logbook, on)
    states, impossible = components(seen)
    found, odd = findings(seen)
    worked = Figures(seen, on or seen.last_day(), cost(seen), labour(seen), weights(seen), states, found, quotes(seen))
    return worked, impossible + odd
