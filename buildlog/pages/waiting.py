"""What the aircraft waits for, in order of weight: findings, orders, the plan's gates, open questions.

Findings come by their standing; a cosmetic one holds nothing up and is told last. A gate that waits for an
order is told with the order, not again.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from buildlog.basics.frozen import frozen
from buildlog.figures.findings import FindingState, open_findings
from buildlog.figures.orders import Order
from buildlog.pages.asked import question_path, unanswered
from buildlog.pages.lines import Desk, finding_anchor
from buildlog.records.registers import Job


@frozen
class Waiting:
    """Something it waits for: what, why it still waits, and where that is told."""

    words: str
    why: str
    path: str


def waiting(desk: Desk) -> tuple[Waiting, ...]:
    """Everything it waits for, the weightiest first."""
    found = open_findings(desk.worked.findings)
    holding = [state for state in found if state.line.standing != "cosmetic"]
    cosmetic = [state for state in found if state.line.standing == "cosmetic"]
    return tuple(
        chain(
            (_finding(state, desk) for state in holding),
            _orders(desk),
            _gates(desk),
            _questions(desk),
            (_finding(state, desk) for state in cosmetic),
        )
    )


def _finding(state: FindingState, desk: Desk) -> Waiting:
    line = state.line
    until = f"may wait until {desk.words.day(line.until)}" if line.until else ""
    why = [desk.words.standing(line.standing), until, (line.limit or "")[:1].lower() + (line.limit or "")[1:]]
    return Waiting(line.found, ", ".join(filter(None, why)), f"findings.html#{finding_anchor(line.key)}")


def _orders(desk: Desk) -> Iterator[Waiting]:
    gates = _gates_by_order(desk)
    for order in _outstanding(desk):
        gate = gates.get(order.line.key)
        held = [f"holds up: {gate.name}"] if gate else []
        yield Waiting(order.line.item, ", ".join([_promise(order, desk), *held]), desk.at.entry(order.entry))


def _outstanding(desk: Desk) -> list[Order]:
    """Orders that have not come, those promised soonest first, those promised for no day last."""
    orders = [order for order in desk.worked.cost.orders if order.received is None]
    return sorted(orders, key=lambda order: (order.promised is None, order.promised or order.day, order.line.key))


def _promise(order: Order, desk: Desk) -> str:
    promised = f"promised for {desk.words.day(order.promised)}" if order.promised else "no day promised"
    late = order.promised and desk.worked.on and order.promised < desk.worked.on
    return f"ordered, {promised}{', late' if late else ''}"


def _gates_by_order(desk: Desk) -> dict[str, Job]:
    """The gates that wait for an order still to come, by its key."""
    coming = {order.line.key for order in _outstanding(desk)}
    jobs = [job for job in desk.worked.logbook.plan.jobs if job.gate and not job.done and job.waits_for]
    return {job.waits_for.order: job for job in jobs if job.waits_for and job.waits_for.order in coming}


def _gates(desk: Desk) -> Iterator[Waiting]:
    told = {job.key for job in _gates_by_order(desk).values()}
    names = {job.key: job.name for job in desk.worked.logbook.plan.jobs if not job.done}
    for job in desk.worked.logbook.plan.jobs:
        if job.gate and not job.done and job.key not in told:
            yield Waiting(job.name, ", ".join(_why(job, names, desk)), desk.at.system(job.system or ""))


def _why(job: Job, names: dict[str, str], desk: Desk) -> Iterator[str]:
    """Whose work it is, its day, and what must come before."""
    yield "for the mechanic" if job.who == "mechanic" else "planned"
    if job.waits_for and job.waits_for.until:
        yield f"appointment {desk.words.day(job.waits_for.until)}"
    elif job.waits_for and job.waits_for.lead:
        yield f"a wait of {job.waits_for.lead} once it is asked for"
    first = [names[key] for key in job.needs if key in names]
    if len(first) == 1:
        yield f"after: {first[0]}"
    elif first:
        yield f"after {len(first)} others"


def _questions(desk: Desk) -> Iterator[Waiting]:
    book = desk.worked.logbook
    for question in unanswered(book):
        settles = (
            f"not known; it would be settled by: {_lower(question.would_settle)}"
            if question.would_settle
            else "not known"
        )
        yield Waiting(question.ask, settles, question_path(question, book, desk.at))


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
