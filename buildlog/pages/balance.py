"""Balance and loading: how good the empty weight is, what each weighing brought to light, and what may be loaded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from buildlog.figures.balance import Compared, Reconciled
from buildlog.figures.figures import Figures
from buildlog.figures.tolerance import Share
from buildlog.pages.balance_loading import CaseRow, ExtremeRow, ballast_words, case_rows, diagram, extreme_rows, outside_words
from buildlog.pages.cost import Hero
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Sheet
from buildlog.pages.sources import Source
from buildlog.pages.words import Words



@dataclass(frozen=True)
class ShareRow:
    """A line's part of the tolerance of the weight and of the centre of gravity."""

    what: str
    source: Source
    basis: str
    weight: str
    arm: str
    of_weight: str
    of_arm: str


@dataclass(frozen=True)
class ComparedRow:
    """A quantity predicted and measured."""

    what: str
    predicted: str
    measured: str
    difference: str
    tolerance: str
    unexplained: str


@dataclass(frozen=True)
class ReconciledForm:
    """A weighing against what was expected of it."""

    source: Source
    rows: tuple[ComparedRow, ...]
    words: str
    weigh_next: str


@dataclass(frozen=True)
class EquipmentRow:
    """A line of the equipment list."""

    name: str
    path: str
    weight: str
    arm: str
    moment: str
    basis: str


@dataclass(frozen=True)
class BalanceView:
    """The page."""

    strip: tuple[Hero, ...]
    why_none: str
    shares: tuple[ShareRow, ...]
    reconciled: tuple[ReconciledForm, ...]
    cases: tuple[CaseRow, ...]
    extremes: tuple[ExtremeRow, ...]
    outside: tuple[str, ...]
    ballast: str
    diagram: str
    equipment: tuple[EquipmentRow, ...]
    weight_unit: str
    arm_unit: str
    datum: str
    mac: bool


