"""Loading cases, extremes and the loading diagram in words and figures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from buildlog.figures.envelope import Verdict
from buildlog.figures.loading import Case
from buildlog.pages.charts import Diagram, Dot, draw_diagram
from buildlog.pages.drawings import drawn
from buildlog.pages.lines import Desk
from buildlog.pages.measures import UNIT_NAMES, Measures
from buildlog.records.loading import Station

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True)
class CaseRow:
    """A named loading: as it begins, and at its worst while its tanks empty."""

    letter: str
    name: str
    loads: str
    weight: str
    arm: str
    mac: str
    margin: str
    inside: bool
    burn: str


@dataclass(frozen=True)
class ExtremeRow:
    """An end of what can be loaded."""

    name: str
    loads: str
    weight: str
    arm: str
    margin: str
    inside: bool


def margin_words(verdict: Verdict, u_arm: Fraction | None, desk: Desk) -> str:
    """``0.41 in inside, ± 0.22 (forward limit)``; over the weights it says so."""
    words = desk.words
    if verdict.limit == "weight":
        over = verdict.loaded.kg > (desk.worked.loading.envelope.max_kg or verdict.loaded.kg) if desk.worked.loading else False
        return f"{words.weight(abs(verdict.margin))} {'over the maximum weight' if over else 'outside the weights of the limits'}"
    plus = f", ± {words.arm(u_arm, unit=False)}" if u_arm is not None else ""
    side = "inside" if verdict.inside else "outside"
    return f"{words.arm(abs(verdict.margin))} {side}{plus} ({verdict.limit} limit)"


def _loads(loads: tuple[tuple[Station, Fraction], ...], desk: Desk) -> str:
    return desk.words.listed([f"{station.name.lower()} {desk.words.weight(kg)}" for station, kg in loads if kg]) or "nothing on board"


def _mac(arm_m: Fraction, desk: Desk) -> str:
    loading = desk.worked.logbook.loading
    if loading is None or loading.mac is None:
        return ""
    return desk.words.number(100 * (arm_m - loading.mac.leading_edge.base) / loading.mac.length.base, 1)


def _letter(number: int) -> str:
    return LETTERS[number] if number < len(LETTERS) else str(number + 1)


def case_rows(desk: Desk) -> tuple[CaseRow, ...]:
    """Every named case."""
    words = desk.words
    return tuple(CaseRow(
        _letter(number), case.case.name, _loads(case.loads, desk), words.weight(case.verdict.loaded.kg, unit=False),
        words.arm(case.verdict.loaded.arm_m, unit=False), _mac(case.verdict.loaded.arm_m, desk),
        margin_words(case.verdict, case.u_arm, desk), case.verdict.inside, _burn(case, desk),
    ) for number, case in enumerate(desk.worked.loading.cases if desk.worked.loading else ()))


def _burn(case: Case, desk: Desk) -> str:
    """The least margin on the way to empty tanks, where it is less than at the beginning."""
    if not case.burn or case.worst is case.verdict or case.worst.margin >= case.verdict.margin:
        return "no less on the way to empty tanks" if case.burn else ""
    left = case.worst.loaded.kg - case.burn[-1].loaded.kg
    return f"{margin_words(case.worst, None, desk)} with {desk.words.weight(left)} left in the tanks"


def extreme_rows(desk: Desk) -> tuple[ExtremeRow, ...]:
    """The ends of all that can be loaded."""
    words = desk.words
    return tuple(ExtremeRow(
        extreme.name, _loads(extreme.loads, desk), words.weight(extreme.verdict.loaded.kg, unit=False),
        words.arm(extreme.verdict.loaded.arm_m, unit=False), margin_words(extreme.verdict, extreme.u_arm, desk),
        extreme.verdict.inside,
    ) for extreme in (desk.worked.loading.extremes if desk.worked.loading else ()))


def outside_words(desk: Desk) -> tuple[str, ...]:
    """What is outside, in words."""
    found = desk.worked.loading
    if found is None:
        return ()
    told = []
    for case in found.cases:
        worst = case.worst
        if not worst.inside:
            name = case.case.name[0].upper() + case.case.name[1:]
            told.append(f"{name}{_when(case, worst, desk)} is {_where(worst, desk)}.")
    for extreme in found.extremes:
        if not extreme.verdict.inside and extreme.name.startswith(("nearest", "heaviest")):
            told.append(f"The {extreme.name} loading ({_loads(extreme.loads, desk)}) is {_where(extreme.verdict, desk)}.")
    return tuple(told)


def _when(case: Case, worst: Verdict, desk: Desk) -> str:
    if worst.loaded == case.verdict.loaded or not case.burn:
        return ""
    left = worst.loaded.kg - case.burn[-1].loaded.kg
    return f" with {desk.words.weight(left)} left in the tanks" if left else " with empty tanks"


def _where(verdict: Verdict, desk: Desk) -> str:
    if verdict.limit == "weight":
        return margin_words(verdict, None, desk)
    side = "ahead of the forward limit" if verdict.limit == "forward" else "behind the aft limit"
    return f"{desk.words.arm(abs(verdict.margin))} {side}"


def ballast_words(desk: Desk) -> str:
    """The least ballast at the place that loading.yaml names."""
    found = desk.worked.loading
    said = found.loading.ballast if found else None
    if said is None:
        return ""
    least, place = desk.worked.ballast(), f"at {desk.words.arm(said.arm.base)}"
    if least is None:
        return f"No ballast of up to {desk.words.weight(said.most.base)} {place} brings every case inside."
    if not least:
        return f"No ballast {place} is needed: every case is inside without."
    return f"The least ballast {place} that brings every case inside is {desk.words.weight_up(least)}, rounded up."


def diagram(desk: Desk) -> str:
    """The loading diagram."""
    found, measures, words = desk.worked.loading, Measures(desk.words), desk.words
    empty = desk.worked.balance.empty
    if found is None or empty is None or empty.arm_m is None:
        return ""
    dots = tuple(Dot(
        _letter(number), case.case.name, measures.arm(case.verdict.loaded.arm_m), measures.weight(case.verdict.loaded.kg),
        measures.arm(case.u_arm), _way(case, measures), case.worst.inside, margin_words(case.verdict, case.u_arm, desk),
    ) for number, case in enumerate(found.cases))
    limits = tuple((measures.weight(w), measures.arm(f), measures.arm(a)) for w, f, a in found.envelope.points)
    return drawn(draw_diagram, Diagram(
        "Loadings against the limits of the centre of gravity", limits, dots,
        Dot("", "empty", measures.arm(empty.arm_m), measures.weight(empty.kg), measures.arm(empty.u_arm)),
        measures.tick, measures.tick, f"arm, {UNIT_NAMES[words.arm_unit]} from the datum", f"weight, {UNIT_NAMES[words.weight_unit]}",
        "The polygon is the limits; each point is a loading with its tolerance, the dashed line the way its tanks empty. "
        "The table of cases holds the figures."))


def _way(case: Case, measures: Measures) -> tuple[tuple[Fraction, Fraction], ...]:
    points = [(measures.arm(v.loaded.arm_m), measures.weight(v.loaded.kg)) for v in case.burn]
    begin = (measures.arm(case.verdict.loaded.arm_m), measures.weight(case.verdict.loaded.kg))
    return tuple(point for point in points if point != begin)
