"""Loading: named cases, the true extremes, the way a tank empties, and ballast.

- A case that leaves a station out has it at nothing. A tank's load is a volume times its density, or a weight.
- Tanks at several arms may be emptied in any order: of all ways, the one that empties the aft tanks first is at each
  weight the most forward, the one that empties the forward tanks first the most aft. The worst is found on these two.
- Extremes: every station may hold anything between its least and its greatest load, every tank anything from full to
  none. For each total weight the most forward loading is the one that fills the stations in the order of their arms;
  so all most forward loadings lie on one chain of straight paths, and the most forward centre of gravity and the least
  margin are found on it exactly, without trying combinations. Likewise aft, in the opposite order. Loadings over the
  maximum weight, or over the last weight of the limits, are left to the heaviest one, which says so.
- The loads themselves are taken as exact; the tolerance of a loading is that of the empty aircraft, by the law of
  propagation: u(CG)^2 = sum ((a - CG) / W)^2 u(w)^2 + sum (w / W)^2 u(a)^2 with the loaded W and CG.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread
from buildlog.basics.quantities import Volume, Weight
from buildlog.figures.envelope import Envelope, Loaded, Verdict, edges, envelope, worst
from buildlog.figures.tolerance import Term, root
from buildlog.records.registers import Loading, LoadingCase, Station


@frozen
class Case:
    """A named loading: as it begins, and on the way to empty tanks. ``u_arm``: tolerance, m.

    ``burn`` empties the aft tanks first; ``other_burn`` the forward ones, and is () where the order does not matter.
    """

    case: LoadingCase
    loads: tuple[tuple[Station, Fraction], ...]
    verdict: Verdict
    burn: tuple[Verdict, ...]
    u_arm: Fraction
    other_burn: tuple[Verdict, ...] = ()

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """All that can be the worst of it: the beginning, then either way to empty tanks."""
        return (self.verdict, *self.burn, *self.other_burn)

    @property
    def ways(self) -> tuple[tuple[Loaded, ...], ...]:
        """The lines it moves along while its tanks empty, each from the beginning."""
        ways = [way for way in (self.burn, self.other_burn) if way] or [()]
        return tuple((self.verdict.loaded, *(verdict.loaded for verdict in way)) for way in ways)

    @property
    def worst(self) -> Verdict:
        """The least margin from full to none."""
        return worst(self.verdicts)


@frozen
class Extreme:
    """One end of what can be loaded: the loads by station, and where it stands."""

    name: str
    loads: tuple[tuple[Station, Fraction], ...]
    verdict: Verdict
    u_arm: Fraction


@frozen
class LoadingRecord:
    """Everything loading.yaml asks for, on an empty state."""

    loading: Loading
    envelope: Envelope
    cases: tuple[Case, ...]
    extremes: tuple[Extreme, ...]


def loadings(loading: Loading, empty: Sequence[Term]) -> LoadingRecord:
    """Cases and extremes on an empty aircraft given by its terms."""
    limits, base = envelope(loading), start(empty)
    cases = tuple(_case(case, loading, limits, base, empty) for case in loading.cases)
    return LoadingRecord(loading, limits, cases, tuple(extremes(loading.stations, limits, base, empty)))


def start(empty: Sequence[Term]) -> Loaded:
    """The empty aircraft; what has no arm sits at its centre of gravity."""
    kg = sum((term.kg for term in empty), Fraction(0))
    placed = [term for term in empty if term.arm_m is not None]
    base = sum((term.kg for term in placed), Fraction(0))
    moment = sum((term.kg * (term.arm_m or 0) for term in placed), Fraction(0))
    return Loaded(kg, moment / base * kg if base else Fraction(0))


def load_kg(text: str, station: Station) -> Fraction:
    """A load of a case in kilograms: a weight, or a volume at the station's density (the reader sees that it has one)."""
    try:
        return Weight.read(text).base
    except Misread:
        if station.density is None:
            raise
        return station.density.weigh(Volume.read(text)).base


def most_kg(station: Station) -> Fraction:
    """The greatest load of a station: what the tank holds, no more than its max; without either its usual load."""
    tank = station.density.weigh(station.capacity) if station.capacity and station.density else None
    said = [weight.base for weight in (tank, station.max) if weight is not None]
    usual = station.usually.base if station.usually else Fraction(0)
    return max(min(said, default=usual), least_kg(station))


def least_kg(station: Station) -> Fraction:
    """The least load of a station; a tank can be empty."""
    return station.min.base if station.min else Fraction(0)


