"""Balance and loading: how good the empty weight is, what each weighing brought to light, and what may be loaded."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.balance_loading import CaseRow, ExtremeRow, case_rows, diagram, extreme_rows
from buildlog.pages.balance_reconciled import ReconciledForm, reconciled_form
from buildlog.pages.balance_words import ballast_words, close_words, open_ended_words, outside_words, weight_limit
from buildlog.pages.cost import Hero
from buildlog.pages.lines import Desk, rests_on
from buildlog.pages.sheet import Addresses, Sheet
from buildlog.pages.sources import Source
from buildlog.pages.words import Words


@frozen
class ShareRow:
    """A line's part of the tolerance of the weight and of the centre of gravity."""

    what: str
    source: Source
    basis: str
    weight: str
    arm: str
    of_weight: str
    of_arm: str


@frozen
class EquipmentRow:
    """A line of the equipment list."""

    name: str
    path: str
    weight: str
    arm: str
    moment: str
    basis: str


@frozen
class BalanceView:
    """The page."""

    strip: tuple[Hero, ...]
    why_none: str
    shares: tuple[ShareRow, ...]
    reconciled: tuple[ReconciledForm, ...]
    cases: tuple[CaseRow, ...]
    extremes: tuple[ExtremeRow, ...]
    outside: tuple[str, ...]
    close: tuple[str, ...]
    open_ended: str
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
        tuple(_strip(desk)),
        _why_none(worked),
        tuple(_shares(desk)),
        tuple(reconciled_form(found, desk) for found in worked.balance.reconciled),
        case_rows(desk),
        extreme_rows(desk),
        outside_words(desk),
        close_words(desk),
        open_ended_words(desk),
        ballast_words(desk),
        diagram(desk),
        tuple(_equipment(desk)),
        words.weight_unit,
        words.arm_unit,
        words.datum,
        bool(loading and loading.mac),
    )
    yield Sheet(
        "balance.html",
        "balance.html",
        "Balance and loading",
        view,
        "balance.html",
        "The empty weight and centre of gravity with their tolerance, and every loading against the limits.",
        name="balance and loading",
        updated=worked.logbook.last_day(),
    )


def _why_none(worked: Figures) -> str:
    if worked.balance.empty is None:
        return "Not weighed yet: there is no empty weight to load."
    if worked.logbook.loading is None:
        return "There is no loading.yaml, so nothing is said of limits and loading."
    if worked.balance.empty.arm_m is None and worked.weight.base() is worked.weight.stated:
        return "The empty weight is stated without its arm, so there is no centre of gravity to load from. Weigh it."
    if worked.loading is None:
        return (
            "By the last weighing and the changes since, the empty aircraft weighs nothing: there is nothing to load."
        )
    return (
        "" if worked.loading.envelope.points else "No limits are given, so no loading is said to be inside or outside."
    )


def _strip(desk: Desk) -> Iterator[Hero]:
    """Empty weight, centre of gravity, and the least margin of all cases."""
    balance, words, found = desk.worked.balance.empty, desk.words, desk.worked.loading
    empty = desk.worked.weight.empty()
    if balance is None or balance.arm_m is None:
        return
    weight, arm = words.weight(balance.u_kg, unit=False), words.arm(balance.u_arm, unit=False)
    yield Hero(
        words.weight(balance.kg, unit=False),
        f"{words.weight_unit} ±\u00a0{weight}",
        f"empty weight, {rests_on(empty, words)}" if empty and empty.stated else "empty weight",
        "#tolerance",
    )
    yield Hero(
        words.arm(balance.arm_m, unit=False),
        f"{words.arm_unit} ±\u00a0{arm}",
        f"empty centre of gravity{_mac(desk, balance.arm_m)}",
        "#tolerance",
    )
    if found is None or not found.cases:
        return
    case = min(found.cases, key=lambda case: (case.worst.limit != "weight", case.worst.margin))
    least = case.worst
    if least.limit == "weight":
        kg = words.weight(abs(least.margin), unit=False)
        yield Hero(kg, words.weight_unit, f"{weight_limit(least, desk)}, the worst of all cases", "#cases")
    elif least.limit != "none":
        metres, u_arm = words.arm(abs(least.margin), unit=False), words.arm(case.u_arm, unit=False)
        side = "outside" if least.margin < 0 else "inside"
        told = f"{side} the {least.limit} limit, the {'most' if least.margin < 0 else 'least'} of all cases"
        yield Hero(metres, f"{words.arm_unit} ±\u00a0{u_arm}", told, "#cases")


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
        day = entries[term.entry].day if term.entry in entries else None
        yield ShareRow(
            term.what,
            desk.sources.of(term.entry, day) if day else Source("", "loading.yaml", ""),
            term.basis,
            f"{words.weight(term.kg, unit=False, signed=True)} ± {words.weight(term.u_kg, unit=False)}",
            f"{words.arm(term.arm_m, unit=False)} ± {words.arm(term.u_arm, unit=False)}"
            if term.arm_m is not None
            else "no arm",
            f"{words.number(100 * share.of_weight, 0)}\u00a0%",
            f"{words.number(100 * share.of_arm, 0)}\u00a0%",
        )


def _equipment(desk: Desk) -> Iterator[EquipmentRow]:
    words = desk.words
    for line in desk.worked.equipment:
        moment = line.kg * line.arm_m if line.kg is not None and line.arm_m is not None else None
        yield EquipmentRow(
            line.state.record.name,
            desk.at.component(line.state.key),
            words.weight(line.kg, unit=False) if line.kg is not None else "",
            words.arm(line.arm_m, unit=False) if line.arm_m is not None else "",
            words.moment(moment, unit=False) if moment is not None else "",
            line.basis,
        )
