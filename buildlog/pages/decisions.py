"""Decisions: the ways on side by side in cost, hours and weight, the one taken, and why.

An option's cost is the sum of its lines (refunds count back), in the project's currency at the rate stated for the
day it was decided; what no rate converts stands beside it. Its weight change is what it would put on less what it
takes off.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.cost import Rates
from buildlog.figures.figures import Figures
from buildlog.pages.balance_loading import margin_words
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Sheet, Tab, first_words
from buildlog.pages.sources import Source
from buildlog.pages.words import Words
from buildlog.records.changes import WeightChange
from buildlog.records.prose import Prose
from buildlog.records.purchases import CostLine
from buildlog.records.writings import Decision, Option


@frozen
class DecisionRow:
    """A decision in a list; ``chosen`` is '' while it is open."""

    question: str
    path: str
    tab: Tab | None
    chosen: str
    decided: str
    options: int
    first: str


@frozen
class OptionCost:
    """A line of what an option would cost."""

    item: str
    kind: str
    amount: str


@frozen
class OptionWeight:
    """A line of what an option would put on or take off."""

    item: str
    way: str
    weight: str
    basis: str
    arm: str


@frozen
class OptionView:
    """One way on. ``cost`` is '' where costs may not be seen, ``hours`` where hours may not."""

    name: str
    anchor: str
    chosen: bool
    cost: str
    apart: tuple[str, ...]
    hours: str
    weight: str
    costs: tuple[OptionCost, ...]
    weights: tuple[OptionWeight, ...]
    jobs: tuple[str, ...]
    speaks_for: tuple[str, ...]
    against: tuple[str, ...]
    empty: str
    """The empty weight it would leave; '' where no option changes the weight or nothing was weighed yet."""
    arm: str
    margin: str
    case: str
    outside: bool


@frozen
class DecisionView:
    """A decision's page."""

    row: DecisionRow
    options: tuple[OptionView, ...]
    prose: Prose
    entries: tuple[Source, ...]
    weight_unit: str
    arm_unit: str
    has_costs: bool
    has_hours: bool
    has_weights: bool


@frozen
class DecisionsView:
    """All decisions, those still open first."""

    open: tuple[DecisionRow, ...]
    taken: tuple[DecisionRow, ...]


def decision_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The list of decisions and a page for each."""
    desk = Desk.of(worked, words, at)
    decisions = worked.logbook.decisions
    rows = decision_rows(decisions, desk)
    view = DecisionsView(tuple(row for row in rows if not row.chosen), tuple(row for row in rows if row.chosen))
    yield Sheet(
        "decisions.html",
        "decisions.html",
        "Decisions",
        view,
        "decisions.html",
        description="What was weighed against what, the way taken, and why.",
        worked_from=f"{len(rows)} written",
        updated=worked.logbook.last_day(),
    )
    for decision, row in zip(_in_order(decisions), rows, strict=True):
        yield _sheet(decision, row, desk)


def decision_rows(decisions: tuple[Decision, ...], desk: Desk) -> tuple[DecisionRow, ...]:
    """Decisions for a list: the open ones first, then the last decided."""
    return tuple(_row(decision, desk) for decision in _in_order(decisions))


def _in_order(decisions: tuple[Decision, ...]) -> list[Decision]:
    taken = sorted(
        (one for one in decisions if one.facts.chosen), key=lambda one: one.facts.decided or date.min, reverse=True
    )
    return [*(one for one in decisions if not one.facts.chosen), *taken]


def _row(decision: Decision, desk: Desk) -> DecisionRow:
    facts = decision.facts
    chosen = next((option.name for option in facts.options if option.key == facts.chosen), "")
    return DecisionRow(
        facts.question,
        desk.at.file(decision.file),
        desk.at.tab(facts.system) if facts.system else None,
        chosen,
        desk.words.day(facts.decided) if facts.decided else "",
        len(facts.options),
        first_words(decision.prose),
    )


def _sheet(decision: Decision, row: DecisionRow, desk: Desk) -> Sheet:
    options = tuple(_option(option, decision, desk) for option in decision.facts.options)
    entries = [
        entry
        for entry in desk.worked.logbook.told()
        if any(reference.target == decision.file for reference in entry.prose.references)
    ]
    view = DecisionView(
        row,
        options,
        decision.prose,
        tuple(desk.sources.whole(entry) for entry in entries),
        desk.words.weight_unit,
        desk.words.arm_unit,
        any(option.cost or option.apart for option in options),
        any(option.hours for option in options),
        any(option.weights for option in options),
    )
    return Sheet(
        row.path,
        "decision.html",
        decision.facts.question,
        view,
        "decisions.html",
        description=row.first or decision.facts.question,
        name="Decision",
        worked_from=f"{len(options)} options",
        updated=decision.facts.decided,
    )


def _option(option: Option, decision: Decision, desk: Desk) -> OptionView:
    book, words = desk.worked.logbook, desk.words
    sight = book.sight
    cost, apart = _cost(option.costs, decision.facts.decided or desk.worked.on, desk)
    jobs = {job.key: job.name for job in book.plan.jobs}
    kg = sum((line.sign * line.weight.base for line in option.weight), Fraction(0))
    return OptionView(
        option.name,
        f"option-{option.key}",
        option.key == decision.facts.chosen,
        words.money(cost) if option.costs and sight.costs != "none" and cost is not None else "",
        apart if sight.costs != "none" else (),
        words.labour(option.hours) if option.hours is not None and sight.hours else "",
        words.weight(kg, signed=True) if option.weight else "",
        tuple(OptionCost(line.item, line.kind, _amount(line, words)) for line in option.costs) if desk.priced else (),
        tuple(_weight(line, words) for line in option.weight),
        tuple(jobs[key] for key in option.jobs if key in jobs),
        option.for_,
        option.against,
        *_balance(decision, option, desk),
    )


def _balance(decision: Decision, option: Option, desk: Desk) -> tuple[str, str, str, str, bool]:
    """Empty weight, centre of gravity and the least margin under an option, on the state of the decision's day."""
    found = next((one for one in desk.worked.outcomes.get(decision.slug, ()) if one.option is option), None)
    if found is None or found.empty.arm_m is None or not any(one.weight for one in decision.facts.options):
        return "", "", "", "", False
    words = desk.words
    empty = f"{words.weight(found.empty.kg, unit=False)} ± {words.weight(found.empty.u_kg)}"
    arm = f"{words.arm(found.empty.arm_m, unit=False)} ± {words.arm(found.empty.u_arm)}"
    margin = margin_words(found.worst, found.u_arm, desk) if found.worst else ""
    return empty, arm, margin, found.case, found.worst is not None and not found.worst.inside


def _cost(lines: tuple[CostLine, ...], day: date | None, desk: Desk) -> tuple[int | None, tuple[str, ...]]:
    """The sum of what a rate converts, None when that is nothing; and each amount that none does."""
    rates = Rates(desk.worked.logbook)
    values, apart = [], []
    for line in lines:
        money = -line.cost if line.kind == "refund" else line.cost
        value = rates.value(money, day or date.min)
        if value is None:
            apart.append(desk.words.written_money(money))
        else:
            values.append(value)
    return sum(values) if values else None, tuple(apart)


def _amount(line: CostLine, words: Words) -> str:
    return words.written_money(-line.cost if line.kind == "refund" else line.cost)


def _weight(line: WeightChange, words: Words) -> OptionWeight:
    return OptionWeight(
        line.item,
        "in" if line.installed else "out",
        words.weight(line.sign * line.weight.base, signed=True, unit=False),
        line.basis,
        words.arm(line.arm.base, unit=False) if line.arm else "",
    )
