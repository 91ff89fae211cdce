"""Loadings in words: margins, what is outside or inside by less than its tolerance, ballast.

A margin too small to show is told as "less than" the least that can be shown, never as nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.numbers import rounded
from buildlog.basics.quantities import Length, Weight
from buildlog.figures.envelope import Loaded, Verdict, envelope, worst
from buildlog.figures.loading import Case, Extreme, most_kg
from buildlog.pages.lines import Desk
from buildlog.pages.words import ARM_PLACES, WEIGHT_PLACES
from buildlog.records.loading import Station

_BROKEN = {
    "maximum": "over the maximum weight",
    "greatest": "over the greatest weight of the limits",
    "least": "under the least weight of the limits",
}


def margin_words(verdict: Verdict, u_arm: Fraction | None, desk: Desk) -> str:
    """``0.41 in inside, ± 0.22 (forward limit)``; over or under the weights it says so."""
    if verdict.limit == "none":
        return "no limits given"
    if verdict.limit == "weight":
        return _weight_words(verdict, desk)
    plus = f", ± {desk.words.arm(u_arm, unit=False)}" if u_arm is not None else ""
    if not verdict.margin:
        return f"exactly on the {verdict.limit} limit{plus}"
    side = "inside" if verdict.margin > 0 else "outside"
    return f"{_length(verdict.margin, desk)} {side}{plus} ({verdict.limit} limit)"


def _weight_words(verdict: Verdict, desk: Desk) -> str:
    """Which weight is broken and by how much, and where the centre of gravity is outside as well."""
    arm, aside = verdict.loaded.arm_m, ""
    if verdict.forward is not None and arm < verdict.forward:
        aside = f" and {_length(verdict.forward - arm, desk)} ahead of the forward limit"
    elif verdict.aft is not None and arm > verdict.aft:
        aside = f" and {_length(arm - verdict.aft, desk)} behind the aft limit"
    return f"{_weight(verdict.margin, desk)} {weight_limit(verdict, desk)}{aside}"


def weight_limit(verdict: Verdict, desk: Desk) -> str:
    """Which weight a loading breaks: ``over the maximum weight``."""
    loading = desk.worked.logbook.loading
    broken = envelope(loading).weight_broken(verdict.loaded.kg) if loading is not None else None
    return _BROKEN[broken[0]] if broken else ""


def _length(metres: Fraction, desk: Desk) -> str:
    """A distance without its sign; one too small to show is told as such, never as nothing."""
    least = Length.factors[desk.words.arm_unit] / 10 ** ARM_PLACES[desk.words.arm_unit]
    hidden = metres and not rounded(metres / least, 0)
    return f"less than {desk.words.arm(least)}" if hidden else desk.words.arm(abs(metres))


def _weight(kg: Fraction, desk: Desk) -> str:
    """A weight without its sign, likewise."""
    least = Weight.factors[desk.words.weight_unit] / 10 ** WEIGHT_PLACES[desk.words.weight_unit]
    hidden = kg and not rounded(kg / least, 0)
    return f"less than {desk.words.weight(least)}" if hidden else desk.words.weight(abs(kg))


def loads_words(loads: tuple[tuple[Station, Fraction], ...], desk: Desk) -> str:
    """What is on board, station by station."""
    said = [f"{_within(station.name)} {desk.words.weight(kg)}" for station, kg in loads if kg]
    return desk.words.listed(said) or "nothing on board"


def _within(name: str) -> str:
    """A name as it stands within a sentence; FWD bay and LH tank keep their capitals."""
    return name[0].lower() + name[1:] if name[1:2].islower() else name


def burn_words(case: Case, desk: Desk) -> str:
    """The least margin on the way to empty tanks, where it is less than at the beginning."""
    least = burn_worst(case)
    if least is not None:
        return f"{margin_words(least, None, desk)} {_left(case, least, desk)}"
    return "never less" if case.burn and case.verdict.limit != "none" else ""


def burn_worst(case: Case) -> Verdict | None:
    """The worst on the way to empty tanks, None where it is no worse than the beginning.

    What begins over the maximum weight grows lighter: then the worst of its centre of gravity is what there is to tell.
    """
    ways = (*case.burn, *case.other_burn)
    if not ways or case.verdict.limit == "none":
        return None
    if case.verdict.limit == "weight":
        return min((v for v in ways if v.limit != "weight"), key=lambda v: v.margin, default=case.burn[-1])
    least = worst(ways)
    return least if least.limit == "weight" or least.margin < case.verdict.margin else None


def _left(case: Case, verdict: Verdict, desk: Desk) -> str:
    """``with 12.0 lb left in the tanks``."""
    left = verdict.loaded.kg - case.burn[-1].loaded.kg
    tanks = "tank" if sum(1 for station, kg in case.loads if station.capacity and kg) == 1 else "tanks"
    if not left:
        return f"with empty {tanks}" if tanks == "tanks" else "with an empty tank"
    order = ""
    if case.other_burn:
        order = ", the aft ones used first" if verdict in case.burn else ", the forward ones used first"
    return f"with {_weight(left, desk)} left in the {tanks}{order}"


def loadable_ends(desk: Desk) -> tuple[Extreme, ...]:
    """The extremes; none where no station is given."""
    found = desk.worked.loading
    return found.extremes if found is not None and found.loading.stations else ()


def open_ended_words(desk: Desk) -> str:
    """The stations whose greatest load is not given, and what the ends count them with."""
    loading = desk.worked.logbook.loading
    stations = [
        station for station in (loading.stations if loading else ()) if not station.capacity and not station.max
    ]
    if not stations or desk.worked.loading is None:
        return ""
    counted = [f"{_within(s.name)} ({desk.words.weight(most_kg(s)) if most_kg(s) else 'nothing'})" for s in stations]
    told = "No greatest load is given for these, which count here with what they usually hold"
    return f"{told}: {desk.words.listed(counted)}."


def outside_words(desk: Desk) -> tuple[str, ...]:
    """What is outside, in words: each case at its worst, then what could be loaded besides."""
    cases = desk.worked.loading.cases if desk.worked.loading else ()
    told = {
        verdict.loaded: f"{_case_at(case, verdict, desk)} is {_where(verdict, desk)}."
        for case in cases
        for verdict in _outside(case)
    }
    for extreme in loadable_ends(desk):
        verdict = extreme.verdict
        covered = extreme.name.startswith("most") and verdict.limit != "weight"
        if not verdict.inside and not covered and verdict.loaded not in told:
            told[verdict.loaded] = f"{_end(extreme, desk)} is {_where(verdict, desk)}."
    return tuple(told.values())


def close_words(desk: Desk) -> tuple[str, ...]:
    """What is inside by less than its tolerance, in words."""
    cases = desk.worked.loading.cases if desk.worked.loading else ()
    near = [(case.worst, case.u_arm, _case_at(case, case.worst, desk)) for case in cases]
    near += [(end.verdict, end.u_arm, _end(end, desk)) for end in loadable_ends(desk) if end.name.startswith("nearest")]
    told: dict[Loaded, str] = {}
    for verdict, u_arm, name in near:
        if verdict.inside and verdict.limit in {"forward", "aft"} and verdict.margin < u_arm:
            where = f"{_length(verdict.margin, desk)} inside" if verdict.margin else "exactly on"
            said = f"{name} is {where} the {verdict.limit} limit; its tolerance is ± {desk.words.arm(u_arm)}."
            told.setdefault(verdict.loaded, said)
    return tuple(told.values())


def _outside(case: Case) -> Iterator[Verdict]:
    """The worst of a case if it is outside; where that is a weight, the centre of gravity at its worst too."""
    if not case.worst.inside:
        yield case.worst
    judged = [verdict for verdict in case.verdicts if verdict.limit in {"forward", "aft"}]
    if case.worst.limit == "weight" and judged and not worst(judged).inside:
        yield worst(judged)


def _case_at(case: Case, verdict: Verdict, desk: Desk) -> str:
    """A case's name to begin a sentence with, and how much is left in its tanks by then."""
    name = case.case.name[0].upper() + case.case.name[1:]
    began = verdict.loaded == case.verdict.loaded or not case.burn
    return name if began else f"{name} {_left(case, verdict, desk)}"