def arm_tolerance(empty: Sequence[Term], loaded: Loaded) -> Fraction:
    """The tolerance of a loaded centre of gravity that comes from the empty aircraft, m."""
    by_arm: dict[tuple[str, Fraction | None], tuple[Fraction, Fraction]] = {}
    variance = Fraction(0)
    for term in empty:
        if term.arm_m is not None:
            variance += ((term.arm_m - loaded.arm_m) / loaded.kg * term.u_kg) ** 2
            together, _ = by_arm.get(term.arm_key, (Fraction(0), term.u_arm))
            by_arm[term.arm_key] = (together + term.kg, term.u_arm)
    variance += sum(((kg / loaded.kg * u) ** 2 for kg, u in by_arm.values()), Fraction(0))
    return root(variance)


def _case(case: LoadingCase, loading: Loading, limits: Envelope, base: Loaded, empty: Sequence[Term]) -> Case:
    stations = {station.key: station for station in loading.stations}
    loads = tuple((stations[key], load_kg(text, stations[key])) for key, text in case.loads.items() if key in stations)
    whole = base
    for station, kg in loads:
        whole = whole.plus(kg, station.arm.base)
    tanks = sorted(
        ((kg, station.arm.base) for station, kg in loads if station.capacity and kg), key=lambda tank: tank[1]
    )
    aft_first, forward_first = _emptied(tanks[::-1], whole, limits), _emptied(tanks, whole, limits)
    several = len({arm for _, arm in tanks}) > 1
    return Case(
        case, loads, limits.judge(whole), aft_first, arm_tolerance(empty, whole), forward_first if several else ()
    )


def _emptied(tanks: Iterable[tuple[Fraction, Fraction]], whole: Loaded, limits: Envelope) -> tuple[Verdict, ...]:
    """The verdicts that tell, from full to none, one tank after the other."""
    burn = list[Verdict]()
    for begin, kg, arm in edges(((-kg, arm) for kg, arm in tanks), whole):
        burn += limits.worst_along(begin, kg, arm)[::-1]
    return tuple(burn)


def extremes(stations: Sequence[Station], limits: Envelope, base: Loaded, empty: Sequence[Term]) -> list[Extreme]:
    """Most forward and most aft centre of gravity, the least margin to either limit, and the heaviest loading."""
    least = base
    for station in stations:
        least = least.plus(least_kg(station), station.arm.base)
    found = []
    for name, reverse in (("most forward", False), ("most aft", True)):
        order = sorted(stations, key=lambda station: station.arm.base, reverse=reverse)
        chain = _chain(order, limits, least)
        pick = max if reverse else min
        found.append(_extreme(name, order, least, pick(chain, key=lambda v: v.loaded.arm_m), empty))
        tight = min(chain, key=lambda v: _to_limit(v, aft=reverse))
        side = "aft" if reverse else "forward"
        if tight.inside and tight.limit != "none":
            tight = replace(tight, limit=side, margin=_to_limit(tight, aft=reverse)[1])
        found.append(_extreme(f"nearest the {side} limit", order, least, tight, empty))
    heaviest = least
    for station in stations:
        heaviest = heaviest.plus(most_kg(station) - least_kg(station), station.arm.base)
    full = tuple((station, most_kg(station)) for station in stations)
    found.append(Extreme("heaviest", full, limits.judge(heaviest), arm_tolerance(empty, heaviest)))
    return found


def _chain(order: Sequence[Station], limits: Envelope, least: Loaded) -> list[Verdict]:
    """The verdicts along the chain of most forward (or aft) loadings, up to the greatest weight there is."""
    steps = [(most_kg(station) - least_kg(station), station.arm.base) for station in order]
    chain = [limits.judge(least)]
    for begin, kg, arm in edges(steps, least):
        room = kg if limits.most_kg is None else min(kg, limits.most_kg - begin.kg)
        if room > 0:
            chain += limits.worst_along(begin, room, arm)
    return chain


def _to_limit(verdict: Verdict, *, aft: bool) -> tuple[bool, Fraction]:
    """Distance to one limit; where there is none at that weight the loading is no candidate."""
    limit = verdict.aft if aft else verdict.forward
    if limit is None:
        return True, Fraction(0)
    distance = limit - verdict.loaded.arm_m if aft else verdict.loaded.arm_m - limit
    return False, distance


def _extreme(name: str, order: Sequence[Station], least: Loaded, verdict: Verdict, empty: Sequence[Term]) -> Extreme:
    """The loads by which a verdict of the chain is reached."""
    left = verdict.loaded.kg - least.kg
    loads = []
    for station in order:
        room = most_kg(station) - least_kg(station)
        put = min(room, left)
        left -= put
        loads.append((station, least_kg(station) + put))
    return Extreme(name, tuple(loads), verdict, arm_tolerance(empty, verdict.loaded))
