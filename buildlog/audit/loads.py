"""Checks of the loadings of loading.yaml."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.audit.case import Case, warn
from buildlog.basics.numbers import rounded
from buildlog.basics.problems import Problem, Severity
from buildlog.basics.quantities import Length
from buildlog.figures.balance import empty_terms
from buildlog.figures.loading import Case as Loaded
from buildlog.figures.loading import load_kg
from buildlog.figures.tolerance import Share, Term, balance

_FINEST = {"in": 2, "ft": 3, "mm": 0, "cm": 1, "m": 3}
"""Decimals that lengths are told with."""


def tolerance_hides_margin(case: Case) -> Iterator[Problem]:
    """The margin of each loading is larger than the tolerance of its centre of gravity.

    Why: inside by less than the tolerance may be outside.
    Wrong: 0.12 in inside the aft limit, where the centre of gravity is known to 0.30 in
    Right: the part that carries most of the tolerance put on a scale: basis: weighed
    """
    found = case.worked.loading
    for loaded in found.cases if found else ():
        least = loaded.worst
        if least.inside and least.limit in {"forward", "aft"} and least.margin < loaded.u_arm:
            yield _hidden(case, loaded)


def _hidden(case: Case, loaded: Loaded) -> Problem:
    """What hides a margin, and what to do about the part that carries most of it."""
    unit = case.worked.logbook.project.units.arm
    margin, good = _length(loaded.worst.margin, unit), _length(loaded.u_arm, unit)
    share = _heaviest(case, loaded)
    part, percent = share.term, rounded(share.of_arm * 100, 0)
    places = (c.place for c in case.worked.weight.changes if (c.entry, c.item) == (part.entry, part.what))
    cause = f"{percent} % of that is {part.what} ({part.basis})"
    return Problem(
        loaded.case.place,
        "tolerance-hides-margin",
        f"{loaded.case.name}: {margin} inside the {loaded.worst.limit} limit, and good to \u00b1 {good}; {cause}",
        _remedy(part),
        Severity.WARNING,
        tuple(places)[:1],
    )


def _remedy(part: Term) -> str:
    """What makes the part that carries most of a tolerance better known."""
    if part.arm_key[0] == "start":
        return "weigh the aircraft, and write the  weighing:  in an entry"
    if part.basis == "weighed":
        return "measure its arm again; if its weight is known better, write so:  plus_minus:"
    return f"weigh it, and write  basis: weighed  on the line of {part.what}"


def _heaviest(case: Case, loaded: Loaded) -> Share:
    """The part that carries most of the tolerance of a loaded centre of gravity; the loads are taken as exact."""
    none = Fraction(0)
    loads = [
        Term(station.name, "", kg, none, station.arm.base, none, (station.key, None)) for station, kg in loaded.loads
    ]
    empty = empty_terms(case.worked.weight, case.worked.balance.rules)
    return max(balance([*empty, *loads]).shares, key=lambda share: share.of_arm)


def _length(metres: Fraction, unit: str) -> str:
    return f"{rounded(metres / Length.factors[unit], _FINEST[unit])} {unit}"


def seat_over_maximum(case: Case) -> Iterator[Problem]:
    """No loading puts more on a station than its max:.

    Why: the structure under a seat or a shelf was made for that much, wherever the centre of gravity comes to lie.
    Wrong: {key: baggage, max: 40 lb, …} and loads: {baggage: 55 lb}
    Right: loads: {baggage: 40 lb}
    """
    loading = case.worked.logbook.loading
    stations = {station.key: station for station in loading.stations} if loading else {}
    for loads in loading.cases if loading else ():
        for key, text in loads.loads.items():
            most = stations[key].max if key in stations else None
            if most is not None and load_kg(text, stations[key]) > most.base:
                yield warn(
                    loads.place,
                    "seat-over-maximum",
                    f"{loads.name}: {text} on the station {key}, which may carry {most}",
                    f"write at most  {most} , or correct the  max:  of that station",
                )