def _end(extreme: Extreme, desk: Desk) -> str:
    which = "worst" if extreme.name.startswith("nearest") else extreme.name
    return f"The {which} that can be loaded ({loads_words(extreme.loads, desk)})"


def _where(verdict: Verdict, desk: Desk) -> str:
    if verdict.limit == "weight":
        return _weight_words(verdict, desk)
    side = "ahead of the forward limit" if verdict.limit == "forward" else "behind the aft limit"
    return f"{_length(verdict.margin, desk)} {side}"


def ballast_words(desk: Desk) -> str:
    """The least ballast at the place that loading.yaml names."""
    found, words = desk.worked.loading, desk.words
    said = found.loading.ballast if found else None
    if found is None or said is None or not found.cases or not found.envelope.points:
        return ""
    least, place = desk.worked.ballast(), f"at {words.arm(said.arm.base)}"
    if least is None:
        return f"No ballast of up to {words.weight(said.most.base)} {place} brings every case inside."
    if not least:
        return f"No ballast {place} is needed: every case is inside without."
    unit = Weight.factors[words.weight_unit] / 10 ** WEIGHT_PLACES[words.weight_unit]
    if not desk.worked.ballast_is_enough(-(-least // unit) * unit):
        most = words.weight_up(least)
        only = f"Ballast {place} brings every case inside only if it is just under {most}"
        return f"{only}; with {most} one is outside again."
    return f"The least ballast {place} that brings every case inside is {words.weight_up(least)}, rounded up."
