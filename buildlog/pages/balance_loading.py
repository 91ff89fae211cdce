"""Loading cases, extremes and the loading diagram in words and figures."""

from __future__ import annotations

from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.envelope import Loaded
from buildlog.figures.loading import Case
from buildlog.pages.balance_words import burn_words, burn_worst, loadable_ends, loads_words, margin_words, outside_words
from buildlog.pages.charts import Diagram, Dot, draw_diagram
from buildlog.pages.drawings import Drawing, drawn
from buildlog.pages.lines import Desk
from buildlog.pages.measures import UNIT_NAMES, Measures

__all__ = ["CaseRow", "ExtremeRow", "case_rows", "diagram", "extreme_rows", "margin_words", "outside_words"]

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@frozen
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
    burn_inside: bool


@frozen
class ExtremeRow:
    """An end of what can be loaded."""

    name: str
    loads: str
    weight: str
    arm: str
    margin: str
    inside: bool


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
    return tuple(
        CaseRow(
            _letter(number),
            case.case.name,
            loads_words(case.loads, desk),
            words.weight(case.verdict.loaded.kg, unit=False),
            words.arm(case.verdict.loaded.arm_m, unit=False),
            _mac(case.verdict.loaded.arm_m, desk),
            margin_words(case.verdict, case.u_arm, desk),
            case.verdict.inside,
            burn_words(case, desk),
            all(found.inside for found in [burn_worst(case)] if found),
        )
        for number, case in enumerate(desk.worked.loading.cases if desk.worked.loading else ())
    )


def extreme_rows(desk: Desk) -> tuple[ExtremeRow, ...]:
    """The ends of all that can be loaded; none where nothing can."""
    words = desk.words
    return tuple(
        ExtremeRow(
            extreme.name,
            loads_words(extreme.loads, desk),
            words.weight(extreme.verdict.loaded.kg, unit=False),
            words.arm(extreme.verdict.loaded.arm_m, unit=False),
            margin_words(extreme.verdict, extreme.u_arm, desk),
            extreme.verdict.inside,
        )
        for extreme in loadable_ends(desk)
    )


def diagram(desk: Desk, drawing: Drawing = drawn) -> str:
    """The loading diagram."""
    found, measures, words = desk.worked.loading, Measures(desk.words), desk.words
    empty = desk.worked.balance.empty
    if found is None or empty is None or empty.arm_m is None:
        return ""
    limits = tuple((measures.weight(w), measures.arm(f), measures.arm(a)) for w, f, a in found.envelope.points)
    chart = Diagram(
        "Loadings against the limits of the centre of gravity",
        limits,
        tuple(_dot(number, case, desk) for number, case in enumerate(found.cases)),
        Dot("", "empty", measures.arm(empty.arm_m), measures.weight(empty.kg), measures.arm(empty.u_arm)),
        measures.tick,
        measures.tick,
        f"arm, {UNIT_NAMES[words.arm_unit]} from the datum",
        f"weight, {UNIT_NAMES[words.weight_unit]}",
        "The polygon is the limits; each point is a loading with its tolerance, the dashed line the way its tanks "
        "empty. The table of cases holds the figures.",
    )
    return drawing(draw_diagram, chart)


def _dot(number: int, case: Case, desk: Desk) -> Dot:
    measures = Measures(desk.words)
    ways = [tuple(_spot(loaded, measures) for loaded in way[1:]) for way in case.ways]
    return Dot(
        _letter(number),
        case.case.name,
        *_spot(case.verdict.loaded, measures),
        measures.arm(case.u_arm),
        ways[0],
        case.worst.inside,
        margin_words(case.verdict, case.u_arm, desk),
        ways[1] if len(ways) > 1 else (),
    )


def _spot(loaded: Loaded, measures: Measures) -> tuple[Fraction, Fraction]:
    return measures.arm(loaded.arm_m), measures.weight(loaded.kg)