def balance_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The one page of balance and loading."""
    desk = Desk.of(worked, words, at)
    loading = worked.logbook.loading
    view = BalanceView(
        tuple(_strip(desk)), _why_none(worked), tuple(_shares(desk)),
        tuple(_form(found, desk) for found in worked.balance.reconciled), case_rows(desk), extreme_rows(desk),
        outside_words(desk), ballast_words(desk), diagram(desk), tuple(_equipment(desk)), words.weight_unit, words.arm_unit,
        words.datum, bool(loading and loading.mac),
    )
    yield Sheet("balance.html", "balance.html", "Balance and loading", view, "balance.html",
                "The empty weight and centre of gravity with their tolerance, and every loading against the limits.",
                name="balance and loading", updated=worked.logbook.last_day())


def _why_none(worked: Figures) -> str:
    if worked.balance.empty is None:
        return "Not weighed yet: there is no empty weight to load."
    return "" if worked.logbook.loading else "There is no loading.yaml, so nothing is said of limits and loading."


def _strip(desk: Desk) -> Iterator[Hero]:
    """Empty weight, centre of gravity, and the least margin of all cases and extremes."""
    balance, words, found = desk.worked.balance.empty, desk.words, desk.worked.loading
    if balance is None or balance.arm_m is None:
        return
    weight, arm = words.weight(balance.u_kg, unit=False), words.arm(balance.u_arm, unit=False)
    yield Hero(words.weight(balance.kg, unit=False), f"{words.weight_unit} ± {weight}", "empty weight", "#tolerance")
    yield Hero(words.arm(balance.arm_m, unit=False), f"{words.arm_unit} ± {arm}",
               f"empty centre of gravity{_mac(desk, balance.arm_m)}", "#tolerance")
    if found is None or not found.cases:
        return
    least = min((case.worst for case in found.cases), key=lambda verdict: (verdict.limit != "weight", verdict.margin))
    if least.limit == "weight":
        yield Hero(words.weight(-least.margin, unit=False), words.weight_unit, "outside: over or under the weights given", "#cases")
    else:
        side = "outside" if least.margin < 0 else "inside"
        yield Hero(words.arm(abs(least.margin), unit=False), words.arm_unit, f"{side}, the least of all cases: {least.limit} limit",
                   "#cases")


def _mac(desk: Desk, arm_m: Fraction) -> str:
    loading = desk.worked.logbook.loading
    if loading is None or loading.mac is None:
        return ""
    share = 100 * (arm_m - loading.mac.leading_edge.base) / loading.mac.length.base
    return f", {desk.words.number(share, 1)}\u00a0% of the mean chord"


def _shares(desk: Desk) -> Iterator[ShareRow]:
    """The lines that carry most of the tolerance, the weightiest first."""
    balance, words = desk.worked.balance.empty, desk.words
    if balance is None:
        return
    entries = {entry.slug: entry for entry in desk.worked.logbook.entries}
    for share in sorted(balance.shares, key=lambda share: -max(share.of_weight, share.of_arm)):
        term = share.term
        day = entries[term.entry].day
        yield ShareRow(
            term.what, desk.sources.of(term.entry, day), term.basis,
            f"{words.weight(term.kg, unit=False, signed=True)} ± {words.weight(term.u_kg, unit=False)}",
            f"{words.arm(term.arm_m, unit=False)} ± {words.arm(term.u_arm, unit=False)}" if term.arm_m is not None else "no arm",
            f"{words.number(100 * share.of_weight, 0)}\u00a0%", f"{words.number(100 * share.of_arm, 0)}\u00a0%",
        )


def _form(found: Reconciled, desk: Desk) -> ReconciledForm:
    words = desk.words
    rows = [_compared("Empty weight", found.weight, words.weight(found.weight.predicted), words.weight(found.weight.measured),
                      words.weight(found.weight.difference, signed=True), words.weight(found.weight.tolerance),
                      words.weight(found.weight.unexplained, signed=True))]
    if found.arm is not None:
        arm = found.arm
        sign = "+" if arm.difference > 0 else ""
        rows.append(_compared("Centre of gravity", arm, words.arm(arm.predicted), words.arm(arm.measured),
                              sign + words.arm(arm.difference), words.arm(arm.tolerance), words.arm(arm.unexplained)))
    return ReconciledForm(desk.sources.of(found.weighed.entry, found.weighed.day), tuple(rows), _told(found, words),
                          _weigh_next(found.heaviest, words))


def _compared(what: str, found: Compared, *said: str) -> ComparedRow:
    predicted, measured, difference, tolerance, unexplained = said
    return ComparedRow(what, predicted, measured, difference, tolerance, unexplained if found.unexplained else "none")


def _told(found: Reconciled, words: Words) -> str:
    """The reconciliation in a sentence."""
    weight = found.weight
    way = "heavier" if weight.difference > 0 else "lighter"
    if not weight.difference:
        return "It weighed exactly what was expected."
    told = f"It weighed {words.weight(abs(weight.difference))} {way} than expected."
    if weight.unexplained:
        return f"{told} The tolerances explain {words.weight(weight.tolerance)} of it; {words.weight(abs(weight.unexplained))} is unexplained."
    return f"{told} The tolerances explain that."


def _weigh_next(shares: tuple[Share, ...], words: Words) -> str:
    known = [f"{share.term.what} ({words.number(100 * share.of_weight, 0)}\u00a0%)" for share in shares if share.of_weight > Fraction(1, 100)]
    return f"Of the changes between, these carry most of the tolerance of the prediction: {words.listed(known)}." if known else ""


def _equipment(desk: Desk) -> Iterator[EquipmentRow]:
    words = desk.words
    for line in desk.worked.equipment:
        moment = line.kg * line.arm_m if line.kg is not None and line.arm_m is not None else None
        yield EquipmentRow(
            line.state.record.name, desk.at.component(line.state.key),
            words.weight(line.kg, unit=False) if line.kg is not None else "",
            words.arm(line.arm_m, unit=False) if line.arm_m is not None else "",
            words.moment(moment, unit=False) if moment is not None else "", line.basis,
        )
